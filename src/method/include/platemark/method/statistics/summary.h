/// Number, mean, standard deviation, smallest and largest of a list of readings.
///
/// Formula      x̄ = Σx/n;  s = √(Σ(x − x̄)²/(n − 1))
/// Symbols      x readings, all in one unit, finite; n their number, 1 or more; s in the unit of x,
///              absent for n = 1
/// Valid        readings of one population. Two passes over the list in the order given, the mean
///              corrected by what its rounding left over, so that a small spread on a large mean
///              keeps its digits and the same list always gives the same bits.
/// Uncertainty  of the mean: s/√n, for independent readings; not returned.
/// Source       JCGM 100:2008, 4.2.1 and 4.2.2, mean and experimental standard deviation,
///              remembered, not verified
/// Errors       statistics.empty, statistics.not_finite
/// Pure.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

#include "platemark/quantity/result.h"

namespace platemark::method::statistics {

inline constexpr int summary_version = 1;

struct Summary {
  std::size_t n = 0;
  double mean = 0;
  std::optional<double> s;  ///< n − 1 in the denominator
  double min = 0;
  double max = 0;
};

[[nodiscard]] Result<Summary> summary(std::span<const double> readings);

}  // namespace platemark::method::statistics
