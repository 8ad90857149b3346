#include <algorithm>

#include "fold.h"

namespace platemark::ledger {
namespace {

void weigh(const Fact& fact, ProjectionView& view) {
  const auto w = bodyOf<Weighed>(fact);
  change<MixState>(view, projection::mix, w.mix, [&](MixState& mix) {
    if (w.remark.corrects)
      for (WeighingDone& done : mix.weighings)
        if (done.fact == *w.remark.corrects) done.corrected_by = fact.sequence;
    mix.weighings.push_back({fact.sequence,
                             w.material,
                             w.lot,
                             w.wanted,
                             w.tolerance,
                             w.mass,
                             w.gauge,
                             fact.happened.instant,
                             w.remark.irregular,
                             {}});
  });
}

void foldMix(const Fact& fact, ProjectionView& view) {
  if (fact.kind == "mix.opened") {
    MixState mix;
    mix.opened = bodyOf<MixOpened>(fact);
    mix.opened_at = fact.happened.instant;
    view.put(mix.opened.mix, toValue(mix));
  } else if (fact.kind == "mix.weighed") {
    weigh(fact, view);
  } else if (fact.kind == "mix.finished") {
    const auto finished = bodyOf<MixFinished>(fact);
    change<MixState>(view, projection::mix, finished.mix, [&](MixState& mix) {
      mix.finished = finished;
      mix.finished_at = fact.happened.instant;
    });
  }
}

void build(const Fact& fact, ProjectionView& view) {
  const auto built = bodyOf<LoadBuilt>(fact);
  std::optional<LoadState> load = get<LoadState>(view, projection::load, built.load);
  if (!load) load = LoadState{};
  // What was computed for other clamps does not speak of these.
  load->heat.reset();
  load->heat_fact.reset();
  load->built = built;
  load->built_at = fact.happened.instant;
  view.put(built.load, toValue(*load));
}

/// A second recording of the same load supersedes the figures of the one it corrects.
void record(const Fact& fact, ProjectionView& view) {
  const auto recorded = bodyOf<CureRecorded>(fact);
  change<LoadState>(view, projection::load, recorded.load, [&](LoadState& load) {
    if (recorded.remark.corrects &&
        markCorrected(load.evidence, *recorded.remark.corrects, fact.sequence))
      load.marks.clear();
    load.heat.reset();
    load.heat_fact.reset();
    load.recordings.push_back(recorded);
    load.recording_facts.push_back(fact.sequence);
  });
}

void figure(const Fact& fact, ProjectionView& view) {
  const auto figure = bodyOf<FigureComputed>(fact);
  if (figure.subject.kind != "load") return;
  change<LoadState>(view, projection::load, figure.subject.id, [&](LoadState& load) {
    addEvidence(load.evidence, view, fact, figure);
    load.marks.insert(load.marks.end(), figure.marks.begin(), figure.marks.end());
  });
}

void heat(const Fact& fact, ProjectionView& view) {
  const auto computed = bodyOf<HeatComputed>(fact);
  change<LoadState>(view, projection::load, computed.load, [&](LoadState& load) {
    load.heat = computed;
    load.heat_fact = fact.sequence;
  });
}

void foldLoad(const Fact& fact, ProjectionView& view) {
  if (fact.kind == "load.built")
    build(fact, view);
  else if (fact.kind == "cure.recorded")
    record(fact, view);
  else if (fact.kind == "heat.computed")
    heat(fact, view);
  else if (fact.kind == "figure.computed")
    figure(fact, view);
}

}  // namespace

Projection mixProjection() { return {projection::mix, foldMix}; }
Projection loadProjection() { return {projection::load, foldLoad}; }

}  // namespace platemark::ledger
