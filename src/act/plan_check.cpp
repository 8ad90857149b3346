/// A control plan is checked line by line before it is kept.
#include <fmt/format.h>

#include <algorithm>

#include "noun_check.h"
#include "platemark/catalogue/catalogue.h"
#include "support.h"

namespace platemark::act {

/// The measure is of this kind and, when asked, above zero.
Checked measured(const Measure& measure, platemark::Kind kind, const std::string& field,
                 bool positive) {
  const Result<double> si = siValue(measure, kind);
  if (!si) return Error(si.error()).at({"", 0, "", field});
  if (positive && measure.value.value() <= 0)
    return badInput("value.not_positive", fmt::format("'{}' must be above zero.", field), field,
                    "a number above zero");
  return {};
}

/// The same where a number may be typed without a unit: only where none is expected.
Checked measuredIn(const Measure& measure, platemark::Kind kind, std::string_view unit,
                   const std::string& field, bool positive) {
  if (std::optional<Error> fault = plainNumberFault(measure, unit))
    return fault->at({"", 0, "", field});
  return measured(measure, kind, field, positive);
}

platemark::Kind differenceOf(platemark::Kind kind) {
  return kind == platemark::Kind::temperature_point ? platemark::Kind::temperature_difference
                                                    : kind;
}

namespace {

Checked checkLimit(const Limit& limit, const catalogue::Output& output, const std::string& field) {
  for (const std::optional<Measure>* bound : {&limit.lower, &limit.upper})
    if (*bound)
      if (Checked c = measuredIn(**bound, output.kind, output.unit,
                                 field + (bound == &limit.lower ? ".lower" : ".upper"), false);
          !c)
        return c;
  if (limit.lower && limit.upper &&
      *siValue(*limit.lower, output.kind) > *siValue(*limit.upper, output.kind))
    return badInput("plan.limits_crossed", "The lower limit is above the upper one.", field);
  if ((output.name == "time_at_least" && limit.upper) ||
      (output.name == "time_at_most" && limit.lower))
    return badInput("plan.limit_side",
                    fmt::format("'{}' is known from one side only; the limit stands on the other.",
                                output.name),
                    field,
                    "a lower limit against time_at_least, an upper one against time_at_most");
  if (limit.source.document.empty())
    return badInput("plan.no_source", "A limit needs its source.", field + ".source.document",
                    "the document the limit comes from");
  // A hundredfold slip of the unit is common in print: 250 N/mm² for 250 N/cm².
  const double thirty_megapascal = 30e6;
  if (output.name == "shear_strength" && limit.lower &&
      *siValue(*limit.lower, output.kind) > thirty_megapascal)
    return badInput("plan.limit_implausible",
                    fmt::format("A shear limit of {} is a hundred times what pads reach.",
                                format(*limit.lower)),
                    field, "N/cm² or MPa; below 30 MPa");
  return {};
}

Checked checkPieces(const PlanLine& line, const std::string& field) {
  if (!line.pieces) return {};
  if (line.gate != Gate::final || line.method == bake_method)
    return badInput("plan.pieces_gate", "Only readings of finishing are taken of named pieces.",
                    field, "a line at the final gate");
  if (line.pieces->operation.empty())
    return badInput("plan.pieces_operation", "The pieces of which operation?", field + ".operation",
                    "a finishing operation");
  if (line.pieces->every && *line.pieces->every < 1)
    return badInput("plan.pieces_every", "Every how many pieces?", field + ".every",
                    "a whole number above 0");
  if (!line.pieces->every && !line.pieces->first_and_last)
    return badInput("plan.pieces_none", "No piece is asked for.", field,
                    "first_and_last, every, or both");
  return {};
}

/// A rule that is named fits what the line asks of the probability.
Checked checkRule(const PlanLine& line, const std::string& field) {
  if (line.probability && !(line.probability->value() > 0.5 && line.probability->value() < 1))
    return badInput("plan.probability", "The probability that is asked lies outside its range.",
                    field + ".probability", "above 0.5 and below 1, e.g. 0.95");
  if (!line.rule) return {};
  const bool by_probability = *line.rule == DecisionRule::probability;
  if (by_probability == line.probability.has_value()) return {};
  return badInput("plan.rule",
                  by_probability ? "The rule needs the probability that is asked."
                                 : "A probability is asked, and the rule does not use it.",
                  field + (by_probability ? ".probability" : ".rule"),
                  "probability with its number, or simple or expanded without");
}

Checked checkPlanLine(const PlanLine& line, const std::string& field) {
  const catalogue::Entry* method = catalogue::find(line.method);
  if (method == nullptr)
    return Error(unknown("method", line.method)).at({"", 0, "", field + ".method"});
  const auto output =
      std::find_if(method->outputs.begin(), method->outputs.end(),
                   [&](const catalogue::Output& o) { return o.name == line.output; });
  if (output == method->outputs.end()) {
    std::string names;
    for (const catalogue::Output& o : method->outputs)
      names += (names.empty() ? "" : ", ") + std::string(o.name);
    return badInput("plan.output_unknown",
                    fmt::format("Method {} gives no '{}'.", line.method, line.output),
                    field + ".output", names);
  }
  if ((line.gate == Gate::set_up) != line.operation.has_value())
    return badInput("plan.operation",
                    "A line at the set-up gate names its operation, and no other line does.",
                    field + ".operation", "press, or a finishing operation");
  if (line.span)
    if (Checked c =
            measuredIn(*line.span, differenceOf(output->kind), output->unit, field + ".span");
        !c)
      return c;
  if (Checked c = checkRule(line, field); !c) return c;
  if (Checked c = checkPieces(line, field + ".pieces"); !c) return c;
  if (line.samples < 1)
    return badInput("plan.samples", "At least one result is needed.", field + ".samples");
  for (std::size_t i = 0; i < line.limits.size(); ++i)
    if (Checked c = checkLimit(line.limits[i], *output, fmt::format("{}.limits[{}]", field, i)); !c)
      return c;
  return {};
}

}  // namespace

Checked checkPlan(const ControlPlan& plan) {
  for (std::size_t i = 0; i < plan.lines.size(); ++i)
    if (Checked c = checkPlanLine(plan.lines[i], fmt::format("noun.lines[{}]", i)); !c) return c;
  return {};
}

}  // namespace platemark::act
