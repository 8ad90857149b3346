#include <fmt/format.h>

#include "entries.h"
#include "platemark/method/statistics/summary.h"

namespace platemark::catalogue {
namespace {

namespace statistics = method::statistics;

Result<Evaluation> evaluateSummary(const Entry& entry, const Inputs& inputs) {
  const std::vector<double> readings = siList(inputs, "readings");
  const Result<statistics::Summary> summary = statistics::summarise(readings);
  if (!summary) return summary.error();
  Evaluation evaluation;
  evaluation.outputs = {output(entry, "mean", summary->mean), output(entry, "lowest", summary->min), output(entry, "highest", summary->max)};
  if (summary->s) evaluation.outputs.push_back(output(entry, "s", *summary->s));
  evaluation.substituted_formula = fmt::format("mean of {} readings", summary->n);
  for (const Measure& m : inputs.numbers.at("readings")) evaluation.working.push_back({"x", "reading", m, {}, 0});
  if (!summary->s) evaluation.notes.push_back("One reading has no spread.");
  return evaluation;
}

Entry summaryOf(std::string id, std::string what, Kind kind, std::string unit, int decimals, double min, double max, Measure a, Measure b) {
  Entry entry;
  entry.id = std::move(id);
  entry.version = statistics::summary_version;
  entry.title = "Mean and range of " + what;
  entry.words = "Several readings of " + what + " put together: mean, lowest, highest, spread.";
  entry.formula = "mean = Σ x / n;  s = √(Σ (x − mean)² / (n − 1))";
  entry.inputs = {{"readings", "x", "readings of " + what, kind, unit, min, max, true, false}};
  entry.outputs = {{"mean", "x̄", "mean", kind, unit, decimals}, {"lowest", "x_min", "lowest reading", kind, unit, decimals}, {"highest", "x_max", "highest reading", kind, unit, decimals}, {"s", "s", "standard deviation", kind, unit, decimals + 1}};
  entry.validity = "Any number of readings from one; s needs two.";
  entry.uncertainty = "Not stated: it depends on the gauge.";
  entry.source = "ISO 3534-1:2006, 1.15 and 1.17; checked against NIST StRD univariate sets.";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/summary.csv";
  entry.example = {{{"readings", {std::move(a), std::move(b)}}}, {}};
  entry.evaluate = evaluateSummary;
  return entry;
}

Measure typed(const char* value, const char* unit) { return {*Decimal::parse(value), unit}; }

}  // namespace

std::vector<Entry> statisticsEntries() {
  return {summaryOf("statistics.film", "a film's thickness", Kind::length, "um", 1, 0, 5000, typed("22.4", "um"), typed("25.1", "um")),
          summaryOf("statistics.dimension", "a dimension", Kind::length, "mm", 3, 0, 10000, typed("16.42", "mm"), typed("16.45", "mm"))};
}

}  // namespace platemark::catalogue
