/// Decimal numbers kept as they were typed.
///
/// A reading of "2.180" says more than 2.18: three decimals were read. Facts
/// keep the text; arithmetic takes value().
#pragma once

#include <compare>
#include <string>
#include <string_view>

#include "platemark/quantity/result.h"

namespace platemark {

/// Which sign separates the whole part from the fraction in a typed number.
enum class DecimalMark {
  unknown,  ///< either; "1,234" and "1.234" with three digits after one mark: see Decimal::parse
  point,
  comma
};

class Decimal {
 public:
  Decimal() : text_("0") {}

  /// Reads a number as people and instruments write it: optional sign, digits
  /// grouped by spaces (also thin and no-break spaces), one decimal mark.
  ///
  /// Ambiguous: with DecimalMark::unknown, one comma followed by exactly three
  /// digits and preceded by one to three ("1,234") may be a thousand or a
  /// fraction; it is refused. A point is always read as a decimal mark.
  /// Errors: decimal.empty, decimal.not_a_number, decimal.ambiguous, decimal.too_long (over 40
  /// signs).
  static Result<Decimal> parse(std::string_view typed, DecimalMark mark = DecimalMark::unknown);

  /// The shortest decimal that gives back `value` exactly. `value` must be finite.
  static Decimal fromDouble(double value);
  /// `value` with a fixed number of decimals, half away from zero on the binary value.
  static Decimal fixed(double value, int decimals);

  /// Digits with '.' as mark, sign only if negative; trailing zeros kept.
  [[nodiscard]] const std::string& text() const { return text_; }
  /// Nearest double.
  [[nodiscard]] double value() const;
  /// Digits after the mark.
  [[nodiscard]] int decimals() const;

  /// Numeric comparison, exact: 2.18 == 2.180.
  friend std::strong_ordering operator<=>(const Decimal& a, const Decimal& b);
  friend bool operator==(const Decimal& a, const Decimal& b) { return (a <=> b) == 0; }

 private:
  explicit Decimal(std::string text) : text_(std::move(text)) {}
  std::string text_;
};

}  // namespace platemark
