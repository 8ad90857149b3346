/// A curve of any form by least squares: coefficients that leave the smallest sum of squares.
///
/// Formula      Σ(y_i − f_i(b))² least, by damped steps of the linearised curve; damping ten times
///              smaller after a step that helps, ten times larger after one that does not; slopes
///              of f by differences over five points; s² = residual squares/(n − k); errors from
///              the slopes at the end
/// Symbols      n readings, k coefficients, n at least k; b coefficients, from a start that is near
///              enough; f_i the curve at reading i
/// Valid        coefficients that are 0 or well away from it: slopes are taken over a
/// ten-thousandth
///              of each; a smooth curve; the smallest sum near the start, which need not be the
///              smallest of all. It ends where what is left stands square on every slope; where no
///              step helps before that, and after 2000 steps, it says that it found no end.
/// Uncertainty  standard errors of the coefficients, from residuals and slopes; none for n = k
/// Source       K. Levenberg, Quart. Appl. Math. 2 (1944) 164; D. Marquardt, J. SIAM 11 (1963) 431;
///              both remembered, not verified; checked with NIST reference data
/// Errors       curve.few, curve.not_finite, curve.no_end
/// Pure.
#pragma once

#include <functional>
#include <span>
#include <vector>

#include "platemark/method/statistics/least_squares.h"
#include "platemark/quantity/result.h"

namespace platemark::method::statistics {

/// The curve at reading i for given coefficients.
using Curve = std::function<double(std::span<const double> coefficients, std::size_t i)>;

struct CurveFit {
  std::vector<Coefficient> coefficients;
  double residual_squares = 0;
  double s = 0;
  int degrees = 0;
};

[[nodiscard]] Result<CurveFit> fitCurve(const Curve& curve, std::span<const double> y,
                                        std::span<const double> start);

}  // namespace platemark::method::statistics
