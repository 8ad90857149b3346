#include <fmt/format.h>

#include <algorithm>

#include "platemark/figure/strip.h"
#include "platemark/figure/svg.h"
#include "view.h"

namespace platemark::service::view {
namespace {

bool settled(FindingWord word) { return word == FindingWord::inside; }

double inUnit(const Measure& measure, const UnitRow& unit) {
  const Result<UnitRow> own = findUnit(measure.unit);
  return (measure.value.value() * own->factor + own->offset - unit.offset) / unit.factor;
}

double differenceInUnit(const Measure& measure, const UnitRow& unit) {
  return measure.value.value() * findUnit(measure.unit)->factor / unit.factor;
}

const Measure* boundOf(const Finding& finding) {
  return finding.lower ? &*finding.lower : finding.upper ? &*finding.upper : nullptr;
}

/// One digit more than the limit has, if the value has it: the same as in the gate's sentence.
int decimalsOf(const Finding& finding, const std::optional<Measure>& value) {
  const Measure* bound = boundOf(finding);
  if (bound == nullptr || !value) return 2;
  const double shown = inUnit(*value, *findUnit(bound->unit));
  return std::min(Decimal::fromDouble(shown).decimals(), bound->value.decimals() + 1);
}

const Measure* anyValueOf(const Finding& finding) {
  return finding.result     ? &*finding.result
         : finding.at_least ? &*finding.at_least
         : finding.at_most  ? &*finding.at_most
                            : nullptr;
}

std::string unitOf(const Finding& finding) {
  const Measure *bound = boundOf(finding), *value = anyValueOf(finding);
  return bound != nullptr ? bound->unit : value != nullptr ? value->unit : "1";
}

std::string numberOf(const Finding& finding, const Measure& value) {
  return format(Measure{
      Decimal::fixed(inUnit(value, *findUnit(unitOf(finding))), decimalsOf(finding, value)), "1"});
}

bool isBound(const Finding& finding) { return finding.at_least || finding.at_most; }

/// A value known from one side or from both, never as a bare number.
std::string boundNumber(const Finding& finding) {
  if (finding.at_least && finding.at_most)
    return say("service.limit.between", {{"lower", numberOf(finding, *finding.at_least)},
                                         {"upper", numberOf(finding, *finding.at_most)}});
  return finding.at_least
             ? say("service.limit.lower", {{"limit", numberOf(finding, *finding.at_least)}})
             : say("service.limit.upper", {{"limit", numberOf(finding, *finding.at_most)}});
}

/// The result, or the bound when the value lies on one side of it.
void addStripResult(figure::StripInput& strip, const Finding& finding, const UnitRow& unit) {
  const bool two_sided = finding.at_least && finding.at_most;
  if (anyValueOf(finding) == nullptr || two_sided) return;
  strip.result = inUnit(*anyValueOf(finding), unit);
  strip.result_words = resultNumber(finding);
  if (finding.at_least) strip.known = figure::Known::at_least;
  if (finding.at_most) strip.known = figure::Known::at_most;
}

figure::Finding stripFinding(FindingWord word) {
  switch (word) {
    case FindingWord::inside:
      return figure::Finding::inside;
    case FindingWord::outside_above:
      return figure::Finding::outside_above;
    case FindingWord::outside_below:
      return figure::Finding::outside_below;
    case FindingWord::too_close:
      return figure::Finding::too_close;
    case FindingWord::no_limit:
      return figure::Finding::no_limit;
    default:
      return figure::Finding::missing;
  }
}

/// The method of a plan's line; "" when the plan has no such line.
std::string methodOf(const Look& look, const BarInput& in, const std::string& characteristic) {
  const auto plan = ledger::stateAs<Issued<ControlPlan>>(
      look.snapshot, projection::plan, ledger::issueKey(in.now.plan, in.now.plan_issue));
  if (plan)
    for (const PlanLine& line : plan->noun.lines)
      if (line.characteristic == characteristic) return line.method;
  return "";
}

/// How a finding would be mended, where a page for it exists: a line of the plan that wants
/// results, or a bake. What the oven's recorder says nobody can enter.
Value actionFor(const Look& look, const BarInput& in, const Finding& finding) {
  const std::string& about = finding.characteristic;
  const bool wants_results =
      finding.word == FindingWord::missing || finding.word == FindingWord::too_close;
  const std::string method = methodOf(look, in, about);
  const bool with_bake = about == "bake" || method == bake_method;
  if (!wants_results || method == "cure.chart" || (finding.wanted == 0 && !with_bake))
    return Value();
  const std::string laboratory =
      "/laboratory?subject=" + in.subject.kind + ":" + in.subject.id + "&characteristic=" + about;
  return Value::Object{{"label", say("service.bar.enter", {{"what", about}})},
                       {"href", with_bake ? "/do/bake/enter?batch=" + in.subject.id : laboratory}};
}

Value pin(const Look& look, const BarInput& in, const Finding& finding) {
  return Value::Object{{"word", word(finding.word)},
                       {"title", finding.title},
                       {"sentence", finding.sentence},
                       {"who", finding.who},
                       {"action", actionFor(look, in, finding)}};
}

/// Most blocking first: what speaks against, then what is missing.
std::vector<const Finding*> pinsInOrder(const std::vector<Finding>& findings) {
  std::vector<const Finding*> pins;
  for (const Finding& f : findings)
    if (!settled(f.word)) pins.push_back(&f);
  const auto weight = [](const Finding* f) {
    const bool against = f->word == FindingWord::outside_above ||
                         f->word == FindingWord::outside_below || f->word == FindingWord::not_met;
    return against ? 0 : f->word == FindingWord::missing ? 2 : 1;
  };
  std::stable_sort(pins.begin(), pins.end(),
                   [&](auto* a, auto* b) { return weight(a) < weight(b); });
  return pins;
}

std::string_view barState(const BarInput& in) {
  if (!in.reached) return "not yet";
  if (!in.state.open()) return "hold";
  return in.state.release ? "released" : "concession";
}

std::string barSentence(const BarInput& in) {
  if (!in.reached) return say("service.bar.not_reached");
  if (in.state.open())
    return in.state.release ? say("service.bar.released")
                            : say("service.bar.conceded", {{"concession", *in.state.concession},
                                                           {"outcome", word(in.state.outcome)}});
  if (in.state.overtaken_by) return say("service.bar.overtaken", {{"why", in.state.overtaken_why}});
  const auto pins = pinsInOrder(in.now.findings);
  if (in.now.findings.empty()) return say("service.bar.no_plan");
  if (pins.empty())
    return say(in.subject.kind == "lot" ? "service.bar.waits_clear"
                                        : "service.bar.waits_signature");
  return say(in.now.outcome == Outcome::does_not_conform ? "service.bar.does_not_conform"
                                                         : "service.bar.cannot_decide",
             {{"why", pins.front()->sentence}});
}

}  // namespace

std::optional<figure::StripInput> stripInput(const Finding& finding) {
  const Measure* bound = boundOf(finding);
  const Measure* like = bound != nullptr ? bound : anyValueOf(finding);
  if (like == nullptr) return {};
  const Result<UnitRow> unit = findUnit(like->unit);
  if (!unit) return {};
  figure::StripInput strip;
  strip.name = finding.title;
  strip.unit = std::string(unit->symbol);
  const auto limit = [&](const Measure& m) {
    return figure::StripLimit{inUnit(m, *unit), m.value.text(),
                              finding.confirmed || finding.adopted};
  };
  if (finding.lower) strip.lower = limit(*finding.lower);
  if (finding.upper) strip.upper = limit(*finding.upper);
  if (finding.lower.has_value() != finding.upper.has_value())
    strip.one_sided_span = finding.span ? differenceInUnit(*finding.span, *unit)
                                        : std::max(1.0, std::abs(bound->value.value()) * 0.75);
  for (const Measure& single : finding.singles) strip.readings.push_back(inUnit(single, *unit));
  addStripResult(strip, finding, *unit);
  if (finding.u) {
    strip.uncertainty = 2 * differenceInUnit(*finding.u, *unit);
    strip.uncertainty_words =
        Decimal::fixed(*strip.uncertainty, decimalsOf(finding, finding.result)).text();
  }
  // An unconfirmed limit decides nothing: the strip shows the result open, beside its hollow tick.
  strip.finding = stripFinding(finding.word);
  return strip;
}

std::string stripSvg(const Finding& finding) {
  const std::optional<figure::StripInput> strip = stripInput(finding);
  if (!strip) return "";
  const Result<figure::Scene> scene = figure::evidenceStrip(*strip);
  return scene ? figure::toSvg(*scene) : "";
}

std::string resultNumber(const Finding& finding) {
  if (isBound(finding)) return boundNumber(finding);
  return finding.result ? numberOf(finding, *finding.result) : "";
}

std::string resultWords(const Finding& finding) {
  if (anyValueOf(finding) == nullptr) return "";
  const std::string symbol(findUnit(unitOf(finding))->symbol), u = uncertaintyWords(finding);
  return resultNumber(finding) + (u.empty() ? "" : " " + u) +
         (symbol.empty() ? "" : "\xC2\xA0" + symbol);
}

std::string uncertaintyWords(const Finding& finding) {
  if (!finding.u) return "";
  const Measure* bound = boundOf(finding);
  const Result<UnitRow> row = findUnit(bound != nullptr ? bound->unit : finding.u->unit);
  return "± " +
         Decimal::fixed(2 * differenceInUnit(*finding.u, *row), decimalsOf(finding, finding.result))
             .text();
}

std::string limitWords(const Finding& finding) {
  if (finding.lower && finding.upper)
    return say("service.limit.between",
               {{"lower", finding.lower->value.text()}, {"upper", format(*finding.upper)}});
  return finding.lower ? say("service.limit.lower", {{"limit", format(*finding.lower)}})
                       : say("service.limit.upper", {{"limit", format(*finding.upper)}});
}

Value limitsValue(const Look& look, const Finding& finding, const std::string& plan,
                  std::int64_t plan_issue) {
  if (boundOf(finding) == nullptr) return Value::Array{};
  Value::Object limit{{"words", limitWords(finding)},
                      {"source", finding.source},
                      {"confirmed", finding.confirmed},
                      {"adopted", finding.adopted}};
  if (!finding.confirmed && !finding.adopted && !plan.empty() &&
      permitObstacles(look, "limit adopt").empty())
    limit.emplace("adopt_href",
                  fmt::format("/adopt/{}/{}/{}", plan, plan_issue, finding.characteristic));
  return Value::Array{std::move(limit)};
}

Value findingValue(const Look& look, const Finding& finding, const std::string& plan,
                   std::int64_t plan_issue) {
  Value::Object value{{"word", word(finding.word)},
                      {"characteristic", finding.characteristic},
                      {"title", finding.title},
                      {"sentence", finding.sentence},
                      {"limits", limitsValue(look, finding, plan, plan_issue)}};
  if (finding.wanted > 1)
    value.emplace("sub", say("service.finding.counted",
                             {{"n", finding.counted}, {"wanted", finding.wanted}}));
  if (const std::string result = resultNumber(finding); !result.empty()) {
    value.emplace("result", result);
    value.emplace("unit", findUnit(unitOf(finding))->symbol);
  }
  if (const std::string u = uncertaintyWords(finding); !u.empty()) value.emplace("u", u);
  if (isBound(finding))
    value.emplace("result_sub", say("service.finding.bound"));
  else if (finding.word == FindingWord::missing && finding.result)
    value.emplace("result_sub", say("service.finding.so_far"));
  if (finding.note) value.emplace("note", *finding.note);
  if (finding.result && !plan.empty())
    value.emplace("trend_href", "/characteristics/" + plan + "/" + finding.characteristic);
  if (const std::string svg = stripSvg(finding); !svg.empty()) value.emplace("strip_svg", svg);
  Value::Array figures;
  for (const Sequence s : finding.figures) figures.push_back(Value(s));
  value.emplace("figures", std::move(figures));
  return value;
}

Value barValue(const Look& look, const BarInput& in) {
  Value::Array pins, findings;
  if (in.reached && !in.state.open())
    for (const Finding* f : pinsInOrder(in.now.findings)) pins.push_back(pin(look, in, *f));
  if (in.reached)
    for (const Finding& f : in.now.findings)
      findings.push_back(findingValue(look, f, in.now.plan, in.now.plan_issue));
  const std::string gate_name(word(in.gate));
  Value::Object bar{{"gate", gate_name},
                    {"title", say("service.bar.title", {{"gate", capital(gate_name)}})},
                    {"state", barState(in)},
                    {"sentence", barSentence(in)},
                    {"missing", std::move(pins)},
                    {"findings", std::move(findings)}};
  if (in.state.verdict) {
    Value::Object verdict{{"fact", *in.state.verdict},
                          {"outcome", word(in.state.outcome)},
                          {"digest", in.state.digest},
                          {"seen", in.state.seen}};
    if (in.state.overtaken_by) verdict.emplace("overtaken", in.state.overtaken_why);
    bar.emplace("verdict", std::move(verdict));
  }
  if (in.state.release) {
    const std::optional<Fact> release = look.snapshot.fact(*in.state.release);
    bar.emplace("release",
                Value::Object{{"fact", *in.state.release},
                              {"who", dutyOf(look, *in.state.released_by)},
                              {"when", dayAndTime(look, *in.state.released_at)},
                              {"meaning", release ? release->body.text("meaning") : ""}});
  }
  if (in.reached)
    bar.emplace("judge_href",
                fmt::format("/judge/{}/{}/{}", gate_name, in.subject.kind, in.subject.id));
  return bar;
}

}  // namespace platemark::service::view
