#include "platemark/plant/stamp.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

namespace platemark {
namespace {

constexpr std::string_view letters = "ACEFHJKMNPRTVWXY";
constexpr std::string_view digits = "0123456789";
constexpr std::string_view alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
constexpr std::string_view pattern = "LDLDL";
constexpr std::int64_t body_count = 16 * 10 * 16 * 10 * 16;
/// Coprime to body_count (2^14 · 5^2), so that stepping by it visits every body once.
constexpr std::int64_t stride = 150'343;

std::string_view allowedAt(std::size_t place) { return pattern[place] == 'L' ? letters : digits; }

std::string body(std::int64_t index) {
  std::string text(pattern.size(), ' ');
  for (std::size_t i = pattern.size(); i-- > 0;) {
    const std::string_view allowed = allowedAt(i);
    const auto base = static_cast<std::int64_t>(allowed.size());
    text[i] = allowed[static_cast<std::size_t>(index % base)];
    index /= base;
  }
  return text;
}

bool endsInDigit(std::int64_t index) { return digits.find(*checkCharacter(body(index))) != std::string_view::npos; }

/// The bodies whose check character is a digit, in scattered order.
const std::vector<std::int64_t>& usableBodies() {
  static const std::vector<std::int64_t> usable = [] {
    std::vector<std::int64_t> list;
    for (std::int64_t n = 0, index = 88'117; n < body_count; ++n, index = (index + stride) % body_count)
      if (endsInDigit(index)) list.push_back(index);
    return list;
  }();
  return usable;
}

std::string upperWithoutMarks(std::string_view typed) {
  std::string out;
  for (const char c : typed)
    if (c != '-' && c != ' ') out += static_cast<char>(c >= 'a' && c <= 'z' ? c - 'a' + 'A' : c);
  return out;
}

Error notAStamp(std::string_view typed, std::string_view code, std::string what) {
  Error error;
  error.code = std::string(code);
  error.what = std::move(what);
  error.expected = "letter, digit, letter, digit, letter, hyphen, check digit, e.g. K7M4J-7";
  error.remedy = fmt::format("Read the plate again; '{}' was understood.", typed);
  return error;
}

}  // namespace

Result<char> checkCharacter(std::string_view text) {
  int product = 36;
  for (const char c : text) {
    const auto value = alphabet.find(c);
    if (value == std::string_view::npos) {
      Error error;
      error.code = "stamp.bad_character";
      error.what = fmt::format("'{}' cannot stand in a number with check character.", c);
      error.expected = "digits and capital letters";
      return error;
    }
    int sum = (product + static_cast<int>(value)) % 36;
    if (sum == 0) sum = 36;
    product = sum * 2 % 37;
  }
  return alphabet[static_cast<std::size_t>((37 - product) % 36)];
}

std::int64_t stampCount() { return static_cast<std::int64_t>(usableBodies().size()); }

std::string stampNumber(std::int64_t n) {
  const std::string text = body(usableBodies()[static_cast<std::size_t>(n)]);
  return text + "-" + *checkCharacter(text);
}

Result<std::string> readStamp(std::string_view typed) {
  const std::string text = upperWithoutMarks(typed);
  if (text.size() != pattern.size() + 1)
    return notAStamp(typed, "stamp.pattern", fmt::format("'{}' has {} characters; a plate stamp has 6.", typed, text.size()));
  for (std::size_t i = 0; i < pattern.size(); ++i)
    if (allowedAt(i).find(text[i]) == std::string_view::npos)
      return notAStamp(typed, "stamp.pattern",
                       fmt::format("'{}' cannot stand at place {} of a plate stamp: a {} stands there.", text[i], i + 1,
                                   pattern[i] == 'L' ? "letter" : "digit"));
  const std::string_view front = std::string_view(text).substr(0, pattern.size());
  if (*checkCharacter(front) != text.back())
    return notAStamp(typed, "stamp.check", fmt::format("The check digit of '{}' does not fit: at least one character is misread.", typed));
  return std::string(front) + "-" + text.back();
}

}  // namespace platemark
