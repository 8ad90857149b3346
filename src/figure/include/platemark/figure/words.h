/// Words in a figure: how wide they will be, and how they are written safely.
#pragma once

#include <string>
#include <string_view>

namespace platemark::figure {

/// Width in px of `words` at `size_px` in Noto Sans, from the advance widths of
/// the font; signs outside ASCII count as 0.6 of the size. Good enough to keep
/// labels apart; not for setting paragraphs.
[[nodiscard]] double textWidth(std::string_view words, double size_px, bool bold = false);

/// True when `bytes` are valid UTF-8 without control characters other than tab and new line.
[[nodiscard]] bool isWellFormed(std::string_view bytes);
/// The same words with every invalid byte or control character as U+FFFD.
[[nodiscard]] std::string wellFormed(std::string_view bytes);
/// Ready for XML text and double-quoted attributes; always well-formed.
[[nodiscard]] std::string xmlEscaped(std::string_view words);

}  // namespace platemark::figure
