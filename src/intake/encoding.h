/// Encodings of instrument files. Inside, everything is UTF-8 or, for Latin-1,
/// the bytes themselves until a text is shown.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "platemark/intake/layout.h"

namespace platemark::intake {

struct EncodingFound {
  Encoding encoding = Encoding::utf8;
  std::size_t mark_bytes = 0;  ///< length of the byte order mark
  bool certain = false;        ///< a mark says so, or bytes that fit nothing else
};
[[nodiscard]] EncodingFound detectEncoding(std::string_view bytes);

[[nodiscard]] bool isWide(Encoding encoding);
/// Appends whole UTF-16 units of `bytes` to `utf8`; a high surrogate is kept in
/// `pending` until its partner comes. Odd pairs become U+FFFD.
void appendUtf16(std::string_view bytes, Encoding encoding, char16_t& pending, std::string& utf8);
/// `bytes` of a line as UTF-8: Latin-1 is widened, broken UTF-8 becomes U+FFFD.
[[nodiscard]] std::string shown(std::string_view bytes, Encoding encoding);
/// The whole of `bytes`, mark removed, as UTF-8.
[[nodiscard]] std::string toUtf8(std::string_view bytes, const EncodingFound& found);

/// What the bytes seem to be when they are no text table, e.g. "a PDF document".
struct NotText {
  std::string seems;
  std::string remedy;
};
[[nodiscard]] std::optional<NotText> noTable(std::string_view first_bytes);

}  // namespace platemark::intake
