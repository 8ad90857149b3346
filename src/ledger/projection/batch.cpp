#include <algorithm>

#include "fold.h"
#include "platemark/plant/disposition.h"

namespace platemark::ledger {
namespace {

using BatchChange = std::function<void(BatchState&)>;

void changeBatch(ProjectionView& view, const std::string& batch, const BatchChange& with) {
  change<BatchState>(view, projection::batch, batch, with);
}

/// A fact on what happened before the cure gate concerns both gates; one on finishing only the
/// final gate.
void overtakeFrom(BatchState& batch, Gate first, const Fact& fact, const std::string& why) {
  if (first == Gate::cure) overtake(batch.cure, fact, why);
  overtake(batch.final, fact, why);
}

Gate gateOf(Step step) { return step < Step::finish ? Gate::cure : Gate::final; }

void addStep(BatchState& batch, const Fact& fact, StepDone step) {
  step.fact = fact.sequence;
  step.happened = fact.happened.instant;
  std::size_t at = batch.steps.size();
  if (const std::optional<Sequence> corrected = correctedBy(fact))
    for (std::size_t i = 0; i < batch.steps.size(); ++i)
      if (batch.steps[i].fact == *corrected) {
        batch.steps[i].corrected_by = fact.sequence;
        at = i + 1;  // counts are balanced in the order of the chain, so a mended step stands where
                     // the first stood
      }
  overtakeFrom(batch, gateOf(step.step), fact, cameAfterwards(fact));
  batch.steps.insert(batch.steps.begin() + static_cast<std::ptrdiff_t>(at), std::move(step));
}

StepDone step(Step step, std::string what, std::string machine) {
  StepDone done;
  done.step = step;
  done.what = std::move(what);
  done.machine = std::move(machine);
  return done;
}

StepDone counted(StepDone step, const Counts& counts) {
  step.counts = counts;
  step.counted = true;
  return step;
}

/// Most reports on a batch are one step of it.
void addStepTo(ProjectionView& view, const std::string& batch, const Fact& fact,
               const StepDone& step) {
  changeBatch(view, batch, [&](BatchState& state) { addStep(state, fact, step); });
}

void prepare(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<PlatesPrepared>(fact);
  StepDone plates = counted(step(Step::plates, "", body.machine), body.counts);
  plates.lots.push_back(body.plate_lot);
  if (body.adhesive_lot) plates.lots.push_back(*body.adhesive_lot);
  addStepTo(view, body.batch, fact, plates);
}

void blast(const Fact& fact, ProjectionView& view) {
  changeBatch(view, fact.body.text("batch"),
              [&](BatchState& batch) { batch.blasted_at = fact.happened.instant; });
}

void openMix(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<MixOpened>(fact);
  changeBatch(view, body.batch, [&](BatchState& batch) {
    batch.mixes.push_back(body.mix);
    overtakeFrom(batch, Gate::cure, fact, cameAfterwards(fact));
  });
}

std::string batchOfMix(const ProjectionView& view, const std::string& mix) {
  const auto state = get<MixState>(view, projection::mix, mix);
  return state ? state->opened.batch : "";
}

void weigh(const Fact& fact, ProjectionView& view) {
  changeBatch(view, batchOfMix(view, fact.body.text("mix")), [&](BatchState& batch) {
    overtakeFrom(batch, Gate::cure, fact, cameAfterwards(fact));
  });
}

void finishMix(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<MixFinished>(fact);
  const auto mix = get<MixState>(view, projection::mix, body.mix);
  if (!mix) return;
  StepDone mixed = step(Step::mix, body.mix, mix->opened.machine);
  for (const WeighingDone& w : mix->weighings)
    if (!w.corrected_by) mixed.lots.push_back(w.lot);
  addStepTo(view, mix->opened.batch, fact, mixed);
}

void press(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<PressRun>(fact);
  StepDone pressed = counted(step(Step::press, body.tool, body.machine), body.counts);
  pressed.station = body.station;
  pressed.cavities = body.cavities;
  pressed.started = body.started;
  pressed.ended = body.ended;
  pressed.strokes = body.strokes;
  pressed.press_time = body.press_time;
  addStepTo(view, body.batch, fact, pressed);
}

/// What was computed for the pads of a load rests on its recordings and its clamps, so it goes
/// with what is mended; the fact's subjects are the batches before and after.
void forgetHeat(const Fact& fact, ProjectionView& view, const std::string& load_id) {
  const auto load = get<LoadState>(view, projection::load, load_id);
  if (!load || !correctedBy(fact)) return;
  for (const Subject& subject : fact.subjects)
    if (subject.kind == "batch")
      changeBatch(view, subject.id, [&](BatchState& batch) {
        for (const Sequence recording : load->recording_facts)
          markCorrected(batch.evidence, recording, fact.sequence);
      });
}

void record(const Fact& fact, ProjectionView& view) {
  forgetHeat(fact, view, fact.body.text("load"));
}

/// A batch that a corrected load left out never lay in it.
void leaveLoad(const Fact& fact, ProjectionView& view, const std::string& id,
               const std::string& load) {
  changeBatch(view, id, [&](BatchState& batch) {
    std::erase(batch.loads, load);
    for (StepDone& step : batch.steps)
      if (step.fact == correctedBy(fact)) step.corrected_by = fact.sequence;
    overtakeFrom(batch, Gate::cure, fact, cameAfterwards(fact));
  });
}

void load(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<LoadBuilt>(fact);
  forgetHeat(fact, view, body.load);
  std::vector<std::string> batches;
  for (const Clamp& clamp : body.clamps)
    if (std::find(batches.begin(), batches.end(), clamp.batch) == batches.end())
      batches.push_back(clamp.batch);
  for (const Subject& subject : fact.subjects)
    if (subject.kind == "batch" &&
        std::find(batches.begin(), batches.end(), subject.id) == batches.end())
      leaveLoad(fact, view, subject.id, body.load);
  for (const std::string& id : batches)
    changeBatch(view, id, [&](BatchState& batch) {
      if (std::find(batch.loads.begin(), batch.loads.end(), body.load) == batch.loads.end())
        batch.loads.push_back(body.load);
      addStep(batch, fact, step(Step::clamp, body.load, body.oven));
    });
}

void unclamp(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<Unclamped>(fact);
  addStepTo(view, body.batch, fact, counted(step(Step::cure, body.load, ""), body.counts));
}

/// The samples of a corrected drawing were not drawn as it says.
void takeBack(BatchState& batch, Sequence drawing) {
  for (std::size_t i = batch.samples.size(); i-- > 0;)
    if (batch.samples_drawn[i] == drawing) {
      batch.samples.erase(batch.samples.begin() + static_cast<std::ptrdiff_t>(i));
      batch.samples_drawn.erase(batch.samples_drawn.begin() + static_cast<std::ptrdiff_t>(i));
    }
}

void drawSamples(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<SamplesDrawn>(fact);
  changeBatch(view, body.batch, [&](BatchState& batch) {
    if (body.remark.corrects) takeBack(batch, *body.remark.corrects);
    for (const Sample& sample : body.samples) {
      batch.samples.push_back(sample);
      batch.samples_drawn.push_back(fact.sequence);
    }
    addStep(batch, fact, counted(step(Step::sample, "", ""), body.counts));
  });
}

void finish(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<Finished>(fact);
  StepDone done = counted(step(Step::finish, body.operation, body.machine), body.counts);
  for (const UsedLot& used : body.lots) done.lots.push_back(used.lot);
  for (const SpotPut& spot : body.spots)
    if (std::find(done.lots.begin(), done.lots.end(), spot.lot) == done.lots.end())
      done.lots.push_back(spot.lot);
  done.used = body.lots;
  done.printed = body.printed;
  done.spots = body.spots;
  addStepTo(view, body.batch, fact, done);
}

/// A corrected bake takes its figures along.
void bake(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<BakeRecorded>(fact);
  changeBatch(view, body.batch, [&](BatchState& batch) {
    if (const std::optional<Sequence> corrected = correctedBy(fact)) {
      markCorrected(batch.evidence, *corrected, fact.sequence);
      for (BakeDone& done : batch.bakes)
        if (done.fact == *corrected) done.corrected_by = fact.sequence;
    }
    batch.bakes.push_back({fact.sequence,
                           body.operation,
                           body.machine,
                           body.programme,
                           body.pads,
                           fact.happened.instant,
                           {}});
    overtakeFrom(batch, Gate::final, fact, cameAfterwards(fact));
  });
}

/// The gate whose plan line a figure serves; the earlier one when no line does. A coat is baked
/// after the cure gate.
template <class Figure>
Gate gateServed(const ProjectionView& view, const BatchState& batch, const Figure& figure) {
  if (figure.method == bake_method) return Gate::final;
  const auto plan = get<Issued<ControlPlan>>(view, projection::plan,
                                             issueKey(batch.opened.plan, batch.opened.plan_issue));
  if (!plan) return Gate::cure;
  bool serves_final = false;
  for (const PlanLine& line : plan->noun.lines) {
    const bool serves =
        line.method == figure.method &&
        (figure.characteristic.empty() || figure.characteristic == line.characteristic);
    if (serves && line.gate != Gate::final) return Gate::cure;
    serves_final = serves_final || serves;
  }
  return serves_final ? Gate::final : Gate::cure;
}

void read(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<ReadingTaken>(fact);
  if (body.subject.kind != "batch" || !body.remark.corrects) return;
  changeBatch(view, body.subject.id, [&](BatchState& batch) {
    markCorrected(batch.evidence, *body.remark.corrects, fact.sequence);
  });
}

void figure(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<FigureComputed>(fact);
  if (body.subject.kind == "batch")
    changeBatch(view, body.subject.id, [&](BatchState& batch) {
      // The same readings computed again, by a newer method: the newer figure stands.
      for (const Sequence reading : body.readings)
        markCorrected(batch.evidence, reading, fact.sequence);
      addEvidence(batch.evidence, view, fact, body);
      overtakeFrom(batch, gateServed(view, batch, body), fact, cameAfterwards(fact));
    });
  else if (body.subject.kind == "load") {
    const auto load = get<LoadState>(view, projection::load, body.subject.id);
    if (!load) return;
    for (const Clamp& clamp : load->built.clamps)
      changeBatch(view, clamp.batch, [&](BatchState& batch) {
        overtakeFrom(batch, Gate::cure, fact, cameAfterwards(fact));
      });
  }
}

/// The first gate that rests on one of these readings; a weighing belongs to the cure gate.
Gate firstGateOf(const ProjectionView& view, const BatchState& batch,
                 const std::vector<Sequence>& results) {
  const auto touched = [&](Sequence fact) {
    return std::find(results.begin(), results.end(), fact) != results.end();
  };
  for (const std::string& id : batch.mixes)
    if (const auto mix = get<MixState>(view, projection::mix, id))
      for (const WeighingDone& w : mix->weighings)
        if (touched(w.fact)) return Gate::cure;
  bool final_only = false;
  for (const Evidence& e : batch.evidence) {
    if (!touched(e.reading.value_or(e.figure - 1))) continue;
    if (gateServed(view, batch, e) == Gate::cure) return Gate::cure;
    final_only = true;
  }
  return final_only ? Gate::final : Gate::cure;
}

/// What is found out about a gauge speaks against the verdicts that lean on its results.
void gaugeDoubted(const Fact& fact, ProjectionView& view) {
  const Result<std::vector<Sequence>> results =
      fromValue<std::vector<Sequence>>(fact.body["results"]);
  for (const Subject& subject : fact.subjects)
    if (subject.kind == "batch")
      changeBatch(view, subject.id, [&](BatchState& batch) {
        overtakeFrom(batch, firstGateOf(view, batch, *results), fact, cameAfterwards(fact));
      });
}

/// What only finishing put on does not touch the cure gate.
Gate firstGateOf(const BatchState& batch, const std::string& lot) {
  bool finishing = false;
  for (const StepDone& step : batch.steps) {
    if (std::find(step.lots.begin(), step.lots.end(), lot) == step.lots.end()) continue;
    if (step.step != Step::finish) return Gate::cure;
    finishing = true;
  }
  return finishing ? Gate::final : Gate::cure;
}

/// A lot that is found wrong later speaks against every batch it went into.
void lotChanged(const Fact& fact, ProjectionView& view, const std::string& lot_id) {
  const auto lot = get<LotState>(view, projection::lot, lot_id);
  if (!lot) return;
  for (const std::string& id : lot->used_in)
    changeBatch(view, id, [&](BatchState& batch) {
      overtakeFrom(batch, firstGateOf(batch, lot_id), fact,
                   "lot " + lot_id + " of it changed: " + cameAfterwards(fact));
    });
}

void followLots(const Fact& fact, ProjectionView& view) {
  if (fact.kind == "lot.decided" && fact.body.text("disposition") != "clear")
    lotChanged(fact, view, fact.body.text("lot"));
  if (fact.kind == "lot.received" && correctedBy(fact))
    lotChanged(fact, view, fact.body.text("lot"));
  if (fact.kind == "gauge.studied" || fact.kind == "gauge.found_wrong")
    for (const Subject& subject : fact.subjects)
      if (subject.kind == "lot") lotChanged(fact, view, subject.id);
  const bool on_lot = fact.body["subject"].text("kind") == "lot";
  if (on_lot && (fact.kind == "figure.computed" || fact.kind == "hold.placed"))
    lotChanged(fact, view, fact.body["subject"].text("id"));
}

void verdict(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<VerdictGiven>(fact);
  if (body.subject.kind != "batch") return;
  changeBatch(view, body.subject.id, [&](BatchState& batch) {
    giveVerdict(body.gate == Gate::cure ? batch.cure : batch.final, fact, body);
  });
}

void release(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<ReleaseSigned>(fact);
  if (body.subject.kind != "batch") return;
  changeBatch(view, body.subject.id, [&](BatchState& batch) {
    signRelease(body.gate == Gate::cure ? batch.cure : batch.final, fact);
  });
}

void hold(const Fact& fact, ProjectionView& view) {
  const Value& subject = fact.body["subject"];
  if (subject.text("kind") != "batch") return;
  changeBatch(view, subject.text("id"), [&](BatchState& batch) {
    if (fact.kind == "hold.lifted")
      return liftHold(batch.holds, bodyOf<HoldLifted>(fact).hold, fact.sequence);
    placeHold(batch.holds, fact, fact.body.text("why"));
    overtakeFrom(batch, Gate::cure, fact, cameAfterwards(fact));
  });
}

/// Folded before the box: its state is still the one that a correction mends.
void pack(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<BoxPacked>(fact);
  if (const auto before = get<BoxState>(view, projection::box, body.box))
    changeBatch(view, before->packed.batch, [&](BatchState& batch) {
      std::erase(batch.boxes, body.box);
      batch.boxed -= before->packed.pads;
      if (!before->shipment.empty()) batch.shipped -= before->packed.pads;
    });
  const auto before = get<BoxState>(view, projection::box, body.box);
  changeBatch(view, body.batch, [&](BatchState& batch) {
    batch.boxes.push_back(body.box);
    batch.boxed += body.pads;
    if (before && !before->shipment.empty()) batch.shipped += body.pads;
  });
}

void countShipped(ProjectionView& view, const std::vector<std::string>& boxes, int sign) {
  for (const std::string& box : boxes)
    if (const auto state = get<BoxState>(view, projection::box, box))
      changeBatch(view, state->packed.batch,
                  [&](BatchState& batch) { batch.shipped += sign * state->packed.pads; });
}

/// Folded before the shipment: what a corrected one had sent is taken back first.
void ship(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<Shipped>(fact);
  if (const auto before = get<ShipmentState>(view, projection::shipment, body.shipment))
    countShipped(view, before->shipped.boxes, -1);
  countShipped(view, body.boxes, 1);
}

void paper(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<PaperIssued>(fact);
  if (body.subject.kind == "batch")
    changeBatch(view, body.subject.id,
                [&](BatchState& batch) { batch.certificates.push_back(body.attachment); });
}

void open(const Fact& fact, ProjectionView& view) {
  BatchState batch;
  batch.opened = bodyOf<BatchOpened>(fact);
  batch.opened_at = fact.happened.instant;
  view.put(batch.opened.batch, toValue(batch));
}

GateState& gateNamed(BatchState& batch, Gate gate) {
  return gate == Gate::cure ? batch.cure : batch.final;
}

void concede(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<ConcessionGranted>(fact);
  changeBatch(view, body.batch,
              [&](BatchState& batch) { gateNamed(batch, body.gate).concession = body.concession; });
}

/// What is worked once more is not what was judged.
void rework(const Fact& fact, ProjectionView& view) {
  const auto ordered = get<ReworkOrdered>(view, projection::rework, fact.body.text("rework"));
  if (!ordered) return;
  changeBatch(view, ordered->batch, [&](BatchState& batch) {
    overtakeFrom(batch, ordered->gate, fact, cameAfterwards(fact));
  });
}

struct Row {
  std::string_view kind;
  void (*fold)(const Fact&, ProjectionView&);
};
constexpr Row rows[] = {
    {"plates.blasted", blast},
    {"batch.opened", open},
    {"plates.prepared", prepare},
    {"mix.opened", openMix},
    {"mix.weighed", weigh},
    {"mix.finished", finishMix},
    {"press.run", press},
    {"load.built", load},
    {"load.unclamped", unclamp},
    {"cure.recorded", record},
    {"samples.drawn", drawSamples},
    {"reading.taken", read},
    {"figure.computed", figure},
    {"verdict.given", verdict},
    {"release.signed", release},
    {"hold.placed", hold},
    {"hold.lifted", hold},
    {"batch.finished", finish},
    {"bake.recorded", bake},
    {"box.packed", pack},
    {"shipment.sent", ship},
    {"paper.issued", paper},
    {"rework.ordered", rework},
    {"rework.done", rework},
    {"concession.granted", concede},
    {"gauge.studied", gaugeDoubted},
    {"gauge.found_wrong", gaugeDoubted},
};

void fold(const Fact& fact, ProjectionView& view) {
  followLots(fact, view);
  for (const Row& row : rows)
    if (row.kind == fact.kind) row.fold(fact, view);
}

}  // namespace

Projection batchProjection() { return {projection::batch, fold}; }

}  // namespace platemark::ledger
