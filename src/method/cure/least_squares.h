/// Non-linear least squares with bounds, for a handful of parameters.
#pragma once

#include <functional>
#include <optional>
#include <vector>

namespace platemark::method::cure {

struct Squares {
  std::vector<double> start, lower, upper;
  /// Residuals at p; nothing where the model cannot be computed.
  std::function<std::optional<std::vector<double>>(const std::vector<double>& p)> residuals;
};

struct SquaresFit {
  std::vector<double> p;
  std::vector<double> standard_error;  ///< 0 for a parameter at a bound
  std::vector<std::vector<double>> covariance;
  std::vector<bool> at_bound;
  double sum = 0;       ///< of squares
  double residual = 0;  ///< standard deviation
  int freedom = 0;      ///< residuals less free parameters
  int iterations = 0;
};

/// Nothing when there are too few residuals, none can be computed at the start, the parameters
/// cannot be told apart, or no minimum is reached in 200 iterations.
[[nodiscard]] std::optional<SquaresFit> leastSquares(const Squares& problem);

/// Two-sided 95 % quantile of Student's t.
[[nodiscard]] double studentQuantile(int freedom);

}  // namespace platemark::method::cure
