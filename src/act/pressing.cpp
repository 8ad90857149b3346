/// Pressing: the charge of each layer, the place, the run.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "making.h"
#include "platemark/act/press_runs.h"
#include "platemark/gate/disposition.h"
#include "platemark/gate/line.h"

namespace platemark::act {
namespace {

struct PressInput {
  std::string batch;
  std::string machine;
  std::optional<std::string> station;
  std::string tool;
  std::vector<std::string> cavities;
  std::string gauge;
  std::vector<Measure> charge_checks;
  std::vector<std::string> check_cavities;
  std::vector<Measure> underlayer_checks;
  std::optional<Instant> started;
  std::optional<Instant> ended;
  std::optional<std::int64_t> strokes;
  std::optional<Measure> press_time;
  std::optional<std::string> programme;
  std::vector<std::string> deviations;  ///< allowed, by which the programme is another
  std::optional<std::string> attachment;
  std::optional<std::string> layout;  ///< by which charges were read from the file before
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
    v("underlayer_checks", underlayer_checks);
    v("started", started);
    v("ended", ended);
    v("strokes", strokes);
    v("press_time", press_time);
    v("programme", programme);
    v.defaulted("deviations", deviations);
    v("attachment", attachment);
    v("layout", layout);
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

/// One layer of compound on the pads of a run, with what was weighed of it.
struct LayerRun {
  std::string characteristic;
  CompoundIssue compound;
  Measure volume;
  std::vector<Measure> checks;
};
std::vector<LayerRun> layersOf(const BatchAndPart& of, const PressInput& in) {
  const BatchOpened& opened = of.batch.opened;
  std::vector<LayerRun> layers{{"charge-weight",
                                {opened.compound, opened.compound_issue},
                                of.part.pad_volume,
                                in.charge_checks}};
  if (opened.underlayer && of.part.underlayer)
    layers.push_back({"charge-weight-underlayer", *opened.underlayer, of.part.underlayer->volume,
                      in.underlayer_checks});
  return layers;
}

/// The newest mix of the compound.
Result<MixState> mixFor(const Context& context, const BatchState& batch,
                        const std::string& compound) {
  std::optional<MixState> newest;
  for (MixState& mix : mixesOf(context, batch))
    if (mix.opened.compound == compound) newest = std::move(mix);
  if (newest) return std::move(*newest);
  return badInput("press.no_mix",
                  fmt::format("Batch {} has no mix of {} on record.", batch.opened.batch, compound),
                  "batch");
}

/// What the charge-weight method needs, taken from part, compound and the lots in the mix.
Result<Measurement> chargeInputs(const Context& context, const BatchState& batch,
                                 const LayerRun& layer, const PressInput& in) {
  const Result<MixState> mix = mixFor(context, batch, layer.compound.compound);
  if (!mix) return mix.error();
  const auto issued = requireIssue<Compound>(context, projection::compound, layer.compound.compound,
                                             layer.compound.issue);
  if (!issued) return issued.error();
  const Compound& compound = issued->noun;
  Measurement charge{batchSubject(in.batch),
                     layer.characteristic,
                     "",
                     "forming.charge_check",
                     {in.gauge},
                     {},
                     {},
                     {},
                     measuredAnew(context, in.remark, batch, layer.characteristic),
                     in.attachment};
  charge.numbers["pad_volume"] = {layer.volume};
  charge.numbers["target_density"] = {compound.target_density};
  charge.numbers["loss"] = {compound.loss};
  charge.numbers["charges"] = layer.checks;
  charge.choices["loss_basis"] = std::string(word(compound.loss_basis));
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

/// Each layer has its charges weighed, and no other has.
Result<void> checkCharges(const PressInput& in, const Part& part) {
  if (in.charge_checks.empty())
    return badInput("press.no_checks", "At least one charge must be weighed.", "charge_checks",
                    "masses in g");
  if (part.underlayer && in.underlayer_checks.empty())
    return badInput("press.no_underlayer_checks",
                    "At least one charge of the underlayer must be weighed.", "underlayer_checks",
                    "masses in g");
  if (!part.underlayer && !in.underlayer_checks.empty())
    return badInput("press.no_underlayer",
                    fmt::format("Part {} is made without underlayer.", part.code),
                    "underlayer_checks", "nothing");
  return {};
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

constexpr std::int64_t clock_slack_ms = 5 * 60 * 1000;
constexpr std::int64_t longest_run_ms = 24 * 3600 * 1000;

/// The time of one stroke, where it is given, fits into the run.
Result<void> checkPressTime(const PressInput& in, double run_s) {
  if (!in.press_time) return {};
  const Result<Duration> time = durationFrom(*in.press_time);
  if (!time) return Error(time.error()).at({"", 0, "", "press_time"});
  const double s = time->in(unit::second);
  if (s > 0 && s * static_cast<double>(*in.strokes) <= run_s) return {};
  return badInput(
      "press.press_time",
      fmt::format("{} strokes of {} do not fit into the run.", *in.strokes, format(*in.press_time)),
      "press_time", "the press's own time of one stroke");
}

/// The press's own times: start, end and strokes together, or none; and none that cannot be.
Result<void> checkTimes(const Context& context, const PressInput& in) {
  if (!in.started && !in.ended && !in.strokes && !in.press_time) return {};
  if (!in.started || !in.ended || !in.strokes)
    return badInput("press.times_missing", "Start, end and strokes of a run stand together.",
                    !in.started ? "started"
                    : !in.ended ? "ended"
                                : "strokes",
                    "what the press shows");
  if (*in.strokes < 1)
    return badInput("press.strokes", "A run has strokes.", "strokes", "a whole number above 0");
  const std::int64_t run_ms = in.ended->unixMs() - in.started->unixMs();
  if (run_ms <= 0)
    return badInput("press.ends_first", "The run ends before it begins.", "ended",
                    "a time after " + formatInstant(*in.started));
  if (run_ms > longest_run_ms)
    return badInput("press.too_long", "A run is not longer than a day.", "started",
                    "the start of this run");
  if (in.ended->unixMs() > context.snapshot.now().unixMs() + clock_slack_ms)
    return badInput("press.in_future", "The run ends later than now.", "ended",
                    "a time that has passed, with its offset");
  return checkPressTime(in, static_cast<double>(run_ms) / 1000);
}

/// When pads were first pressed of what the step before left.
Instant begunAt(const Context& context, const PressInput& in) {
  return in.started.value_or(context.happened.instant);
}

/// What does not fit with other runs and with the mixes.
gate::Obstacles timesFit(const Context& context, const PressInput& in,
                         const std::vector<MixState>& mixes) {
  if (!in.started) return {};
  StepDone run;
  run.machine = in.machine;
  run.station = in.station;
  run.cavities = in.cavities;
  run.started = in.started;
  run.ended = in.ended;
  run.strokes = in.strokes;
  run.counts = in.counts;
  const Instant before = Instant::fromUnixMs(in.started->unixMs() - longest_run_ms);
  gate::Obstacles obstacles =
      gate::mayHaveRun({in.batch, run}, pressRuns(context.snapshot, in.machine, before, *in.ended),
                       in.remark.corrects);
  append(obstacles, gate::mixedBefore(mixes, *in.started));
  return obstacles;
}

/// The press works by the programme that the route names, or by one that a deviation allows.
Result<gate::Obstacles> byProgramme(const Context& context, const PressInput& in,
                                    const BatchAndPart& of) {
  const auto step = std::find_if(of.part.route.begin(), of.part.route.end(),
                                 [](const RouteStep& s) { return s.step == Step::press; });
  if (step == of.part.route.end() || !step->programme) return gate::Obstacles{};
  const std::string used = in.programme.value_or("");
  if (used.empty())
    return gate::Obstacles{{fmt::format("Part {} is pressed by programme {}; none was named.",
                                        of.part.code, *step->programme),
                            "press crew", "read the programme on the press"}};
  return insteadOf(context, {of.batch.opened.batch, of.part.code, Step::press, "programme"},
                   *step->programme, used, in.deviations);
}

/// The target charge that the figure came to.
Measure targetIn(const NewFact& figure) {
  const Result<FigureComputed> computed = fromValue<FigureComputed>(figure.body);
  for (const FigureValue& value : computed->values)
    if (value.name == "target_charge") return *convert(value.value, "g", 2);
  return {};
}

PressRun runOf(const PressInput& in, const std::vector<std::string>& mixes,
               const std::vector<Measure>& targets) {
  PressRun run;
  run.batch = in.batch;
  run.mixes = mixes;
  run.machine = in.machine;
  run.station = in.station;
  run.tool = in.tool;
  run.cavities = in.cavities;
  run.gauge = in.gauge;
  run.charge_target = targets.front();
  run.charge_checks = in.charge_checks;
  run.check_cavities = in.check_cavities;
  if (targets.size() > 1) run.underlayer_target = targets[1];
  run.underlayer_checks = in.underlayer_checks;
  run.started = in.started;
  run.ended = in.ended;
  run.strokes = in.strokes;
  run.press_time = in.press_time;
  run.programme = in.programme;
  run.deviations = in.deviations;
  run.counts = in.counts;
  run.remark = in.remark;
  return run;
}

Decision press(const Context& context, PressInput in) {
  Result<BatchAndPart> of = batchAndPart(context, in.batch);
  if (!of) return of.error();
  if (Result<void> p = checkPlace(context, in); !p) return p.error();
  if (Result<void> c = checkCounts(in.counts); !c) return c.error();
  if (Result<void> c = checkCorrection(context, in.remark, "press.run", batchSubject(in.batch)); !c)
    return c.error();
  if (Result<void> c = checkCharges(in, of->part); !c) return c.error();
  if (Result<void> t = checkTimes(context, in); !t) return t.error();
  gate::Obstacles obstacles =
      mayDo(context, Step::press, *of, in.machine, in.remark, begunAt(context, in));
  append(obstacles, gate::openHolds(of->batch.holds));
  const Result<gate::BatchFile> file = batchFile(context.snapshot, in.batch, context.day());
  if (!file) return file.error();
  append(obstacles, gate::heldLots(file->lots));
  if (of->batch.opened.underlayer && !in.remark.corrects)
    append(obstacles, gate::mixedForAllLayers(of->batch, file->mixes));
  append(obstacles, timesFit(context, in, file->mixes));
  Result<gate::Obstacles> programme = byProgramme(context, in, *of);
  if (!programme) return programme.error();
  append(obstacles, std::move(*programme));
  if (!in.remark.corrects)
    append(obstacles, mayRun(context, of->batch, "press", in.machine, in.station));
  if (Result<void> p = permitOrReport(fmt::format("Pressing batch {} is refused.", in.batch),
                                      std::move(obstacles), in.remark);
      !p)
    return p.error();
  // The run is the first fact of the act; its place is kept, so that each figure names the right
  // reading.
  std::vector<NewFact> facts(1);
  std::vector<Measure> targets;
  for (const LayerRun& layer : layersOf(*of, in)) {
    Result<Measurement> charge = chargeInputs(context, of->batch, layer, in);
    if (!charge) return charge.error();
    if (Result<void> m = measure(facts, context, std::move(*charge), {batchSubject(in.batch)}); !m)
      return m.error();
    targets.push_back(targetIn(facts.back()));
  }
  facts.front() =
      fact(context, "press.run", runOf(in, of->batch.mixes, targets), {batchSubject(in.batch)});
  holdIfIrregular(facts, context, in.remark, batchSubject(in.batch));
  return facts;
}

}  // namespace

std::span<const Kind> pressVerbs() {
  static constexpr Kind list[] = {
      verb<PressInput, press>("press run", Operation::pressing,
                              "record a press run with its charge-weight checks"),
  };
  return list;
}

}  // namespace platemark::act
