/// Opening a batch, plates, mixes.
#include <fmt/format.h>

#include <algorithm>

#include "making.h"
#include "platemark/act/charge_sheet.h"
#include "platemark/gate/disposition.h"
#include "platemark/plant/container.h"
#include "platemark/plant/stamp.h"

namespace platemark::act {
namespace {

struct OpenBatch {
  std::string part;
  std::int64_t plates = 0;
  template <class V>
  void describe(V& v) {
    v("part", part);
    v("plates", plates);
  }
};

Decision openBatch(const Context& context, OpenBatch in) {
  if (in.plates <= 0)
    return badInput("batch.plates", "A batch needs a count of plates.", "plates",
                    "a whole number above 0");
  const auto part = requireNoun<Part>(context, projection::part, in.part);
  if (!part) return Error(part.error()).at({"", 0, "", "part"});
  const auto compound = requireNoun<Compound>(context, projection::compound, part->noun.compound);
  if (!compound) return compound.error();
  std::optional<CompoundIssue> underlayer;
  if (part->noun.underlayer) {
    const auto lower =
        requireNoun<Compound>(context, projection::compound, part->noun.underlayer->compound);
    if (!lower) return lower.error();
    underlayer = CompoundIssue{lower->noun.code, lower->issue};
  }
  const auto plan = requireNoun<ControlPlan>(context, projection::plan, part->noun.plan);
  if (!plan) return plan.error();
  const std::optional<Value> counter = context.snapshot.state(projection::counter, "batch.opened");
  const std::int64_t n = counter && counter->asInteger() ? *counter->asInteger() : 0;
  if (n >= stampCount())
    return badInput("batch.stamps_used_up", "All plate stamps of the scheme are used.", "part");
  const BatchOpened opened{stampNumber(n),      part->noun.code, part->issue,
                           compound->noun.code, compound->issue, plan->noun.code,
                           plan->issue,         in.plates,       underlayer};
  return std::vector<NewFact>{
      fact(context, "batch.opened", opened, {batchSubject(opened.batch), {"part", opened.part}})};
}

/// Without new readings the first figure would go on counting, or vanish.
Result<void> checkFilm(const Context& context, const PlatesPrepared& in) {
  if (!in.remark.corrects || !in.film.empty()) return {};
  const auto mended = fromValue<PlatesPrepared>(context.snapshot.fact(*in.remark.corrects)->body);
  if (!mended || mended->film.empty()) return {};
  Error error = badInput("plates.film_missing",
                         fmt::format("Fact {} has readings of the film; the correction has none.",
                                     *in.remark.corrects),
                         "film", "the readings of the film");
  error.remedy = "Give the readings again, as they should stand.";
  return error;
}

struct PreparePlates {
  PlatesPrepared report;
  std::optional<std::string> attachment;
  std::optional<std::string> layout;  ///< by which `film` was read from the file before
  template <class V>
  void describe(V& v) {
    report.describe(v);
    v("attachment", attachment);
    v("layout", layout);
  }
};

/// The cover of a batch as if these plates stood on record already.
gate::CoverFile coverWith(const Context& context, const BatchAndPart& of,
                          const PlatesPrepared& in) {
  BatchState batch = of.batch;
  StepDone step;
  step.lots = {in.plate_lot};
  if (in.adhesive_lot) step.lots.push_back(*in.adhesive_lot);
  batch.steps.push_back(std::move(step));
  return coverFile(context.snapshot, batch, of.part, context.day());
}

/// The adhesive that the part names, or one that a deviation allows in its place; in either case a
/// lot that may be used.
Result<gate::Obstacles> mayCoatWith(const Context& context, const PlatesPrepared& in,
                                    const Part& part) {
  if (!part.adhesive || !in.adhesive_lot) return gate::Obstacles{};
  const auto lot = stateAs<LotState>(context.snapshot, projection::lot, *in.adhesive_lot);
  if (in.deviations.empty() || !lot) return mayUse(context, *in.adhesive_lot, *part.adhesive);
  const std::string& used = lot->received.material;
  Result<gate::Obstacles> obstacles =
      insteadOf(context, {in.batch, part.code, Step::plates, "adhesive"}, *part.adhesive, used,
                in.deviations);
  if (obstacles) append(*obstacles, mayUse(context, *in.adhesive_lot, used));
  return obstacles;
}

Decision preparePlates(const Context& context, PreparePlates asked) {
  PlatesPrepared& in = asked.report;
  Result<BatchAndPart> of = batchAndPart(context, in.batch);
  if (!of) return of.error();
  if (Result<void> m = checkMachine(context, in.machine, MachineClass::coater); !m)
    return m.error();
  if (Result<void> c = checkCounts(in.counts); !c) return c.error();
  if (Result<void> c =
          checkCorrection(context, in.remark, "plates.prepared", batchSubject(in.batch));
      !c)
    return c.error();
  if (Result<void> c = checkFilm(context, in); !c) return c.error();
  gate::Obstacles obstacles =
      mayDo(context, Step::plates, *of, in.machine, in.remark, context.happened.instant);
  append(obstacles, mayUse(context, in.plate_lot, of->part.plate));
  Result<gate::Obstacles> adhesive = mayCoatWith(context, in, of->part);
  if (!adhesive) return adhesive.error();
  append(obstacles, std::move(*adhesive));
  if (of->part.adhesive && !in.adhesive_lot)
    obstacles.push_back({fmt::format("Part {} needs adhesive {}; no adhesive lot was named.",
                                     of->part.code, *of->part.adhesive),
                         "plate crew", "scan the adhesive lot"});
  if (!of->part.adhesive && in.adhesive_lot)
    obstacles.push_back({fmt::format("Part {} is made without adhesive.", of->part.code),
                         "plate crew", "check the part on the traveller"});
  if (!in.remark.corrects)
    append(obstacles,
           gate::mayMark(of->part, word(Step::plates), coverWith(context, *of, in), context.day()));
  if (Result<void> p = permitOrReport(fmt::format("Plates for batch {} are refused.", in.batch),
                                      std::move(obstacles), in.remark);
      !p)
    return p.error();
  std::vector<Subject> subjects{batchSubject(in.batch), lotSubject(in.plate_lot)};
  if (in.adhesive_lot) subjects.push_back(lotSubject(*in.adhesive_lot));
  std::vector<NewFact> facts{fact(context, "plates.prepared", in, subjects)};
  holdIfIrregular(facts, context, in.remark, batchSubject(in.batch));
  if (in.film.empty()) return facts;
  Measurement film{batchSubject(in.batch),
                   "adhesive-film",
                   "",
                   "statistics.summary",
                   {},
                   {{"readings", in.film}},
                   {},
                   {},
                   {}};
  if (in.gauge) film.gauges.push_back(*in.gauge);
  film.attachment = asked.attachment;
  film.remark = measuredAnew(context, in.remark, of->batch, film.characteristic);
  if (Result<void> m = measure(facts, context, std::move(film), {batchSubject(in.batch)}); !m)
    return m.error();
  return facts;
}

struct OpenMix {
  std::string batch;
  std::string machine;
  std::optional<std::string> compound;  ///< of a batch with an underlayer: which of the two
  std::optional<Measure> mass;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("machine", machine);
    v("compound", compound);
    v("mass", mass);
    v("remark", remark);
  }
};

/// The issue that the batch was opened with, of the layer that the mix is for.
Result<CompoundIssue> compoundToMix(const BatchOpened& batch,
                                    const std::optional<std::string>& named) {
  std::vector<CompoundIssue> layers{{batch.compound, batch.compound_issue}};
  if (batch.underlayer) layers.push_back(*batch.underlayer);
  if (!named && layers.size() == 1) return layers.front();
  for (const CompoundIssue& layer : layers)
    if (layer.compound == named) return layer;
  return badInput(named ? "mix.other_compound" : "mix.compound_missing",
                  named ? fmt::format("Batch {} is not made of {}.", batch.batch, *named)
                        : fmt::format("Batch {} has two layers; say which is mixed.", batch.batch),
                  "compound",
                  layers.size() == 1
                      ? layers[0].compound
                      : fmt::format("{} or {}", layers[0].compound, layers[1].compound));
}

Decision openMix(const Context& context, OpenMix in) {
  Result<BatchAndPart> of = batchAndPart(context, in.batch);
  if (!of) return of.error();
  if (Result<void> m = checkMachine(context, in.machine, MachineClass::mixer); !m) return m.error();
  const Result<CompoundIssue> of_layer = compoundToMix(of->batch.opened, in.compound);
  if (!of_layer) return of_layer.error();
  const auto compound =
      requireIssue<Compound>(context, projection::compound, of_layer->compound, of_layer->issue);
  if (!compound) return compound.error();
  const Measure mass = in.mass.value_or(compound->noun.mix_mass);
  if (const Result<Mass> m = massFrom(mass); !m) return Error(m.error()).at({"", 0, "", "mass"});
  if (Result<void> c = checkNoCorrection(in.remark, "Open another mix, and leave this one."); !c)
    return c.error();
  if (Result<void> p =
          permitOrReport(fmt::format("Opening a mix on {} is refused.", in.machine),
                         mayStart(context, in.machine, of->batch, of_layer->compound), in.remark);
      !p)
    return p.error();
  const MixOpened mix{nextNumber(context.snapshot, "mix.opened", "M-", 4),
                      in.batch,
                      of_layer->compound,
                      of_layer->issue,
                      in.machine,
                      mass,
                      in.remark};
  std::vector<NewFact> facts{
      fact(context, "mix.opened", mix, {{"mix", mix.mix}, batchSubject(in.batch)})};
  holdIfIrregular(facts, context, in.remark, batchSubject(in.batch));
  return facts;
}

struct WeighInput {
  std::string mix;
  std::string material;
  std::string lot;
  Measure mass;
  std::string gauge;
  std::optional<std::string> container;
  std::optional<std::string> attachment;
  std::optional<std::string> layout;  ///< by which `mass` was read from the file before
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("mix", mix);
    v("material", material);
    v("lot", lot);
    v("mass", mass);
    v("gauge", gauge);
    v("container", container);
    v("attachment", attachment);
    v("layout", layout);
    v("remark", remark);
  }
};

