#include "platemark/quantity/decimal.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace platemark {
namespace {

constexpr std::size_t longest_number = 40;

Error notANumber(std::string_view typed) {
  Error error;
  error.code = "decimal.not_a_number";
  error.what = fmt::format("'{}' is not a number.", typed.substr(0, 60));
  error.expected = "digits with one decimal mark, e.g. 12.5 or 12,5";
  return error;
}

Error ambiguous(std::string_view typed) {
  Error error;
  error.code = "decimal.ambiguous";
  error.what = fmt::format("'{}' may be a thousand or a fraction.", typed);
  error.expected = "the number without a grouping comma, or with a decimal point";
  error.remedy = "Write 1234 or 1.234, whichever was meant.";
  return error;
}

/// Drops plain, no-break (C2 A0), narrow no-break (E2 80 AF) and thin (E2 80 89) spaces between
/// digits, and turns the minus sign (E2 88 92) into '-'.
std::string withoutSpaces(std::string_view typed) {
  std::string out;
  for (std::size_t i = 0; i < typed.size(); ++i) {
    const std::string_view rest = typed.substr(i);
    if (rest.starts_with("\xC2\xA0")) {
      i += 1;
      continue;
    }
    if (rest.starts_with("\xE2\x80\xAF") || rest.starts_with("\xE2\x80\x89")) {
      i += 2;
      continue;
    }
    if (rest.starts_with("\xE2\x88\x92")) {
      out += '-';
      i += 2;
      continue;
    }
    if (typed[i] != ' ' && typed[i] != '\t') out += typed[i];
  }
  return out;
}

bool allDigits(std::string_view s) {
  return std::all_of(s.begin(), s.end(), [](char c) { return c >= '0' && c <= '9'; });
}

/// Sign, whole digits without leading zeros, fraction digits.
struct Parts {
  bool negative = false;
  std::string_view whole, fraction;
};

Parts partsOf(std::string_view text) {
  Parts parts;
  if (!text.empty() && text.front() == '-') {
    parts.negative = true;
    text.remove_prefix(1);
  }
  const auto mark = text.find('.');
  parts.whole = text.substr(0, mark);
  if (mark != std::string_view::npos) parts.fraction = text.substr(mark + 1);
  while (parts.whole.size() > 1 && parts.whole.front() == '0') parts.whole.remove_prefix(1);
  while (!parts.fraction.empty() && parts.fraction.back() == '0') parts.fraction.remove_suffix(1);
  return parts;
}

bool isZero(const Parts& p) { return p.fraction.empty() && (p.whole.empty() || p.whole == "0"); }

std::strong_ordering compareMagnitude(const Parts& a, const Parts& b) {
  if (a.whole.size() != b.whole.size()) return a.whole.size() <=> b.whole.size();
  if (const auto whole = a.whole.compare(b.whole); whole != 0) return whole <=> 0;
  return a.fraction.compare(b.fraction) <=> 0;
}

}  // namespace

Result<Decimal> Decimal::parse(std::string_view typed, DecimalMark mark) {
  std::string text = withoutSpaces(typed);
  if (text.empty()) {
    Error error = notANumber(typed);
    error.code = "decimal.empty";
    error.what = "The number is missing.";
    return error;
  }
  if (text.size() > longest_number) {
    Error error = notANumber(typed);
    error.code = "decimal.too_long";
    return error;
  }
  bool negative = false;
  if (text.front() == '-' || text.front() == '+') {
    negative = text.front() == '-';
    text.erase(0, 1);
  }
  const auto at = text.find_first_of(".,");
  std::string_view whole = std::string_view(text).substr(0, at);
  std::string_view fraction;
  if (at != std::string::npos) {
    const char sign = text[at];
    fraction = std::string_view(text).substr(at + 1);
    if (mark == DecimalMark::point && sign == ',') return notANumber(typed);
    if (mark == DecimalMark::comma && sign == '.') return notANumber(typed);
    const bool could_be_thousand = sign == ',' && fraction.size() == 3 && !whole.empty() &&
                                   whole.size() <= 3 && whole.front() != '0';
    if (mark == DecimalMark::unknown && could_be_thousand && allDigits(fraction))
      return ambiguous(typed);
  }
  if (!allDigits(whole) || !allDigits(fraction) || (whole.empty() && fraction.empty()))
    return notANumber(typed);
  std::string canonical = negative ? "-" : "";
  canonical += whole.empty() ? "0" : std::string(whole);
  if (!fraction.empty()) canonical += "." + std::string(fraction);
  return Decimal(canonical);
}

Decimal Decimal::fromDouble(double value) {
  if (value == 0) return Decimal("0");
  char buffer[512];
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::fixed);
  return Decimal(std::string(buffer, end.ptr));
}

Decimal Decimal::fixed(double value, int decimals) {
  const double scale = std::pow(10.0, decimals);
  const double scaled = value * scale;
  const double rounded = std::abs(scaled) < 9e15 ? std::round(scaled) / scale : value;
  std::string text = fmt::format("{:.{}f}", rounded, decimals);
  if (text.find_first_not_of("-0.") == std::string::npos && text.front() == '-') text.erase(0, 1);
  return Decimal(text);
}

double Decimal::value() const {
  double value = 0;
  std::from_chars(text_.data(), text_.data() + text_.size(), value);
  return value;
}

int Decimal::decimals() const {
  const auto mark = text_.find('.');
  return mark == std::string::npos ? 0 : static_cast<int>(text_.size() - mark - 1);
}

std::strong_ordering operator<=>(const Decimal& a, const Decimal& b) {
  const Parts x = partsOf(a.text_), y = partsOf(b.text_);
  const bool x_negative = x.negative && !isZero(x), y_negative = y.negative && !isZero(y);
  if (x_negative != y_negative)
    return x_negative ? std::strong_ordering::less : std::strong_ordering::greater;
  return x_negative ? compareMagnitude(y, x) : compareMagnitude(x, y);
}

}  // namespace platemark
