/// Bytes in the rows of case files stand as hex digits.
#pragma once

#include <string>
#include <string_view>

namespace platemark::test {

inline std::string bytesOf(std::string_view hex) {
  std::string bytes;
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2)
    bytes += static_cast<char>(std::stoi(std::string(hex.substr(i, 2)), nullptr, 16));
  return bytes;
}

inline std::string hexOf(std::string_view bytes) {
  static constexpr char digits[] = "0123456789abcdef";
  std::string hex;
  for (const char c : bytes) {
    hex += digits[static_cast<unsigned char>(c) >> 4U];
    hex += digits[static_cast<unsigned char>(c) & 15U];
  }
  return hex;
}

}  // namespace platemark::test
