#include <fmt/format.h>

#include "platemark/method/statistics/conformity.h"
#include "platemark/method/statistics/summary.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

constexpr double usual_conformance = 0.95;

std::string shown(const Measure& measure) {
  return format({Decimal::fixed(measure.value.value(), 4), measure.unit});
}

Result<Evaluation> evaluateSummary(const Entry& entry, const Inputs& inputs) {
  const std::vector<double> readings = siList(inputs, "readings");
  const Result<method::statistics::Summary> summary = method::statistics::summary(readings);
  if (!summary) return atInput(summary.error());

  Evaluation evaluation;
  evaluation.outputs = {output(entry, "mean", summary->mean), output(entry, "min", summary->min),
                        output(entry, "max", summary->max),
                        output(entry, "n", static_cast<double>(summary->n))};
  if (summary->s)
    evaluation.outputs.insert(evaluation.outputs.begin() + 1, output(entry, "s", *summary->s));
  else
    evaluation.notes.push_back("One reading has no standard deviation.");
  for (const Measure& reading : inputs.numbers.at("readings"))
    evaluation.working.push_back({"x", "reading", reading, {}, 0});
  evaluation.substituted_formula =
      fmt::format("mean of {} readings = {}", summary->n, shown(evaluation.outputs.front().value));
  return evaluation;
}

struct SummaryOf {
  std::string id, title, what;
  Kind kind;
  std::string unit;
  Kind difference_kind;
  std::string difference_unit;
  std::vector<const char*> example;
};

Entry summaryEntry(const SummaryOf& of) {
  Entry entry;
  entry.id = of.id;
  entry.version = method::statistics::summary_version;
  entry.title = of.title;
  entry.words =
      "Mean, standard deviation, smallest, largest and number of readings of " + of.what + ".";
  entry.formula = "mean = Σx / n;  s = √( Σ(x − mean)² / (n − 1) )";
  entry.inputs = {{"readings", "x", "readings", of.kind, of.unit, {}, {}, true, false}};
  entry.outputs = {{"mean", "x̄", "mean of the readings", of.kind, of.unit, 2},
                   {"s", "s", "standard deviation, n − 1; absent for one reading",
                    of.difference_kind, of.difference_unit, 3},
                   {"min", "x_min", "smallest reading", of.kind, of.unit, 2},
                   {"max", "x_max", "largest reading", of.kind, of.unit, 2},
                   {"n", "n", "number of readings", Kind::number, "1", 0}};
  entry.validity = "Readings of one population, at least one; their order does not matter.";
  entry.uncertainty =
      "The mean of independent readings has the standard uncertainty s/√n from their scatter; the "
      "instrument's own comes on top.";
  entry.source = "JCGM 100:2008, 4.2.1 and 4.2.2: mean and experimental standard deviation.";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/statistics.csv";
  for (const char* x : of.example)
    entry.example.numbers["readings"].push_back({*Decimal::parse(x), of.unit});
  entry.evaluate = evaluateSummary;
  return entry;
}

std::optional<double> optionalSi(const Inputs& inputs, const std::string& name) {
  const std::vector<double> list = siList(inputs, name);
  if (list.empty()) return {};
  return list.front();
}

Error conformityError(std::string code, std::string what, std::string field, std::string expected) {
  Error error;
  error.code = "conformity." + std::move(code);
  error.what = std::move(what);
  error.where.field = "numbers." + std::move(field);
  error.expected = std::move(expected);
  error.remedy = "Check the value and the limits on the drawing or the plan and enter them again.";
  return error;
}

struct ConformityInputs {
  double value, u, required;
  std::optional<double> lower, upper;
};

Result<ConformityInputs> conformityFrom(const Inputs& inputs) {
  ConformityInputs in{si(one(inputs, "value")), si(one(inputs, "u")),
                      optionalSi(inputs, "required").value_or(usual_conformance),
                      optionalSi(inputs, "lower"), optionalSi(inputs, "upper")};
  if (!(in.u > 0))
    return conformityError("u", "The standard uncertainty is not above 0.", "u", "above 0");
  if (!in.lower && !in.upper)
    return conformityError("no_limit", "No limit is given.", "upper",
                           "a lower or an upper limit, or both");
  if (in.lower && in.upper && !(*in.lower < *in.upper))
    return conformityError("limits", "The lower limit does not lie below the upper limit.", "lower",
                           "below the upper limit");
  return in;
}

Result<double> guardFactorFor(const ConformityInputs& in) {
  if (in.lower && in.upper)
    return method::statistics::guardBandFactor(in.required, (*in.upper - *in.lower) / in.u);
  return method::statistics::guardBandFactor(in.required);
}

