#include "platemark/method/cure/load.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "../wrong_input.h"
#include "pad_watch.h"

namespace platemark::method::cure {
namespace {

Error stepsError() {
  return wrongInput("cure.load_steps", "The load could not be followed to the end.", "load",
                    "properties, kinetics and air of a cure oven",
                    "Check the time unit of A, the properties and the air.");
}

Course courseOf(const Load& load) {
  return {load.from.in(unit::second), load.to.in(unit::second), stepTolerance(load.tolerance), {}};
}

StackState stateOf(const Stepper& stepper, Duration at) {
  StackState state;
  state.at = at;
  for (std::size_t cell = 0; cell < stepper.kelvin().cells(); ++cell) {
    state.cells.push_back(TemperaturePoint::of(stepper.kelvin()[cell][0], scale::kelvin));
    state.degrees.push_back(stepper.degree()[cell][0]);
  }
  state.first_face = TemperaturePoint::of(stepper.firstFace(0), scale::kelvin);
  state.last_face = TemperaturePoint::of(stepper.lastFace(0), scale::kelvin);
  return state;
}

/// What stacks must have in common to be stepped together.
using Shape = std::vector<std::size_t>;

Shape shapeOf(const Stack& stack) {
  Shape shape;
  for (const Layer& layer : stack.layers)
    shape.insert(shape.end(),
                 {layer.material, static_cast<std::size_t>(layer.cells), layer.pad ? 1u : 0u});
  return shape;
}

Result<void> checkTimes(const Load& load, std::span<const Duration> times) {
  for (std::size_t i = 0; i < times.size(); ++i)
    if (!(times[i] >= load.from && times[i] <= load.to) || (i > 0 && times[i] < times[i - 1]))
      return wrongInput("cure.load_span", "A time asked for cannot be given.",
                        "times[" + std::to_string(i) + "]", "rising times within the span",
                        "Ask for times between load in and load out.");
  return {};
}

}  // namespace

std::vector<Batch> batchesOf(const Load& load) {
  std::vector<Batch> batches;
  std::map<Shape, std::size_t> open;
  for (std::size_t i = 0; i < load.stacks.size(); ++i) {
    const auto [place, fresh] = open.try_emplace(shapeOf(load.stacks[i]), batches.size());
    if (!fresh && batches[place->second].size() == lanes) place->second = batches.size();
    if (place->second == batches.size()) batches.emplace_back();
    batches[place->second].push_back(i);
  }
  return batches;
}

Result<std::vector<PadHeat>> heatBatch(const Load& load, const Batch& batch) {
  const Grid grid = gridOf(load, batch);
  Stepper stepper(grid);
  Air air(load.air);
  PadWatch watch(grid, load.limits, stepper);
  const Course course = courseOf(load);
  if (!march(stepper, air, course, [&](const Stride& stride) { watch.step(stride); }))
    return stepsError();
  std::vector<PadHeat> pads;
  for (std::size_t lane = 0; lane < batch.size(); ++lane)
    for (const PadHeat& pad : watch.padsOf(lane, batch[lane])) pads.push_back(pad);
  return pads;
}

Result<std::vector<PadHeat>> heatLoad(const Load& load) {
  if (Result<void> sound = checkLoad(load); !sound) return sound.error();
  std::vector<PadHeat> all;
  for (const Batch& batch : batchesOf(load)) {
    const Result<std::vector<PadHeat>> pads = heatBatch(load, batch);
    if (!pads) return pads.error();
    all.insert(all.end(), pads->begin(), pads->end());
  }
  std::stable_sort(all.begin(), all.end(),
                   [](const PadHeat& a, const PadHeat& b) { return a.stack < b.stack; });
  return all;
}

Result<std::vector<StackState>> followStack(const Load& load, std::size_t stack,
                                            std::span<const Duration> times) {
  if (Result<void> sound = checkLoad(load); !sound) return sound.error();
  if (stack >= load.stacks.size())
    return wrongInput("cure.load_stack", "There is no such stack.", "stack", "a stack of the load",
                      "Count stacks from 0.");
  if (Result<void> sound = checkTimes(load, times); !sound) return sound.error();
  const Grid grid = gridOf(load, {stack});
  Stepper stepper(grid);
  Air air(load.air);
  Course course = courseOf(load);
  for (const Duration& time : times) course.stops.push_back(time.in(unit::second));
  std::vector<StackState> states;
  const auto collect = [&](double t) {
    while (states.size() < times.size() && course.stops[states.size()] <= t)
      states.push_back(stateOf(stepper, times[states.size()]));
  };
  collect(course.from);
  if (!course.stops.empty()) course.to = course.stops.back();
  if (!march(stepper, air, course, [&](const Stride& stride) { collect(stride.from + stride.h); }))
    return stepsError();
  collect(course.to);
  return states;
}

std::optional<WorstPads> worstOf(std::span<const PadHeat> pads, const PadWants& wants) {
  if (pads.empty()) return std::nullopt;
  const auto first = [&](auto worse) {
    return static_cast<std::size_t>(std::min_element(pads.begin(), pads.end(), worse) -
                                    pads.begin());
  };
  using P = const PadHeat&;
  const auto never_last = [](P pad) {
    return pad.reached ? pad.reached->in(unit::second) : std::numeric_limits<double>::infinity();
  };
  WorstPads worst;
  worst.coldest = first([](P a, P b) { return a.coldest_peak < b.coldest_peak; });
  worst.hottest = first([](P a, P b) { return a.hottest > b.hottest; });
  worst.latest = first([&](P a, P b) { return never_last(a) > never_last(b); });
  worst.shortest = first([](P a, P b) { return a.soaked < b.soaked; });
  worst.least_cured = first([](P a, P b) { return a.least_degree < b.least_degree; });
  worst.fastest = first([](P a, P b) { return a.fastest > b.fastest; });
  if (wants.soak) worst.soak_margin = pads[worst.shortest].soaked - *wants.soak;
  if (wants.hottest) worst.hottest_margin = *wants.hottest - pads[worst.hottest].hottest;
  if (wants.degree) worst.degree_margin = pads[worst.least_cured].least_degree - *wants.degree;
  if (wants.heating) worst.heating_margin = *wants.heating - pads[worst.fastest].fastest;
  return worst;
}

}  // namespace platemark::method::cure
