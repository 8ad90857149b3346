#include "platemark/method/gauge/bias.h"

#include <fmt/format.h>

#include <cmath>
#include <set>

#include "../bad_input.h"
#include "platemark/method/statistics/distribution.h"
#include "platemark/method/statistics/summary.h"

namespace platemark::method::gauge {
namespace {

Result<void> checkConfidence(double confidence) {
  if (confidence > 0.5 && confidence < 1) return {};
  return badInput("gauge.confidence", "confidence",
                  fmt::format("A confidence of {:g} % is asked for.", 100 * confidence),
                  "above 50 % and below 100 %");
}

Result<void> checkFinite(std::span<const double> list, const char* field) {
  for (std::size_t i = 0; i < list.size(); ++i)
    if (!std::isfinite(list[i]))
      return badInput("gauge.not_finite", fmt::format("{}[{}]", field, i),
                      fmt::format("Value {} is no number.", i + 1), "a number");
  return {};
}

Result<void> checkCount(std::size_t count, std::size_t fewest) {
  if (count >= fewest) return {};
  return badInput("gauge.few_readings", "readings", fmt::format("{} readings.", count),
                  fmt::format("{} readings or more", fewest), "Take more readings.");
}

Error noSpread() {
  return badInput("gauge.no_spread", "readings", "The readings leave no spread to test with.",
                  "readings with enough digits to differ",
                  "Read one digit more, or state the resolution as the uncertainty.");
}

double factor(double confidence, double degrees) {
  return statistics::studentQuantile((1 + confidence) / 2, degrees);
}

LineTerm term(double value, double standard_error, double degrees) {
  const double t = value / standard_error;
  return {value, standard_error, t, statistics::studentTails(t, degrees)};
}

struct Sums {
  double n, mean_x, mean_b, xx, xb, bb;
};

Sums sumsOf(std::span<const double> x, std::span<const double> bias) {
  Sums sums{static_cast<double>(x.size()),
            statistics::summary(x)->mean,
            statistics::summary(bias)->mean,
            0,
            0,
            0};
  for (std::size_t i = 0; i < x.size(); ++i) {
    const double dx = x[i] - sums.mean_x, db = bias[i] - sums.mean_b;
    sums.xx += dx * dx;
    sums.xb += dx * db;
    sums.bb += db * db;
  }
  return sums;
}

double residualSquares(std::span<const double> x, std::span<const double> bias, const Sums& sums) {
  const double slope = sums.xb / sums.xx;
  double left = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    const double e = bias[i] - sums.mean_b - slope * (x[i] - sums.mean_x);
    left += e * e;
  }
  return left;
}

GaugeLinearity fitted(const Sums& sums, double residual) {
  GaugeLinearity line;
  const double degrees = sums.n - 2, slope = sums.xb / sums.xx;
  line.s = std::sqrt(residual / degrees);
  line.slope = term(slope, line.s / std::sqrt(sums.xx), degrees);
  line.intercept =
      term(sums.mean_b - slope * sums.mean_x,
           line.s * std::sqrt(1 / sums.n + sums.mean_x * sums.mean_x / sums.xx), degrees);
  line.r_squared = sums.bb > 0 ? 1 - residual / sums.bb : 0;
  line.mean_bias = sums.mean_b;
  return line;
}

BiasAt bandAt(double x, const GaugeLinearity& line, const Sums& sums, double t) {
  const double off = x - sums.mean_x;
  const double at = line.mean_bias + line.slope.value * off;
  const double width = t * line.s * std::sqrt(1 / sums.n + off * off / sums.xx);
  return {x, at, width, std::abs(at) <= width};
}

Result<void> checkLinearity(std::span<const double> references, std::span<const double> readings,
                            double confidence) {
  if (Result<void> checked = checkConfidence(confidence); !checked) return checked;
  if (Result<void> checked = checkCount(readings.size(), 3); !checked) return checked;
  if (references.size() != readings.size())
    return badInput(
        "gauge.count", "references",
        fmt::format("{} readings, but {} references.", readings.size(), references.size()),
        "one reference value for each reading");
  if (Result<void> checked = checkFinite(references, "references"); !checked) return checked;
  return checkFinite(readings, "readings");
}

}  // namespace

Result<GaugeBias> gaugeBias(std::span<const double> readings, double reference, double confidence) {
  if (Result<void> checked = checkConfidence(confidence); !checked) return checked.error();
  if (Result<void> checked = checkCount(readings.size(), 2); !checked) return checked.error();
  if (Result<void> checked = checkFinite(readings, "readings"); !checked) return checked.error();
  if (Result<void> checked = checkFinite(std::span(&reference, 1), "reference"); !checked)
    return checked.error();
  const statistics::Summary found = *statistics::summary(readings);
  if (!(*found.s > 0)) return noSpread();
  const double n = static_cast<double>(found.n), error = *found.s / std::sqrt(n);
  const double width = factor(confidence, n - 1) * error;
  GaugeBias bias{found.mean - reference, *found.s, 0, 0, 0, 0, false};
  bias.t = bias.bias / error;
  bias.p = statistics::studentTails(bias.t, n - 1);
  bias.low = bias.bias - width;
  bias.high = bias.bias + width;
  bias.present = bias.low > 0 || bias.high < 0;
  return bias;
}

Result<GaugeLinearity> gaugeLinearity(std::span<const double> references,
                                      std::span<const double> readings, double confidence) {
  if (Result<void> checked = checkLinearity(references, readings, confidence); !checked)
    return checked.error();
  std::vector<double> bias;
  for (std::size_t i = 0; i < readings.size(); ++i) bias.push_back(readings[i] - references[i]);
  const Sums sums = sumsOf(references, bias);
  if (!(sums.xx > 0))
    return badInput("gauge.one_reference", "references", "All readings are on one reference.",
                    "two reference values or more", "Take the bias at this one reference instead.");
  const double residual = residualSquares(references, bias, sums);
  if (!(residual > 0)) return noSpread();
  GaugeLinearity line = fitted(sums, residual);
  const double t = factor(confidence, sums.n - 2);
  line.acceptable = true;
  for (const double x : std::set<double>(references.begin(), references.end())) {
    line.references.push_back(bandAt(x, line, sums, t));
    line.acceptable = line.acceptable && line.references.back().zero_inside;
  }
  return line;
}

}  // namespace platemark::method::gauge
