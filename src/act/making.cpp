/// Opening a batch, plates, mixes, pressing.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "platemark/act/charge_sheet.h"
#include "platemark/plant/container.h"
#include "platemark/plant/stamp.h"
#include "support.h"

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
  const auto plan = requireNoun<ControlPlan>(context, projection::plan, part->noun.plan);
  if (!plan) return plan.error();
  const std::optional<Value> counter = context.snapshot.state(projection::counter, "batch.opened");
  const std::int64_t n = counter && counter->asInteger() ? *counter->asInteger() : 0;
  if (n >= stampCount())
    return badInput("batch.stamps_used_up", "All plate stamps of the scheme are used.", "part");
  const BatchOpened opened{stampNumber(n),  part->noun.code, part->issue, compound->noun.code,
                           compound->issue, plan->noun.code, plan->issue, in.plates};
  return std::vector<NewFact>{
      fact(context, "batch.opened", opened, {batchSubject(opened.batch), {"part", opened.part}})};
}

/// The batch and its part, at the issue the batch was opened with.
struct BatchAndPart {
  BatchState batch;
  Part part;
};
Result<BatchAndPart> batchAndPart(const Context& context, const std::string& id) {
  Result<BatchState> batch = require<BatchState>(context, projection::batch, id);
  if (!batch) return batch.error();
  Result<Issued<Part>> part =
      requireIssue<Part>(context, projection::part, batch->opened.part, batch->opened.part_issue);
  if (!part) return part.error();
  return BatchAndPart{std::move(*batch), std::move(part->noun)};
}

/// What stands in the way of a step on a machine. It does not hold for the step's own correction:
/// the step is on record then.
gate::Obstacles mayDo(const Context& context, Step step, const BatchAndPart& of,
                      const std::string& machine, const Remark& remark) {
  if (remark.corrects) return {};
  gate::Obstacles obstacles = gate::mayDoStep(step, of.batch, of.part);
  append(obstacles, inTime(context, step, of.batch, of.part, context.happened.instant));
  append(obstacles, mayStart(context, machine, of.batch));
  return obstacles;
}

/// The reading that a report brought along, or the one that has mended it since. An act's facts
/// stand together, with at most its hold between the report and its reading.
std::optional<Sequence> readingOf(const Context& context, Sequence report, const BatchState& batch,
                                  std::string_view characteristic) {
  std::optional<Sequence> reading;
  for (const Fact& f : context.snapshot.factsOf(batchSubject(batch.opened.batch), report, 2))
    if (!reading && f.kind == "reading.taken" && f.body.text("characteristic") == characteristic)
      reading = f.sequence;
  for (const Evidence& e : batch.evidence)  // in the order of the record: a mending comes later
    if (reading && e.reading == reading && e.corrected_by) {
      const auto mends = [&](const Evidence& later) { return later.reading == e.corrected_by; };
      if (std::any_of(batch.evidence.begin(), batch.evidence.end(), mends))
        reading = e.corrected_by;
    }
  return reading;
}

/// A corrected report is measured anew, and its first figure does not count any more.
Remark measuredAnew(const Context& context, const Remark& remark, const BatchState& batch,
                    std::string_view characteristic) {
  if (!remark.corrects) return {};
  return {readingOf(context, *remark.corrects, batch, characteristic), remark.why, {}};
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

Decision preparePlates(const Context& context, PlatesPrepared in) {
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
  gate::Obstacles obstacles = mayDo(context, Step::plates, *of, in.machine, in.remark);
  append(obstacles, mayUse(context, in.plate_lot, of->part.plate));
  if (of->part.adhesive && in.adhesive_lot)
    append(obstacles, mayUse(context, *in.adhesive_lot, *of->part.adhesive));
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
  film.remark = measuredAnew(context, in.remark, of->batch, film.characteristic);
  if (Result<void> m = measure(facts, context, std::move(film), {batchSubject(in.batch)}); !m)
    return m.error();
  return facts;
}

struct OpenMix {
  std::string batch;
  std::string machine;
  std::optional<Measure> mass;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("machine", machine);
    v("mass", mass);
    v("remark", remark);
  }
};

