/// Mean, spread and range of a list of readings [unit of the readings].
///
///   mean = Σ x / n       s = √( Σ (x − mean)² / (n − 1) )
///
///   x   readings in one unit, finite      n   their count, ≥ 1; s needs n ≥ 2
///
/// Two passes in the order given, so the same list gives the same bits.
/// Uncertainty: none is stated; s/√n is that of the mean when the readings are independent.
/// Source: ISO 3534-1:2006, 1.15 and 1.17 [remembered, not verified]; checked against NIST StRD.
/// Errors: statistics.empty, statistics.not_finite (place: index). Pure; any thread.
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
  std::optional<double> s;  ///< none for a single reading
  double min = 0;
  double max = 0;
};

[[nodiscard]] Result<Summary> summarise(std::span<const double> readings);

}  // namespace platemark::method::statistics
