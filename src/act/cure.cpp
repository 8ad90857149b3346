/// Oven loads, their cure charts, unclamping and samples.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>

#include "platemark/gate/counts.h"
#include "platemark/gate/disposition.h"
#include "support.h"

namespace platemark::act {
namespace {

struct BuildLoad {
  std::string oven;
  std::vector<Clamp> clamps;
  std::vector<std::string> deviations;  ///< allowed, by which a part's programme is another
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("oven", oven);
    v("clamps", clamps);
    v.defaulted("deviations", deviations);
    v("remark", remark);
  }
};

/// What one clamp's batch needs before it may go into an oven, and its programme.
struct LoadCheck {
  std::vector<DeviationState> deviations;
  gate::Obstacles obstacles;
  std::set<std::string> batches;
  std::set<std::string> programmes;
};

/// The programme of the route, or the one that a named deviation allows in its place.
std::string programmeFor(const Context& context, LoadCheck& check, const std::string& part,
                         const std::string& batch, const std::string& of_route) {
  for (const DeviationState& deviation : check.deviations) {
    const DeviationAllowed& allowed = deviation.allowed;
    if (allowed.part != part || allowed.instead_of != of_route) continue;
    for (Missing& missing : gate::deviationCovers(deviation, part, batch, Step::cure, of_route,
                                                  allowed.use, context.day()))
      check.obstacles.push_back(std::move(missing));
    return allowed.use;
  }
  return of_route;
}

Result<void> nameDeviations(const Context& context, const std::vector<std::string>& codes,
                            LoadCheck& check) {
  for (std::size_t i = 0; i < codes.size(); ++i) {
    Result<DeviationState> deviation =
        require<DeviationState>(context, projection::deviation, codes[i]);
    if (!deviation)
      return Error(deviation.error()).at({"", 0, "", fmt::format("deviations[{}]", i)});
    check.deviations.push_back(std::move(*deviation));
  }
  return {};
}

Result<void> checkClamp(const Context& context, const Clamp& clamp, const std::string& field,
                        LoadCheck& check) {
  if (clamp.pads <= 0)
    return badInput("load.pads", fmt::format("Clamp {} needs a count of pads.", clamp.clamp),
                    field + ".pads", "a whole number above 0");
  if (!check.batches.insert(clamp.batch).second) return {};
  Result<BatchState> batch = require<BatchState>(context, projection::batch, clamp.batch);
  if (!batch) return Error(batch.error()).at({"", 0, "", field + ".batch"});
  Result<Issued<Part>> part =
      requireIssue<Part>(context, projection::part, batch->opened.part, batch->opened.part_issue);
  if (!part) return part.error();
  // Clamping is recorded by building the load: what must come before is everything before the
  // clamp.
  const auto& route = part->noun.route;
  const bool clamped = std::any_of(route.begin(), route.end(),
                                   [](const RouteStep& s) { return s.step == Step::clamp; });
  for (Missing& missing : gate::mayDoStep(clamped ? Step::clamp : Step::cure, *batch, part->noun))
    check.obstacles.push_back(std::move(missing));
  append(check.obstacles, inTime(context, clamped ? Step::clamp : Step::cure, *batch, part->noun,
                                 context.happened.instant));
  for (Missing& missing : gate::openHolds(batch->holds))
    check.obstacles.push_back(std::move(missing));
  const Result<gate::BatchFile> file = batchFile(context.snapshot, clamp.batch, context.day());
  if (!file) return file.error();
  for (Missing& missing : gate::heldLots(file->lots)) check.obstacles.push_back(std::move(missing));
  for (const RouteStep& step : route)
    if (step.programme)
      check.programmes.insert(
          programmeFor(context, check, part->noun.code, clamp.batch, *step.programme));
  return {};
}

Decision buildLoad(const Context& context, BuildLoad in) {
  const auto oven = requireNoun<Machine>(context, projection::machine, in.oven);
  if (!oven) return Error(oven.error()).at({"", 0, "", "oven"});
  if (oven->noun.machine_class != MachineClass::oven)
    return badInput("load.no_oven", fmt::format("{} is no oven.", in.oven), "oven");
  const std::string number = numberOf(
      context, in.remark, "load.built", "load",
      nextNumber(context.snapshot, "load.built",
                 std::string(1, oven->noun.name.empty() ? 'L' : oven->noun.name.front()) + "-", 4));
  if (Result<void> c = checkCorrection(context, in.remark, "load.built", {"load", number}); !c)
    return c.error();
  if (in.clamps.empty()) return badInput("load.empty", "A load needs its clamps.", "clamps");
  LoadCheck check;
  if (Result<void> named = nameDeviations(context, in.deviations, check); !named)
    return named.error();
  for (std::size_t i = 0; i < in.clamps.size(); ++i)
    if (Result<void> c = checkClamp(context, in.clamps[i], fmt::format("clamps[{}]", i), check); !c)
      return c.error();
  if (check.programmes.size() != 1)
    return badInput(
        "load.programmes",
        fmt::format("The batches of a load must share one cure programme; these have {}.",
                    check.programmes.size()),
        "clamps", "batches of one programme");
  if (Result<void> p = permitOrReport(fmt::format("Loading oven {} is refused.", in.oven),
                                      std::move(check.obstacles), in.remark);
      !p)
    return p.error();
  const auto programme =
      requireNoun<Programme>(context, projection::programme, *check.programmes.begin());
  if (!programme) return programme.error();
  const LoadBuilt built{number,        in.oven,  programme->noun.code, programme->issue, in.clamps,
                        in.deviations, in.remark};
  std::vector<Subject> subjects{{"load", built.load}, {"machine", in.oven}};
  // A corrected load is also about the batches that it leaves out.
  if (const auto before = stateAs<LoadState>(context.snapshot, projection::load, number))
    for (const Clamp& clamp : before->built.clamps) check.batches.insert(clamp.batch);
  for (const std::string& batch : check.batches) subjects.push_back(batchSubject(batch));
  std::vector<NewFact> facts{fact(context, "load.built", built, subjects)};
  for (const std::string& batch : check.batches)
    holdIfIrregular(facts, context, in.remark, batchSubject(batch));
  return facts;
}

/// The recorder's file has been read and judged by the chart method before this is asked.
struct RecordCure {
  CureRecorded recorded;
  FigureComputed figure;
  template <class V>
  void describe(V& v) {
    v("recorded", recorded);
    v("figure", figure);
  }
};

std::vector<Subject> subjectsOf(const LoadState& load) {
  std::vector<Subject> subjects{{"load", load.built.load}};
  for (const Clamp& clamp : load.built.clamps)
    if (std::find(subjects.begin(), subjects.end(), batchSubject(clamp.batch)) == subjects.end())
      subjects.push_back(batchSubject(clamp.batch));
  return subjects;
}

/// The cure begins with the recording's first row: too late a beginning is a load that waited, or
/// a recorder whose clock is ahead.
Result<gate::Obstacles> beganInTime(const Context& context, const LoadState& load, Instant began) {
  gate::Obstacles obstacles;
  for (const Subject& subject : subjectsOf(load)) {
    if (subject.kind != "batch") continue;
    const Result<BatchState> batch = require<BatchState>(context, projection::batch, subject.id);
    if (!batch) return batch.error();
    const Result<Issued<Part>> part =
        requireIssue<Part>(context, projection::part, batch->opened.part, batch->opened.part_issue);
    if (!part) return part.error();
    append(obstacles, inTime(context, Step::cure, *batch, part->noun, began));
  }
  for (Missing& missing : obstacles) missing.how += ", and look at the recorder's clock";
  return obstacles;
}

Decision recordCure(const Context& context, RecordCure in) {
  Result<LoadState> load = require<LoadState>(context, projection::load, in.recorded.load);
  if (!load) return load.error();
  const bool repeats = !load->recordings.empty() && !in.recorded.remark.corrects;
  if (repeats) {
    Error error = badInput("cure.recorded_already",
                           fmt::format("Load {} has a recording already.", in.recorded.load),
                           "recorded.load");
    error.fault = Fault::conflict;
    error.remedy =
        fmt::format("To replace it, name fact {} as the one it corrects, with the reason.",
                    load->recording_facts.back());
    return error;
  }
  if (Result<void> c =
          checkCorrection(context, in.recorded.remark, "cure.recorded", {"load", in.recorded.load});
      !c)
    return c.error();
  gate::Obstacles obstacles =
      gate::mayBeOf(*load, in.recorded, context.snapshot.now(), context.happened.zone);
  Result<gate::Obstacles> late = beganInTime(context, *load, in.recorded.from);
  if (!late) return late.error();
  append(obstacles, std::move(*late));
  if (Result<void> p =
          permitOrReport(fmt::format("The recording of load {} is refused.", in.recorded.load),
                         std::move(obstacles), in.recorded.remark);
      !p)
    return p.error();
  in.figure.subject = {"load", in.recorded.load};
  // The figure rests on the recording, which is the fact before it: a corrected recording takes its
  // figure along.
  in.figure.readings = {context.snapshot.sequence() + 1};
  const std::vector<Subject> subjects = subjectsOf(*load);
  std::vector<NewFact> facts{fact(context, "cure.recorded", in.recorded, subjects),
                             fact(context, "figure.computed", in.figure, subjects)};
  for (const Subject& subject : subjects)
    if (subject.kind == "batch") holdIfIrregular(facts, context, in.recorded.remark, subject);
  return facts;
}

Decision unclamp(const Context& context, Unclamped in) {
  Result<LoadState> load = require<LoadState>(context, projection::load, in.load);
  if (!load) return load.error();
  const auto& clamps = load->built.clamps;
  if (std::none_of(clamps.begin(), clamps.end(),
                   [&](const Clamp& c) { return c.batch == in.batch; }))
    return badInput("load.other_batch",
                    fmt::format("Batch {} did not lie in load {}.", in.batch, in.load), "batch");
  if (Result<void> c = checkCounts(in.counts); !c) return c.error();
  if (Result<void> c =
          checkCorrection(context, in.remark, "load.unclamped", batchSubject(in.batch));
      !c)
    return c.error();
  in.remark.irregular.clear();
  return std::vector<NewFact>{
      fact(context, "load.unclamped", in, {batchSubject(in.batch), {"load", in.load}})};
}

struct DrawSamples {
  std::string batch;
  std::vector<Sample> samples;
  std::string retained;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("samples", samples);
    v.defaulted("retained", retained);
    v("remark", remark);
  }
};

