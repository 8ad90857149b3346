#include "platemark/method/gauge/study.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>

#include "../bad_input.h"
#include "platemark/method/gauge/range_factor.h"
#include "platemark/method/statistics/distribution.h"

namespace platemark::method::gauge {
namespace {

Result<void> checkSize(int size, int fewest, const char* field) {
  if (size >= fewest && size <= 50) return {};
  return badInput("gauge.size", field, fmt::format("The study has {} {}.", size, field),
                  fmt::format("{} to 50 {}", fewest, field));
}

Result<void> checkValues(const GaugeReadings& in) {
  const auto wanted = static_cast<std::size_t>(in.operators) * static_cast<std::size_t>(in.parts) *
                      static_cast<std::size_t>(in.trials);
  if (in.values.size() != wanted)
    return badInput("gauge.count", "values",
                    fmt::format("{} readings, but {} operators, {} parts and {} trials make {}.",
                                in.values.size(), in.operators, in.parts, in.trials, wanted),
                    fmt::format("{} readings", wanted), "Read what is missing again.");
  for (std::size_t i = 0; i < in.values.size(); ++i)
    if (!std::isfinite(in.values[i]))
      return badInput("gauge.not_finite", fmt::format("values[{}]", i),
                      fmt::format("Reading {} is no number.", i + 1), "a number");
  return {};
}

Result<void> checkReadings(const GaugeReadings& in) {
  if (Result<void> size = checkSize(in.operators, 1, "operators"); !size) return size;
  if (Result<void> size = checkSize(in.parts, 2, "parts"); !size) return size;
  if (Result<void> size = checkSize(in.trials, 2, "trials"); !size) return size;
  if (in.tolerance && !(*in.tolerance > 0 && std::isfinite(*in.tolerance)))
    return badInput("gauge.tolerance", "tolerance",
                    fmt::format("The tolerance is {:g}.", *in.tolerance), "above 0");
  return checkValues(in);
}

/// The trials of one part by one operator.
std::span<const double> cell(const GaugeReadings& in, int op, int part) {
  const auto trials = static_cast<std::size_t>(in.trials);
  return std::span(in.values).subspan(static_cast<std::size_t>(op * in.parts + part) * trials,
                                      trials);
}

double meanOf(std::span<const double> list) {
  double sum = 0;
  for (const double x : list) sum += x;
  return sum / static_cast<double>(list.size());
}

double rangeOf(std::span<const double> list) {
  const auto [low, high] = std::minmax_element(list.begin(), list.end());
  return *high - *low;
}

struct Means {
  std::vector<double> operators, parts, cells;  ///< cells: operator by operator
  std::vector<double> operator_ranges;
};

Means meansOf(const GaugeReadings& in) {
  Means means;
  means.parts.assign(static_cast<std::size_t>(in.parts), 0);
  for (int op = 0; op < in.operators; ++op) {
    double sum = 0, ranges = 0;
    for (int part = 0; part < in.parts; ++part) {
      const double mean = meanOf(cell(in, op, part));
      means.cells.push_back(mean);
      means.parts[static_cast<std::size_t>(part)] += mean / in.operators;
      sum += mean;
      ranges += rangeOf(cell(in, op, part));
    }
    means.operators.push_back(sum / in.parts);
    means.operator_ranges.push_back(ranges / in.parts);
  }
  return means;
}

/// The same readings from a zero in their midst: their squares keep digits.
GaugeReadings shifted(const GaugeReadings& in, double zero) {
  GaugeReadings out = in;
  for (double& x : out.values) x -= zero;
  return out;
}

double root(double variance) { return std::sqrt(std::max(0.0, variance)); }

int cut(double categories) {
  if (categories >= std::numeric_limits<int>::max()) return std::numeric_limits<int>::max();
  return static_cast<int>(categories);
}

Result<GaugeStudy> completed(GaugeStudy study, const GaugeReadings& in) {
  study.gauge = std::hypot(study.repeatability, study.reproducibility, study.interaction);
  study.total = std::hypot(study.gauge, study.parts);
  if (!(study.total > 0))
    return badInput("gauge.no_spread", "values", "All readings are the same.",
                    "parts that differ, read with enough digits",
                    "Take parts from the whole spread of the process.");
  study.share = study.gauge / study.total;
  if (in.tolerance) study.tolerance_share = 6 * study.gauge / *in.tolerance;
  study.categories_uncut = 1.41 * study.parts / study.gauge;
  study.categories = cut(study.categories_uncut);
  return study;
}

GaugeStudy begun(GaugeMethod method, const Means& means, double zero) {
  GaugeStudy study;
  study.method = method;
  study.operator_means = means.operators;
  for (double& mean : study.operator_means) mean += zero;
  study.operator_ranges = means.operator_ranges;
  return study;
}

VarianceLine varianceLine(int degrees, double squares) {
  return {degrees, squares, degrees > 0 ? squares / degrees : 0, {}, {}};
}

void against(VarianceLine& line, const VarianceLine& other) {
  if (line.degrees == 0 || other.degrees == 0 || !(other.mean_square > 0)) return;
  line.f = line.mean_square / other.mean_square;
  line.p = statistics::fisherTail(*line.f, line.degrees, other.degrees);
}

double squaresAbout(std::span<const double> list, double centre) {
  double sum = 0;
  for (const double x : list) sum += (x - centre) * (x - centre);
  return sum;
}

double interactionSquares(const GaugeReadings& in, const Means& means, double grand) {
  double sum = 0;
  for (std::size_t i = 0; i < means.cells.size(); ++i) {
    const auto parts = static_cast<std::size_t>(in.parts);
    const double left =
        means.cells[i] - means.operators[i / parts] - means.parts[i % parts] + grand;
    sum += left * left;
  }
  return in.trials * sum;
}

double withinSquares(const GaugeReadings& in, const Means& means) {
  double sum = 0;
  for (int op = 0; op < in.operators; ++op)
    for (int part = 0; part < in.parts; ++part)
      sum += squaresAbout(cell(in, op, part),
                          means.cells[static_cast<std::size_t>(op * in.parts + part)]);
  return sum;
}

GaugeVariance varianceOf(const GaugeReadings& in, const Means& means) {
  const double grand = meanOf(means.operators);
  const int o = in.operators, p = in.parts, r = in.trials;
  GaugeVariance table;
  table.operators = varianceLine(o - 1, p * r * squaresAbout(means.operators, grand));
  table.parts = varianceLine(p - 1, o * r * squaresAbout(means.parts, grand));
  table.interaction = varianceLine((o - 1) * (p - 1), interactionSquares(in, means, grand));
  table.repeatability = varianceLine(o * p * (r - 1), withinSquares(in, means));
  table.total = varianceLine(o * p * r - 1, squaresAbout(in.values, grand));
  against(table.interaction, table.repeatability);
  return table;
}

/// What operators and parts are compared with: interaction, or interaction and repeatability as
/// one. One operator has no interaction.
VarianceLine yardstick(const GaugeVariance& table) {
  const VarianceLine &inner = table.repeatability, &outer = table.interaction;
  if (table.pooled)
    return varianceLine(inner.degrees + outer.degrees, inner.squares + outer.squares);
  return outer.degrees > 0 ? outer : inner;
}

void fillFromVariance(GaugeStudy& study, const GaugeReadings& in, GaugeVariance table) {
  const VarianceLine other = yardstick(table);
  against(table.operators, other);
  against(table.parts, other);
  const double within = table.pooled ? other.mean_square : table.repeatability.mean_square;
  study.repeatability = root(within);
  study.interaction = root((other.mean_square - within) / in.trials);
  study.reproducibility =
      in.operators > 1
          ? root((table.operators.mean_square - other.mean_square) / (in.parts * in.trials))
          : 0;
  study.parts = root((table.parts.mean_square - other.mean_square) / (in.operators * in.trials));
  study.variance = table;
}

double reproducibilityByRange(const GaugeReadings& in, const Means& means, double repeatability) {
  if (in.operators < 2) return 0;
  const double between = rangeOf(means.operators) / *rangeDivisor(in.operators, 1);
  return root(between * between - repeatability * repeatability / (in.parts * in.trials));
}

}  // namespace

Result<GaugeStudy> rangeStudy(const GaugeReadings& readings) {
  if (Result<void> checked = checkReadings(readings); !checked) return checked.error();
  const Means means = meansOf(readings);
  GaugeStudy study = begun(GaugeMethod::ranges, means, 0);
  study.repeatability = meanOf(means.operator_ranges) / rangeFactors(readings.trials)->d2;
  study.reproducibility = reproducibilityByRange(readings, means, study.repeatability);
  study.parts = rangeOf(means.parts) / *rangeDivisor(readings.parts, 1);
  return completed(study, readings);
}

Result<GaugeStudy> varianceStudy(const GaugeReadings& readings, double pool_above) {
  if (Result<void> checked = checkReadings(readings); !checked) return checked.error();
  if (!(pool_above >= 0 && pool_above <= 1))
    return badInput("gauge.pool", "pool_above",
                    fmt::format("The interaction is pooled above a p-value of {:g}.", pool_above),
                    "0 to 1");
  const double zero = readings.values.front();
  const GaugeReadings in = shifted(readings, zero);
  const Means means = meansOf(in);
  GaugeVariance table = varianceOf(in, means);
  table.pooled = table.interaction.p && *table.interaction.p > pool_above;
  GaugeStudy study = begun(GaugeMethod::variance, means, zero);
  fillFromVariance(study, in, table);
  return completed(study, readings);
}

Result<GaugeStanding> gaugeStanding(const GaugeStudy& study, const GaugeRule& rule) {
  const bool ordered = rule.accept_from > 0 && rule.accept_from <= rule.block_above;
  if (!ordered || rule.block_above > 1 || rule.fewest_categories < 1)
    return badInput(
        "gauge.rule", "rule",
        fmt::format("Acceptance from {:g} %, blocked above {:g} %, {} categories.",
                    100 * rule.accept_from, 100 * rule.block_above, rule.fewest_categories),
        "0 % < acceptance from ≤ blocked above ≤ 100 %, 1 category or more");
  const double share = std::max(study.share, study.tolerance_share.value_or(0));
  if (share > rule.block_above || study.categories < rule.fewest_categories)
    return GaugeStanding::blocked;
  return share >= rule.accept_from ? GaugeStanding::needs_acceptance : GaugeStanding::usable;
}

}  // namespace platemark::method::gauge
