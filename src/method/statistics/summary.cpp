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
  const double n = static_cast<double>(readings.size());
  double sum = 0;
  for (const double x : readings) sum += x;
  const double rough = sum / n;
  double left_over = 0;
  for (const double x : readings) left_over += x - rough;
  return rough + left_over / n;
}

double deviationOf(std::span<const double> readings, double mean) {
  double squares = 0;
  for (const double x : readings) squares += (x - mean) * (x - mean);
  return std::sqrt(squares / (static_cast<double>(readings.size()) - 1));
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