gate::Obstacles mayTakeFrom(const Context& context, const std::string& id, const std::string& lot) {
  const auto container = stateAs<ContainerState>(context.snapshot, projection::container, id);
  if (container && container->lot == lot) return {};
  return {{container ? fmt::format("Container {} is of lot {}, not {}.", id, container->lot, lot)
                     : fmt::format("Container {} is not on record.", id),
           "mixing crew", "put it back and scan the right one"}};
}

Decision weigh(const Context& context, WeighInput in) {
  Result<MixState> mix = require<MixState>(context, projection::mix, in.mix);
  if (!mix) return mix.error();
  const auto compound = requireIssue<Compound>(context, projection::compound, mix->opened.compound,
                                               mix->opened.compound_issue);
  if (!compound) return compound.error();
  const auto& formula = compound->noun.formula;
  const auto line = std::find_if(formula.begin(), formula.end(),
                                 [&](const FormulaLine& l) { return l.material == in.material; });
  if (line == formula.end())
    return badInput("mix.not_in_formula",
                    fmt::format("{} issue {} has no {}.", mix->opened.compound,
                                mix->opened.compound_issue, in.material),
                    "material");
  const Result<Mass> mass = massFrom(in.mass);
  if (!mass) return Error(mass.error()).at({"", 0, "", "mass"});
  if (mass->in(unit::kilogram) <= 0)
    return badInput("value.not_positive", "A weighing must be above zero.", "mass",
                    "the net mass on the scale");
  if (Result<void> c = checkCorrection(context, in.remark, "mix.weighed", {"mix", in.mix}); !c)
    return c.error();
  gate::Obstacles obstacles = mayUse(context, in.lot, in.material);
  if (in.container) append(obstacles, mayTakeFrom(context, *in.container, in.lot));
  if (mix->finished && !in.remark.corrects)
    obstacles.push_back(
        {fmt::format("Mix {} is finished.", in.mix), "mixing crew", "open the next mix"});
  const Result<Gauge> scale = gaugeThen(context, in.gauge);
  if (!scale) return Error(scale.error()).at({"", 0, "", "gauge"});
  for (const std::string& doubt : gaugeDoubts(context, *scale))
    obstacles.push_back(
        {doubt, "laboratory technician", "use a scale that is in calibration and checked today"});
  append(obstacles, gate::mayUseGauge(gaugeTrustOf(context.snapshot, in.gauge), in.gauge));
  if (Result<void> p = permitOrReport(fmt::format("Lot {} is refused for mix {}.", in.lot, in.mix),
                                      std::move(obstacles), in.remark);
      !p)
    return p.error();
  Weighed weighed = wantedOf(compound->noun, *line, *mix);
  weighed.mix = in.mix;
  weighed.material = in.material;
  weighed.lot = in.lot;
  weighed.mass = in.mass;
  weighed.gauge = in.gauge;
  weighed.container = in.container;
  weighed.attachment = in.attachment;
  weighed.remark = in.remark;
  std::vector<NewFact> facts{
      fact(context, "mix.weighed", weighed,
           {{"mix", in.mix}, lotSubject(in.lot), batchSubject(mix->opened.batch)})};
  holdIfIrregular(facts, context, in.remark, batchSubject(mix->opened.batch));
  return facts;
}

