#include "platemark/gate/permission.h"

#include <fmt/format.h>

#include <algorithm>

#include "findings.h"

namespace platemark::gate {
namespace {

bool stepDone(const BatchState& batch, Step step) {
  return std::any_of(batch.steps.begin(), batch.steps.end(),
                     [&](const StepDone& s) { return s.step == step && !s.corrected_by; });
}

/// What stands between a batch and an open gate.
Obstacles gateObstacles(const std::string& batch, std::string_view gate_name,
                        const GateState& gate) {
  if (gate.open()) return {};
  Missing missing;
  missing.who = "quality manager";
  if (!gate.release && !gate.concession) {
    missing.what =
        gate.verdict
            ? fmt::format("Batch {} stays on hold: the {} gate says '{}' and is not signed.", batch,
                          gate_name, word(gate.outcome))
            : fmt::format("Batch {} stays on hold: the {} gate has not been judged.", batch,
                          gate_name);
    missing.how = "judge the batch and sign its release";
  } else {
    missing.what = fmt::format("Batch {} is on hold again: {}.", batch, gate.overtaken_why);
    missing.how = "judge the batch again with the newer facts";
  }
  return {missing};
}

/// Both gates passed and nothing holds it.
Obstacles notReleased(const BatchState& batch) {
  Obstacles obstacles = gateObstacles(batch.opened.batch, "cure", batch.cure);
  append(obstacles, gateObstacles(batch.opened.batch, "final", batch.final));
  append(obstacles, openHolds(batch.holds));
  return obstacles;
}

}  // namespace

Obstacles openHolds(const std::vector<Hold>& holds) {
  Obstacles obstacles;
  for (const Hold& hold : holds)
    if (!hold.lifted_by)
      obstacles.push_back(
          {"On hold: " + hold.why, "quality manager", "settle it, then lift the hold"});
  return obstacles;
}

Obstacles heldLots(const std::vector<LotState>& lots) {
  Obstacles obstacles;
  for (const LotState& lot : lots)
    for (const Hold& hold : lot.holds)
      if (!hold.lifted_by)
        obstacles.push_back({fmt::format("Lot {} in it is on hold: {}", lot.received.lot, hold.why),
                             "quality manager", "settle it, then lift the hold"});
  return obstacles;
}

Obstacles mayUseLot(const LotState& lot, std::string_view wanted_material, Day today) {
  Obstacles obstacles;
  const LotReceived& r = lot.received;
  if (r.material != wanted_material)
    obstacles.push_back(
        {fmt::format("Lot {} is {}; {} is wanted here.", r.lot, r.material, wanted_material), "",
         "put the bag back and take the right lot"});
  if (lot.disposition == LotDisposition::refuse)
    obstacles.push_back({fmt::format("Lot {} is refused: {}.", r.lot, lot.decided_why),
                         "quality manager", "take another lot"});
  else if (lot.disposition == LotDisposition::hold)
    obstacles.push_back({fmt::format("Lot {} is not cleared.", r.lot),
                         "laboratory technician, then quality manager",
                         "test the lot and clear it"});
  else if (lot.gate.overtaken_by)
    obstacles.push_back({fmt::format("Lot {} was cleared, but {}.", r.lot, lot.gate.overtaken_why),
                         "quality manager", "judge the lot again"});
  if (r.use_by && *r.use_by < today)
    obstacles.push_back({fmt::format("Lot {} expired on {}.", r.lot, formatDay(*r.use_by)),
                         "laboratory technician",
                         "take another lot; only a retest moves the date"});
  append(obstacles, openHolds(lot.holds));
  return obstacles;
}

Obstacles mayDoStep(Step step, const BatchState& batch, const Part& part) {
  const auto on_route = [&](Step s) {
    return std::any_of(part.route.begin(), part.route.end(),
                       [&](const RouteStep& r) { return r.step == s; });
  };
  if (!on_route(step))
    return {{fmt::format("'{}' is not on the route of part {}.", word(step), part.code),
             "quality manager", "check the part on the traveller"}};
  Obstacles obstacles;
  for (const RouteStep& before : part.route) {
    if (before.step == step) break;
    if (!stepDone(batch, before.step))
      obstacles.push_back({fmt::format("Batch {}: '{}' must come before '{}' and is not on record.",
                                       batch.opened.batch, word(before.step), word(step)),
                           "", fmt::format("record '{}' first", word(before.step))});
  }
  return obstacles;
}

Obstacles mayFinish(const BatchState& batch) {
  Obstacles obstacles = gateObstacles(batch.opened.batch, "cure", batch.cure);
  append(obstacles, openHolds(batch.holds));
  return obstacles;
}

Obstacles coverObstacles(const std::vector<Cover>& covers) {
  Obstacles obstacles;
  for (const Cover& cover : covers) {
    if (cover.covered()) continue;
    for (std::string& sentence : cover.sentences())
      obstacles.push_back({std::move(sentence), "approval engineer",
                           "have the approval extended, or enter the one that covers it"});
  }
  return obstacles;
}

Obstacles mayMark(const Part& part, std::string_view operation, const CoverFile& cover, Day today) {
  return coverObstacles(coverOf(needsToMark(part, operation), cover.made, cover.approvals, today));
}

Obstacles mayLeave(const BatchState& batch, const Part& part, const CoverFile& cover, Day today) {
  Obstacles obstacles = notReleased(batch);
  append(obstacles,
         coverObstacles(coverOf(needsToLeave(part), cover.made, cover.approvals, today)));
  return obstacles;
}

Obstacles mayShip(const BatchState& batch, const Part& part, const CoverFile& cover,
                  const std::string& customer, Day today) {
  Obstacles obstacles = notReleased(batch);
  append(obstacles,
         coverObstacles(coverOf(needsToShip(part, customer), cover.made, cover.approvals, today)));
  return obstacles;
}

Obstacles mayBeOf(const LoadState& load, const CureRecorded& recorded, Instant now,
                  std::string_view zone) {
  constexpr std::int64_t slack_ms = 5 * 60 * 1000;
  const auto no = [](std::string what) {
    return Obstacles{{std::move(what), "oven crew",
                      "take the file of this load, and look at the recorder's clock"}};
  };
  if (recorded.to <= load.built_at)
    return no(fmt::format("The recording ends at {}; load {} was built at {}.",
                          formatLocal(recorded.to, zone), load.built.load,
                          formatLocal(load.built_at, zone)));
  if (recorded.to.unixMs() > now.unixMs() + slack_ms)
    return no(fmt::format("The recording ends at {}, which has not come yet.",
                          formatLocal(recorded.to, zone)));
  return {};
}

Obstacles mayOperate(const Person& person, Operation operation, Day today) {
  for (const Permit& permit : person.permits)
    if (permit.operation == operation && today <= permit.until) return {};
  const auto expired = std::find_if(person.permits.begin(), person.permits.end(),
                                    [&](const Permit& p) { return p.operation == operation; });
  const std::string why = expired == person.permits.end()
                              ? "has no permit for it"
                              : "had a permit until " + formatDay(expired->until);
  return {{fmt::format("'{}' may not be done by number {}: {} {}.", word(operation), person.number,
                       person.duty, why),
           "quality manager", "let somebody with the permit do it, or have the permit issued"}};
}

std::vector<std::string> gaugeDoubts(const Gauge& gauge,
                                     const std::optional<GaugeCheckState>& check, Day taken) {
  std::vector<std::string> doubts;
  if (gauge.calibration_due < taken)
    doubts.push_back(fmt::format("gauge {} was out of calibration since {}", gauge.code,
                                 formatDay(gauge.calibration_due)));
  if (gauge.daily_check && !check)
    doubts.push_back(fmt::format("gauge {} was not checked with its {} on {}", gauge.code,
                                 gauge.daily_check->reference, formatDay(taken)));
  if (gauge.daily_check && check && !check->checked.passed)
    doubts.push_back(fmt::format("gauge {} failed its check on {} (fact {})", gauge.code,
                                 formatDay(taken), check->fact));
  return doubts;
}

Obstacles mayExtend(const LotState& lot, const Material& material, Day use_by, Day today) {
  const std::string& id = lot.received.lot;
  if (!lot.gate.verdict || lot.gate.overtaken_by || lot.gate.outcome != Outcome::conforms)
    return {{fmt::format("Lot {} has no verdict that conforms and has seen everything.", id),
             "laboratory technician", "test the lot again and judge it"}};
  const Sequence since = lot.extended_by.value_or(lot.received_fact);
  const bool again = std::any_of(lot.evidence.begin(), lot.evidence.end(), [&](const Evidence& e) {
    return e.repeat && !e.corrected_by && e.figure > since && e.figure < *lot.gate.verdict;
  });
  Obstacles obstacles;
  if (!again)
    obstacles.push_back({fmt::format("Lot {} has not been tested again since its use-by day was "
                                     "set.",
                                     id),
                         "laboratory technician", "take its readings once more and judge it"});
  if (!material.shelf_life_days)
    obstacles.push_back({fmt::format("{} has no shelf life on file.", material.code),
                         "quality manager", "issue the material with its shelf life"});
  else if (const Day last = addDays(today, static_cast<int>(*material.shelf_life_days));
           last < use_by)
    obstacles.push_back({fmt::format("{} may be kept {} days: until {} from today.", material.code,
                                     *material.shelf_life_days, formatDay(last)),
                         "quality manager", "choose a day up to that"});
  return obstacles;
}

Error refusal(std::string what, Obstacles obstacles) {
  Error error;
  error.fault = Fault::refused;
  error.code = "permission.refused";
  error.what = std::move(what);
  error.missing = std::move(obstacles);
  error.remedy = "Settle what is missing, then ask again.";
  return error;
}

}  // namespace platemark::gate
