#include "platemark/method/statistics/outlier.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "../bad_input.h"
#include "platemark/method/statistics/distribution.h"
#include "platemark/method/statistics/summary.h"

namespace platemark::method::statistics {
namespace {

constexpr std::array dixon_levels{0.20, 0.10, 0.05, 0.02, 0.01};
// Rows from 3 to 30 readings, columns as the levels.
constexpr std::array<std::array<double, 5>, 28> dixon_critical{{
    {0.8856, 0.9413, 0.9702, 0.9880, 0.9940}, {0.6787, 0.7655, 0.8298, 0.8894, 0.9207},
    {0.5581, 0.6424, 0.7102, 0.7810, 0.8232}, {0.4840, 0.5624, 0.6275, 0.6983, 0.7427},
    {0.4341, 0.5073, 0.5690, 0.6372, 0.6811}, {0.4795, 0.5540, 0.6150, 0.6809, 0.7223},
    {0.4402, 0.5112, 0.5700, 0.6342, 0.6752}, {0.4099, 0.4779, 0.5346, 0.5971, 0.6372},
    {0.5175, 0.5749, 0.6223, 0.6744, 0.7077}, {0.4898, 0.5457, 0.5921, 0.6434, 0.6764},
    {0.4668, 0.5212, 0.5667, 0.6171, 0.6497}, {0.4907, 0.5455, 0.5908, 0.6405, 0.6724},
    {0.4703, 0.5240, 0.5686, 0.6177, 0.6493}, {0.4527, 0.5054, 0.5493, 0.5977, 0.6290},
    {0.4373, 0.4891, 0.5323, 0.5801, 0.6111}, {0.4237, 0.4746, 0.5172, 0.5644, 0.5951},
    {0.4116, 0.4617, 0.5037, 0.5504, 0.5808}, {0.4007, 0.4501, 0.4916, 0.5378, 0.5678},
    {0.3909, 0.4396, 0.4806, 0.5263, 0.5561}, {0.3820, 0.4301, 0.4705, 0.5158, 0.5453},
    {0.3738, 0.4213, 0.4614, 0.5062, 0.5355}, {0.3664, 0.4133, 0.4529, 0.4973, 0.5264},
    {0.3595, 0.4059, 0.4451, 0.4891, 0.5180}, {0.3531, 0.3990, 0.4379, 0.4815, 0.5101},
    {0.3471, 0.3926, 0.4311, 0.4745, 0.5029}, {0.3416, 0.3866, 0.4248, 0.4678, 0.4961},
    {0.3364, 0.3810, 0.4189, 0.4616, 0.4897}, {0.3315, 0.3758, 0.4134, 0.4558, 0.4837},
}};

Result<void> checkReadings(std::span<const double> readings) {
  if (readings.size() < 3)
    return badInput("outlier.few", "readings", fmt::format("{} readings.", readings.size()),
                    "3 readings or more");
  for (std::size_t i = 0; i < readings.size(); ++i)
    if (!std::isfinite(readings[i]))
      return badInput("outlier.not_finite", fmt::format("readings[{}]", i),
                      fmt::format("Reading {} is no number.", i + 1), "a number");
  if (const Result<Summary> found = summary(readings); *found->s > 0) return {};
  return badInput("outlier.no_spread", "readings", "All readings are the same.",
                  "readings with enough digits to differ");
}

Result<void> checkLevel(double level) {
  if (level > 0 && level < 0.5) return {};
  return badInput("outlier.level", "level", fmt::format("The level is {:g}.", level),
                  "above 0 and below 0.5");
}

/// The farthest of some readings, and how many standard deviations off; none without a spread.
struct Farthest {
  std::size_t place = 0;
  double off = 0;
};

Farthest farthestOf(std::span<const double> readings) {
  const Summary found = *summary(readings);
  Farthest farthest;
  for (std::size_t i = 0; i < readings.size(); ++i)
    if (const double off = std::abs(readings[i] - found.mean); off > farthest.off)
      farthest = {i, off};
  if (found.s && *found.s > 0) farthest.off /= *found.s;
  return farthest;
}

/// λ for the farthest of n readings: for one test it is Grubbs' critical value.
double criticalOf(std::size_t readings, double level) {
  const double n = static_cast<double>(readings);
  const double t = -studentQuantile(level / (2 * n), n - 2);
  return (n - 1) * t / std::sqrt(n * (n - 2 + t * t));
}

/// How many readings each of Dixon's ratios leaves out beside the suspect and at the other end.
struct DixonForm {
  std::size_t beside, other_end;
};

DixonForm formFor(std::size_t readings) {
  if (readings <= 7) return {1, 0};
  if (readings <= 10) return {1, 1};
  if (readings <= 13) return {2, 1};
  return {2, 2};
}

double ratio(double gap, double range) { return range > 0 ? gap / range : 0; }

std::vector<std::size_t> sorted(std::span<const double> readings) {
  std::vector<std::size_t> order(readings.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return readings[a] < readings[b]; });
  return order;
}

}  // namespace

