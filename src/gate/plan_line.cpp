#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "findings.h"
#include "platemark/gate/disposition.h"
#include "platemark/gate/gauge_trust.h"
#include "platemark/method/statistics/conformity.h"
#include "platemark/quantity/measure.h"

namespace platemark::gate {
namespace {

/// One value that counts, with the fact it came from.
struct Counted {
  Measure value;
  std::optional<Measure> u;
  Sequence figure = 0;
  std::string sample;
};

/// What the record holds for one line of the plan.
struct Gathered {
  std::vector<Counted> counted;
  std::vector<const FigureValue*>
      bounded;                         ///< undetermined, but known to lie on one side of a bound
  std::vector<std::string> set_aside;  ///< why a result is kept and not counted
  std::vector<Sequence> figures;
};

std::string sampleWords(const Evidence& evidence) {
  return evidence.sample.empty() ? "The result" : "Sample " + evidence.sample;
}

const FigureValue* valueNamed(const Evidence& evidence, const std::string& name) {
  const auto found = std::find_if(evidence.values.begin(), evidence.values.end(),
                                  [&](const FigureValue& v) { return v.name == name; });
  return found == evidence.values.end() ? nullptr : &*found;
}

bool serves(const Evidence& evidence, const PlanLine& line) {
  return evidence.method == line.method &&
         (evidence.characteristic.empty() || evidence.characteristic == line.characteristic);
}

/// Why the evidence does not count: what was said when it was taken, then what its gauges say now.
std::vector<std::string> doubtsOf(const PlanLine& line, const Evidence& evidence,
                                  const GaugeTrusts& gauges) {
  std::vector<std::string> doubts = evidence.doubts;
  const bool required = line.gauge_study == GaugeStudyAsked::required;
  if (required && evidence.gauges.empty())
    doubts.push_back("it names no gauge, and the control plan asks for one that was studied");
  for (const std::string& code : evidence.gauges) {
    const auto known = gauges.find(code);
    const GaugeTrust trust = known == gauges.end() ? GaugeTrust{} : known->second;
    const GaugeResult result{code, line.characteristic, evidence.happened,
                             evidence.reading.value_or(evidence.figure - 1)};
    for (std::string& doubt : wrongDoubts(result, trust)) doubts.push_back(std::move(doubt));
    for (std::string& doubt : studyDoubts(result, trust, required))
      doubts.push_back(std::move(doubt));
  }
  return doubts;
}

Gathered gather(const PlanLine& line, const std::vector<Evidence>& all,
                const DispositionState& dispositions, const GaugeTrusts& gauges) {
  Gathered gathered;
  for (const Evidence& evidence : all) {
    if (!serves(evidence, line) || evidence.corrected_by) continue;
    if (const Rework* rework = madeOldBy(evidence, line.characteristic, dispositions)) {
      gathered.set_aside.push_back(fmt::format("{} is from before rework {}.",
                                               sampleWords(evidence), rework->ordered.rework));
      continue;
    }
    gathered.figures.push_back(evidence.figure);
    const FigureValue* value = valueNamed(evidence, line.output);
    const std::vector<std::string> doubts = doubtsOf(line, evidence, gauges);
    if (!doubts.empty())
      gathered.set_aside.push_back(sampleWords(evidence) + " does not count: " + doubts.front());
    else if (value == nullptr)
      gathered.set_aside.push_back(sampleWords(evidence) + " does not hold " + line.output + ".");
    else if (!value->determined) {
      gathered.set_aside.push_back(
          value->why.value_or(sampleWords(evidence) + " could not be determined."));
      if (value->at_least || value->at_most) gathered.bounded.push_back(value);
    } else
      gathered.counted.push_back({value->value, value->u, evidence.figure, evidence.sample});
  }
  return gathered;
}

double inUnit(const Measure& measure, const Measure& like) {
  // Plan and figure were checked to be of one kind when the line was compared.
  const Result<UnitRow> from = findUnit(measure.unit), to = findUnit(like.unit);
  return (measure.value.value() * from->factor + from->offset - to->offset) / to->factor;
}

/// A standard uncertainty is a difference: it scales and does not shift.
double differenceInUnit(const Measure& measure, const Measure& like) {
  return measure.value.value() * findUnit(measure.unit)->factor / findUnit(like.unit)->factor;
}

/// A difference of temperatures is in kelvin.
std::string differenceUnit(const std::string& unit) { return unit == "Cel" ? "K" : unit; }

bool comparable(const Measure& a, const Measure& b) {
  const Result<UnitRow> x = findUnit(a.unit), y = findUnit(b.unit);
  return x && y && x->kind == y->kind && (x->kind != Kind::hardness || x->code == y->code);
}

/// Which result and bound are of two kinds, in words; empty when every result can be compared with
/// every bound.
std::string notComparable(const std::vector<Counted>& counted, const Limit& limit) {
  for (const std::optional<Measure>& bound : {limit.lower, limit.upper})
    for (const Counted& c : counted)
      if (bound && !comparable(c.value, *bound))
        return fmt::format("a result is in {}, the limit in {}", c.value.unit, bound->unit);
  return "";
}

/// The result that stands against the limit, by the line's statistic; for `each` the one nearest to
/// a wall.
Counted standing(const PlanLine& line, const std::vector<Counted>& counted, const Limit& limit) {
  const Measure& like = counted.front().value;
  const auto less = [&](const Counted& a, const Counted& b) {
    return inUnit(a.value, like) < inUnit(b.value, like);
  };
  const auto lowest = std::min_element(counted.begin(), counted.end(), less);
  const auto highest = std::max_element(counted.begin(), counted.end(), less);
  if (line.statistic == Statistic::lowest) return *lowest;
  if (line.statistic == Statistic::highest) return *highest;
  if (line.statistic == Statistic::each) {
    if (!limit.upper) return *lowest;
    if (!limit.lower) return *highest;
    const double below = inUnit(lowest->value, *limit.lower) - limit.lower->value.value();
    const double above = limit.upper->value.value() - inUnit(highest->value, *limit.upper);
    return below * findUnit(limit.lower->unit)->factor <=
                   above * findUnit(limit.upper->unit)->factor
               ? *lowest
               : *highest;
  }
  double sum = 0, variance = 0;
  bool u_known = true;
  for (const Counted& c : counted) {
    sum += inUnit(c.value, like);
    const double u = c.u ? differenceInUnit(*c.u, like) : 0;
    variance += u * u;
    u_known = u_known && c.u;
  }
  const auto n = static_cast<double>(counted.size());
  Counted mean{{Decimal::fromDouble(sum / n), like.unit}, {}, counted.front().figure, ""};
  if (u_known) mean.u = Measure{Decimal::fromDouble(std::sqrt(variance) / n), like.unit};
  return mean;
}

/// Half a unit of the twelfth digit: 0.5 mm is not above 500 µm by a binary rounding.
double rounding(const Measure& bound) { return 1e-12 * std::abs(bound.value.value()); }

/// A line that names no rule decides by the probability it asks, else by the value alone.
DecisionRule ruleOf(const PlanLine& line) {
  if (line.rule) return *line.rule;
  return line.probability ? DecisionRule::probability : DecisionRule::simple;
}

/// A result with its limits in one unit; a limit that is absent stays so.
struct InOneUnit {
  double value = 0, u = 0;
  std::optional<double> lower, upper;
};
InOneUnit inOneUnit(const Counted& result, const Limit& limit) {
  const Measure& like = limit.lower ? *limit.lower : *limit.upper;
  InOneUnit in{inUnit(result.value, like), differenceInUnit(*result.u, like), {}, {}};
  if (limit.lower) in.lower = limit.lower->value.value();
  if (limit.upper) in.upper = inUnit(*limit.upper, like);
  return in;
}

/// Kept off the limits by 2u: inside for sure, outside for sure, or neither.
FindingWord placeExpanded(const InOneUnit& in, FindingWord simple) {
  const double guard = 2 * in.u;
  const auto within = [&](double band) {
    const double slack =
        1e-12 * std::max(std::abs(in.lower.value_or(0)), std::abs(in.upper.value_or(0)));
    return (!in.lower || in.value >= *in.lower + band - slack) &&
           (!in.upper || in.value <= *in.upper - band + slack);
  };
  if (within(guard)) return FindingWord::inside;
  return within(-guard) ? FindingWord::too_close : simple;
}

/// Where a single result lies against one limit.
FindingWord place(const PlanLine& line, const Counted& result, const Limit& limit) {
  const auto below = [&](const Measure& bound) {
    return inUnit(result.value, bound) < bound.value.value() - rounding(bound);
  };
  const auto above = [&](const Measure& bound) {
    return inUnit(result.value, bound) > bound.value.value() + rounding(bound);
  };
  const FindingWord simple = limit.lower && below(*limit.lower)   ? FindingWord::outside_below
                             : limit.upper && above(*limit.upper) ? FindingWord::outside_above
                                                                  : FindingWord::inside;
  const DecisionRule rule = ruleOf(line);
  if (rule == DecisionRule::simple) return simple;
  if (!result.u) return FindingWord::too_close;
  const InOneUnit in = inOneUnit(result, limit);
  if (in.u == 0) return simple;
  if (in.u < 0) return FindingWord::too_close;
  if (rule == DecisionRule::expanded) return placeExpanded(in, simple);
  if (!line.probability) return FindingWord::too_close;
  const double inside =
      method::statistics::conformanceProbability(in.value, in.u, in.lower, in.upper);
  const double asked = line.probability->value();
  if (inside >= asked) return FindingWord::inside;
  // A value inside whose uncertainty is wider than the limits is no pass: its chance of being
  // inside is small.
  return inside <= 1 - asked && simple != FindingWord::inside ? simple : FindingWord::too_close;
}

int severity(FindingWord word) {
  return word == FindingWord::inside ? 0 : word == FindingWord::too_close ? 1 : 2;
}

/// With a probability asked of each result, the worst need not be the one nearest to a wall: its u
/// may be wider or unknown.
Counted worst(const PlanLine& line, const std::vector<Counted>& counted, const Limit& limit) {
  Counted result = standing(line, counted, limit);
  if (line.statistic != Statistic::each || ruleOf(line) == DecisionRule::simple) return result;
  for (const Counted& c : counted)
    if (severity(place(line, c, limit)) > severity(place(line, result, limit))) result = c;
  return result;
}

std::string limitWords(const Limit& limit) {
  if (limit.lower && limit.upper)
    return fmt::format("{} to {}", limit.lower->value.text(), format(*limit.upper));
  if (limit.lower) return "at least " + format(*limit.lower);
  return "at most " + format(*limit.upper);
}

std::string sourceWords(const LimitSource& source) {
  std::string words = source.document;
  if (!source.edition.empty()) words += ", " + source.edition;
  if (!source.clause.empty()) words += ", " + source.clause;
  return words;
}

/// One digit more than the limit has, if the result has it once it is in the limit's unit.
int shownDecimals(const Measure& result, const Measure& limit) {
  return std::min(Decimal::fromDouble(inUnit(result, limit)).decimals(),
                  limit.value.decimals() + 1);
}

std::string shown(const Measure& value, const Limit& limit) {
  const Measure& like = limit.lower ? *limit.lower : *limit.upper;
  return format(
      Measure{Decimal::fixed(inUnit(value, like), shownDecimals(value, like)), like.unit});
}

std::string percentWords(double share) {
  if (share > 0.999) return "over 99.9 %";
  if (share < 0.001) return "under 0.1 %";
  return fmt::format("{:.1f} %", 100 * share);
}

/// How probable it is that the thing conforms, said where the line names its rule.
std::string ruleWords(const PlanLine& line, const Counted& result, const Limit& limit) {
  if (!line.rule) return "";
  if (!result.u) return " Its uncertainty is not known.";
  const InOneUnit in = inOneUnit(result, limit);
  if (!(in.u > 0)) return "";
  std::string words;
  if (*line.rule == DecisionRule::expanded) {
    const Measure& like = limit.lower ? *limit.lower : *limit.upper;
    const Measure guard{Decimal::fixed(2 * in.u, shownDecimals(result.value, like)),
                        differenceUnit(like.unit)};
    words = fmt::format(" The rule keeps {} off the limit.", format(guard));
  }
  return words + fmt::format(" Probability of conformity: {}.",
                             percentWords(method::statistics::conformanceProbability(
                                 in.value, in.u, in.lower, in.upper)));
}

Finding blank(const PlanLine& line) {
  Finding finding;
  finding.characteristic = line.characteristic;
  finding.title = line.words;
  finding.wanted = line.samples;
  finding.who = line.who;
  finding.span = line.span;
  return finding;
}

Finding noLimit(const PlanLine& line) {
  Finding finding = blank(line);
  finding.word = FindingWord::no_limit;
  finding.sentence = fmt::format("{}: no limit is on file.", line.words);
  finding.who = "quality manager";
  return finding;
}

/// A plan that asks nothing at a gate has no limit on file there, and that is never a pass.
Finding nothingAsked(Gate gate) {
  Finding finding;
  finding.characteristic = "plan";
  finding.title = "Control plan";
  finding.word = FindingWord::no_limit;
  finding.sentence =
      fmt::format("No control plan with a line for the {} gate is on file.", word(gate));
  finding.who = "quality manager";
  return finding;
}

/// Results that stand for the samples asked for: a repeat on the same sample does not stand for
/// another one.
std::int64_t samplesCounted(const std::vector<Counted>& counted) {
  std::set<std::string> named;
  std::int64_t unnamed = 0;
  for (const Counted& c : counted) {
    if (c.sample.empty())
      ++unnamed;
    else
      named.insert(c.sample);
  }
  return unnamed + static_cast<std::int64_t>(named.size());
}

std::string missingSentence(const PlanLine& line, const Gathered& gathered) {
  std::string sentence =
      fmt::format("{}: {} of {}", line.words, samplesCounted(gathered.counted), line.samples);
  sentence += line.samples == 1 ? " result." : " results.";
  for (const std::string& why : gathered.set_aside) sentence += " " + why;
  return sentence;
}

std::string comparedSentence(const PlanLine& line, const Counted& result, const Limit& limit,
                             FindingWord word) {
  std::string value = shown(result.value, limit);
  if (result.u) {
    const Measure& like = limit.lower ? *limit.lower : *limit.upper;
    const double expanded = 2 * differenceInUnit(*result.u, like);
    value += fmt::format(" ± {} (k = 2)",
                         Decimal::fixed(expanded, shownDecimals(result.value, like)).text());
  }
  const std::string statistic =
      line.samples > 1 ? fmt::format(" ({} of {})", platemark::word(line.statistic), line.samples)
                       : "";
  const std::string_view place = word == FindingWord::inside      ? "inside"
                                 : word == FindingWord::too_close ? "too close to say"
                                                                  : "outside";
  return fmt::format("{}{}: {}, {} ({} [{}]).{}", line.words, statistic, value, place,
                     limitWords(limit), sourceWords(limit.source), ruleWords(line, result, limit));
}

/// A figure that is not known may still be known to lie outside: at most 101 min is not at least
/// 120.
std::optional<Finding> outsideByBound(Finding finding, const PlanLine& line, const Limit& limit,
                                      const Gathered& gathered) {
  for (const FigureValue* value : gathered.bounded) {
    const bool below = limit.lower && value->at_most &&
                       inUnit(*value->at_most, *limit.lower) < limit.lower->value.value();
    const bool above = limit.upper && value->at_least &&
                       inUnit(*value->at_least, *limit.upper) > limit.upper->value.value();
    if (!below && !above) continue;
    const Measure& bound = below ? *value->at_most : *value->at_least;
    finding.word = below ? FindingWord::outside_below : FindingWord::outside_above;
    finding.result = bound;
    (below ? finding.at_most : finding.at_least) = bound;
    finding.sentence = fmt::format(
        "{}: {} {}, outside ({} [{}]). {}", line.words, below ? "at most" : "at least",
        shown(bound, limit), limitWords(limit), sourceWords(limit.source), value->why.value_or(""));
    return finding;
  }
  return {};
}

/// What is known of the one result that is there and not determined.
void tellBounds(Finding& finding, const Gathered& gathered, const Limit& limit) {
  if (gathered.bounded.size() != 1 || gathered.set_aside.size() != 1) return;
  const FigureValue& only = *gathered.bounded.front();
  if (!comparable(only.value, limit.lower ? *limit.lower : *limit.upper)) return;
  finding.at_least = only.at_least;
  finding.at_most = only.at_most;
}

/// Under simple acceptance the value decides; that its uncertainty reaches over the limit is said.
std::optional<std::string> crossingNote(const PlanLine& line, const Counted& result,
                                        const Limit& limit) {
  if (ruleOf(line) != DecisionRule::simple || !result.u) return {};
  for (const std::optional<Measure>& bound : {limit.lower, limit.upper}) {
    if (!bound) continue;
    const double expanded = 2 * differenceInUnit(*result.u, *bound);
    const double distance = std::abs(inUnit(result.value, *bound) - bound->value.value());
    if (distance >= expanded - rounding(*bound)) continue;
    const Measure shown_u{Decimal::fixed(expanded, shownDecimals(result.value, *bound)),
                          differenceUnit(bound->unit)};
    const bool inside = place(line, result, limit) == FindingWord::inside;
    return fmt::format(
        "{} the limit, but its uncertainty of ± {} (k = 2) reaches {} it; the plan decides by the "
        "value alone.",
        inside ? "Inside" : "Outside", format(shown_u), inside ? "past" : "back inside");
  }
  return {};
}

bool isAdopted(const PlanLine& line, const std::string& plan, std::int64_t plan_issue,
               const std::vector<Adoption>& adoptions) {
  return std::any_of(adoptions.begin(), adoptions.end(), [&](const Adoption& a) {
    return a.adopted.plan == plan && a.adopted.plan_issue == plan_issue &&
           a.adopted.characteristic == line.characteristic;
  });
}

Finding compareWithLimit(const PlanLine& line, const Limit& limit, const Gathered& gathered,
                         bool adopted) {
  Finding finding = blank(line);
  finding.lower = limit.lower;
  finding.upper = limit.upper;
  finding.source = sourceWords(limit.source);
  finding.confirmed = limit.source.confirmed;
  finding.adopted = adopted;
  finding.figures = gathered.figures;
  finding.counted = samplesCounted(gathered.counted);
  for (const Counted& c : gathered.counted) finding.singles.push_back(c.value);
  if (gathered.counted.empty()) {
    if (limit.source.confirmed || adopted)
      if (std::optional<Finding> outside = outsideByBound(finding, line, limit, gathered))
        return *outside;
    tellBounds(finding, gathered, limit);
    finding.word = FindingWord::missing;
    finding.sentence = missingSentence(line, gathered);
    return finding;
  }
  if (const std::string stranger = notComparable(gathered.counted, limit); !stranger.empty()) {
    finding.word = FindingWord::missing;
    finding.sentence = fmt::format("{}: {}; they cannot be compared.", line.words, stranger);
    return finding;
  }
  const Counted result = worst(line, gathered.counted, limit);
  finding.result = result.value;
  finding.u = result.u;
  finding.note = crossingNote(line, result, limit);
  finding.word = place(line, result, limit);
  finding.sentence = comparedSentence(line, result, limit, finding.word);
  const bool outside =
      finding.word == FindingWord::outside_above || finding.word == FindingWord::outside_below;
  if (finding.counted < line.samples && !outside) {
    finding.word = FindingWord::missing;
    finding.sentence = missingSentence(line, gathered) + " So far " + finding.sentence;
  } else if (!limit.source.confirmed && !adopted) {
    // Law 6: an unconfirmed limit decides nothing, neither for nor against.
    finding.word = FindingWord::unconfirmed;
    finding.sentence += " The limit is unconfirmed: quality must read the document and adopt it.";
    finding.who = "quality manager";
  }
  return finding;
}

}  // namespace

std::vector<Finding> compareWithPlan(Gate gate, const ControlPlan& plan, std::int64_t plan_issue,
                                     const std::vector<Evidence>& evidence,
                                     const std::vector<Adoption>& adoptions,
                                     const DispositionState& dispositions,
                                     const GaugeTrusts& gauges) {
  std::vector<Finding> findings;
  for (const PlanLine& line : plan.lines) {
    if (line.gate != gate) continue;
    const Gathered gathered = gather(line, evidence, dispositions, gauges);
    const bool adopted = isAdopted(line, plan.code, plan_issue, adoptions);
    bool compared = false;
    for (const Limit& limit : line.limits) {
      if (!limit.lower && !limit.upper) continue;
      findings.push_back(compareWithLimit(line, limit, gathered, adopted));
      compared = true;
    }
    if (!compared) findings.push_back(noLimit(line));
  }
  if (findings.empty()) findings.push_back(nothingAsked(gate));
  return findings;
}

}  // namespace platemark::gate
