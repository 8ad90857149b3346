/// Readings that stand far off the others. They are flagged and never taken out.
///
/// Formula      Grubbs: G = max|x − x̄|/s; critical (n − 1)/√n·√(t²/(n − 2 + t²)), t of α/(2n) with
/// n −
///              2 degrees of freedom, two-sided
///              several (Rosner): the farthest reading is set aside in turn, up to k of them; R_i =
///              max|x − x̄|/s of what is left, λ_i = t·m/√((m − 1 + t²)(m + 1)), m = n − i, t of
///              α/(2(m + 1)) with m − 1 degrees of freedom; flagged are all up to the last R_i >
///              λ_i Dixon: r10 (3 to 7 readings), r11 (8 to 10), r21 (11 to 13), r22 (14 to 30) at
///              either end: gap over range, without the outermost of the other end for r11, r21,
///              r22
/// Symbols      α level, 0 < α < 0.5; Dixon at the two-sided levels 0.20, 0.10, 0.05, 0.02 and 0.01
/// Valid        readings of one normal population but for the flagged. Grubbs from 3 readings,
///              Rosner from 15 for its level to hold, though computed from 3. Two outliers hide one
///              another from Grubbs and Dixon: use Rosner. A flag is a question to the person who
///              measured, no answer: the reading stays in every figure.
/// Uncertainty  does not apply
/// Source       Grubbs and Rosner: NIST/SEMATECH e-Handbook 1.3.5.17, examples read through copies
/// of
///              the pages; Dixon's critical values by exact quadrature of the order statistics,
///              near a printed table that was read, to about 0.002
/// Errors       outlier.few, outlier.many, outlier.level, outlier.not_finite, outlier.no_spread,
///              outlier.most
/// Pure.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "platemark/quantity/result.h"

namespace platemark::method::statistics {

inline constexpr int outlier_version = 1;

struct OutlierTest {
  double statistic = 0;
  double critical = 0;
  std::size_t reading = 0;  ///< the one tested, 0-based
  [[nodiscard]] bool flagged() const { return statistic > critical; }
};
[[nodiscard]] Result<OutlierTest> grubbs(std::span<const double> readings, double level);
/// The end with the larger ratio. Errors: outlier.level for a level that is not tabulated.
[[nodiscard]] Result<OutlierTest> dixon(std::span<const double> readings, double level);

struct SeveralOutliers {
  std::vector<OutlierTest> tests;    ///< in the order of setting aside
  std::vector<std::size_t> flagged;  ///< readings, 0-based
};
/// Up to `most` outliers, 1 to n − 2.
[[nodiscard]] Result<SeveralOutliers> severalOutliers(std::span<const double> readings, int most,
                                                      double level);

}  // namespace platemark::method::statistics
