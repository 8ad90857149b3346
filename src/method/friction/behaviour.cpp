#include "platemark/method/friction/behaviour.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "../bad_input.h"

namespace platemark::method::friction {
namespace {

double celsius(TemperaturePoint point) { return point.in(scale::celsius); }

Result<void> checkReading(Share coefficient, const std::string& field) {
  if (coefficient > Share() && coefficient <= Share::of(2, unit::one)) return {};
  return badInput("behaviour.reading", field,
                  fmt::format("A coefficient is {:g}.", coefficient.in(unit::one)),
                  "above 0 and at most 2");
}

Result<void> checkSteps(std::span<const TemperaturePoint> steps, TemperatureDifference tolerance) {
  if (steps.empty())
    return badInput("behaviour.steps", "steps", "No step of temperature is named.",
                    "one step or more");
  if (tolerance > TemperatureDifference()) return {};
  return badInput("behaviour.tolerance", "tolerance",
                  fmt::format("Steps are taken within {:g} K.", tolerance.in(unit::kelvin)),
                  "above 0 K");
}

double off(const TemperatureStep& step, const Braking& braking) {
  return std::abs(celsius(step.nominal) - celsius(braking.begin_temperature));
}

void take(TemperatureStep& step, Share coefficient) {
  const double before = step.brakings++;
  step.mean = (step.mean.value_or(Share()) * before + coefficient) / step.brakings;
  step.lowest = std::min(step.lowest.value_or(coefficient), coefficient);
  step.highest = std::max(step.highest.value_or(coefficient), coefficient);
}

Result<Share> readingAt(std::span<const TemperatureReading> readings, double at,
                        const char* field) {
  for (const TemperatureReading& reading : readings) {
    if (std::abs(celsius(reading.at) - at) > 1e-6) continue;
    if (Result<void> checked = checkReading(reading.coefficient, field); !checked)
      return checked.error();
    return reading.coefficient;
  }
  return badInput("behaviour.missing_temperature", field,
                  fmt::format("The {} has no reading at {:g} °C.", field, at),
                  fmt::format("a reading at {:g} °C", at), "Read it off the test's chart.");
}

/// Where a reading of the mean stands: on the fade or on the recovery.
struct Place {
  bool on_fade;
  double at;
};

Result<Share> meanAt(std::span<const TemperatureReading> fade,
                     std::span<const TemperatureReading> recovery,
                     const std::array<Place, 3>& places) {
  Share sum;
  for (const Place& place : places) {
    const Result<Share> reading = place.on_fade ? readingAt(fade, place.at, "fade")
                                                : readingAt(recovery, place.at, "recovery");
    if (!reading) return reading.error();
    sum = sum + *reading;
  }
  return sum / 3.0;
}

bool positive(double value) { return value > 0 && std::isfinite(value); }

Error cyclesError(std::string what) {
  return badInput("behaviour.cycles", "applications", std::move(what),
                  "as many brakings as all cycles have applications, and operating cycles among "
                  "them",
                  "Check the schedule and whether a braking was missed.");
}

/// Place of the first application of each cycle.
Result<std::vector<std::size_t>> firstOfCycles(std::span<const int> applications,
                                               std::size_t brakings) {
  std::vector<std::size_t> first;
  std::size_t next = 0;
  for (const int count : applications) {
    if (count < 1) return cyclesError(fmt::format("A cycle has {} applications.", count));
    first.push_back(next);
    next += static_cast<std::size_t>(count);
  }
  if (!first.empty() && next == brakings) return first;
  return cyclesError(fmt::format("{} brakings, but {} applications.", brakings, next));
}

Result<void> checkBehaviour(const FrictionBehaviour& behaviour, const char* field) {
  for (const Share coefficient : {behaviour.operating, behaviour.lowest, behaviour.highest})
    if (Result<void> checked = checkReading(coefficient, field); !checked) return checked;
  return {};
}

}  // namespace

Result<std::vector<TemperatureStep>> temperatureSteps(std::span<const Braking> brakings,
                                                      std::span<const TemperaturePoint> steps,
                                                      TemperatureDifference tolerance) {
  if (Result<void> checked = checkSteps(steps, tolerance); !checked) return checked.error();
  std::vector<TemperatureStep> found;
  for (const TemperaturePoint step : steps) found.push_back({step, 0, {}, {}, {}});
  for (const Braking& braking : brakings) {
    const auto nearest = std::min_element(found.begin(), found.end(),
                                          [&](const TemperatureStep& a, const TemperatureStep& b) {
                                            return off(a, braking) < off(b, braking);
                                          });
    if (off(*nearest, braking) <= tolerance.in(unit::kelvin)) take(*nearest, braking.over_time);
  }
  return found;
}

Result<ColdHot> coldAndHot(std::span<const TemperatureReading> fade,
                           std::span<const TemperatureReading> recovery,
                           ThermalClass thermal_class) {
  const Result<Share> cold = meanAt(fade, recovery, {{{true, 100}, {true, 150}, {true, 200}}});
  if (!cold) return cold.error();
  const double low = thermal_class == ThermalClass::a ? 300 : 350;
  const Result<Share> hot = meanAt(fade, recovery, {{{true, low}, {true, low + 50}, {false, low}}});
  if (!hot) return hot.error();
  return ColdHot{*cold, *hot};
}

Result<Steadiness> steadiness(std::span<const Share> tests) {
  if (tests.size() < 2)
    return badInput("behaviour.few", "tests", fmt::format("{} tests.", tests.size()),
                    "2 tests or more");
  Share sum;
  for (std::size_t i = 0; i < tests.size(); ++i) {
    if (Result<void> checked = checkReading(tests[i], fmt::format("tests[{}]", i)); !checked)
      return checked.error();
    sum = sum + tests[i];
  }
  Steadiness found{sum / static_cast<double>(tests.size()), Share(), 0};
  for (std::size_t i = 0; i < tests.size(); ++i) {
    const Share off = Share::of((tests[i] - found.mean) / found.mean, unit::one);
    if (std::max(off, -off) <= std::max(found.worst, -found.worst)) continue;
    found.worst = off;
    found.test = i;
  }
  return found;
}

Result<double> wearRate(const WearRun& run) {
  if (!positive(run.specimen.in(unit::square_centimetre)))
    return badInput(
        "wear.specimen", "specimen",
        fmt::format("The specimen has {:g} cm².", run.specimen.in(unit::square_centimetre)),
        "above 0 cm²");
  if (!positive(run.before.in(unit::millimetre)) || !positive(run.after.in(unit::millimetre)))
    return badInput("wear.thickness", "before", "A thickness of the specimen is not above 0.",
                    "above 0 mm before and after");
  if (!positive(run.radius.in(unit::metre)) || !positive(run.revolutions) ||
      !positive(run.friction.in(unit::newton)))
    return badInput(
        "wear.run", "revolutions",
        fmt::format("Radius {:g} m, {:g} revolutions, friction {:g} N.", run.radius.in(unit::metre),
                    run.revolutions, run.friction.in(unit::newton)),
        "all above 0");
  const double worn =
      run.specimen.in(unit::square_centimetre) * (run.before - run.after).in(unit::centimetre);
  return worn / (2 * std::numbers::pi * run.radius.in(unit::metre)*run.revolutions *
                 run.friction.in(unit::newton));
}

Result<Pressure> machinePressure(Torque set, Length effective_radius, Area pistons) {
  constexpr double share_of_torque = 0.57;
  if (positive(set.in(unit::newton_metre)) && positive(effective_radius.in(unit::metre)) &&
      positive(pistons.in(unit::square_centimetre)))
    return set / (effective_radius * pistons * share_of_torque);
  return badInput(
      "machine.pressure", "torque",
      fmt::format("Torque {:g} N·m, radius {:g} mm, pistons {:g} cm².", set.in(unit::newton_metre),
                  effective_radius.in(unit::millimetre), pistons.in(unit::square_centimetre)),
      "all above 0");
}

Result<FrictionBehaviour> behaviourOf(std::span<const Braking> brakings,
                                      std::span<const int> applications,
                                      std::span<const int> operating) {
  const Result<std::vector<std::size_t>> first = firstOfCycles(applications, brakings.size());
  if (!first) return first.error();
  if (operating.empty()) return cyclesError("No operating cycle is named.");
  FrictionBehaviour found{Share(), brakings.front().lowest, brakings.front().highest};
  for (const int cycle : operating) {
    if (cycle < 1 || static_cast<std::size_t>(cycle) > first->size())
      return cyclesError(fmt::format("There is no cycle {}.", cycle));
    const Braking& braking = brakings[(*first)[static_cast<std::size_t>(cycle) - 1]];
    if (!braking.after_one_second)
      return cyclesError(
          fmt::format("The first application of cycle {} ended within a second.", cycle));
    found.operating =
        found.operating + *braking.after_one_second / static_cast<double>(operating.size());
  }
  for (const Braking& braking : brakings) {
    found.lowest = std::min(found.lowest, braking.lowest);
    found.highest = std::max(found.highest, braking.highest);
  }
  return found;
}

Result<BehaviourComparison> compareBehaviour(const FrictionBehaviour& found,
                                             const FrictionBehaviour& registered, Share tolerance) {
  if (Result<void> checked = checkBehaviour(found, "found"); !checked) return checked.error();
  if (Result<void> checked = checkBehaviour(registered, "registered"); !checked)
    return checked.error();
  if (!(tolerance > Share() && tolerance < Share::of(1, unit::one)))
    return badInput("behaviour.tolerance", "tolerance",
                    fmt::format("The tolerance is {:g} %.", tolerance.in(unit::percent)),
                    "above 0 % and below 100 %");
  const Share met = Share::of(1e-9, unit::one);
  const Share off = Share::of(found.operating / registered.operating - 1, unit::one);
  return BehaviourComparison{off, std::max(off, -off) <= tolerance + met,
                             found.lowest + met >= registered.lowest,
                             found.highest <= registered.highest + met};
}

}  // namespace platemark::method::friction
