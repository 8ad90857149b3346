#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "findings.h"
#include "platemark/gate/counts.h"
#include "platemark/gate/gauge_trust.h"
#include "platemark/gate/line.h"
#include "platemark/gate/permission.h"
#include "platemark/gate/weighing.h"

namespace platemark::gate {
namespace {

bool isBefore(Step a, Step b) { return static_cast<int>(a) < static_cast<int>(b); }

std::vector<const StepDone*> doneOf(const BatchState& batch, Step step) {
  std::vector<const StepDone*> done;
  for (const StepDone& s : batch.steps)
    if (s.step == step && !s.corrected_by) done.push_back(&s);
  return done;
}

std::string_view crewOf(Step step) {
  switch (step) {
    case Step::plates:
      return "plate crew";
    case Step::mix:
      return "mixing crew";
    case Step::press:
      return "press crew";
    case Step::clamp:
    case Step::cure:
      return "oven crew";
    case Step::sample:
      return "laboratory technician";
    case Step::finish:
      return "finishing crew";
    case Step::pack:
    case Step::ship:
      return "packing crew";
  }
  return "";
}

/// Every step that the route asks for up to this gate is on record.
void addRoute(std::vector<Finding>& findings, Gate gate, const BatchFile& file) {
  const Step bar = gate == Gate::cure ? Step::finish : Step::pack;
  const Step from = gate == Gate::cure ? Step::plates : Step::finish;
  std::size_t missing = 0, asked = 0;
  for (const RouteStep& step : file.part.route) {
    if (!isBefore(step.step, bar) || isBefore(step.step, from)) continue;
    ++asked;
    if (!doneOf(file.batch, step.step).empty()) continue;
    ++missing;
    findings.push_back(
        requirement("route", "Route", FindingWord::missing,
                    fmt::format("The step '{}' of the route is not on record.", word(step.step)),
                    std::string(crewOf(step.step))));
  }
  if (missing == 0)
    findings.push_back(
        requirement("route", "Route", FindingWord::inside,
                    asked == 1 ? "The step of the route is on record."
                               : fmt::format("All {} steps of the route are on record.", asked)));
}

/// Finishing operations the route names, each done.
void addOperations(std::vector<Finding>& findings, const BatchFile& file) {
  for (const RouteStep& step : file.part.route) {
    if (step.step != Step::finish) continue;
    for (const std::string& operation : step.operations) {
      const auto done = doneOf(file.batch, Step::finish);
      const bool found = std::any_of(done.begin(), done.end(),
                                     [&](const StepDone* s) { return s->what == operation; });
      if (!found)
        findings.push_back(requirement("finishing", "Finishing", FindingWord::missing,
                                       fmt::format("'{}' is not on record.", operation),
                                       "finishing crew"));
    }
  }
}

std::string titleOf(const StepTotal& total) {
  std::string title(word(total.step));
  if (!total.operation.empty()) title += ", " + total.operation;
  if (total.runs.size() > 1) title += fmt::format(" ({} runs)", total.runs.size());
  return title;
}

/// What came in must be good, scrap, sample or rework: a difference is said in pieces.
void addCounts(std::vector<Finding>& findings, const BatchFile& file) {
  bool balanced = true;
  for (const StepTotal& total : stepTotals(file.batch, file.dispositions)) {
    if (total.out == total.in) continue;
    balanced = false;
    const std::int64_t off = std::abs(total.in - total.out);
    findings.push_back(
        requirement("counts", "Counts", FindingWord::missing,
                    fmt::format("{}: {} pieces went in, {} are accounted for; {} {}.",
                                titleOf(total), total.in, total.out, off,
                                total.in < total.out ? "too many"
                                : off == 1           ? "is missing"
                                                     : "are missing"),
                    std::string(crewOf(total.step)), total.runs));
  }
  if (balanced)
    findings.push_back(
        requirement("counts", "Counts", FindingWord::inside,
                    fmt::format("The counts balance at every step; {} pads are good.",
                                goodPads(file.batch, file.dispositions))));
}

void addLot(std::vector<Finding>& findings, const LotState& lot) {
  const std::string& label = lot.received.lot;
  if (lot.disposition == LotDisposition::refuse)
    findings.push_back(
        requirement("lots", "Lot " + label, FindingWord::not_met,
                    fmt::format("Lot {} was used and is refused: {}.", label, lot.decided_why),
                    "quality manager"));
  else if (lot.disposition == LotDisposition::hold)
    findings.push_back(requirement("lots", "Lot " + label, FindingWord::missing,
                                   fmt::format("Lot {} was used and is not cleared.", label),
                                   "quality manager"));
  else if (lot.gate.overtaken_by)
    findings.push_back(
        requirement("lots", "Lot " + label, FindingWord::missing,
                    fmt::format("Lot {} was cleared, but {}.", label, lot.gate.overtaken_why),
                    "quality manager", {*lot.gate.overtaken_by}));
  for (const Hold& hold : lot.holds)
    if (!hold.lifted_by)
      findings.push_back(
          requirement("lots", "Lot " + label, FindingWord::missing,
                      fmt::format("Lot {} was used and is on hold: {}.", label, hold.why),
                      "quality manager", {hold.fact}));
}

void addLots(std::vector<Finding>& findings, const BatchFile& file) {
  if (file.lots.empty())
    findings.push_back(
        requirement("lots", "Lots", FindingWord::missing, "No lot is on record for this batch."));
  append(findings, lotFindings(file.lots));
}

/// All weighings of one line of a mix added up; one weighing may be split over two bags.
struct LineTotal {
  double mass = 0;
  std::vector<Sequence> facts;
};

LineTotal totalOf(const MixState& mix, const FormulaLine& line, const Measure& like) {
  LineTotal total;
  const double unit = findUnit(like.unit)->factor;
  for (const WeighingDone& w : mix.weighings) {
    if (w.material != line.material || w.corrected_by) continue;
    total.mass += w.mass.value.value() * findUnit(w.mass.unit)->factor / unit;
    total.facts.push_back(w.fact);
  }
  return total;
}

void addWeighing(std::vector<Finding>& findings, const MixState& mix, const FormulaLine& line) {
  const std::string title = fmt::format("Mix {}, {}", mix.opened.mix, line.material);
  const auto asked = std::find_if(
      mix.weighings.begin(), mix.weighings.end(),
      [&](const WeighingDone& w) { return w.material == line.material && !w.corrected_by; });
  if (asked == mix.weighings.end()) {
    findings.push_back(requirement("weighing", title, FindingWord::missing,
                                   fmt::format("{}: no weighing is on record.", title),
                                   "mixing crew"));
    return;
  }
  const LineTotal total = totalOf(mix, line, asked->wanted);
  const double wanted = asked->wanted.value.value();
  const double tolerance = asked->tolerance.value.value() *
                           findUnit(asked->tolerance.unit)->factor /
                           findUnit(asked->wanted.unit)->factor;
  if (whereWeighed(total.mass, wanted, tolerance) == FindingWord::inside) return;
  findings.push_back(requirement(
      "weighing", title, FindingWord::not_met,
      fmt::format("{}: {} was weighed, {} ± {} was wanted.", title,
                  format(Measure{Decimal::fixed(total.mass, asked->mass.value.decimals()),
                                 asked->wanted.unit}),
                  asked->wanted.value.text(), format(asked->tolerance)),
      "mixing crew", total.facts));
}

/// The formula that a mix was weighed by.
const Compound& compoundOf(const BatchFile& file, const MixState& mix) {
  const bool lower = file.underlayer && file.underlayer->code == mix.opened.compound;
  return lower ? *file.underlayer : file.compound;
}

/// Without an underlayer the route's step says the same.
void addLayers(std::vector<Finding>& findings, const BatchFile& file) {
  if (!file.underlayer) return;
  for (const Missing& missing : mixedForAllLayers(file.batch, file.mixes))
    findings.push_back(
        requirement("mix", "Mixes", FindingWord::missing, missing.what, missing.who));
}

/// Weighed on a scale that was found wrong.
void addScales(std::vector<Finding>& findings, const MixState& mix, const GaugeTrusts& gauges) {
  for (const WeighingDone& w : mix.weighings) {
    const auto known = gauges.find(w.gauge);
    if (w.corrected_by || known == gauges.end()) continue;
    const std::string title = fmt::format("Mix {}, {}", mix.opened.mix, w.material);
    for (const std::string& doubt :
         wrongDoubts({w.gauge, w.material, w.happened, w.fact}, known->second))
      findings.push_back(requirement("weighing", title, FindingWord::missing,
                                     fmt::format("{} does not count: {}.", title, doubt),
                                     "quality manager", {w.fact}));
  }
}

void addMixes(std::vector<Finding>& findings, const BatchFile& file) {
  const std::size_t before = findings.size();
  std::size_t weighings = 0;
  addLayers(findings, file);
  for (const MixState& mix : file.mixes) {
    weighings += mix.weighings.size();
    for (const FormulaLine& line : compoundOf(file, mix).formula) addWeighing(findings, mix, line);
    addScales(findings, mix, file.gauges);
    if (!mix.finished)
      findings.push_back(requirement(
          "mix", "Mix " + mix.opened.mix, FindingWord::missing,
          fmt::format("Mix {} is not finished on record.", mix.opened.mix), "mixing crew"));
  }
  if (findings.size() == before && !file.mixes.empty())
    findings.push_back(
        requirement("weighing", "Weighings", FindingWord::inside,
                    fmt::format("All {} weighings of {} {} are inside their tolerance.", weighings,
                                file.mixes.size(), file.mixes.size() == 1 ? "mix" : "mixes")));
}

/// One finding for each approval that is needed, or for each dimension outside the nearest one.
void addCover(std::vector<Finding>& findings, const BatchFile& file) {
  for (const Cover& cover :
       coverOf(needsToLeave(file.part), file.cover.made, file.cover.approvals, file.today))
    for (const std::string& sentence : cover.sentences()) {
      const bool covered = cover.covered();
      Finding finding = requirement("approval", "Approval cover",
                                    covered ? FindingWord::inside : FindingWord::missing, sentence,
                                    covered ? "" : "approval engineer");
      if (cover.approval) finding.source = approvalWords(*cover.approval);
      findings.push_back(std::move(finding));
    }
}

void addCureRelease(std::vector<Finding>& findings, const BatchFile& file) {
  const Obstacles obstacles = mayFinish(file.batch);
  for (const Missing& missing : obstacles)
    findings.push_back(
        requirement("cure gate", "Cure gate", FindingWord::missing, missing.what, missing.who));
  if (!obstacles.empty()) return;
  const GateState& cure = file.batch.cure;
  findings.push_back(requirement(
      "cure gate", "Cure gate", FindingWord::inside,
      cure.release ? "The cure gate is released and nothing has come since."
                   : fmt::format("The cure gate is open by concession {}.", *cure.concession),
      "", {cure.release.value_or(*cure.verdict)}));
}

}  // namespace

std::vector<Finding> lotFindings(const std::vector<LotState>& lots) {
  std::vector<Finding> findings;
  for (const LotState& lot : lots) addLot(findings, lot);
  if (findings.empty() && !lots.empty())
    findings.push_back(requirement("lots", "Lots", FindingWord::inside,
                                   fmt::format("All {} lots used are cleared.", lots.size())));
  return findings;
}

std::vector<Finding> batchFindings(Gate gate, const BatchFile& file) {
  std::vector<Finding> findings;
  addRoute(findings, gate, file);
  addCounts(findings, file);
  if (gate == Gate::cure) {
    addLots(findings, file);
    addMixes(findings, file);
  } else {
    addCureRelease(findings, file);
    addOperations(findings, file);
    append(findings, finishingFindings(file));
    addCover(findings, file);
  }
  return findings;
}

}  // namespace platemark::gate