/// Takes the samples of the drawing that is corrected out of the batch; how many they were.
std::int64_t takeBack(BatchState& batch, const Remark& remark) {
  std::int64_t taken = 0;
  for (std::size_t i = batch.samples.size(); remark.corrects && i-- > 0;)
    if (batch.samples_drawn[i] == *remark.corrects) {
      batch.samples.erase(batch.samples.begin() + static_cast<std::ptrdiff_t>(i));
      ++taken;
    }
  return taken;
}

/// A sample that has results cannot be drawn away from under them.
gate::Obstacles resultsOf(const BatchState& before, const std::set<std::string>& names) {
  gate::Obstacles obstacles;
  for (const Evidence& e : before.evidence)
    if (!e.sample.empty() && !e.corrected_by && !names.contains(e.sample))
      obstacles.push_back({fmt::format("Sample {} has a result for {} (fact {}).", e.sample,
                                       e.characteristic, e.figure),
                           "laboratory technician",
                           "correct the result first, or keep the sample"});
  return obstacles;
}

/// Where every press run of the batch named its cavities, a sample came out of one of them.
Result<void> checkSampleCavities(const BatchState& batch, const std::vector<Sample>& samples) {
  std::set<std::string> filled;
  bool all_named = true;
  for (const StepDone& s : batch.steps) {
    if (s.step != Step::press || s.corrected_by) continue;
    all_named = all_named && !s.cavities.empty();
    filled.insert(s.cavities.begin(), s.cavities.end());
  }
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const std::optional<std::string>& cavity = samples[i].cavity;
    const std::string field = fmt::format("samples[{}].cavity", i);
    if (cavity && cavity->empty())
      return badInput("cavity.empty", "A cavity has no code.", field, "the code on the tool");
    if (cavity && all_named && !filled.empty() && !filled.contains(*cavity))
      return badInput(
          "cavity.not_filled",
          fmt::format("No press run of batch {} filled cavity {}.", batch.opened.batch, *cavity),
          field, fmt::format("{}", fmt::join(filled, ", ")));
  }
  return {};
}