Decision finishMix(const Context& context, MixFinished in) {
  Result<MixState> mix = require<MixState>(context, projection::mix, in.mix);
  if (!mix) return mix.error();
  if (mix->finished && !in.remark.corrects) {
    Error error =
        badInput("mix.finished", fmt::format("Mix {} is finished already.", in.mix), "mix");
    error.fault = Fault::conflict;
    return error;
  }
  if (Result<void> c = checkCorrection(context, in.remark, "mix.finished", {"mix", in.mix}); !c)
    return c.error();
  in.remark.irregular.clear();
  return std::vector<NewFact>{
      fact(context, "mix.finished", in, {{"mix", in.mix}, batchSubject(mix->opened.batch)})};
}

/// The reading that a report brought along, or the one that has mended it since. An act's facts
/// stand together and bear its token.
std::optional<Sequence> readingOf(const Context& context, Sequence report, const BatchState& batch,
                                  std::string_view characteristic) {
  std::optional<Sequence> reading;
  const std::optional<Fact> reported = context.snapshot.fact(report);
  constexpr std::size_t more_than_one_act_has = 8;
  for (const Fact& f :
       context.snapshot.factsOf(batchSubject(batch.opened.batch), report, more_than_one_act_has))
    if (!reading && f.token == reported->token && f.kind == "reading.taken" &&
        f.body.text("characteristic") == characteristic)
      reading = f.sequence;
  for (const Evidence& e : batch.evidence)  // in the order of the record: a mending comes later
    if (reading && e.reading == reading && e.corrected_by) {
      const auto mends = [&](const Evidence& later) { return later.reading == e.corrected_by; };
      if (std::any_of(batch.evidence.begin(), batch.evidence.end(), mends))
        reading = e.corrected_by;
    }
  return reading;
}

}  // namespace