Result<OutlierTest> grubbs(std::span<const double> readings, double level) {
  if (Result<void> checked = checkReadings(readings); !checked) return checked.error();
  if (Result<void> checked = checkLevel(level); !checked) return checked.error();
  const Farthest farthest = farthestOf(readings);
  return OutlierTest{farthest.off, criticalOf(readings.size(), level), farthest.place};
}

Result<OutlierTest> dixon(std::span<const double> readings, double level) {
  if (Result<void> checked = checkReadings(readings); !checked) return checked.error();
  const std::size_t n = readings.size();
  if (n > dixon_critical.size() + 2)
    return badInput("outlier.many", "readings", fmt::format("{} readings.", n), "3 to 30 readings",
                    "Use Grubbs or Rosner.");
  const auto column = std::find_if(dixon_levels.begin(), dixon_levels.end(),
                                   [&](double known) { return std::abs(known - level) < 1e-9; });
  if (column == dixon_levels.end())
    return badInput("outlier.level", "level", fmt::format("The level is {:g}.", level),
                    "0.20, 0.10, 0.05, 0.02 or 0.01");
  const std::vector<std::size_t> order = sorted(readings);
  const auto x = [&](std::size_t i) { return readings[order[i]]; };
  const auto [beside, other_end] = formFor(n);
  const double low = ratio(x(beside) - x(0), x(n - 1 - other_end) - x(0));
  const double high = ratio(x(n - 1) - x(n - 1 - beside), x(n - 1) - x(other_end));
  const double critical =
      dixon_critical[n - 3][static_cast<std::size_t>(column - dixon_levels.begin())];
  return high >= low ? OutlierTest{high, critical, order[n - 1]}
                     : OutlierTest{low, critical, order[0]};
}

Result<SeveralOutliers> severalOutliers(std::span<const double> readings, int most, double level) {
  if (Result<void> checked = checkReadings(readings); !checked) return checked.error();
  if (Result<void> checked = checkLevel(level); !checked) return checked.error();
  if (most < 1 || static_cast<std::size_t>(most) > readings.size() - 2)
    return badInput("outlier.most", "most",
                    fmt::format("Up to {} of {} readings.", most, readings.size()),
                    "from 1 to two less than there are readings");
  std::vector<double> left(readings.begin(), readings.end());
  std::vector<std::size_t> names(readings.size());
  std::iota(names.begin(), names.end(), std::size_t{0});
  SeveralOutliers found;
  std::size_t flagged = 0;
  for (int i = 0; i < most; ++i) {
    const Farthest farthest = farthestOf(left);
    found.tests.push_back({farthest.off, criticalOf(left.size(), level), names[farthest.place]});
    if (found.tests.back().flagged()) flagged = found.tests.size();
    left.erase(left.begin() + static_cast<std::ptrdiff_t>(farthest.place));
    names.erase(names.begin() + static_cast<std::ptrdiff_t>(farthest.place));
  }
  for (std::size_t i = 0; i < flagged; ++i) found.flagged.push_back(found.tests[i].reading);
  return found;
}

}  // namespace platemark::method::statistics
