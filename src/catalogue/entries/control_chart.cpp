#include "platemark/method/statistics/control_chart.h"

#include "typed.h"

namespace platemark::catalogue {
namespace {

using namespace method::statistics;

constexpr const char* source =
    "NIST/SEMATECH e-Handbook 6.3.2.2 to 6.3.2.4, values through copies of the pages; L. S. "
    "Nelson, Journal of Quality Technology 16 (1984) 237, the list through a copy";

/// Place of a result, counted from 1; or that there is none.
OutputValue placeOf(const Entry& entry, const char* name, const std::optional<std::size_t>& sign) {
  OutputValue place = output(entry, name, sign ? static_cast<double>(*sign) + 1 : 0);
  place.determined = sign.has_value();
  if (!sign) place.why = "no sign";
  return place;
}

Input resultsInput() {
  return listOf(value("readings", "x", "results in the order of their making, as plain numbers",
                      Kind::number, "1"));
}
Input targetInput() { return value("target", "", "what they should be about", Kind::number, "1"); }
Input sigmaInput() { return value("sigma", "σ", "standard deviation", Kind::number, "1", 0); }

Entry chartEntry(const char* id, const char* title) {
  Entry entry;
  entry.id = id;
  entry.version = control_chart_version;
  entry.title = title;
  entry.validity =
      "Results independent of one another and nearly normal. Fewer than some twenty give an "
      "uncertain centre and spread, and more false signs. A sign asks for a cause; it is no "
      "verdict.";
  entry.uncertainty = "Does not apply.";
  entry.source = source;
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/control_chart.csv";
  return entry;
}

Result<Evaluation> evaluateRun(const Entry& entry, const Inputs& inputs) {
  const std::vector<double> results = siList(inputs, "readings");
  const bool known = isGiven(inputs, "target") && isGiven(inputs, "sigma");
  Individuals chart;
  if (known) {
    chart.centre = si(one(inputs, "target"));
    chart.sigma = si(one(inputs, "sigma"));
  } else if (const Result<Individuals> own = individuals(results); own) {
    chart = *own;
  } else {
    return atInput(own.error());
  }
  const Result<RunSigns> signs = runSigns(results, chart.centre, chart.sigma);
  if (!signs) return atInput(signs.error());
  Evaluation result;
  result.outputs = {output(entry, "centre", chart.centre), output(entry, "spread", chart.sigma),
                    output(entry, "lower", chart.centre - 3 * chart.sigma),
                    output(entry, "upper", chart.centre + 3 * chart.sigma)};
  for (std::size_t i = 0; i < run_tests; ++i)
    result.outputs.push_back(placeOf(entry, entry.outputs[4 + i].name.c_str(), (*signs)[i]));
  result.substituted_formula = fmt::format("{:.6g} ± 3 × {:.6g}", chart.centre, chart.sigma);
  result.working = asTyped(entry, inputs);
  return result;
}

Entry runEntry() {
  Entry entry = chartEntry("statistics.run_signs", "Chart of individual results");
  entry.words = "Centre, limits, and the first result with which each sign of a cause is there.";
  entry.formula = "x̄ ± 3·MR̄/1.128379; Nelson's eight tests";
  entry.inputs = {resultsInput(), ifKnown(targetInput()), ifKnown(sigmaInput())};
  entry.outputs = {
      {"centre", "x̄", "centre", Kind::number, "1", 4},
      {"spread", "σ", "standard deviation, from neighbours when not given", Kind::number, "1", 4},
      {"lower", "", "lower limit, 3 σ", Kind::number, "1", 4},
      {"upper", "", "upper limit, 3 σ", Kind::number, "1", 4},
      {"test_1", "", "first beyond 3 σ", Kind::number, "1", 0},
      {"test_2", "", "nine in a row on one side", Kind::number, "1", 0},
      {"test_3", "", "six in a row rising or falling", Kind::number, "1", 0},
      {"test_4", "", "fourteen in a row up and down by turns", Kind::number, "1", 0},
      {"test_5", "", "two of three beyond 2 σ on one side", Kind::number, "1", 0},
      {"test_6", "", "four of five beyond 1 σ on one side", Kind::number, "1", 0},
      {"test_7", "", "fifteen in a row within 1 σ", Kind::number, "1", 0},
      {"test_8", "", "eight in a row none within 1 σ, on both sides", Kind::number, "1", 0}};
  entry.example.numbers = {{"readings", typedList({"49.6", "47.6", "49.9", "51.3", "47.8", "51.2",
                                                   "52.6", "52.4", "53.6", "52.1"},
                                                  "1")}};
  entry.evaluate = evaluateRun;
  return entry;
}

Result<Evaluation> evaluateWeighted(const Entry& entry, const Inputs& inputs) {
  const Result<WeightedMean> chart =
      weightedMean(siList(inputs, "readings"), si(one(inputs, "target")), si(one(inputs, "sigma")),
                   si(one(inputs, "weight")), si(one(inputs, "factor")));
  if (!chart) return atInput(chart.error());
  Evaluation result;
  result.outputs = {
      output(entry, "newest", chart->value.back()), output(entry, "lower", chart->lower.back()),
      output(entry, "upper", chart->upper.back()), placeOf(entry, "sign", chart->sign)};
  result.substituted_formula =
      fmt::format("z = {:.6g}, limits {:.6g} to {:.6g}", chart->value.back(), chart->lower.back(),
                  chart->upper.back());
  result.working = asTyped(entry, inputs);
  return result;
}

Entry weightedEntry() {
  Entry entry = chartEntry("statistics.weighted_mean", "Exponentially weighted mean");
  entry.words = "Sees a small lasting change sooner than a chart of single results.";
  entry.formula = "z_t = λ·x_t + (1 − λ)·z_(t−1); limits ± L·σ·√(λ/(2 − λ)·(1 − (1 − λ)^(2t)))";
  entry.inputs = {resultsInput(), targetInput(), sigmaInput(),
                  value("weight", "λ", "weight of the newest", Kind::number, "1", 0, 1),
                  value("factor", "L", "limits, in standard deviations", Kind::number, "1", 0)};
  entry.outputs = {{"newest", "z", "weighted mean with the newest result", Kind::number, "1", 4},
                   {"lower", "", "its lower limit", Kind::number, "1", 4},
                   {"upper", "", "its upper limit", Kind::number, "1", 4},
                   {"sign", "", "first result with which it was outside", Kind::number, "1", 0}};
  entry.example.numbers = {{"readings", typedList({"52.0", "47.0", "53.0", "49.3", "50.1"}, "1")},
                           {"target", {typed("50", "1")}},
                           {"sigma", {typed("2.0539", "1")}},
                           {"weight", {typed("0.3", "1")}},
                           {"factor", {typed("3", "1")}}};
  entry.evaluate = evaluateWeighted;
  return entry;
}

Result<Evaluation> evaluateSum(const Entry& entry, const Inputs& inputs) {
  const Result<CumulativeSum> chart =
      cumulativeSum(siList(inputs, "readings"), si(one(inputs, "target")), si(one(inputs, "sigma")),
                    si(one(inputs, "allowance")), si(one(inputs, "decision")));
  if (!chart) return atInput(chart.error());
  OutputValue shift = output(entry, "shift", chart->shift);
  shift.determined = chart->standing;
  if (!chart->standing) shift.why = "no sign";
  Evaluation result;
  result.outputs = {output(entry, "above", chart->above.back()),
                    output(entry, "below", chart->below.back()),
                    placeOf(entry, "sign", chart->sign), shift};
  result.substituted_formula =
      fmt::format("C⁺ = {:.6g}, C⁻ = {:.6g}", chart->above.back(), chart->below.back());
  result.working = asTyped(entry, inputs);
  if (chart->standing)
    result.notes = {fmt::format("The change began about with result {}.", chart->since + 1)};
  return result;
}

Entry sumEntry() {
  Entry entry = chartEntry("statistics.cumulative_sum", "Cumulative sum");
  entry.words = "Sees a slow drift while every result is inside its limits, and since when.";
  entry.formula = "C⁺_t = max(0, C⁺_(t−1) + x_t − target − k·σ), C⁻ mirrored; a sign above h·σ";
  entry.inputs = {
      resultsInput(), targetInput(), sigmaInput(),
      value("allowance", "k", "change that is let pass, in standard deviations", Kind::number, "1",
            0),
      value("decision", "h", "height of a sign, in standard deviations", Kind::number, "1", 0)};
  entry.outputs = {
      {"above", "C⁺", "upper sum with the newest result", Kind::number, "1", 4},
      {"below", "C⁻", "lower sum with the newest result", Kind::number, "1", 4},
      {"sign", "", "first result with which a sum was above h·σ", Kind::number, "1", 0},
      {"shift", "", "the newest results from the target", Kind::number, "1", 4}};
  entry.example.numbers = {
      {"readings", typedList({"325.15", "328.325", "327.25", "327.825", "328.5"}, "1")},
      {"target", {typed("325", "1")}},
      {"sigma", {typed("0.635", "1")}},
      {"allowance", {typed("0.5", "1")}},
      {"decision", {typed("5", "1")}}};
  entry.evaluate = evaluateSum;
  return entry;
}

}  // namespace

std::vector<Entry> controlChartEntries() { return {runEntry(), weightedEntry(), sumEntry()}; }

}  // namespace platemark::catalogue
