/// What a calibrated channel should have read.
///
/// Formula      T = reading + c(reading); c linear between the rows of the calibration, beyond the
///              first and last row as there
/// Symbols      readings and rows in °C, c in K
/// Valid        within the range of the calibration; beyond it the nearest row is a guess
/// Source       definition of this project
/// Pure.
#pragma once

#include <span>

namespace platemark::method::cure {

struct CorrectionRow {
  double at_celsius = 0;
  double add_k = 0;
};
/// Rows rise in temperature; none: the reading itself. An empty reading (NaN) stays empty.
[[nodiscard]] double corrected(std::span<const CorrectionRow> rows, double celsius);

}  // namespace platemark::method::cure
