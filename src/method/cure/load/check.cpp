#include <algorithm>
#include <cmath>

#include "../wrong_input.h"
#include "platemark/method/cure/load.h"

namespace platemark::method::cure {
namespace {

constexpr double coldest_kelvin = 173, hottest_kelvin = 1273;

Error loadError(std::string code, std::string what, std::string field, std::string expected) {
  return wrongInput(std::move(code), std::move(what), std::move(field), std::move(expected),
                    "Check the load's description.");
}

std::string placed(const std::string& list, std::size_t i) {
  return list + "[" + std::to_string(i) + "]";
}

bool within(double x, double low, double high) { return x >= low && x <= high; }

/// A property must stay above zero wherever an oven goes.
bool slopeHolds(PerTemperature slope, TemperaturePoint reference) {
  const auto factor = [&](double celsius) {
    return 1 + slope.in(unit::per_kelvin) *
                   (TemperaturePoint::of(celsius, scale::celsius) - reference).in(unit::kelvin);
  };
  return factor(-50) > 0.05 && factor(500) > 0.05;
}

Result<void> checkBinder(const Binder& binder, const std::string& field) {
  const auto at = [&](Result<void> checked) -> Result<void> {
    if (!checked) checked.error().where.field = field + "." + checked.error().where.field;
    return checked;
  };
  if (Result<void> law = at(checkLaw(binder.law)); !law) return law;
  if (Result<void> start = at(checkStart(binder.law, binder.start)); !start) return start;
  if (within(binder.heat.in(unit::kilojoule_per_kilogram), 0, 5000) &&
      within(binder.share.in(unit::one), 0, 1))
    return {};
  return loadError("cure.load_material", "A binder's heat or share is out of range.", field,
                   "heat 0 to 5000 kJ/kg, share 0 to 1");
}

Result<void> checkMaterial(const Material& material, const std::string& field) {
  const bool sound = within(material.density.in(unit::kilogram_per_cubic_metre), 1, 30000) &&
                     within(material.conductivity.in(unit::watt_per_metre_kelvin), 0.001, 1000) &&
                     within(material.capacity.in(unit::joule_per_kilogram_kelvin), 10, 10000) &&
                     slopeHolds(material.conductivity_slope, material.reference) &&
                     slopeHolds(material.capacity_slope, material.reference);
  if (!sound)
    return loadError("cure.load_material", "A material's property is out of range.", field,
                     "density 1 to 30000 kg/m³, conductivity 0.001 to 1000 W/(m·K), capacity 10 to "
                     "10000 J/(kg·K), all above 0 from -50 to 500 °C");
  return material.binder ? checkBinder(*material.binder, field + ".binder") : Result<void>{};
}

Result<void> checkLayer(const Load& load, const Layer& layer, const std::string& field) {
  const bool joint = !layer.joint_to_next ||
                     within(layer.joint_to_next->in(unit::watt_per_square_metre_kelvin), 0.1, 1e8);
  if (layer.material < load.materials.size() && joint && layer.cells >= 1 && layer.cells <= 200 &&
      within(layer.thickness.in(unit::millimetre), 0.01, 1000))
    return {};
  return loadError("cure.load_layer", "A layer of a stack cannot be used.", field,
                   "a material of the load, 0.01 to 1000 mm, 1 to 200 cells, a joint of 0.1 to 1e8 "
                   "W/(m²·K)");
}

bool soundPlace(const AirPlace& place, std::size_t channels) {
  const auto finite = [](double w) { return std::isfinite(w) && std::abs(w) <= 10; };
  return place.weights.size() == channels &&
         std::all_of(place.weights.begin(), place.weights.end(), finite) &&
         within(place.offset.in(unit::kelvin), -200, 200);
}

Result<void> checkStack(const Load& load, const Stack& stack, const std::string& field) {
  const auto film = [](HeatTransfer h) {
    return within(h.in(unit::watt_per_square_metre_kelvin), 0, 1e8);
  };
  const bool has_sides = stack.sides.in(unit::watt_per_square_metre_kelvin) > 0;
  const bool girth = !has_sides || within(stack.area_over_girth.in(unit::millimetre), 0.1, 10000);
  const bool joint_at_end = !stack.layers.empty() && stack.layers.back().joint_to_next.has_value();
  if (stack.layers.empty() || joint_at_end || !girth || !film(stack.first_end) ||
      !film(stack.last_end) || !film(stack.sides) ||
      !within(stack.start.in(scale::kelvin), coldest_kelvin, hottest_kelvin))
    return loadError("cure.load_stack", "A stack cannot be used.", field,
                     "one layer or more, no joint behind the last, coefficients from 0, sides with "
                     "their area over girth, a start of -100 to 1000 °C");
  if (!soundPlace(stack.first_air, load.air.size()) || !soundPlace(stack.last_air, load.air.size()))
    return loadError("cure.load_air", "The air at a stack's end is not said.", field + ".air",
                     "a weight for each channel, -10 to 10, and an offset within 200 K");
  for (std::size_t i = 0; i < stack.layers.size(); ++i)
    if (Result<void> layer = checkLayer(load, stack.layers[i], field + "." + placed("layers", i));
        !layer)
      return layer;
  return {};
}

Result<void> checkAir(const Load& load) {
  if (load.air.empty())
    return loadError("cure.load_air", "The load has no air.", "air", "one channel or more");
  for (std::size_t i = 0; i < load.air.size(); ++i) {
    const std::vector<CoursePoint>& channel = load.air[i];
    if (Result<void> course = checkCourse(channel); !course) return course;
    if (channel.front().at > load.from || channel.back().at < load.to)
      return loadError("cure.load_air", "A channel does not cover the span.", placed("air", i),
                       "points from load in to load out");
  }
  return {};
}

Result<void> checkWhole(const Load& load) {
  if (load.stacks.empty())
    return loadError("cure.load_empty", "The load has no stacks.", "stacks", "one stack or more");
  if (!(load.to > load.from) || !within((load.to - load.from).in(unit::hour), 0, 1000))
    return loadError("cure.load_span", "The span of the load is out of range.", "to",
                     "load out after load in, within 1000 h");
  if (within(load.tolerance.temperature.in(unit::kelvin), 1e-10, 10) &&
      within(load.tolerance.degree, 1e-12, 0.1))
    return {};
  return loadError("cure.load_tolerance", "The tolerance is out of range.", "tolerance",
                   "1e-10 to 10 K and 1e-12 to 0.1");
}

}  // namespace

Result<void> checkLoad(const Load& load) {
  if (Result<void> whole = checkWhole(load); !whole) return whole;
  if (Result<void> air = checkAir(load); !air) return air;
  for (std::size_t i = 0; i < load.materials.size(); ++i)
    if (Result<void> material = checkMaterial(load.materials[i], placed("materials", i)); !material)
      return material;
  for (std::size_t i = 0; i < load.stacks.size(); ++i)
    if (Result<void> stack = checkStack(load, load.stacks[i], placed("stacks", i)); !stack)
      return stack;
  return {};
}

}  // namespace platemark::method::cure