Result<BatchAndPart> batchAndPart(const Context& context, const std::string& id) {
  Result<BatchState> batch = require<BatchState>(context, projection::batch, id);
  if (!batch) return batch.error();
  Result<Issued<Part>> part =
      requireIssue<Part>(context, projection::part, batch->opened.part, batch->opened.part_issue);
  if (!part) return part.error();
  return BatchAndPart{std::move(*batch), std::move(part->noun)};
}

gate::Obstacles mayDo(const Context& context, Step step, const BatchAndPart& of,
                      const std::string& machine, const Remark& remark, Instant began) {
  if (remark.corrects) return {};
  gate::Obstacles obstacles = gate::mayDoStep(step, of.batch, of.part);
  append(obstacles, inTime(context, step, of.batch, of.part, began));
  append(obstacles, mayStart(context, machine, of.batch));
  return obstacles;
}

Result<gate::Obstacles> insteadOf(const Context& context, const Instead& of,
                                  const std::string& named, const std::string& used,
                                  const std::vector<std::string>& deviations) {
  gate::Obstacles obstacles;
  for (std::size_t i = 0; i < deviations.size(); ++i) {
    const Result<DeviationState> deviation =
        require<DeviationState>(context, projection::deviation, deviations[i]);
    if (!deviation)
      return Error(deviation.error()).at({"", 0, "", fmt::format("deviations[{}]", i)});
    append(obstacles, gate::deviationCovers(*deviation, of.part, of.batch, of.step, named, used,
                                            context.day()));
  }
  if (deviations.empty() && named != used)
    obstacles.push_back(
        {fmt::format("Part {} asks for {} {}; {} was used.", of.part, of.what, named, used),
         "quality manager", "work as asked, or have a deviation allowed"});
  return obstacles;
}

Remark measuredAnew(const Context& context, const Remark& remark, const BatchState& batch,
                    std::string_view characteristic) {
  if (!remark.corrects) return {};
  return {readingOf(context, *remark.corrects, batch, characteristic), remark.why, {}};
}

Weighed wantedOf(const Compound& compound, const FormulaLine& line, const MixState& mix) {
  double parts = 0;
  for (const FormulaLine& l : compound.formula) parts += l.parts.value();
  const double mix_kg = massFrom(mix.opened.mass)->in(unit::kilogram);
  const double wanted = mix_kg * line.parts.value() / parts;
  Weighed weighed;
  weighed.wanted = {Decimal::fixed(wanted, 3), "kg"};
  weighed.tolerance = {Decimal::fixed(wanted * shareFrom(line.tolerance)->in(unit::one), 3), "kg"};
  return weighed;
}

std::span<const Kind> makingVerbs() {
  static constexpr Kind list[] = {
      verb<OpenBatch, openBatch>("batch open", Operation::batch,
                                 "open a batch and allot its plate stamp"),
      verb<PreparePlates, preparePlates>("plates prepare", Operation::plates,
                                         "record prepared plates with their adhesive film"),
      verb<OpenMix, openMix>("mix open", Operation::mixing, "open a mix for a batch"),
      verb<WeighInput, weigh>("mix weigh", Operation::mixing, "record one weighing of a mix"),
      verb<MixFinished, finishMix>("mix finish", Operation::mixing, "record that a mix is mixed"),
  };
  return list;
}

}  // namespace platemark::act
