/// The request's target and the small grammars of its header values.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "platemark/http/message.h"

namespace platemark::http {

struct Target {
  std::string path;                ///< as sent, without the query
  std::vector<std::string> parts;  ///< decoded
  Fields query;                    ///< decoded
};

/// None when it does not begin with '/', holds a wrong percent code, a control character, or a
/// part "." or "..".
[[nodiscard]] std::optional<Target> parseTarget(std::string_view text);

[[nodiscard]] std::string percentEncode(std::string_view text);

/// "a=1; b=2", quotes around a value removed.
[[nodiscard]] Fields parseCookies(std::string_view header);

[[nodiscard]] std::string_view trimmed(std::string_view text);
[[nodiscard]] std::string lowered(std::string_view text);
/// Parts between separators, trimmed, empty ones kept.
[[nodiscard]] std::vector<std::string_view> split(std::string_view text, char separator);

}  // namespace platemark::http
