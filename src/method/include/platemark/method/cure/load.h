/// What the pads of a load saw while the chart showed air: method cure.load, version 1.
///
/// Formula      each stack is a pile of layers (backing plates, friction layers, steel plates):
///              ρ·c·∂T/∂t = ∂/∂x(k·∂T/∂x) + (hs/d)·(T_air − T) + ρ·w·ΔH·∂α/∂t
///              ∂α/∂t = the law of kinetics.h; at the ends −k·∂T/∂x = h·(T_air − T); at a joint the
///              flux is hc·ΔT, or T is continuous; k and c linear in T
/// Symbols      hs coefficient of the sides, d area/girth of the stack, w share of binder, ΔH heat
///              of reaction for each kilogram of binder, hc conductance of a joint
/// Air          at a place: Σ weight·channel + offset; along a stack linear between its ends;
///              channels are linear between their points
/// Valid        stacks thin against their width or with sides as a loss spread over the section;
///              no flow of gas through the pad, no radiation between stacks but within h.
/// Method       cells of equal width in each layer, fluxes exact at joints, second order in width;
///              Rosenbrock-W method of order 3 (ROS34PW2, J. Rang, L. Angermann, BIT 45 (2005)
///              761), steps by an embedded order 2. Inside a step the air is replaced by the
///              straight line with its mean and first moment, as far as that changes no cell beyond
///              the tolerance. Stacks of one shape are stepped eight together, two or
///              four at once as the processor allows, to the same bits; every pad is computed.
/// Uncertainty  `tolerance` bounds the error of the steps, checked against an independent solver;
///              the error of the cells is the user's choice of their number. Properties, air and
///              kinetics come on top.
/// Source       H. S. Carslaw, J. C. Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, for the
///              equations, remembered, not verified
/// Errors       cure.load_empty, cure.load_material, cure.load_layer, cure.load_stack,
/// cure.load_air,
///              cure.load_span, cure.load_tolerance, cure.load_steps, those of
///              checkLaw, checkStart and checkCourse
/// Pure; no threads: batches are independent, so a caller with two cores takes every second one.
/// The result depends on the load alone, to the last bit.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "platemark/method/cure/course.h"

namespace platemark::method::cure {

inline constexpr int load_version = 1;

/// What cures in a material. Isoconversional laws are not taken here.
struct Binder {
  KamalLaw law{};
  double start = 0;       ///< α0
  SpecificEnergy heat{};  ///< of reaction, for each kilogram of binder, >= 0
  Share share{};          ///< of the material's mass, 0…1
};

/// k and c at `reference`; their slopes are shares for each kelvin.
struct Material {
  std::string name{};
  Density density{};
  Conductivity conductivity{};
  PerTemperature conductivity_slope{};
  HeatCapacity capacity{};
  PerTemperature capacity_slope{};
  TemperaturePoint reference = TemperaturePoint::of(20, scale::celsius);
  std::optional<Binder> binder{};
};

struct Layer {
  std::size_t material = 0;  ///< place in Load::materials
  Length thickness{};
  int cells = 1;                                ///< 1…200
  bool pad = false;                             ///< a friction layer whose figures are wanted
  std::optional<HeatTransfer> joint_to_next{};  ///< absent: perfect contact
};

/// Air at one end of a stack.
struct AirPlace {
  std::vector<double> weights{};  ///< one for each channel
  TemperatureDifference offset{};
};

struct Stack {
  std::vector<Layer> layers{};
  HeatTransfer first_end{}, last_end{};  ///< 0: insulated
  HeatTransfer sides{};
  Length area_over_girth{};  ///< > 0 where `sides` is
  AirPlace first_air{}, last_air{};
  TemperaturePoint start{};
};

struct LoadTolerance {
  TemperatureDifference temperature = TemperatureDifference::of(0.05, unit::kelvin);
  double degree = 0.001;
};

/// Against what pads are compared.
struct PadLimits {
  TemperaturePoint soak{};       ///< the coldest place of the pad must be at or above
  TemperaturePoint rate_from{};  ///< heating is watched where the pad is between these
  TemperaturePoint rate_to{};
};

struct Load {
  std::vector<Material> materials{};
  std::vector<std::vector<CoursePoint>> air{};  ///< channels, each over the whole span
  std::vector<Stack> stacks{};
  Duration from{}, to{};
  PadLimits limits{};
  LoadTolerance tolerance{};
};

/// One friction layer. Places are cells.
struct PadHeat {
  std::size_t stack = 0, layer = 0;
  TemperaturePoint hottest{};         ///< of any place at any time
  TemperaturePoint coldest_peak{};    ///< the highest the coldest place came to
  std::optional<Duration> reached{};  ///< the coldest place first at PadLimits::soak
  Duration soaked{};                  ///< all the time the coldest place was there
  double least_degree = 0;            ///< at the end, of the least cured place; 0 without binder
  TemperatureRate fastest{};          ///< largest dT/dt at a step's end within the watched range
};

using Batch = std::vector<std::size_t>;  ///< places in Load::stacks

[[nodiscard]] Result<void> checkLoad(const Load& load);
/// Stacks of one shape, up to eight together, every stack in one batch.
[[nodiscard]] std::vector<Batch> batchesOf(const Load& load);
/// The pads of a batch by stack, then layer. The load must have passed checkLoad.
[[nodiscard]] Result<std::vector<PadHeat>> heatBatch(const Load& load, const Batch& batch);
/// All pads by stack, then layer: checkLoad, then every batch.
[[nodiscard]] Result<std::vector<PadHeat>> heatLoad(const Load& load);

/// One stack at one time.
struct StackState {
  Duration at{};
  std::vector<TemperaturePoint> cells{};
  std::vector<double> degrees{};  ///< 0 where nothing cures
  TemperaturePoint first_face{}, last_face{};
};
/// One stack at the given times, which lie within the span and never fall.
[[nodiscard]] Result<std::vector<StackState>> followStack(const Load& load, std::size_t stack,
                                                          std::span<const Duration> times);

/// What a plant wants of every pad; absent: not judged.
struct PadWants {
  std::optional<Duration> soak{};
  std::optional<TemperaturePoint> hottest{};
  std::optional<double> degree{};
  std::optional<TemperatureRate> heating{};
};
/// The worst pad of each kind, as a place in the list. Margins are above 0 where a want is kept.
struct WorstPads {
  std::size_t coldest = 0;      ///< lowest coldest_peak
  std::size_t hottest = 0;      ///< highest hottest
  std::size_t latest = 0;       ///< reached last, or never
  std::size_t shortest = 0;     ///< least soaked
  std::size_t least_cured = 0;  ///< lowest least_degree
  std::size_t fastest = 0;      ///< highest fastest
  std::optional<Duration> soak_margin{};
  std::optional<TemperatureDifference> hottest_margin{};
  std::optional<double> degree_margin{};
  std::optional<TemperatureRate> heating_margin{};
};
/// Of pads alike in a figure the first. Nothing for an empty list.
[[nodiscard]] std::optional<WorstPads> worstOf(std::span<const PadHeat> pads,
                                               const PadWants& wants);

}  // namespace platemark::method::cure
