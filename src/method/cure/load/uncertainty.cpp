#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>

#include "../wrong_input.h"
#include "platemark/method/cure/load_uncertainty.h"

namespace platemark::method::cure {
namespace {

constexpr std::size_t inputs = 9;
constexpr std::array<const char*, inputs> names{"sensors",  "first_place", "last_place",
                                                "film",     "joint",       "conductivity",
                                                "capacity", "heat",        "rate"};
using Draw = std::array<double, inputs>;  ///< each in standard uncertainties

/// In K for the first three, as shares for the rest.
Draw sizesOf(const InputSpread& s) {
  return {s.sensors.in(unit::kelvin), s.first_place.in(unit::kelvin), s.last_place.in(unit::kelvin),
          s.film.in(unit::one),       s.joint.in(unit::one),          s.conductivity.in(unit::one),
          s.capacity.in(unit::one),   s.heat.in(unit::one),           s.rate.in(unit::one)};
}

void moveStack(Stack& stack, const Draw& by) {
  const auto kelvin = [](double k) { return TemperatureDifference::of(k, unit::kelvin); };
  stack.first_air.offset = stack.first_air.offset + kelvin(by[0] + by[1]);
  stack.last_air.offset = stack.last_air.offset + kelvin(by[0] + by[2]);
  for (HeatTransfer* film : {&stack.first_end, &stack.last_end, &stack.sides})
    *film = *film * std::exp(by[3]);
  for (Layer& layer : stack.layers)
    if (layer.joint_to_next) *layer.joint_to_next = *layer.joint_to_next * std::exp(by[4]);
}

void moveMaterial(Material& material, const Draw& by) {
  material.conductivity = material.conductivity * std::exp(by[5]);
  material.capacity = material.capacity * std::exp(by[6]);
  if (!material.binder) return;
  material.binder->heat = material.binder->heat * std::exp(by[7]);
  for (std::optional<Arrhenius>* k :
       {&material.binder->law.plain, &material.binder->law.autocatalytic})
    if (*k) (*k)->factor = (*k)->factor * std::exp(by[8]);
}

/// One pad of one stack, with its inputs moved.
class MovedPad {
 public:
  MovedPad(const Load& load, std::size_t stack, std::size_t layer, const InputSpread& spread)
      : load_(load), layer_(layer), sizes_(sizesOf(spread)) {
    load_.stacks = {load.stacks[stack]};
  }

  [[nodiscard]] Result<PadHeat> at(const Draw& draw) const {
    Load moved = load_;
    Draw by{};
    for (std::size_t i = 0; i < inputs; ++i) by[i] = draw[i] * sizes_[i];
    moveStack(moved.stacks.front(), by);
    for (Material& material : moved.materials) moveMaterial(material, by);
    Result<std::vector<PadHeat>> pads = heatLoad(moved);
    if (!pads) return pads.error();
    return *std::find_if(pads->begin(), pads->end(),
                         [&](const PadHeat& pad) { return pad.layer == layer_; });
  }
  [[nodiscard]] bool moves(std::size_t input) const { return sizes_[input] > 0; }

