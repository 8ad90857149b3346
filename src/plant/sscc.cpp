#include "platemark/plant/sscc.h"

#include <fmt/format.h>

#include <algorithm>

namespace platemark {
namespace {

constexpr std::size_t sscc_length = 18;
constexpr std::size_t prefix_and_serial = 16;

Error bad(std::string_view code, std::string what, std::string expected) {
  Error error;
  error.code = std::string(code);
  error.what = std::move(what);
  error.expected = std::move(expected);
  error.remedy = "Look at the number again.";
  return error;
}

bool isDigit(char c) { return c >= '0' && c <= '9'; }
bool allDigits(std::string_view text) { return std::all_of(text.begin(), text.end(), isDigit); }

/// What stands around the digits on a label and in a scan.
std::string bare(std::string_view typed) {
  std::string text;
  for (const char c : typed)
    if (c != ' ') text += c;
  for (const std::string_view around : {"]C1", "(00)"})
    if (text.starts_with(around)) text.erase(0, around.size());
  if (text.size() == sscc_length + 2 && text.starts_with("00")) text.erase(0, 2);
  return text;
}

}  // namespace

Result<char> gs1CheckDigit(std::string_view digits) {
  if (digits.empty()) return bad("sscc.length", "There are no digits.", "at least one digit");
  if (!allDigits(digits))
    return bad("sscc.digit", fmt::format("'{}' holds something else than digits.", digits),
               "digits 0 to 9");
  int sum = 0, weight = 3;
  for (auto digit = digits.rbegin(); digit != digits.rend(); ++digit) {
    sum += weight * (*digit - '0');
    weight = 4 - weight;
  }
  return static_cast<char>('0' + (10 - sum % 10) % 10);
}

Result<std::string> ssccNumber(std::int64_t extension, std::string_view prefix,
                               std::int64_t serial) {
  if (prefix.size() < 4 || prefix.size() > 12 || !allDigits(prefix))
    return bad("sscc.prefix", fmt::format("'{}' is no company prefix.", prefix),
               "4 to 12 digits, as GS1 has given them");
  if (extension < 0 || extension > 9)
    return bad("sscc.extension", fmt::format("The extension digit is {}.", extension), "0 to 9");
  const std::size_t room = prefix_and_serial - prefix.size();
  const std::string reference = std::to_string(serial);
  if (serial < 0 || reference.size() > room)
    return bad("sscc.serial",
               fmt::format("Number {} does not fit into the {} digits beside prefix {}.", serial,
                           room, prefix),
               "another extension digit or another prefix");
  const std::string digits =
      fmt::format("{}{}{:0>{}}", extension, prefix, reference, static_cast<int>(room));
  return digits + *gs1CheckDigit(digits);
}

Result<std::string> readSscc(std::string_view typed) {
  const std::string text = bare(typed);
  if (!allDigits(text))
    return bad("sscc.digit", fmt::format("'{}' holds something else than digits.", typed),
               "18 digits");
  if (text.size() != sscc_length)
    return bad("sscc.length", fmt::format("'{}' has {} digits.", typed, text.size()), "18 digits");
  const std::string_view before(text.data(), sscc_length - 1);
  if (*gs1CheckDigit(before) != text.back())
    return bad("sscc.check", fmt::format("The check digit of '{}' does not fit.", typed),
               "18 digits as printed on the carton's label");
  return text;
}

}  // namespace platemark
