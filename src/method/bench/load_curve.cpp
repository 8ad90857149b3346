#include "platemark/method/bench/load_curve.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "../bad_input.h"

namespace platemark::method::bench {
namespace {

using Curve = std::vector<LoadPoint>;

Result<void> checkFinite(const Curve& curve, const char* field) {
  if (curve.size() < 2)
    return badInput("load_curve.count", field, fmt::format("{} points.", curve.size()),
                    "2 points or more");
  for (std::size_t i = 0; i < curve.size(); ++i)
    if (!std::isfinite(curve[i].force_n + curve[i].deflection_um))
      return badInput("load_curve.not_finite", fmt::format("{}[{}]", field, i),
                      fmt::format("A value of point {} is no number.", i + 1), "numbers");
  return {};
}

Result<void> checkMachine(const Curve& machine) {
  for (std::size_t i = 1; i < machine.size(); ++i)
    if (!(machine[i].force_n > machine[i - 1].force_n) ||
        machine[i].deflection_um < machine[i - 1].deflection_um)
      return badInput("load_curve.machine_order", fmt::format("machine[{}]", i),
                      "The machine's run does not rise in force and deflection.",
                      "the loading of a steel dummy, from small to large force");
  return {};
}

Result<void> checkRun(const LoadRun& run) {
  if (Result<void> checked = checkFinite(run.pad, "pad"); !checked) return checked;
  if (Result<void> checked = checkFinite(run.machine, "machine"); !checked) return checked;
  const double preload = run.preload.in(unit::newton);
  if (!(preload > 0) || !std::isfinite(preload))
    return badInput("load_curve.preload", "preload", fmt::format("The preload is {:g} N.", preload),
                    "above 0 N");
  if (!(run.thickness > Length()))
    return badInput(
        "load_curve.thickness", "thickness",
        fmt::format("The compound is {:g} mm thick.", run.thickness.in(unit::millimetre)),
        "above 0 mm");
  return checkMachine(run.machine);
}

LoadPoint between(const LoadPoint& a, const LoadPoint& b, double force) {
  const double part = b.force_n == a.force_n ? 0 : (force - a.force_n) / (b.force_n - a.force_n);
  return {force, a.deflection_um + part * (b.deflection_um - a.deflection_um)};
}

/// Deflection of the machine at a force within its run.
double machineAt(const Curve& machine, double force) {
  const auto above = std::find_if(machine.begin() + 1, machine.end() - 1,
                                  [&](const LoadPoint& point) { return point.force_n >= force; });
  return between(*(above - 1), *above, force).deflection_um;
}

struct Stretch {
  Curve points;  ///< from preload over the peak, and back to preload if unloaded
  bool unloaded = false;
};

/// The cycles of a run, each beginning and ending at the preload itself.
std::vector<Stretch> stretchesOf(const Curve& pad, double preload) {
  std::vector<Stretch> found;
  bool on = false;
  for (std::size_t i = 0; i < pad.size(); ++i) {
    const bool above = pad[i].force_n > preload;
    if (above && !on) {
      found.emplace_back();
      if (i > 0) found.back().points.push_back(between(pad[i - 1], pad[i], preload));
    }
    if (above) found.back().points.push_back(pad[i]);
    if (!above && on) {
      found.back().points.push_back(between(pad[i - 1], pad[i], preload));
      found.back().unloaded = true;
    }
    on = above;
  }
  return found;
}

/// The machine's own taken off each point; a machine that does not reach so far is an error.
Result<void> takeMachineOff(Stretch& stretch, const Curve& machine) {
  for (LoadPoint& point : stretch.points) {
    if (point.force_n < machine.front().force_n || point.force_n > machine.back().force_n)
      return badInput(
          "load_curve.machine_range", "machine",
          fmt::format("The pad was loaded with {:g} N, the machine's run goes from {:g} "
                      "to {:g} N.",
                      point.force_n, machine.front().force_n, machine.back().force_n),
          "a machine's run from preload to the largest force",
          "Run the steel dummy over the whole range again.");
    point.deflection_um -= machineAt(machine, point.force_n);
  }
  return {};
}

/// ∫ F dd from one point to another, in N·µm.
double work(const Curve& points, std::size_t from, std::size_t to) {
  double sum = 0;
  for (std::size_t i = from; i < to; ++i)
    sum += (points[i].force_n + points[i + 1].force_n) / 2 *
           (points[i + 1].deflection_um - points[i].deflection_um);
  return sum;
}

Result<LoadCycle> cycleOf(const Stretch& stretch, Length thickness, int number) {
  const Curve& points = stretch.points;
  const auto peak =
      static_cast<std::size_t>(std::max_element(points.begin(), points.end(),
                                                [](const LoadPoint& a, const LoadPoint& b) {
                                                  return a.force_n < b.force_n;
                                                }) -
                               points.begin());
  const double net = points[peak].deflection_um - points.front().deflection_um;
  if (!(net > 0))
    return badInput("load_curve.not_above_machine", "pad",
                    fmt::format("Cycle {} deflects {:g} µm less the machine.", number, net),
                    "more deflection than the machine's own",
                    "Check that pad and dummy were run with the same preload.");
  LoadCycle cycle;
  cycle.number = number;
  cycle.highest = Force::of(points[peak].force_n, unit::newton);
  cycle.net = Length::of(net, unit::micrometre);
  cycle.strain = Share::of(cycle.net / thickness, unit::one);
  cycle.stiffness = Stiffness::of((points[peak].force_n - points.front().force_n) / net,
                                  unit::newton_per_micrometre);
  if (!stretch.unloaded) return cycle;
  const double loaded = work(points, 0, peak), back = -work(points, peak, points.size() - 1);
  cycle.set =
      Length::of(points.back().deflection_um - points.front().deflection_um, unit::micrometre);
  cycle.hysteresis = Share::of((loaded - back) / loaded, unit::one);
  return cycle;
}

}  // namespace

Result<LoadCurve> loadCurve(const LoadRun& run) {
  if (Result<void> checked = checkRun(run); !checked) return checked.error();
  LoadCurve curve;
  curve.basis = run.basis;
  for (Stretch& stretch : stretchesOf(run.pad, run.preload.in(unit::newton))) {
    if (Result<void> taken = takeMachineOff(stretch, run.machine); !taken) return taken.error();
    const Result<LoadCycle> cycle =
        cycleOf(stretch, run.thickness, static_cast<int>(curve.cycles.size()) + 1);
    if (!cycle) return cycle.error();
    curve.rising = curve.rising || (!curve.cycles.empty() && cycle->net > curve.cycles.back().net);
    curve.cycles.push_back(*cycle);
  }
  if (!curve.cycles.empty()) return curve;
  return badInput("load_curve.no_cycle", "pad", "The force never rises above the preload.",
                  "at least one cycle", "Check the preload and the unit of the force.");
}

}  // namespace platemark::method::bench