Decision openMix(const Context& context, OpenMix in) {
  Result<BatchAndPart> of = batchAndPart(context, in.batch);
  if (!of) return of.error();
  if (Result<void> m = checkMachine(context, in.machine, MachineClass::mixer); !m) return m.error();
  const BatchOpened& opened = of->batch.opened;
  const auto compound =
      requireIssue<Compound>(context, projection::compound, opened.compound, opened.compound_issue);
  if (!compound) return compound.error();
  const Measure mass = in.mass.value_or(compound->noun.mix_mass);
  if (const Result<Mass> m = massFrom(mass); !m) return Error(m.error()).at({"", 0, "", "mass"});
  if (Result<void> c = checkNoCorrection(in.remark, "Open another mix, and leave this one."); !c)
    return c.error();
  if (Result<void> p = permitOrReport(fmt::format("Opening a mix on {} is refused.", in.machine),
                                      mayStart(context, in.machine, of->batch), in.remark);
      !p)
    return p.error();
  const MixOpened mix{nextNumber(context.snapshot, "mix.opened", "M-", 4),
                      in.batch,
                      opened.compound,
                      opened.compound_issue,
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
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("mix", mix);
    v("material", material);
    v("lot", lot);
    v("mass", mass);
    v("gauge", gauge);
    v("container", container);
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

struct PressInput {
  std::string batch;
  std::string machine;
  std::optional<std::string> station;
  std::string tool;
  std::vector<std::string> cavities;
  std::string gauge;
  std::vector<Measure> charge_checks;
  std::vector<std::string> check_cavities;
  Counts counts;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("machine", machine);
    v("station", station);
    v("tool", tool);
    v("cavities", cavities);
    v("gauge", gauge);
    v("charge_checks", charge_checks);
    v("check_cavities", check_cavities);
    v("counts", counts);
    v("remark", remark);
  }
};

/// Density of the lot actually weighed for a line; the material's own where the lot has none.
std::optional<Measure> densityInMix(const Context& context, const MixState& mix,
                                    const FormulaLine& line) {
  for (const WeighingDone& w : mix.weighings) {
    if (w.material != line.material || w.corrected_by) continue;
    const auto lot = stateAs<LotState>(context.snapshot, projection::lot, w.lot);
    if (lot && lot->received.density) return lot->received.density;
  }
  const auto material = ledger::issueInForce<Material>(context.snapshot, projection::material,
                                                       line.material, context.day());
  return material ? material->noun.density : std::nullopt;
}

/// What the charge-weight method needs, taken from part, compound and the lots in the mix.
Result<Measurement> chargeInputs(const Context& context, const BatchAndPart& of,
                                 const Compound& compound, const PressInput& in) {
  Measurement charge{batchSubject(in.batch),
                     "charge-weight",
                     "",
                     "forming.charge_check",
                     {in.gauge},
                     {},
                     {},
                     {},
                     {}};
  charge.numbers["pad_volume"] = {of.part.pad_volume};
  charge.numbers["target_density"] = {compound.target_density};
  charge.numbers["loss"] = {compound.loss};
  charge.numbers["charges"] = in.charge_checks;
  charge.choices["loss_basis"] = std::string(word(compound.loss_basis));
  if (of.batch.mixes.empty())
    return badInput("press.no_mix", fmt::format("Batch {} has no mix on record.", in.batch),
                    "batch");
  const auto mix = stateAs<MixState>(context.snapshot, projection::mix, of.batch.mixes.back());
  for (const FormulaLine& line : compound.formula) {
    const auto material = requireNoun<Material>(context, projection::material, line.material);
    if (!material) return material.error();
    if (!material->noun.density)
      return badInput(
          "press.density_missing",
          fmt::format("{} has no true density on record; the charge weight cannot be computed.",
                      line.material),
          "batch");
    charge.numbers["parts"].push_back({line.parts, "1"});
    charge.numbers["nominal_densities"].push_back(*material->noun.density);
    charge.numbers["lot_densities"].push_back(*densityInMix(context, *mix, line));
  }
  return charge;
}

/// The codes stand on the tool; which it has is not on record.
Result<void> checkCavities(const std::vector<std::string>& cavities) {
  for (auto at = cavities.begin(); at != cavities.end(); ++at) {
    const std::string field = fmt::format("cavities[{}]", at - cavities.begin());
    if (at->empty())
      return badInput("cavity.empty", "A cavity has no code.", field, "the code on the tool");
    if (std::find(cavities.begin(), at, *at) != at)
      return badInput("cavity.doubled", fmt::format("Cavity {} is named twice.", *at), field,
                      "each cavity once");
  }
  return {};
}

/// A charge goes into a cavity that was filled, and each check has its own or none has.
Result<void> checkCheckCavities(const PressInput& in) {
  const auto& of_checks = in.check_cavities;
  if (!of_checks.empty() && of_checks.size() != in.charge_checks.size())
    return badInput("cavity.count",
                    fmt::format("{} charges are weighed, but {} cavities are named for them.",
                                in.charge_checks.size(), of_checks.size()),
                    "check_cavities", "one for each charge check, or none");
  for (std::size_t i = 0; i < of_checks.size(); ++i) {
    const std::string field = fmt::format("check_cavities[{}]", i);
    if (of_checks[i].empty())
      return badInput("cavity.empty", "A cavity has no code.", field, "the code on the tool");
    if (!in.cavities.empty() &&
        std::find(in.cavities.begin(), in.cavities.end(), of_checks[i]) == in.cavities.end())
      return badInput("cavity.not_filled",
                      fmt::format("Cavity {} is not among those that were filled.", of_checks[i]),
                      field, fmt::format("{}", fmt::join(in.cavities, ", ")));
  }
  return {};
}

Result<void> checkPlace(const Context& context, const PressInput& in) {
  if (Result<void> m = checkMachine(context, in.machine, MachineClass::press); !m) return m;
  if (Result<void> s = checkStation(context, in.machine, in.station); !s) return s;
  if (Result<void> c = checkCavities(in.cavities); !c) return c;
  return checkCheckCavities(in);
}

Decision press(const Context& context, PressInput in) {
  Result<BatchAndPart> of = batchAndPart(context, in.batch);
  if (!of) return of.error();
  if (Result<void> p = checkPlace(context, in); !p) return p.error();
  if (Result<void> c = checkCounts(in.counts); !c) return c.error();
  if (Result<void> c = checkCorrection(context, in.remark, "press.run", batchSubject(in.batch)); !c)
    return c.error();
  if (in.charge_checks.empty())
    return badInput("press.no_checks", "At least one charge must be weighed.", "charge_checks",
                    "masses in g");
  gate::Obstacles obstacles = mayDo(context, Step::press, *of, in.machine, in.remark);
  append(obstacles, gate::openHolds(of->batch.holds));
  const Result<gate::BatchFile> file = batchFile(context.snapshot, in.batch, context.day());
  if (!file) return file.error();
  append(obstacles, gate::heldLots(file->lots));
  if (!in.remark.corrects)
    append(obstacles, mayRun(context, of->batch, "press", in.machine, in.station));
  if (Result<void> p = permitOrReport(fmt::format("Pressing batch {} is refused.", in.batch),
                                      std::move(obstacles), in.remark);
      !p)
    return p.error();
  const auto compound = requireIssue<Compound>(
      context, projection::compound, of->batch.opened.compound, of->batch.opened.compound_issue);
  if (!compound) return compound.error();
  Result<Measurement> charge = chargeInputs(context, *of, compound->noun, in);
  if (!charge) return charge.error();
  charge->remark = measuredAnew(context, in.remark, of->batch, charge->characteristic);
  // The run is the first fact of the act; its place is kept, so that the figure names the right
  // reading.
  std::vector<NewFact> facts(1);
  if (Result<void> m = measure(facts, context, std::move(*charge), {batchSubject(in.batch)}); !m)
    return m.error();
  PressRun run{in.batch,         of->batch.mixes,   in.machine, in.station,
               in.tool,          in.cavities,       in.gauge,   {},
               in.charge_checks, in.check_cavities, in.counts,  in.remark};
  const Result<FigureComputed> figure = fromValue<FigureComputed>(facts.back().body);
  for (const FigureValue& value : figure->values)
    if (value.name == "target_charge") run.charge_target = *convert(value.value, "g", 2);
  facts.front() = fact(context, "press.run", run, {batchSubject(in.batch)});
  holdIfIrregular(facts, context, in.remark, batchSubject(in.batch));
  return facts;
}

}  // namespace

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
      verb<PlatesPrepared, preparePlates>("plates prepare", Operation::plates,
                                          "record prepared plates with their adhesive film"),
      verb<OpenMix, openMix>("mix open", Operation::mixing, "open a mix for a batch"),
      verb<WeighInput, weigh>("mix weigh", Operation::mixing, "record one weighing of a mix"),
      verb<MixFinished, finishMix>("mix finish", Operation::mixing, "record that a mix is mixed"),
      verb<PressInput, press>("press run", Operation::pressing,
                              "record a press run with its charge-weight checks"),
  };
  return list;
}

}  // namespace platemark::act
