/// Finishing: grinding and slotting, and what is put on the pad.
#include "platemark/gate/finishing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "finishing.h"

namespace platemark::act {
namespace {

struct OfBatch {
  BatchState batch;
  Part part;
};

Result<OfBatch> ofBatch(const Context& context, const std::string& id) {
  Result<BatchState> batch = require<BatchState>(context, projection::batch, id);
  if (!batch) return batch.error();
  Result<Issued<Part>> part =
      requireIssue<Part>(context, projection::part, batch->opened.part, batch->opened.part_issue);
  if (!part) return part.error();
  return OfBatch{std::move(*batch), std::move(part->noun)};
}

Result<void> checkOperation(const Part& part, const std::string& operation) {
  for (const RouteStep& step : part.route)
    if (std::find(step.operations.begin(), step.operations.end(), operation) !=
        step.operations.end())
      return {};
  return badInput(
      "finish.operation",
      fmt::format("'{}' is not a finishing operation of part {}.", operation, part.code),
      "operation");
}

gate::NamedLot namedLot(const Context& context, const std::string& lot) {
  return {lot, stateAs<LotState>(context.snapshot, projection::lot, lot)};
}

std::optional<Material> materialOf(const Context& context, const gate::NamedLot& lot) {
  if (!lot.state) return {};
  auto issued = stateAs<Issued<Material>>(context.snapshot, projection::material,
                                          ledger::nowKey(lot.state->received.material));
  return issued ? std::optional(std::move(issued->noun)) : std::nullopt;
}

/// Shims and clips are counted; powder and ink are not.
Result<void> checkPieces(const UsedLot& used, const gate::NamedLot& lot, const FinishingNeed* need,
                         const std::string& field) {
  if (used.pieces && *used.pieces < 1)
    return badInput("finish.pieces", "Pieces used are a count above zero.", field + ".pieces",
                    "a whole number above 0");
  if (need == nullptr || !lot.state || used.pieces) return {};
  for (const PutOn& put : need->materials)
    if (put.material == lot.state->received.material && put.pieces)
      return badInput("finish.pieces_missing",
                      fmt::format("How many pieces of lot {} were used?", used.lot),
                      field + ".pieces", fmt::format("{} on each pad", *put.pieces));
  return {};
}

Result<std::vector<gate::NamedLot>> checkLots(const Context& context, const Finished& in,
                                              const FinishingNeed* need) {
  std::vector<gate::NamedLot> lots;
  std::set<std::string> seen;
  for (std::size_t i = 0; i < in.lots.size(); ++i) {
    const std::string field = fmt::format("lots[{}]", i);
    if (!seen.insert(in.lots[i].lot).second)
      return badInput("finish.lot_doubled", fmt::format("Lot {} stands twice.", in.lots[i].lot),
                      field + ".lot");
    lots.push_back(namedLot(context, in.lots[i].lot));
    if (Result<void> c = checkPieces(in.lots[i], lots.back(), need, field); !c) return c.error();
  }
  return lots;
}

/// The threshold of a spot is that of its paint; one typed beside it must be the same.
Result<void> settleThreshold(SpotPut& spot, const std::optional<Material>& paint,
                             const std::string& field) {
  if (spot.threshold)
    if (const Result<TemperaturePoint> t = temperatureFrom(*spot.threshold); !t)
      return Error(t.error()).at({"", 0, "", field});
  const std::optional<Measure> known = paint ? paint->changes_at : std::nullopt;
  if (!spot.threshold) spot.threshold = known;
  if (!spot.threshold)
    return badInput("finish.threshold",
                    fmt::format("The threshold of the spot at '{}' is not known.", spot.place),
                    field, "the temperature at which the paint changes");
  if (known && std::abs(temperatureFrom(*known)
                            ->in(scale::celsius)-temperatureFrom(*spot.threshold)
                            ->in(scale::celsius)) > 1e-6)
    return badInput("finish.threshold_other",
                    fmt::format("Lot {} is {}, which changes at {}, not at {}.", spot.lot,
                                paint->code, format(*known), format(*spot.threshold)),
                    field, format(*known));
  return {};
}

std::vector<Subject> subjectsOf(const Finished& in) {
  std::vector<Subject> subjects{batchSubject(in.batch)};
  const auto add = [&](const std::string& lot) {
    if (std::find(subjects.begin(), subjects.end(), lotSubject(lot)) == subjects.end())
      subjects.push_back(lotSubject(lot));
  };
  for (const UsedLot& used : in.lots) add(used.lot);
  for (const SpotPut& spot : in.spots) add(spot.lot);
  return subjects;
}

/// What stands in the way of the run itself. It does not hold for the run's own correction.
gate::Obstacles mayRunNow(const Context& context, const Finished& in, const OfBatch& of) {
  gate::Obstacles obstacles = gate::mayFinish(of.batch);
  if (in.remark.corrects) return obstacles;
  append(obstacles, inTime(context, Step::finish, of.batch, of.part, context.happened.instant));
  append(obstacles, mayStart(context, in.machine, of.batch));
  append(obstacles, mayRun(context, of.batch, in.operation, in.machine));
  return obstacles;
}

/// A correction that names the same operation does not mark anew.
bool isOnRecord(const Context& context, const Finished& in) {
  if (!in.remark.corrects) return false;
  const std::optional<Fact> mended = context.snapshot.fact(*in.remark.corrects);
  return mended && mended->body.text("operation") == in.operation;
}

Decision finish(const Context& context, Finished in) {
  Result<OfBatch> of = ofBatch(context, in.batch);
  if (!of) return of.error();
  if (Result<void> m = checkMachine(context, in.machine, MachineClass::finishing); !m)
    return m.error();
  if (Result<void> c = checkCounts(in.counts); !c) return c.error();
  if (Result<void> c =
          checkCorrection(context, in.remark, "batch.finished", batchSubject(in.batch));
      !c)
    return c.error();
  if (Result<void> o = checkOperation(of->part, in.operation); !o) return o.error();
  const FinishingNeed* need = gate::needOf(of->part, in.operation);
  const Result<std::vector<gate::NamedLot>> lots = checkLots(context, in, need);
  if (!lots) return lots.error();
  gate::Obstacles obstacles = mayRunNow(context, in, *of);
  if (!isOnRecord(context, in))
    append(obstacles, gate::mayMark(of->part, in.operation,
                                    coverFile(context.snapshot, of->batch, of->part, context.day()),
                                    context.day()));
  append(obstacles, gate::mayPutOn(need, in.operation, *lots, context.day()));
  if (Result<void> s = checkSpots(context, in.spots, need, obstacles); !s) return s.error();
  if (Result<void> p = permitOrReport(fmt::format("Finishing batch {} is refused.", in.batch),
                                      std::move(obstacles), in.remark);
      !p)
    return p.error();
  std::vector<NewFact> facts{fact(context, "batch.finished", in, subjectsOf(in))};
  holdIfIrregular(facts, context, in.remark, batchSubject(in.batch));
  return facts;
}

}  // namespace

Result<void> checkSpots(const Context& context, std::vector<SpotPut>& spots,
                        const FinishingNeed* need, gate::Obstacles& obstacles) {
  std::set<std::string> places;
  for (std::size_t i = 0; i < spots.size(); ++i) {
    SpotPut& spot = spots[i];
    const std::string field = fmt::format("spots[{}]", i);
    if (!places.insert(spot.place).second)
      return badInput("finish.spot_doubled", fmt::format("'{}' stands twice.", spot.place),
                      field + ".place");
    const gate::NamedLot lot = namedLot(context, spot.lot);
    if (Result<void> c = settleThreshold(spot, materialOf(context, lot), field + ".threshold"); !c)
      return c.error();
    append(obstacles, gate::mayPutSpot(need, spot.place, lot, context.day()));
  }
  return {};
}

std::span<const Kind> finishingVerbs() {
  static constexpr Kind list[] = {
      verb<Finished, finish>("batch finish", Operation::finishing, "record a finishing operation"),
  };
  return list;
}

}  // namespace platemark::act