Decision drawSamples(const Context& context, DrawSamples in) {
  Result<BatchState> batch = require<BatchState>(context, projection::batch, in.batch);
  if (!batch) return batch.error();
  if (Result<void> c = checkCorrection(context, in.remark, "samples.drawn", batchSubject(in.batch));
      !c)
    return c.error();
  const std::int64_t before = takeBack(*batch, in.remark);
  if (in.samples.empty())
    return badInput("samples.empty", "At least one sample must be named.", "samples");
  if (Result<void> c = checkSampleCavities(*batch, in.samples); !c) return c.error();
  std::set<std::string> names;
  for (const Sample& s : batch->samples) names.insert(s.sample);
  for (std::size_t i = 0; i < in.samples.size(); ++i)
    if (!names.insert(in.samples[i].sample).second)
      return badInput("samples.doubled",
                      fmt::format("Sample {} of batch {} is on record already.",
                                  in.samples[i].sample, in.batch),
                      fmt::format("samples[{}].sample", i));
  const auto n = static_cast<std::int64_t>(in.samples.size());
  if (Result<void> p = permitOrReport(
          fmt::format("The corrected drawing of batch {} is refused.", in.batch),
          in.remark.corrects ? resultsOf(*batch, names) : gate::Obstacles{}, in.remark);
      !p)
    return p.error();
  SamplesDrawn drawn;
  drawn.batch = in.batch;
  drawn.samples = in.samples;
  drawn.retained = in.retained;
  drawn.remark = in.remark;
  drawn.counts.good = gate::goodPads(*batch, dispositionsOf(context, in.batch)) + before - n;
  drawn.counts.samples = n;
  if (drawn.counts.good < 0)
    return badInput("samples.too_many", fmt::format("Batch {} has fewer pads than that.", in.batch),
                    "samples");
  std::vector<NewFact> facts{fact(context, "samples.drawn", drawn, {batchSubject(in.batch)})};
  holdIfIrregular(facts, context, drawn.remark, batchSubject(in.batch));
  return facts;
}

}  // namespace

std::span<const Kind> cureVerbs() {
  static constexpr Kind list[] = {
      verb<BuildLoad, buildLoad>("load build", Operation::oven,
                                 "record clamped pads put together as an oven load"),
      verb<RecordCure, recordCure>("cure record", Operation::oven,
                                   "read the recorder's file of a load", false, true),
      verb<Unclamped, unclamp>("load unclamp", Operation::oven,
                               "count the pads of one batch that came out of a load"),
      verb<DrawSamples, drawSamples>("samples draw", Operation::sampling,
                                     "record samples drawn for the laboratory"),
  };
  return list;
}

}  // namespace platemark::act
