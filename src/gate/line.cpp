#include "platemark/gate/line.h"

#include <fmt/format.h>

#include <algorithm>

#include "platemark/quantity/measure.h"

namespace platemark::gate {
namespace {

std::string_view crewAt(MachineClass machine) {
  switch (machine) {
    case MachineClass::mixer:
      return "mixing crew";
    case MachineClass::coater:
      return "plate crew";
    case MachineClass::press:
      return "press crew";
    default:
      return "finishing crew";
  }
}

bool needsClearing(MachineClass machine) {
  return machine == MachineClass::mixer || machine == MachineClass::coater ||
         machine == MachineClass::press || machine == MachineClass::finishing;
}

/// "9 h 20 min"
std::string hoursAndMinutes(std::int64_t ms) {
  const std::int64_t minutes = ms / 60'000;
  return fmt::format("{} h {:02} min", minutes / 60, minutes % 60);
}

/// A press says itself when it ended; any other step ended when it was reported to have happened.
Instant endedAt(const StepDone& step) { return step.ended.value_or(step.happened); }

std::optional<Instant> oldest(const BatchState& batch, Step step) {
  std::optional<Instant> found;
  for (const StepDone& s : batch.steps)
    if (s.step == step && !s.corrected_by && (!found || endedAt(s) < *found)) found = endedAt(s);
  return found;
}

/// When the oldest mix was finished; none unless each layer has one.
std::optional<Instant> oldestMix(const BatchState& batch, const std::vector<MixState>& mixes) {
  if (!mixedForAllLayers(batch, mixes).empty()) return {};
  std::optional<Instant> found;
  for (const MixState& mix : mixes)
    if (mix.finished_at && (!found || *mix.finished_at < *found)) found = mix.finished_at;
  return found;
}

std::optional<Instant> endOf(Since since, const BatchState& batch,
                             const std::vector<MixState>& mixes) {
  switch (since) {
    case Since::blast:
      return batch.blasted_at;
    case Since::coat:
      return oldest(batch, Step::plates);
    case Since::mix:
      return oldestMix(batch, mixes);
    case Since::press:
      return oldest(batch, Step::press);
    case Since::clamp:
      return oldest(batch, Step::clamp);
    case Since::cure:
      return oldest(batch, Step::cure);
  }
  return {};
}

/// What a person would do about it.
std::string_view remedyOf(Since since) {
  switch (since) {
    case Since::blast:
      return "blast the plates again";
    case Since::coat:
      return "blast and coat the plates again";
    case Since::mix:
      return "scrap the mix and make another";
    default:
      return "ask quality what becomes of the pads";
  }
}

std::optional<Missing> missed(const Window& window, Step step, const BatchState& batch,
                              const std::vector<MixState>& mixes, Instant when) {
  const std::string& id = batch.opened.batch;
  const std::optional<Instant> end = endOf(window.since, batch, mixes);
  if (!end)
    return Missing{
        fmt::format("Batch {}: '{}' is not on record, and '{}' must follow it within {}.", id,
                    word(window.since), word(step), format(window.at_most)),
        "", fmt::format("record '{}' first", word(window.since))};
  const double allowed_s = durationFrom(window.at_most)->in(unit::second);
  const std::int64_t passed_ms = when.unixMs() - end->unixMs();
  if (static_cast<double>(passed_ms) <= allowed_s * 1000) return {};
  return Missing{fmt::format("Batch {}: '{}' ended {} earlier; '{}' must follow within {}.", id,
                             word(window.since), hoursAndMinutes(passed_ms), word(step),
                             format(window.at_most)),
                 "quality manager", std::string(remedyOf(window.since))};
}

}  // namespace

Obstacles mayStartOn(const Machine& machine, const std::optional<LineState>& last,
                     const BatchState& batch, const std::string& compound) {
  if (!last || !needsClearing(machine.machine_class) || last->cleared_fact) return {};
  const bool mixer = machine.machine_class == MachineClass::mixer;
  const std::string& before = mixer ? last->compound : last->part;
  const std::string& now = mixer ? compound : batch.opened.part;
  if (before == now) return {};
  return {{fmt::format("{} last ran {} (batch {}); it has not been cleared for {}.", machine.code,
                       before, last->batch, now),
           std::string(crewAt(machine.machine_class)),
           "clean the machine, look for what is left, and record the line clearance"}};
}

Obstacles mixedForAllLayers(const BatchState& batch, const std::vector<MixState>& mixes) {
  std::vector<std::string> compounds{batch.opened.compound};
  if (batch.opened.underlayer) compounds.push_back(batch.opened.underlayer->compound);
  Obstacles obstacles;
  for (const std::string& compound : compounds)
    if (std::none_of(mixes.begin(), mixes.end(), [&](const MixState& mix) {
          return mix.opened.compound == compound && mix.finished_at;
        }))
      obstacles.push_back({fmt::format("Batch {}: no finished mix of {} is on record.",
                                       batch.opened.batch, compound),
                           "mixing crew", fmt::format("mix {}, and record it", compound)});
  return obstacles;
}

Obstacles withinWindows(const Part& part, Step step, const BatchState& batch,
                        const std::vector<MixState>& mixes, Instant when) {
  Obstacles obstacles;
  for (const RouteStep& on_route : part.route) {
    if (on_route.step != step) continue;
    for (const Window& window : on_route.windows)
      if (std::optional<Missing> missing = missed(window, step, batch, mixes, when))
        obstacles.push_back(std::move(*missing));
  }
  return obstacles;
}

Obstacles mayRun(const ControlPlan& plan, const std::string& operation, const std::string& machine,
                 const std::optional<SetUpState>& newest) {
  const bool asked = std::any_of(plan.lines.begin(), plan.lines.end(), [&](const PlanLine& line) {
    return line.gate == Gate::set_up && line.operation == operation;
  });
  if (!asked) return {};
  const auto no = [](std::string what, std::string how) {
    return Obstacles{{std::move(what), "machine setter", std::move(how)}};
  };
  if (!newest)
    return no(fmt::format("No first piece of '{}' on {} is on record.", operation, machine),
              "make the first piece, record the set-up, measure and judge it");
  const std::string& id = newest->made.set_up;
  if (!newest->gate.verdict)
    return no(fmt::format("Set-up {} has not been judged.", id),
              "measure its first piece and judge it");
  if (newest->gate.overtaken_by)
    return no(
        fmt::format("The verdict on set-up {} is overtaken: {}.", id, newest->gate.overtaken_why),
        "judge the set-up again");
  if (newest->gate.outcome != Outcome::conforms)
    return no(fmt::format("The verdict on set-up {} is '{}'.", id, word(newest->gate.outcome)),
              "adjust the machine and make another first piece");
  return {};
}

}  // namespace platemark::gate
