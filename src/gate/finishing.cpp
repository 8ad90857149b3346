#include "platemark/gate/finishing.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "findings.h"

namespace platemark::gate {
namespace {

bool asksFor(const FinishingNeed* need, const std::string& material) {
  return need != nullptr && std::any_of(need->materials.begin(), need->materials.end(),
                                        [&](const PutOn& put) { return put.material == material; });
}

/// "shim-9", "clip-4 or clip-5", "nothing"
std::string wantedWords(const FinishingNeed* need) {
  std::vector<std::string> names;
  if (need != nullptr)
    for (const PutOn& put : need->materials) names.push_back(put.material);
  return names.empty() ? "nothing" : fmt::format("{}", fmt::join(names, " or "));
}

Missing notOnRecord(const std::string& lot) {
  return {fmt::format("Lot {} is not on record.", lot), "goods-in",
          "receive the lot, or scan the label again"};
}

/// Whether the lot is fit for use at all, whatever it is wanted as.
Obstacles mayUseIt(const NamedLot& named, Day today) {
  return mayUseLot(*named.state, named.state->received.material, today);
}

Missing notWanted(const NamedLot& named, const std::string& where, const std::string& wanted) {
  return {fmt::format("Lot {} is {}; {} puts on {}.", named.lot, named.state->received.material,
                      where, wanted),
          "finishing crew", "put the lot back and take the right one"};
}

bool named(const std::vector<NamedLot>& lots, const std::string& material) {
  return std::any_of(lots.begin(), lots.end(), [&](const NamedLot& lot) {
    return lot.state && lot.state->received.material == material;
  });
}

/// The runs of one operation that stand, as reworks have left them.
std::vector<StepDone> runsOf(const BatchFile& file, const std::string& operation) {
  std::vector<StepDone> runs;
  for (const StepDone& step : file.batch.steps)
    if (step.step == Step::finish && step.what == operation && !step.corrected_by)
      runs.push_back(asRedone(step, file.part, file.dispositions));
  return runs;
}

bool redoes(const Rework& rework, std::string_view characteristic) {
  const auto& of = rework.ordered.characteristics;
  return rework.done && std::find(of.begin(), of.end(), characteristic) != of.end();
}

/// A spot in the place of one put on before, or where there was none.
void putSpot(std::vector<SpotPut>& spots, const SpotPut& spot) {
  const auto before = std::find_if(spots.begin(), spots.end(),
                                   [&](const SpotPut& s) { return s.place == spot.place; });
  if (before == spots.end())
    spots.push_back(spot);
  else
    *before = spot;
}

const LotState* lotNamed(const BatchFile& file, const std::string& id) {
  for (const LotState& lot : file.finishing_lots)
    if (lot.received.lot == id) return &lot;
  return nullptr;
}

/// Pieces used as this material. A lot of another one was used in its place: it had to be reported
/// with its reason, and the batch was held for it.
std::int64_t piecesOf(const BatchFile& file, const FinishingNeed& need, const StepDone& run,
                      const std::string& material) {
  std::int64_t pieces = 0;
  for (const UsedLot& used : run.used) {
    const LotState* lot = lotNamed(file, used.lot);
    const std::string of = lot == nullptr ? "" : lot->received.material;
    if (of == material || !asksFor(&need, of)) pieces += used.pieces.value_or(0);
  }
  return pieces;
}

/// Every good pad has its pieces. More may have been used: one falls down now and then.
void addPieces(std::vector<Finding>& findings, const BatchFile& file, const FinishingNeed& need) {
  for (const PutOn& put : need.materials) {
    if (!put.pieces) continue;
    for (const StepDone& run : runsOf(file, need.operation)) {
      const std::int64_t used = piecesOf(file, need, run, put.material);
      const std::int64_t wanted = run.counts.good * *put.pieces;
      if (used >= wanted) continue;
      findings.push_back(
          requirement("pieces", "Pieces, " + put.material, FindingWord::missing,
                      fmt::format("'{}': {} good pads take {} pieces of {}; {} are on record.",
                                  need.operation, run.counts.good, wanted, put.material, used),
                      "finishing crew", {run.fact}));
    }
  }
}

Finding printFinding(const StepDone& run, const std::string& wanted) {
  const std::string title = "Print";
  if (!run.printed)
    return requirement(
        "print", title, FindingWord::missing,
        fmt::format("'{}': what was printed is not on record; '{}' is asked.", run.what, wanted),
        "finishing crew", {run.fact});
  return requirement("print", title, FindingWord::not_met,
                     fmt::format("'{}': '{}' was printed; the part asks for '{}'.", run.what,
                                 *run.printed, wanted),
                     "finishing crew", {run.fact});
}

void addPrint(std::vector<Finding>& findings, const BatchFile& file, const FinishingNeed& need) {
  if (!need.print) return;
  const std::string wanted = printWanted(*need.print, file.batch.opened.batch);
  const std::size_t before = findings.size();
  const std::vector<StepDone> runs = runsOf(file, need.operation);
  for (const StepDone& run : runs)
    if (run.printed != wanted) findings.push_back(printFinding(run, wanted));
  if (findings.size() == before && !runs.empty())
    findings.push_back(requirement("print", "Print", FindingWord::inside,
                                   fmt::format("'{}' is printed, as the part asks.", wanted), "",
                                   {runs.back().fact}));
}

bool sameTemperature(const Measure& a, const Measure& b) {
  const Result<double> x = siValue(a, Kind::temperature_point),
                       y = siValue(b, Kind::temperature_point);
  return x && y && std::abs(*x - *y) < 1e-6;
}

void addSpot(std::vector<Finding>& findings, const StepDone& run, const Spot& spot) {
  const auto put = std::find_if(run.spots.begin(), run.spots.end(),
                                [&](const SpotPut& p) { return p.place == spot.place; });
  const std::string asked = fmt::format("a spot that changes at {}", format(spot.threshold));
  if (put == run.spots.end())
    findings.push_back(requirement(
        "spots", "Paint spots", FindingWord::missing,
        fmt::format("'{}': {} is asked at '{}'; none is on record.", run.what, asked, spot.place),
        "finishing crew", {run.fact}));
  else if (!put->threshold || !sameTemperature(*put->threshold, spot.threshold))
    findings.push_back(requirement(
        "spots", "Paint spots", FindingWord::not_met,
        fmt::format("'{}': {} is asked at '{}'; the one put on (lot {}) changes at {}.", run.what,
                    asked, spot.place, put->lot,
                    put->threshold ? format(*put->threshold) : "an unknown temperature"),
        "finishing crew", {run.fact}));
}

void addStrangeSpots(std::vector<Finding>& findings, const StepDone& run,
                     const FinishingNeed* need) {
  for (const SpotPut& put : run.spots) {
    const bool asked =
        need != nullptr && std::any_of(need->spots.begin(), need->spots.end(),
                                       [&](const Spot& spot) { return spot.place == put.place; });
    if (!asked)
      findings.push_back(
          requirement("spots", "Paint spots", FindingWord::not_met,
                      fmt::format("'{}': a spot was put on at '{}', where the part asks for none.",
                                  run.what, put.place),
                      "finishing crew", {run.fact}));
  }
}

void addSpots(std::vector<Finding>& findings, const BatchFile& file, const FinishingNeed& need) {
  const std::size_t before = findings.size();
  const std::vector<StepDone> runs = runsOf(file, need.operation);
  for (const StepDone& run : runs)
    for (const Spot& spot : need.spots) addSpot(findings, run, spot);
  if (findings.size() == before && !runs.empty() && !need.spots.empty())
    findings.push_back(
        requirement("spots", "Paint spots", FindingWord::inside,
                    fmt::format("All {} paint spots are of the threshold that the part asks for.",
                                need.spots.size()),
                    "", {runs.back().fact}));
}

/// What was put on and nobody asked for.
void addStrangers(std::vector<Finding>& findings, const BatchFile& file) {
  for (const StepDone& run : file.batch.steps) {
    if (run.step != Step::finish || run.corrected_by) continue;
    const FinishingNeed* need = needOf(file.part, run.what);
    addStrangeSpots(findings, run, need);
    if (run.printed && (need == nullptr || !need->print))
      findings.push_back(
          requirement("print", "Print", FindingWord::not_met,
                      fmt::format("'{}': '{}' was printed; the part asks for no print there.",
                                  run.what, *run.printed),
                      "finishing crew", {run.fact}));
  }
}

}  // namespace

const FinishingNeed* needOf(const Part& part, const std::string& operation) {
  for (const RouteStep& step : part.route)
    for (const FinishingNeed& need : step.needs)
      if (need.operation == operation) return &need;
  return nullptr;
}

const FinishingNeed* needToRedo(const Part& part, std::string_view characteristic) {
  for (const RouteStep& step : part.route)
    for (const FinishingNeed& need : step.needs)
      if (need.redo && (characteristic == "print" ? need.print.has_value() : !need.spots.empty()))
        return &need;
  return nullptr;
}

std::vector<std::string> redoOf(const Part& part) {
  std::vector<std::string> redo;
  for (const std::string_view characteristic : {"print", "spots"})
    if (needToRedo(part, characteristic) != nullptr) redo.emplace_back(characteristic);
  return redo;
}

StepDone asRedone(const StepDone& run, const Part& part, const DispositionState& so_far) {
  StepDone now = run;
  const auto is_of = [&](std::string_view characteristic) {
    const FinishingNeed* need = needToRedo(part, characteristic);
    return need != nullptr && need->operation == run.what;
  };
  for (const Rework& rework : so_far.reworks) {
    if (rework.done_fact && *rework.done_fact < run.fact) continue;
    if (redoes(rework, "print") && is_of("print") && rework.done->printed)
      now.printed = rework.done->printed;
    if (redoes(rework, "spots") && is_of("spots"))
      for (const SpotPut& spot : rework.done->spots) putSpot(now.spots, spot);
  }
  return now;
}

Obstacles mayPutOn(const FinishingNeed* need, const std::string& operation,
                   const std::vector<NamedLot>& lots, Day today) {
  Obstacles obstacles;
  for (const NamedLot& lot : lots) {
    if (!lot.state) {
      obstacles.push_back(notOnRecord(lot.lot));
      continue;
    }
    if (!asksFor(need, lot.state->received.material))
      obstacles.push_back(notWanted(lot, fmt::format("'{}'", operation), wantedWords(need)));
    append(obstacles, mayUseIt(lot, today));
  }
  if (need == nullptr) return obstacles;
  for (const PutOn& put : need->materials)
    if (!named(lots, put.material))
      obstacles.push_back(
          {fmt::format("'{}' puts on {}; no lot of it was named.", operation, put.material),
           "finishing crew", "scan the lot"});
  return obstacles;
}

Obstacles mayPutSpot(const FinishingNeed* need, const std::string& place, const NamedLot& lot,
                     Day today) {
  if (!lot.state) return {notOnRecord(lot.lot)};
  Obstacles obstacles;
  const std::vector<Spot> none;
  const std::vector<Spot>& spots = need == nullptr ? none : need->spots;
  const auto spot =
      std::find_if(spots.begin(), spots.end(), [&](const Spot& s) { return s.place == place; });
  if (spot == spots.end())
    obstacles.push_back({fmt::format("The part asks for no paint spot at '{}'.", place),
                         "finishing crew", "look at the part's drawing"});
  else if (lot.state->received.material != spot->material)
    obstacles.push_back(notWanted(lot, fmt::format("the spot at '{}'", place), spot->material));
  append(obstacles, mayUseIt(lot, today));
  return obstacles;
}

std::string printWanted(const std::string& print, const std::string& batch) {
  static constexpr std::string_view stamp = "{batch}";
  std::string text = print;
  for (std::size_t at = text.find(stamp); at != std::string::npos;
       at = text.find(stamp, at + batch.size()))
    text.replace(at, stamp.size(), batch);
  return text;
}

std::vector<Finding> finishingFindings(const BatchFile& file) {
  std::vector<Finding> findings = lotFindings(file.finishing_lots);
  for (const RouteStep& step : file.part.route)
    for (const FinishingNeed& need : step.needs) {
      addPieces(findings, file, need);
      addPrint(findings, file, need);
      addSpots(findings, file, need);
      append(findings, bakeFindings(file, need));
    }
  addStrangers(findings, file);
  append(findings, pieceFindings(file));
  return findings;
}

}  // namespace platemark::gate
