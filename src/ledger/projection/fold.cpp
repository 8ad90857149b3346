#include "fold.h"

#include <algorithm>

#include "platemark/plant/gauge_trust.h"

namespace platemark::ledger {

void overtake(GateState& gate, const Fact& fact, const std::string& why) {
  if (!gate.verdict || gate.overtaken_by || fact.sequence <= gate.seen) return;
  gate.overtaken_by = fact.sequence;
  gate.overtaken_why = why;
}

void giveVerdict(GateState& gate, const Fact& fact, const VerdictGiven& verdict) {
  gate = GateState{};
  gate.verdict = fact.sequence;
  gate.outcome = verdict.outcome;
  gate.seen = verdict.seen;
  gate.digest = verdict.digest;
}

void signRelease(GateState& gate, const Fact& fact) {
  gate.release = fact.sequence;
  gate.released_by = fact.person;
  gate.released_at = fact.recorded;
}

namespace {

/// The gauges of the reading behind a figure; one without a reading rests on the fact before it.
std::vector<std::string> gaugesBehind(const ProjectionView& view, const Fact& fact,
                                      const FigureComputed& figure) {
  const Sequence reading = figure.readings.empty() ? fact.sequence - 1 : figure.readings.front();
  return get<std::vector<std::string>>(view, projection::gauges_of, std::to_string(reading))
      .value_or(std::vector<std::string>{});
}

}  // namespace

void addEvidence(std::vector<Evidence>& evidence, const ProjectionView& view, const Fact& fact,
                 const FigureComputed& figure) {
  Evidence added;
  added.figure = fact.sequence;
  if (!figure.readings.empty()) added.reading = figure.readings.front();
  added.characteristic = figure.characteristic;
  added.sample = figure.sample;
  added.method = figure.method;
  added.method_version = figure.method_version;
  added.values = figure.values;
  added.gauges = gaugesBehind(view, fact, figure);
  added.doubts = figure.doubts;
  added.happened = fact.happened.instant;
  added.repeat = std::any_of(evidence.begin(), evidence.end(), [&](const Evidence& e) {
    return e.characteristic == added.characteristic && e.sample == added.sample &&
           e.method == added.method && !e.corrected_by;
  });
  evidence.push_back(std::move(added));
}

bool markCorrected(std::vector<Evidence>& evidence, Sequence corrected, Sequence by) {
  bool any = false;
  for (Evidence& e : evidence) {
    if (e.reading != corrected && e.figure != corrected) continue;
    e.corrected_by = by;
    any = true;
  }
  return any;
}

void placeHold(std::vector<Hold>& holds, const Fact& fact, const std::string& why) {
  holds.push_back({fact.sequence, why, {}});
}

void liftHold(std::vector<Hold>& holds, Sequence hold, Sequence by) {
  for (Hold& h : holds)
    if (h.fact == hold && !h.lifted_by) h.lifted_by = by;
}

std::optional<Sequence> correctedBy(const Fact& fact) {
  const std::int64_t* n = fact.body["remark"]["corrects"].asInteger();
  return n == nullptr ? std::nullopt : std::optional<Sequence>(*n);
}

std::string cameAfterwards(const Fact& fact) {
  const FactKind* kind = findFactKind(fact.kind);
  return "fact " + std::to_string(fact.sequence) + " (" +
         std::string(kind == nullptr ? fact.kind : kind->words) + ") came after its verdict";
}

std::string nowKey(std::string_view code) { return "now/" + std::string(code); }

std::string issueKey(std::string_view code, std::int64_t issue) {
  std::string number = std::to_string(issue);
  number.insert(0, number.size() < 6 ? 6 - number.size() : 0, '0');
  return "all/" + std::string(code) + "/" + number;
}

std::vector<Projection> plantProjections() {
  std::vector<Projection> list;
  foldNouns(list);
  for (auto make :
       {codeProjection,        counterProjection,         adoptionProjection,  reworkProjection,
        dispositionProjection, gaugesOfProjection,        mixProjection,       lotProjection,
        loadProjection,        batchProjection,           boxProjection,       storedProjection,
        cartonProjection,      shipmentProjection,        deviationProjection, lineProjection,
        setUpProjection,       setUpForProjection,        containerProjection, gaugeCheckProjection,
        gaugeUseProjection,    gaugeTrustProjection,      trendProjection,     pressedProjection,
        ovenLoadsProjection,   kineticsAdoptionProjection})
    list.push_back(make());
  return list;
}

}  // namespace platemark::ledger
