#include "platemark/method/statistics/summary.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "../bad_input.h"

namespace platemark::method::statistics {
namespace {

Result<void> check(std::span<const double> readings) {
  if (readings.empty())
    return badInput("statistics.empty", "readings", "There is no reading.", "at least one reading");
  for (std::size_t i = 0; i < readings.size(); ++i)
    if (!std::isfinite(readings[i]))
      return badInput("statistics.not_finite", fmt::format("readings[{}]", i),
                      fmt::format("Reading {} is not a finite number.", i + 1), "a finite number");
  return {};
}

double meanOf(std::span<const double> readings) {
  const double first = readings.front(), n = static_cast<double>(readings.size());
  double offset = 0;  // from the first reading: a large common part does not eat the digits
  for (const double x : readings) offset += x - first;
  const double rough = first + offset / n;
  double left_over = 0;
  for (const double x : readings) left_over += x - rough;
  return rough + left_over / n;
}

double deviationOf(std::span<const double> readings, double mean) {
  double squares = 0, left_over = 0;
  for (const double x : readings) {
    squares += (x - mean) * (x - mean);
    left_over += x - mean;
  }
  const double n = static_cast<double>(readings.size());
  return std::sqrt(std::max(0.0, squares - left_over * left_over / n) / (n - 1));
}

}  // namespace

Result<Summary> summary(std::span<const double> readings) {
  if (Result<void> checked = check(readings); !checked) return checked.error();
  Summary result;
  result.n = readings.size();
  result.mean = meanOf(readings);
  if (result.n > 1) result.s = deviationOf(readings, result.mean);
  result.min = *std::min_element(readings.begin(), readings.end());
  result.max = *std::max_element(readings.begin(), readings.end());
  return result;
}

}  // namespace platemark::method::statistics
