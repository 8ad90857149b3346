#include "platemark/act/heat_files.h"

#include <fmt/format.h>

#include <algorithm>

#include "platemark/quantity/measure.h"
#include "support.h"

namespace platemark::act {
namespace {

constexpr std::string_view heat_method = "cure.load";

template <class Noun>
std::optional<Issued<Noun>> serving(const Snapshot& snapshot, std::string_view projection,
                                    std::string Noun::*serves, std::string_view what, Day day) {
  for (const Issued<Noun>& newest : allOf<Noun>(snapshot, projection))
    if (newest.noun.*serves == what)
      return ledger::issueInForce<Noun>(snapshot, projection, newest.noun.code, day);
  return {};
}

std::int64_t longestSoak(const Programme& programme) {
  std::int64_t longest = 0;
  for (const ProgrammeSegment& s : programme.segments) longest = std::max(longest, s.soak_minutes);
  return longest;
}

/// What an earlier cure of the batch came to, by its newest figures.
void addEarlier(HeatBatch& batch, const BatchState& state, Sequence recording) {
  for (const Evidence& e : state.evidence) {
    if (e.method != heat_method || e.corrected_by || e.reading.value_or(0) >= recording) continue;
    for (const FigureValue& value : e.values) {
      if (value.name == "least_degree")
        batch.degree_before = value.value.value.value() * findUnit(value.value.unit)->factor;
      if (value.name == "soaked") batch.soaked_before = value.value.value.value();
    }
  }
}

std::optional<double> degreeAsked(const Snapshot& snapshot, const BatchOpened& opened) {
  const auto plan = stateAs<Issued<ControlPlan>>(snapshot, projection::plan,
                                                 ledger::issueKey(opened.plan, opened.plan_issue));
  if (!plan) return {};
  std::optional<double> asked;
  for (const PlanLine& line : plan->noun.lines)
    for (const Limit& limit : line.limits)
      if (line.method == heat_method && line.output == "least_degree" && limit.lower)
        asked = std::max(asked.value_or(0), *siValue(*limit.lower, platemark::Kind::number));
  return asked;
}

Result<HeatBatch> heatBatch(const Snapshot& snapshot, const std::string& id, Sequence recording,
                            Day day) {
  const auto state = stateAs<BatchState>(snapshot, projection::batch, id);
  if (!state) return unknown(projection::batch, id);
  const auto part = stateAs<Issued<Part>>(
      snapshot, projection::part, ledger::issueKey(state->opened.part, state->opened.part_issue));
  if (!part) return unknown(projection::part, state->opened.part);
  HeatBatch batch;
  batch.batch = id;
  batch.part = part->noun;
  batch.compound = state->opened.compound;
  batch.kinetics =
      serving<Kinetics>(snapshot, projection::kinetics, &Kinetics::compound, batch.compound, day);
  if (batch.kinetics)
    batch.adopted =
        snapshot
            .state(projection::kinetics_adoption,
                   fmt::format("{}/{}", batch.kinetics->noun.code, batch.kinetics->issue))
            .has_value();
  addEarlier(batch, *state, recording);
  batch.degree_asked = degreeAsked(snapshot, state->opened);
  for (const RouteStep& step : batch.part.route)
    if (step.step == Step::cure && step.programme)
      if (const auto programme = ledger::issueInForce<Programme>(snapshot, projection::programme,
                                                                 *step.programme, day))
        batch.soak_asked = longestSoak(programme->noun);
  return batch;
}

gate::Obstacles placeObstacles(const LoadState& load, const Survey& survey) {
  gate::Obstacles obstacles;
  for (const Clamp& clamp : load.built.clamps)
    if (std::none_of(survey.places.begin(), survey.places.end(), [&](const SurveyPlace& p) {
          return p.tier == clamp.tier && p.position == clamp.position;
        }))
      obstacles.push_back({fmt::format("The survey of {} says nothing of tier {}, position {}.",
                                       survey.oven, clamp.tier, clamp.position),
                           "process engineer", "survey that place, and issue the survey again"});
  return obstacles;
}

gate::Obstacles frictionObstacles(const std::vector<HeatBatch>& batches, const Stacking& stacking) {
  gate::Obstacles obstacles;
  for (const HeatBatch& batch : batches)
    if (std::none_of(stacking.friction.begin(), stacking.friction.end(),
                     [&](const FrictionHeat& f) { return f.compound == batch.compound; }))
      obstacles.push_back({fmt::format("Stacking {} does not say how {} takes up heat.",
                                       stacking.code, batch.compound),
                           "process engineer", "enter its properties in a new issue"});
  return obstacles;
}

std::vector<std::string> batchesOf(const LoadState& load) {
  std::vector<std::string> batches;
  for (const Clamp& clamp : load.built.clamps)
    if (std::find(batches.begin(), batches.end(), clamp.batch) == batches.end())
      batches.push_back(clamp.batch);
  return batches;
}

Error missingError(std::string_view load, gate::Obstacles obstacles) {
  Error error = gate::refusal(fmt::format("What the pads of load {} saw cannot be computed.", load),
                              std::move(obstacles));
  error.code = "heat.missing";
  return error;
}

/// The newest recording that no other one has mended.
Result<HeatFiles> recordedFiles(const Snapshot& snapshot, std::string_view load) {
  auto state = stateAs<LoadState>(snapshot, projection::load, load);
  if (!state) return unknown(projection::load, std::string(load));
  if (state->recordings.empty())
    return missingError(load, {{"It has no recording.", "oven crew", "read the recorder's file"}});
  HeatFiles files;
  files.recorded = state->recordings.back();
  files.recording = state->recording_facts.back();
  files.load = std::move(*state);
  return files;
}

}  // namespace

std::optional<Issued<Survey>> surveyOf(const Snapshot& snapshot, std::string_view oven, Day day) {
  for (const Issued<Survey>& newest : allOf<Survey>(snapshot, projection::survey)) {
    if (newest.noun.oven != oven) continue;
    Issued<Survey> survey = newest;
    while (day < survey.noun.surveyed && survey.issue > 1) {
      auto before = stateAs<Issued<Survey>>(snapshot, projection::survey,
                                            ledger::issueKey(newest.noun.code, survey.issue - 1));
      if (!before) break;
      survey = std::move(*before);
    }
    return survey;
  }
  return {};
}

Result<HeatFiles> heatFiles(const Snapshot& snapshot, std::string_view load,
                            std::string_view zone) {
  Result<HeatFiles> found = recordedFiles(snapshot, load);
  if (!found) return found.error();
  HeatFiles files = std::move(*found);
  const LoadBuilt& built = files.load.built;
  files.cured = dayIn(files.recorded.from, zone);
  auto oven = ledger::issueInForce<Machine>(snapshot, projection::machine, built.oven, files.cured);
  auto programme = stateAs<Issued<Programme>>(
      snapshot, projection::programme, ledger::issueKey(built.programme, built.programme_issue));
  if (!oven) return unknown(projection::machine, built.oven);
  if (!programme) return unknown(projection::programme, built.programme);
  files.oven = std::move(*oven);
  files.programme = std::move(*programme);
  for (const std::string& id : batchesOf(files.load)) {
    Result<HeatBatch> batch = heatBatch(snapshot, id, files.recording, files.cured);
    if (!batch) return batch.error();
    files.batches.push_back(std::move(*batch));
  }
  gate::Obstacles obstacles;
  const auto survey = surveyOf(snapshot, built.oven, files.cured);
  const auto stacking =
      serving<Stacking>(snapshot, projection::stacking, &Stacking::oven, built.oven, files.cured);
  if (!survey)
    obstacles.push_back({fmt::format("No survey of {} is on record.", built.oven),
                         "process engineer", "issue its survey"});
  if (!stacking)
    obstacles.push_back({fmt::format("How pads are stacked in {} is not on record.", built.oven),
                         "process engineer", "issue its stacking"});
  if (survey) append(obstacles, placeObstacles(files.load, survey->noun));
  if (stacking) append(obstacles, frictionObstacles(files.batches, stacking->noun));
  if (!obstacles.empty()) return missingError(load, std::move(obstacles));
  files.survey = *survey;
  files.stacking = *stacking;
  return files;
}

}  // namespace platemark::act
