#include <algorithm>

#include "fold.h"
#include "platemark/plant/disposition.h"

namespace platemark::ledger {
namespace {

void receive(const Fact& fact, ProjectionView& view) {
  const auto received = bodyOf<LotReceived>(fact);
  std::optional<LotState> lot = get<LotState>(view, projection::lot, received.lot);
  if (lot) {
    // A corrected receipt: the lot keeps its history, its verdict has not seen this.
    lot->received = received;
    overtake(lot->gate, fact, cameAfterwards(fact));
  } else {
    lot = LotState{};
    lot->received = received;
    lot->received_fact = fact.sequence;
    if (const auto material =
            get<Issued<Material>>(view, projection::material, nowKey(received.material)))
      lot->plan = material->noun.plan.value_or("");
  }
  view.put(received.lot, toValue(*lot));
}

void useIn(ProjectionView& view, const std::string& lot, const std::string& batch) {
  change<LotState>(view, projection::lot, lot, [&](LotState& state) {
    if (std::find(state.used_in.begin(), state.used_in.end(), batch) == state.used_in.end())
      state.used_in.push_back(batch);
  });
}

void decide(const Fact& fact, ProjectionView& view) {
  const auto decided = bodyOf<LotDecided>(fact);
  change<LotState>(view, projection::lot, decided.lot, [&](LotState& lot) {
    lot.disposition = decided.disposition;
    lot.decided_why = decided.why.value_or("");
    lot.decided_by = fact.sequence;
  });
}

/// The day moves; what the lot was judged on stays.
void extend(const Fact& fact, ProjectionView& view) {
  const auto extended = bodyOf<LotExtended>(fact);
  change<LotState>(view, projection::lot, extended.lot, [&](LotState& lot) {
    lot.received.use_by = extended.use_by;
    lot.extended_by = fact.sequence;
  });
}

void weigh(const Fact& fact, ProjectionView& view) {
  const auto weighed = bodyOf<Weighed>(fact);
  if (const auto mix = get<MixState>(view, projection::mix, weighed.mix))
    useIn(view, weighed.lot, mix->opened.batch);
}

void prepare(const Fact& fact, ProjectionView& view) {
  const auto prepared = bodyOf<PlatesPrepared>(fact);
  useIn(view, prepared.plate_lot, prepared.batch);
  if (prepared.adhesive_lot) useIn(view, *prepared.adhesive_lot, prepared.batch);
}

void finish(const Fact& fact, ProjectionView& view) {
  const auto finished = bodyOf<Finished>(fact);
  for (const UsedLot& used : finished.lots) useIn(view, used.lot, finished.batch);
  for (const SpotPut& spot : finished.spots) useIn(view, spot.lot, finished.batch);
}

/// A rework may put spots on anew; it was ordered for a batch, which is its first subject.
void redo(const Fact& fact, ProjectionView& view) {
  for (const SpotPut& spot : bodyOf<ReworkDone>(fact).spots)
    useIn(view, spot.lot, fact.subjects.front().id);
}

template <class Body>
void onSubject(const Fact& fact, ProjectionView& view,
               const std::function<void(LotState&, const Body&)>& with) {
  const auto body = bodyOf<Body>(fact);
  if (body.subject.kind != "lot") return;
  change<LotState>(view, projection::lot, body.subject.id, [&](LotState& lot) { with(lot, body); });
}

void gaugeDoubted(const Fact& fact, ProjectionView& view) {
  for (const Subject& subject : fact.subjects)
    if (subject.kind == "lot")
      change<LotState>(view, projection::lot, subject.id,
                       [&](LotState& lot) { overtake(lot.gate, fact, cameAfterwards(fact)); });
}

void fold(const Fact& fact, ProjectionView& view) {
  if (fact.kind == "lot.received")
    receive(fact, view);
  else if (fact.kind == "lot.decided")
    decide(fact, view);
  else if (fact.kind == "lot.extended")
    extend(fact, view);
  else if (fact.kind == "mix.weighed")
    weigh(fact, view);
  else if (fact.kind == "plates.prepared")
    prepare(fact, view);
  else if (fact.kind == "batch.finished")
    finish(fact, view);
  else if (fact.kind == "rework.done")
    redo(fact, view);
  else if (fact.kind == "reading.taken")
    onSubject<ReadingTaken>(fact, view, [&](LotState& lot, const ReadingTaken& reading) {
      if (reading.remark.corrects)
        markCorrected(lot.evidence, *reading.remark.corrects, fact.sequence);
    });
  else if (fact.kind == "figure.computed")
    onSubject<FigureComputed>(fact, view, [&](LotState& lot, const FigureComputed& figure) {
      addEvidence(lot.evidence, view, fact, figure);
      overtake(lot.gate, fact, cameAfterwards(fact));
    });
  else if (fact.kind == "gauge.studied" || fact.kind == "gauge.found_wrong")
    gaugeDoubted(fact, view);
  else if (fact.kind == "verdict.given")
    onSubject<VerdictGiven>(fact, view, [&](LotState& lot, const VerdictGiven& verdict) {
      giveVerdict(lot.gate, fact, verdict);
    });
  else if (fact.kind == "hold.placed")
    onSubject<HoldPlaced>(fact, view, [&](LotState& lot, const HoldPlaced& hold) {
      placeHold(lot.holds, fact, hold.why);
    });
  else if (fact.kind == "hold.lifted")
    onSubject<HoldLifted>(fact, view, [&](LotState& lot, const HoldLifted& lifted) {
      liftHold(lot.holds, lifted.hold, fact.sequence);
    });
}

}  // namespace

Projection lotProjection() { return {projection::lot, fold}; }

}  // namespace platemark::ledger