 private:
  Load load_;
  std::size_t layer_;
  Draw sizes_;
};

Result<void> check(const Load& load, std::size_t stack, std::size_t layer,
                   const InputSpread& spread) {
  if (Result<void> sound = checkLoad(load); !sound) return sound;
  if (stack >= load.stacks.size() || layer >= load.stacks[stack].layers.size() ||
      !load.stacks[stack].layers[layer].pad)
    return wrongInput("cure.load_stack", "There is no such pad.", "layer", "a pad of the load",
                      "Count stacks and layers from 0.");
  const Draw sizes = sizesOf(spread);
  for (std::size_t i = 0; i < inputs; ++i)
    if (!(sizes[i] >= 0 && sizes[i] <= (i < 3 ? 30 : 0.5)))
      return wrongInput("cure.spread_range", "A standard uncertainty is out of range.", names[i],
                        "0 to 30 K, shares 0 to 50 %", "Check the value and its unit.");
  return {};
}

using Figures = std::array<double, 5>;

Figures figuresOf(const PadHeat& pad) {
  return {pad.hottest.in(scale::kelvin), pad.coldest_peak.in(scale::kelvin),
          pad.soaked.in(unit::second), pad.least_degree, pad.fastest.in(unit::kelvin_per_minute)};
}

PadSpread spreadOf(const Figures& f) {
  return {TemperatureDifference::of(f[0], unit::kelvin),
          TemperatureDifference::of(f[1], unit::kelvin), Duration::of(f[2], unit::second), f[3],
          TemperatureRate::of(f[4], unit::kelvin_per_minute)};
}

/// Normal draws from whole random numbers (Box and Muller): the standard library's own distribution
/// differs from one library to the next.
class Normal {
 public:
  explicit Normal(std::uint64_t seed) : bits_(seed) {}
  double operator()() {
    const double radius = std::sqrt(-2 * std::log(uniform()));
    return radius * std::cos(2 * std::numbers::pi * uniform());
  }

 private:
  double uniform() { return (static_cast<double>(bits_() >> 11) + 0.5) * 0x1p-53; }
  std::mt19937_64 bits_;
};

/// Mean and scatter, one value after the other.
struct Running {
  Figures mean{}, squares{};
  int count = 0;

  void add(const Figures& f) {
    ++count;
    for (std::size_t i = 0; i < f.size(); ++i) {
      const double before = f[i] - mean[i];
      mean[i] += before / count;
      squares[i] += before * (f[i] - mean[i]);
    }
  }
  [[nodiscard]] Figures deviation() const {
    Figures s{};
    for (std::size_t i = 0; i < s.size(); ++i) s[i] = std::sqrt(squares[i] / (count - 1));
    return s;
  }
};

}  // namespace

Result<PropagatedSpread> propagate(const Load& load, std::size_t stack, std::size_t layer,
                                   const InputSpread& spread) {
  if (Result<void> sound = check(load, stack, layer, spread); !sound) return sound.error();
  const MovedPad pad(load, stack, layer, spread);
  PropagatedSpread propagated;
  Figures sum{};
  for (std::size_t input = 0; input < inputs; ++input) {
    if (!pad.moves(input)) continue;
    Draw up{}, down{};
    up[input] = 1;
    down[input] = -1;
    const Result<PadHeat> above = pad.at(up), below = pad.at(down);
    if (!above) return above.error();
    if (!below) return below.error();
    Figures change = figuresOf(*above);
    const Figures low = figuresOf(*below);
    for (std::size_t i = 0; i < change.size(); ++i) {
      change[i] = (change[i] - low[i]) / 2;
      sum[i] += change[i] * change[i];
    }
    propagated.contributions.push_back({names[input], spreadOf(change)});
  }
  for (double& x : sum) x = std::sqrt(x);
  propagated.standard = spreadOf(sum);
  return propagated;
}

Result<DrawnSpread> drawLoads(const Load& load, std::size_t stack, std::size_t layer,
                              const InputSpread& spread, int draws, std::uint64_t seed) {
  if (Result<void> sound = check(load, stack, layer, spread); !sound) return sound.error();
  if (draws < 10 || draws > 100000)
    return wrongInput("cure.draws_range", "The number of draws is out of range.", "draws",
                      "10 to 100000", "Ask for e.g. 1000.");
  const MovedPad pad(load, stack, layer, spread);
  Normal normal(seed);
  Running running;
  int never = 0;
  for (int i = 0; i < draws; ++i) {
    Draw draw;
    for (double& z : draw) z = normal();
    const Result<PadHeat> found = pad.at(draw);
    if (!found) return found.error();
    running.add(figuresOf(*found));
    if (!found->reached) ++never;
  }
  return DrawnSpread{spreadOf(running.deviation()), Duration::of(running.mean[2], unit::second),
                     running.mean[3], static_cast<double>(never) / draws};
}

}  // namespace platemark::method::cure
