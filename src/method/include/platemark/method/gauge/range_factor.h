/// What the range of m normal readings tells of their standard deviation.
///
/// Formula      d2 = ∫ P(R > w) dw;  d3² = 2·∫ w·P(R > w) dw − d2²;  P(R > w) = 1 − m·∫
/// φ(x)·[Φ(x+w)
///              − Φ(x)]^(m−1) dx;  d2* = √(d2² + d3²/g)
/// Symbols      R range of m readings in units of their standard deviation; d2 its mean, d3 its
///              standard deviation; d2* what the mean of g ranges is divided by when g is small
/// Valid        m from 2 to 50, g 1 or more; independent normal readings.
/// Uncertainty  below 1e-8 of the factor
/// Source       definitions; closed forms of m = 2 and 3 in the tests; printed tables have slips
/// Errors       gauge.range_size, gauge.range_groups
/// Pure.
#pragma once

#include "platemark/quantity/result.h"

namespace platemark::method::gauge {

struct RangeFactors {
  double d2;
  double d3;
};

[[nodiscard]] Result<RangeFactors> rangeFactors(int readings);
/// d2* of the mean of `groups` ranges.
[[nodiscard]] Result<double> rangeDivisor(int readings, int groups);

}  // namespace platemark::method::gauge
