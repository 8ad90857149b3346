#include "platemark/method/statistics/summary.h"

#include <algorithm>
#include <cmath>

namespace platemark::method::statistics {
namespace {

Error notFinite(std::size_t index) {
  Error error;
  error.code = "statistics.not_finite";
  error.what = "A reading is not a finite number.";
  error.where.field = "readings[" + std::to_string(index) + "]";
  return error;
}

/// The mean, corrected by the mean of what is left over: the second pass of the two-pass algorithm.
double meanOf(std::span<const double> x) {
  const auto n = static_cast<double>(x.size());
  double sum = 0;
  for (const double v : x) sum += v;
  const double first = sum / n;
  double rest = 0;
  for (const double v : x) rest += v - first;
  return first + rest / n;
}

double squaresAbout(double mean, std::span<const double> x) {
  double squares = 0, rest = 0;
  for (const double v : x) {
    squares += (v - mean) * (v - mean);
    rest += v - mean;
  }
  return squares - rest * rest / static_cast<double>(x.size());
}

}  // namespace

Result<Summary> summarise(std::span<const double> x) {
  if (x.empty()) {
    Error error;
    error.code = "statistics.empty";
    error.what = "There is no reading.";
    return error;
  }
  for (std::size_t i = 0; i < x.size(); ++i)
    if (!std::isfinite(x[i])) return notFinite(i);
  Summary summary;
  summary.n = x.size();
  summary.mean = meanOf(x);
  if (x.size() > 1) summary.s = std::sqrt(squaresAbout(summary.mean, x) / static_cast<double>(x.size() - 1));
  summary.min = *std::min_element(x.begin(), x.end());
  summary.max = *std::max_element(x.begin(), x.end());
  return summary;
}

}  // namespace platemark::method::statistics
