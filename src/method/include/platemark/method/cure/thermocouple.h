/// How far a new thermocouple may read off.
///
/// IEC 60584-1 (formerly 60584-2): the greater of a constant and a share of
/// |t|, reference junction at 0 °C. Values taken from a published comparison of
/// IEC 60584-2, JIS C1602 and ASTM E230; the standard itself was not read.
#pragma once

#include <span>

#include "platemark/quantity/result.h"

namespace platemark::method::cure {

enum class ThermocoupleType { k, n, j, t, e };

/// One row of the table; holds between `from_celsius` and `to_celsius`.
struct ThermocoupleRow {
  ThermocoupleType type;
  int tolerance_class;  ///< 1, 2 or 3
  double constant_k;
  double share;  ///< of |t| in °C
  double from_celsius;
  double to_celsius;
};
[[nodiscard]] std::span<const ThermocoupleRow> thermocoupleRows();

/// Half-width in K at `celsius`. Errors: cure.thermocouple_class (no such class for the type),
/// cure.thermocouple_range (outside the range in which the class is defined).
[[nodiscard]] Result<double> thermocoupleTolerance(ThermocoupleType type, int tolerance_class,
                                                   double celsius);

}  // namespace platemark::method::cure
