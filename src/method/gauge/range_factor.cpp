#include "platemark/method/gauge/range_factor.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "../bad_input.h"
#include "platemark/method/statistics/distribution.h"

namespace platemark::method::gauge {
namespace {

// One grid serves both integrals: Φ(x + w) of a grid point is Φ of another. Beyond ±9 nothing is
// left that a double keeps.
constexpr double step = 1.0 / 32;
constexpr int half = 288, points = 2 * half + 1;

struct Grid {
  std::array<double, points> share, density;
};

Grid normalGrid() {
  Grid grid{};
  for (int i = 0; i < points; ++i) {
    const double x = (i - half) * step;
    grid.share[static_cast<std::size_t>(i)] = statistics::normalShare(x);
    grid.density[static_cast<std::size_t>(i)] =
        std::exp(-x * x / 2) / std::sqrt(2 * std::numbers::pi);
  }
  return grid;
}

/// P(R > w) for w = `shift` steps; the trapezoid is as good as exact for a function that has died
/// away at both ends.
double rangeAbove(const Grid& grid, int shift, int readings) {
  double within = 0;
  for (int i = 0; i < points; ++i) {
    const auto low = static_cast<std::size_t>(i);
    const auto high = static_cast<std::size_t>(std::min(i + shift, points - 1));
    within += grid.density[low] * std::pow(grid.share[high] - grid.share[low], readings - 1);
  }
  return 1 - readings * within * step;
}

RangeFactors integrated(int readings) {
  static const Grid grid = normalGrid();
  double mean = 0, square = 0;
  for (int shift = 0; shift < points; ++shift) {
    const bool end = shift == 0 || shift == points - 1;
    const double weight = (end ? 1 : shift % 2 == 1 ? 4 : 2) * step / 3;  // Simpson's rule
    const double above = rangeAbove(grid, shift, readings);
    mean += weight * above;
    square += 2 * weight * shift * step * above;
  }
  return {mean, std::sqrt(square - mean * mean)};
}

}  // namespace

Result<RangeFactors> rangeFactors(int readings) {
  if (readings >= 2 && readings <= 50) return integrated(readings);
  return badInput("gauge.range_size", "readings",
                  fmt::format("A range of {} readings is asked for.", readings),
                  "2 to 50 readings");
}

Result<double> rangeDivisor(int readings, int groups) {
  if (groups < 1)
    return badInput("gauge.range_groups", "groups", fmt::format("{} ranges are averaged.", groups),
                    "1 range or more");
  const Result<RangeFactors> factors = rangeFactors(readings);
  if (!factors) return factors.error();
  return std::sqrt(factors->d2 * factors->d2 + factors->d3 * factors->d3 / groups);
}

}  // namespace platemark::method::gauge
