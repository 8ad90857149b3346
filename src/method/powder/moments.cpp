#include "platemark/method/powder/moments.h"

#include <fmt/format.h>

#include <cmath>
#include <vector>

#include "../bad_input.h"

namespace platemark::method {
namespace {

constexpr auto um = unit::micrometre;

Result<void> checkLimits(std::span<const Length> limits) {
  for (std::size_t i = 0; i < limits.size(); ++i) {
    const double size = limits[i].in(um);
    const bool rises = i == 0 || limits[i] > limits[i - 1];
    if (!(size > 0) || !std::isfinite(size) || !rises)
      return badInput("moments.limits", fmt::format("limits[{}]", i),
                      fmt::format("The limit {} of the classes is {:g} µm.", i + 1, size),
                      "above 0 µm, each above the one before");
  }
  return {};
}

Result<void> checkClasses(std::span<const Length> limits, std::span<const double> weights) {
  if (weights.empty() || limits.size() != weights.size() + 1)
    return badInput("moments.classes", "limits",
                    fmt::format("{} limits, but {} classes.", limits.size(), weights.size()),
                    "one limit more than classes");
  if (Result<void> checked = checkLimits(limits); !checked) return checked;
  double sum = 0;
  for (std::size_t i = 0; i < weights.size(); ++i) {
    if (!(weights[i] >= 0) || !std::isfinite(weights[i]))
      return badInput("moments.weight", fmt::format("weights[{}]", i),
                      fmt::format("Class {} weighs {:g}.", i + 1, weights[i]), "0 or more");
    sum += weights[i];
  }
  if (sum > 0) return {};
  return badInput("moments.empty", "weights", "All classes are empty.",
                  "a class with something in");
}

Result<void> checkOrders(int p, int q, bool equal_allowed) {
  const bool inside = std::abs(p) <= 6 && std::abs(q) <= 6;
  if (inside && (equal_allowed || p != q)) return {};
  return badInput("moments.orders", "p", fmt::format("D[{},{}] is asked for.", p, q),
                  "two different whole orders from −6 to 6");
}

/// Mean of x^k over a class in which sizes lie evenly, in units of the lower limit.
double classMean(double low, double high, int k) {
  if (k == -1) return std::log(high / low) / (high - low);
  return (std::pow(high, k + 1) - std::pow(low, k + 1)) / ((k + 1) * (high - low));
}

/// M_k with sizes in units of the finest limit, so that high powers stay near 1.
double moment(const std::vector<double>& limits, std::span<const double> weights, int k) {
  double sum = 0;
  for (std::size_t i = 0; i < weights.size(); ++i)
    sum += weights[i] * classMean(limits[i], limits[i + 1], k);
  return sum;
}

}  // namespace

Result<Length> momentMean(std::span<const Length> limits, std::span<const double> weights,
                          ClassWeight weight, int p, int q) {
  if (Result<void> checked = checkClasses(limits, weights); !checked) return checked.error();
  if (Result<void> checked = checkOrders(p, q, false); !checked) return checked.error();
  std::vector<double> relative;
  for (const Length limit : limits) relative.push_back(limit / limits.front());
  const int r = static_cast<int>(weight);
  const double ratio = moment(relative, weights, p - r) / moment(relative, weights, q - r);
  return limits.front() * std::pow(ratio, 1.0 / (p - q));
}

Result<Length> logNormalMean(Length median, double s, int p, int q) {
  if (Result<void> checked = checkOrders(p, q, true); !checked) return checked.error();
  if (!(median > Length()) || !(s >= 0) || !std::isfinite(s))
    return badInput(
        "moments.log_normal", "median",
        fmt::format("Median {:g} µm, standard deviation of the logarithm {:g}.", median.in(um), s),
        "a median above 0 µm and a deviation of 0 or more");
  return median * std::exp((p + q - 6) * s * s / 2);
}

Result<double> sizeSpan(Length d10, Length d50, Length d90) {
  if (d10 > Length() && d10 <= d50 && d50 <= d90) return (d90 - d10) / d50;
  return badInput(
      "moments.span", "d10",
      fmt::format("D10 {:g}, D50 {:g}, D90 {:g} µm.", d10.in(um), d50.in(um), d90.in(um)),
      "0 < D10 ≤ D50 ≤ D90");
}

}  // namespace platemark::method
