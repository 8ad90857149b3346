#include <algorithm>

#include "fold.h"
#include "platemark/plant/disposition.h"

namespace platemark::ledger {
namespace {

DispositionState of(const ProjectionView& view, const std::string& batch) {
  return get<DispositionState>(view, projection::disposition, batch).value_or(DispositionState{});
}

void order(const Fact& fact, ProjectionView& view) {
  const auto ordered = bodyOf<ReworkOrdered>(fact);
  DispositionState state = of(view, ordered.batch);
  state.reworks.push_back({fact.sequence, ordered, {}, {}});
  view.put(ordered.batch, state);
}

/// A correction of the report takes the first one's place.
void report(const Fact& fact, ProjectionView& view) {
  const auto done = bodyOf<ReworkDone>(fact);
  const auto ordered = get<ReworkOrdered>(view, projection::rework, done.rework);
  if (!ordered) return;
  DispositionState state = of(view, ordered->batch);
  for (Rework& rework : state.reworks)
    if (rework.ordered.rework == done.rework) {
      rework.done = done;
      rework.done_fact = fact.sequence;
    }
  view.put(ordered->batch, state);
}

void concede(const Fact& fact, ProjectionView& view) {
  const auto granted = bodyOf<ConcessionGranted>(fact);
  DispositionState state = of(view, granted.batch);
  state.concessions.push_back({fact.sequence, granted, 0});
  view.put(granted.batch, state);
}

void scrap(const Fact& fact, ProjectionView& view) {
  const auto scrapped = bodyOf<ScrapSigned>(fact);
  DispositionState state = of(view, scrapped.batch);
  state.scraps.push_back({fact.sequence, scrapped});
  view.put(scrapped.batch, state);
}

void countUnder(ProjectionView& view, const BoxPacked& packed, int sign) {
  if (!packed.concession) return;
  DispositionState state = of(view, packed.batch);
  for (Concession& concession : state.concessions)
    if (concession.granted.concession == *packed.concession)
      concession.packed += sign * packed.pads;
  view.put(packed.batch, state);
}

/// Folded before the box: its state is still the one that a correction mends.
void pack(const Fact& fact, ProjectionView& view) {
  const auto packed = bodyOf<BoxPacked>(fact);
  if (const auto before = get<BoxState>(view, projection::box, packed.box))
    countUnder(view, before->packed, -1);
  countUnder(view, packed, 1);
}

void foldDisposition(const Fact& fact, ProjectionView& view) {
  if (fact.kind == "rework.ordered")
    order(fact, view);
  else if (fact.kind == "rework.done")
    report(fact, view);
  else if (fact.kind == "concession.granted")
    concede(fact, view);
  else if (fact.kind == "scrap.signed")
    scrap(fact, view);
  else if (fact.kind == "box.packed")
    pack(fact, view);
}

/// A rework by its number.
void foldRework(const Fact& fact, ProjectionView& view) {
  if (fact.kind == "rework.ordered")
    view.put(fact.body.text("rework"), bodyOf<ReworkOrdered>(fact));
}

/// Counted once for each batch of the deviation's part.
void useFor(DeviationState& deviation, const ProjectionView& view, const std::string& id) {
  const auto batch = get<BatchState>(view, projection::batch, id);
  std::vector<std::string>& used = deviation.used_by;
  if (batch && batch->opened.part == deviation.allowed.part &&
      std::find(used.begin(), used.end(), id) == used.end())
    used.push_back(id);
}

template <class Body>
void useNamed(ProjectionView& view, const Body& body) {
  for (const std::string& code : body.deviations)
    change<DeviationState>(view, projection::deviation, code,
                           [&](DeviationState& deviation) { useFor(deviation, view, body.batch); });
}

void foldDeviation(const Fact& fact, ProjectionView& view) {
  if (fact.kind == "deviation.allowed") {
    const auto allowed = bodyOf<DeviationAllowed>(fact);
    view.put(allowed.deviation, DeviationState{fact.sequence, allowed, {}});
  } else if (fact.kind == "load.built") {
    const auto built = bodyOf<LoadBuilt>(fact);
    for (const std::string& code : built.deviations)
      change<DeviationState>(view, projection::deviation, code, [&](DeviationState& deviation) {
        for (const Clamp& clamp : built.clamps) useFor(deviation, view, clamp.batch);
      });
  } else if (fact.kind == "plates.prepared") {
    useNamed(view, bodyOf<PlatesPrepared>(fact));
  } else if (fact.kind == "press.run") {
    useNamed(view, bodyOf<PressRun>(fact));
  }
}

}  // namespace

Projection dispositionProjection() { return {projection::disposition, foldDisposition}; }
Projection reworkProjection() { return {projection::rework, foldRework}; }
Projection deviationProjection() { return {projection::deviation, foldDeviation}; }

}  // namespace platemark::ledger
