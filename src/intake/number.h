/// Numbers as instruments write them, to the nearest double.
#pragma once

#include <bit>
#include <cstdint>
#include <cstring>
#include <string_view>

namespace platemark::intake {

/// Any number of `text`: sign, digits, one `mark`, exponent; nothing else
/// around it. Same bits as std::from_chars of the text with '.' as mark.
bool exactNumber(std::string_view text, char mark, double& out);

namespace detail {

inline constexpr double power_of_ten[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                          1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                          1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

/// Eight digit values, first digit in the lowest byte, to their number.
inline std::uint64_t joinEightDigits(std::uint64_t d) {
  d = d * 10 + (d >> 8);
  const std::uint64_t pairs = 0x000000FF000000FFull;
  return (((d & pairs) * (100 + (1000000ull << 32))) +
          (((d >> 16) & pairs) * (1 + (10000ull << 32)))) >>
         32;
}

/// High bit set in every byte that is no digit; `values` gets the digit values.
inline std::uint64_t nonDigits(std::uint64_t word, std::uint64_t& values) {
  values = word ^ 0x3030303030303030ull;
  return (((values & 0x7F7F7F7F7F7F7F7Full) + 0x7676767676767676ull) | values) &
         0x8080808080808080ull;
}

inline std::uint64_t lowBytes(int n) { return n >= 8 ? ~0ull : (1ull << (8 * n)) - 1; }

/// Unsigned number of at most seven signs and what ends it, inside one word.
inline const char* wordNumber(const char* p, char mark, double& out) {
  std::uint64_t word = 0;
  std::memcpy(&word, p, 8);
  std::uint64_t digits = 0;
  std::uint64_t stops = nonDigits(word, digits);
  if (stops == 0) return nullptr;
  const int whole = std::countr_zero(stops) >> 3;
  if (p[whole] != mark) {
    if (whole == 0) return nullptr;
    out = static_cast<double>(joinEightDigits(digits << (8 * (8 - whole))));
    return p + whole;
  }
  stops &= stops - 1;
  if (stops == 0) return nullptr;
  const int end = std::countr_zero(stops) >> 3;
  const int fraction = end - whole - 1;
  if (whole == 0 || fraction == 0) return nullptr;
  const std::uint64_t before = digits & lowBytes(whole);
  const std::uint64_t after = (digits >> 8) & lowBytes(end - 1) & ~lowBytes(whole);
  const std::uint64_t mantissa = joinEightDigits((before | after) << (8 * (8 - (end - 1))));
  // Both are exact doubles, so one division rounds once: the nearest double.
  out = static_cast<double>(mantissa) / power_of_ten[fraction];
  return p + end;
}

/// Unsigned number of up to 18 digits, sign by sign.
inline const char* longNumber(const char* p, const char* end, char mark, double& out) {
  std::uint64_t mantissa = 0;
  const char* const begin = p;
  const char* marked = nullptr;
  for (; p < end; ++p) {
    const auto digit = static_cast<unsigned>(static_cast<unsigned char>(*p)) - '0';
    if (digit < 10)
      mantissa = mantissa * 10 + digit;
    else if (*p == mark && marked == nullptr)
      marked = p;
    else
      break;
    if (p - begin > 18) return nullptr;
  }
  const std::ptrdiff_t fraction = marked == nullptr ? 0 : p - marked - 1;
  if (p - begin - (marked == nullptr ? 0 : 1) <= 0 || mantissa > (1ull << 53)) return nullptr;
  if (marked != nullptr && (fraction == 0 || marked == begin)) return nullptr;
  out = static_cast<double>(mantissa) / power_of_ten[fraction];
  return p;
}

}  // namespace detail

/// The plain number at `p`; where it ends, or nullptr when exactNumber has to
/// decide. What follows the number is the caller's to check.
inline const char* quickNumber(const char* p, const char* end, char mark, double& out) {
  if (p == end) return nullptr;
  const bool negative = *p == '-';
  if (negative) ++p;
  const char* stop = nullptr;
  if (std::endian::native == std::endian::little && end - p >= 8)
    stop = detail::wordNumber(p, mark, out);
  if (stop == nullptr) stop = detail::longNumber(p, end, mark, out);
  if (negative) out = -out;
  return stop;
}

}  // namespace platemark::intake