std::string conformitySubstituted(const ConformityInputs& in, double probability) {
  std::string terms =
      in.upper ? fmt::format("Φ(({:g} − {:g})/{:g})", *in.upper, in.value, in.u) : "1";
  if (in.lower) terms += fmt::format(" − Φ(({:g} − {:g})/{:g})", *in.lower, in.value, in.u);
  return fmt::format("p = {} = {:.2f} %", terms, 100 * probability);
}

Result<Evaluation> evaluateConformity(const Entry& entry, const Inputs& inputs) {
  const Result<ConformityInputs> in = conformityFrom(inputs);
  if (!in) return in.error();
  const double probability =
      method::statistics::conformanceProbability(in->value, in->u, in->lower, in->upper);
  Evaluation evaluation;
  evaluation.outputs = {output(entry, "probability", probability)};
  const Result<double> factor = guardFactorFor(*in);
  if (factor) {
    evaluation.outputs.push_back(output(entry, "guard_factor", *factor));
    evaluation.outputs.push_back(output(entry, "guard_band", *factor * in->u));
  } else if (factor.error().code == "conformity.no_acceptance_zone") {
    evaluation.notes.push_back(factor.error().what);  // the probability still stands
  } else {
    return atInput(factor.error());
  }
  evaluation.substituted_formula = conformitySubstituted(*in, probability);
  return evaluation;
}

Entry conformityEntry() {
  Entry entry;
  entry.id = "statistics.conformity";
  entry.version = method::statistics::conformity_version;
  entry.title = "Probability of conformity";
  entry.words =
      "How probable it is that a measured value lies within its limits, and how far to stay off "
      "them.";
  entry.formula =
      "p = Φ((U − y)/u) − Φ((L − y)/u);  one limit: Φ(g/u) = required;  two limits: Φ(g/u) − Φ((g "
      "− U + L)/u) = required";
  entry.inputs = {
      {"value", "y", "measured value", Kind::number, "1", {}, {}, false, false},
      {"u",
       "u",
       "its standard uncertainty (k = 1), in the unit of the value",
       Kind::number,
       "1",
       0,
       {},
       false,
       false},
      {"lower",
       "L",
       "lower limit, in the unit of the value",
       Kind::number,
       "1",
       {},
       {},
       false,
       true},
      {"upper",
       "U",
       "upper limit, in the unit of the value",
       Kind::number,
       "1",
       {},
       {},
       false,
       true},
      {"required", "1 − α", "conformance probability to be reached; 95 % when none is given",
       Kind::number, "%", 50, 100, false, true}};
  entry.outputs = {
      {"probability", "p", "conformance probability", Kind::number, "%", 2},
      {"guard_factor", "g/u", "guard band over standard uncertainty", Kind::number, "1", 4},
      {"guard_band", "g", "how far inside a limit a value must lie, in the unit of the value",
       Kind::number, "1", 4}};
  entry.validity =
      "Normal distribution, nothing known of the quantity beforehand. An absent limit drops its "
      "term. Where the limits lie too close together no value can reach the required probability: "
      "then no guard band is given.";
  entry.uncertainty = "Does not apply: the uncertainty is an input.";
  entry.source = "JCGM 106:2012 (ISO/IEC Guide 98-4), clause 7.";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/statistics.csv";
  entry.example.numbers = {{"value", {{*Decimal::parse("13.6"), "1"}}},
                           {"u", {{*Decimal::parse("1.8"), "1"}}},
                           {"upper", {{*Decimal::parse("16.3"), "1"}}}};
  entry.evaluate = evaluateConformity;
  return entry;
}

}  // namespace

std::vector<Entry> statisticsEntries() {
  return {summaryEntry({"statistics.summary",
                        "Summary of lengths",
                        "a length, such as film thickness or flatness",
                        Kind::length,
                        "um",
                        Kind::length,
                        "um",
                        {"21.4", "19.8", "22.1", "20.5", "21.0"}}),
          summaryEntry({"statistics.summary_mass",
                        "Summary of masses",
                        "a mass, such as the weight of pads",
                        Kind::mass,
                        "g",
                        Kind::mass,
                        "g",
                        {"143.2", "143.6", "143.1", "143.4"}}),
          summaryEntry({"statistics.summary_temperature",
                        "Summary of temperatures",
                        "a temperature, such as that of a mould",
                        Kind::temperature_point,
                        "Cel",
                        Kind::temperature_difference,
                        "K",
                        {"152.0", "149.5", "150.5"}}),
          conformityEntry()};
}

}  // namespace platemark::catalogue
