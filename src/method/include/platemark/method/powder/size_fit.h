/// Size distributions fitted to sieve results.
///
/// Formula      Rosin–Rammler: R(x) = exp(−(x/d′)ⁿ), F = 1 − R;  D_p = d′·(−ln(1 − p))^(1/n)
///              straight line: ln(−ln R) = n·ln x − n·ln d′, least squares on the double logarithm
///              least squares: Σ(R_i − R(x_i))² least, R in per cent
///              Gates–Gaudin–Schuhmann: F = (x/k)^m for x ≤ k, else 1;  D_p = k·p^(1/m); straight
///              line of ln F on ln x
/// Symbols      x size, above 0; F share passing, R = 1 − F share retained; d′ size with R = 36.8
///              %, n narrowness; k size at which all passes, m slope
/// Valid        points with 0 < F < 1 are used, at least two at different sizes with different
///              shares; others are left out and named. Both ways of fitting the same points give
///              different d′ and n (by 14 % on published data): the way belongs to the result. A
///              fitted size outside the sieves is an extrapolation.
/// Uncertainty  not propagated; r² and the sum of squares say how well the model fits
/// Source       P. Rosin and E. Rammler, grid in DIN 66145; A. M. Gaudin and R. Schuhmann; formulas
///              read in public texts, standards not read
/// Errors       size_fit.points, size_fit.size, size_fit.share, size_fit.not_rising,
///              size_fit.no_convergence
/// Pure.
#pragma once

#include <span>
#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method {

inline constexpr int size_fit_version = 1;

enum class SizeModel { rosin_rammler, gates_gaudin_schuhmann };
enum class SizeFitWay { straight_line, least_squares };

struct SizePoint {
  Length size;
  Share passing;
};

struct SizeFit {
  SizeModel model = SizeModel::rosin_rammler;
  SizeFitWay way = SizeFitWay::straight_line;
  Length scale;                 ///< d′ or k
  double slope = 1;             ///< n or m
  double r_squared = 0;         ///< of the straight line, or of R for least squares
  double residual_squares = 0;  ///< Σ(F_i − F(x_i))² in (%)², points used
  int used = 0;
  std::vector<std::size_t> left_out;  ///< points without a logarithm
};

[[nodiscard]] Result<SizeFit> fitRosinRammler(std::span<const SizePoint> points, SizeFitWay way);
[[nodiscard]] Result<SizeFit> fitGatesGaudinSchuhmann(std::span<const SizePoint> points);

[[nodiscard]] Share fittedPassing(const SizeFit& fit, Length size);
/// Errors: size_fit.share for a share outside 0 to 100 %.
[[nodiscard]] Result<Length> fittedSize(const SizeFit& fit, Share passing);

}  // namespace platemark::method
