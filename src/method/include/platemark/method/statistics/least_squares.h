/// Least squares: coefficients that leave the smallest sum of squares, with their errors.
///
/// Formula      Σ(y_i − Σ_j b_j·c_ij)² least, by Householder's orthogonal triangle; s² = residual
///              squares/(n − k); errors s·√((RᵀR)⁻¹)_jj; R² = 1 − residual squares/Σ(y − ȳ)², about
///              0 instead of ȳ for a fit through the origin polynomial: c_ij = x_i^j, j from 0, or
///              from 1 through the origin
/// Symbols      n readings, k coefficients, n at least k + 1; c columns; b in units of y over those
///              of the column
/// Valid        columns none of which the others make up; equal spread of y. A polynomial of a high
///              degree follows the noise and says nothing between and beyond the readings.
/// Uncertainty  standard errors of the coefficients, from the residuals
/// Source       G. H. Golub, Numer. Math. 7 (1965) 206, remembered, not verified; checked with NIST
///              reference data
/// Errors       squares.count, squares.few, squares.not_finite, squares.dependent, squares.degree
/// Pure.
#pragma once

#include <span>
#include <vector>

#include "platemark/quantity/result.h"

namespace platemark::method::statistics {

inline constexpr int least_squares_version = 1;

struct Coefficient {
  double value = 0;
  double standard_error = 0;
};

struct LeastSquares {
  std::vector<Coefficient> coefficients;  ///< in the order of the columns
  double s = 0;
  double r_squared = 0;
  int degrees = 0;
};

/// `about_mean`: R² about the mean of y.
[[nodiscard]] Result<LeastSquares> leastSquares(const std::vector<std::vector<double>>& columns,
                                                std::span<const double> y, bool about_mean);
/// Degree 1 to 10.
[[nodiscard]] Result<LeastSquares> polynomial(std::span<const double> x, std::span<const double> y,
                                              int degree, bool through_origin);

}  // namespace platemark::method::statistics
