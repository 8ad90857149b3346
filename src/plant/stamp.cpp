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

bool endsInDigit(std::int64_t index) {
  return digits.find(*checkCharacter(body(index))) != std::string_view::npos;
}

/// The bodies whose check character is a digit, in scattered order.
const std::vector<std::int64_t>& usableBodies() {
  static const std::vector<std::int64_t> usable = [] {
    std::vector<std::int64_t> list;
    for (std::int64_t n = 0, index = 88'117; n < body_count;
         ++n, index = (index + stride) % body_count)
      if (endsInDigit(index)) list.push_back(index);
    return list;
  }();
  return usable;
}

/// What the letter looks like on a worn plate, where only a digit can stand.
char digitLike(char c) {
  constexpr std::string_view seen = "OILZSGB", meant = "0112568";
  const auto at = seen.find(c);
  return at == std::string_view::npos ? c : meant[at];
}

std::string upperWithoutMarks(std::string_view typed) {
  std::string out;
  for (const char c : typed)
    if (c != '-' && c != ' ') out += static_cast<char>(c >= 'a' && c <= 'z' ? c - 'a' + 'A' : c);
  return out;
}

/// As typed, with digits where letters that look like them cannot stand.
std::string asOnPlate(std::string_view typed) {
  std::string text = upperWithoutMarks(typed);
  for (std::size_t i = 0; i < text.size(); ++i)
    if (i >= pattern.size() || pattern[i] == 'D') text[i] = digitLike(text[i]);
  return text;
}

bool checks(std::string_view text) {
  const std::string_view front = text.substr(0, pattern.size());
  for (std::size_t i = 0; i < front.size(); ++i)
    if (allowedAt(i).find(front[i]) == std::string_view::npos) return false;
  return *checkCharacter(front) == text.back();
}

std::string withHyphen(const std::string& text) {
  return text.substr(0, pattern.size()) + "-" + text.back();
}

/// Adds each stamp that comes of filling the places from `next` on.
void fillIn(std::string& text, const std::vector<std::size_t>& places, std::size_t next,
            std::vector<std::string>& found) {
  if (next == places.size()) {
    if (checks(text)) found.push_back(withHyphen(text));
    return;
  }
  const std::size_t at = places[next];
  const char typed = text[at];
  for (const char c : at < pattern.size() ? allowedAt(at) : digits) {
    text[at] = c;
    fillIn(text, places, next + 1, found);
  }
  text[at] = typed;
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
  const std::string text = asOnPlate(typed);
  if (text.size() != pattern.size() + 1)
    return notAStamp(
        typed, "stamp.pattern",
        fmt::format("'{}' has {} characters; a plate stamp has 6.", typed, text.size()));
  for (std::size_t i = 0; i < pattern.size(); ++i)
    if (allowedAt(i).find(text[i]) == std::string_view::npos)
      return notAStamp(
          typed, "stamp.pattern",
          fmt::format("'{}' cannot stand at place {} of a plate stamp: a {} stands there.", text[i],
                      i + 1, pattern[i] == 'L' ? "letter" : "digit"));
  if (!checks(text))
    return notAStamp(
        typed, "stamp.check",
        fmt::format("The check digit of '{}' does not fit: at least one character is misread.",
                    typed));
  return withHyphen(text);
}

std::vector<std::string> stampsNear(std::string_view typed) {
  std::string text = asOnPlate(typed);
  if (text.size() != pattern.size() + 1) return {};
  std::vector<std::size_t> unread;
  for (std::size_t i = 0; i < text.size(); ++i)
    if (text[i] == '?') unread.push_back(i);
  std::vector<std::string> found;
  if (unread.size() == 1 || unread.size() == 2) fillIn(text, unread, 0, found);
  if (unread.empty())
    for (std::size_t i = 0; i < text.size(); ++i) fillIn(text, {i}, 0, found);
  std::sort(found.begin(), found.end());
  found.erase(std::unique(found.begin(), found.end()), found.end());
  return found;
}

}  // namespace platemark
