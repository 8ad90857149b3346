#include "platemark/method/statistics/control_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>

#include "../bad_input.h"

namespace platemark::method::statistics {
namespace {

/// Mean range of two normal values in standard deviations: 2/√π.
constexpr double d2_of_two = 1.1283791670955126;

Result<void> checkResults(std::span<const double> results, std::size_t fewest) {
  if (results.size() < fewest)
    return badInput("chart.few", "readings", fmt::format("{} results.", results.size()),
                    fmt::format("{} results or more", fewest));
  for (std::size_t i = 0; i < results.size(); ++i)
    if (!std::isfinite(results[i]))
      return badInput("chart.not_finite", fmt::format("readings[{}]", i),
                      fmt::format("Result {} is no number.", i + 1), "a number");
  return {};
}

Result<void> checkSpread(double target, double sigma) {
  if (!std::isfinite(target))
    return badInput("chart.not_finite", "target", "The target is no number.", "a number");
  if (sigma > 0 && std::isfinite(sigma)) return {};
  return badInput("chart.spread", "sigma", fmt::format("The standard deviation is {:g}.", sigma),
                  "above 0");
}

Result<void> checkFactor(const char* field, double factor) {
  if (factor > 0 && std::isfinite(factor)) return {};
  return badInput("chart.factor", field, fmt::format("The factor is {:g}.", factor),
                  "above 0, in standard deviations");
}

using Window = std::span<const double>;

bool allOf(Window z, const std::function<bool(double)>& holds) {
  return std::all_of(z.begin(), z.end(), holds);
}

/// At least `fewest` of the window, the newest among them, beyond `limit` on one side.
bool beyondOnOneSide(Window z, double limit, std::ptrdiff_t fewest) {
  const auto beyond = [&](int side) {
    return side * z.back() > limit &&
           std::count_if(z.begin(), z.end(), [&](double v) { return side * v > limit; }) >= fewest;
  };
  return beyond(1) || beyond(-1);
}

bool onOneSide(Window z) {
  return allOf(z, [](double v) { return v > 0; }) || allOf(z, [](double v) { return v < 0; });
}

/// Every step to the next is up, or every step is down.
bool trending(Window z) {
  const auto none = [&](auto step) {
    return std::adjacent_find(z.begin(), z.end(), step) == z.end();
  };
  return none(std::greater_equal<>()) || none(std::less_equal<>());
}

bool toAndFro(Window z) {
  for (std::size_t i = 2; i < z.size(); ++i)
    if ((z[i] - z[i - 1]) * (z[i - 1] - z[i - 2]) >= 0) return false;
  return true;
}

bool withoutTheMiddle(Window z) {
  const bool none_within = allOf(z, [](double v) { return std::abs(v) > 1; });
  return none_within && !onOneSide(z);
}

struct Test {
  std::size_t window;
  std::function<bool(Window)> met;
};

/// In the order of RunTest.
const std::array<Test, run_tests>& tests() {
  static const std::array<Test, run_tests> all{{
      {1, [](Window z) { return std::abs(z.back()) > 3; }},
      {9, onOneSide},
      {6, trending},
      {14, toAndFro},
      {3, [](Window z) { return beyondOnOneSide(z, 2, 2); }},
      {5, [](Window z) { return beyondOnOneSide(z, 1, 4); }},
      {15, [](Window z) { return allOf(z, [](double v) { return std::abs(v) < 1; }); }},
      {8, withoutTheMiddle},
  }};
  return all;
}

/// Tests that count "two of three" are met by the two alone when the run is that short.
std::size_t fewestFor(RunTest test, std::size_t window) {
  return test == RunTest::two_beyond_two || test == RunTest::four_beyond_one ? window - 1 : window;
}

std::optional<std::size_t> firstMet(Window z, RunTest which) {
  const Test& test = tests()[static_cast<std::size_t>(which)];
  for (std::size_t end = fewestFor(which, test.window); end <= z.size(); ++end) {
    const std::size_t begin = end > test.window ? end - test.window : 0;
    if (test.met(z.subspan(begin, end - begin))) return end - 1;
  }
  return {};
}

/// One of the two sums over the results, with the count of results since it was last nothing.
struct Sum {
  std::vector<double> values;
  std::size_t since = 0;
};

Sum oneSided(std::span<const double> results, double target, double slack, double side) {
  Sum sum;
  double c = 0;
  for (std::size_t i = 0; i < results.size(); ++i) {
    if (c == 0) sum.since = i;
    c = std::max(0.0, c + side * (results[i] - target) - slack);
    sum.values.push_back(c);
  }
  return sum;
}

}  // namespace

Result<Individuals> individuals(std::span<const double> results) {
  if (const Result<void> sound = checkResults(results, 2); !sound) return sound.error();
  const auto n = static_cast<double>(results.size());
  Individuals chart;
  chart.centre = std::accumulate(results.begin(), results.end(), 0.0) / n;
  for (std::size_t i = 1; i < results.size(); ++i)
    chart.moving_range += std::abs(results[i] - results[i - 1]) / (n - 1);
  chart.sigma = chart.moving_range / d2_of_two;
  if (!(chart.sigma > 0))
    return badInput("chart.spread", "readings", "All results are the same.",
                    "results with enough digits to differ");
  chart.lower = chart.centre - 3 * chart.sigma;
  chart.upper = chart.centre + 3 * chart.sigma;
  return chart;
}

Result<RunSigns> runSigns(std::span<const double> results, double centre, double sigma) {
  if (const Result<void> sound = checkResults(results, 1); !sound) return sound.error();
  if (const Result<void> sound = checkSpread(centre, sigma); !sound) return sound.error();
  std::vector<double> z;
  for (const double x : results) z.push_back((x - centre) / sigma);
  RunSigns signs;
  for (std::size_t i = 0; i < run_tests; ++i) signs[i] = firstMet(z, static_cast<RunTest>(i));
  return signs;
}

Result<WeightedMean> weightedMean(std::span<const double> results, double target, double sigma,
                                  double weight, double factor) {
  if (const Result<void> sound = checkResults(results, 1); !sound) return sound.error();
  if (const Result<void> sound = checkSpread(target, sigma); !sound) return sound.error();
  if (const Result<void> sound = checkFactor("factor", factor); !sound) return sound.error();
  if (!(weight > 0 && weight <= 1))
    return badInput("chart.weight", "weight", fmt::format("The weight is {:g}.", weight),
                    "above 0, at most 1");
  WeightedMean chart;
  double z = target, faded = 1;
  for (const double x : results) {
    z = weight * x + (1 - weight) * z;
    faded *= (1 - weight) * (1 - weight);
    const double reach = factor * sigma * std::sqrt(weight / (2 - weight) * (1 - faded));
    chart.value.push_back(z);
    chart.lower.push_back(target - reach);
    chart.upper.push_back(target + reach);
    if (!chart.sign && std::abs(z - target) > reach) chart.sign = chart.value.size() - 1;
  }
  return chart;
}

Result<CumulativeSum> cumulativeSum(std::span<const double> results, double target, double sigma,
                                    double allowance, double decision) {
  if (const Result<void> sound = checkResults(results, 1); !sound) return sound.error();
  if (const Result<void> sound = checkSpread(target, sigma); !sound) return sound.error();
  if (const Result<void> sound = checkFactor("allowance", allowance); !sound) return sound.error();
  if (const Result<void> sound = checkFactor("decision", decision); !sound) return sound.error();
  const double slack = allowance * sigma, limit = decision * sigma;
  const Sum above = oneSided(results, target, slack, 1),
            below = oneSided(results, target, slack, -1);
  CumulativeSum chart{above.values, below.values, {}, false, 0, 0};
  for (std::size_t i = 0; i < results.size() && !chart.sign; ++i)
    if (above.values[i] > limit || below.values[i] > limit) chart.sign = i;
  const bool up = above.values.back() >= below.values.back();
  const Sum& larger = up ? above : below;
  chart.standing = larger.values.back() > limit;
  if (!chart.standing) return chart;
  const auto count = static_cast<double>(results.size() - larger.since);
  chart.since = larger.since;
  chart.shift = (up ? 1 : -1) * (slack + larger.values.back() / count);
  return chart;
}

}  // namespace platemark::method::statistics
