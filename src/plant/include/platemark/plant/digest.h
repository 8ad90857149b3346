/// SHA-256 (FIPS 180-4) of bytes, as 64 lower-case hex digits.
#pragma once

#include <string>
#include <string_view>

namespace platemark {

[[nodiscard]] std::string sha256Hex(std::string_view bytes);

}  // namespace platemark
