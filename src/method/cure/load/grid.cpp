#include "grid.h"

#include <algorithm>
#include <cmath>

namespace platemark::method::cure {
namespace {

double inKelvin(MolarEnergy energy) { return energy.in(unit::joule_per_mole) / gas_constant; }

void addLaw(Matter& matter, const KamalLaw& law) {
  matter.plain = law.plain.has_value();
  matter.autocatalytic = law.autocatalytic.has_value();
  matter.diffusion = law.diffusion.has_value();
  if (matter.plain) matter.log_a1 = std::log(law.plain->factor.in(unit::per_second));
  if (matter.plain) matter.e1 = inKelvin(law.plain->energy);
  if (matter.autocatalytic)
    matter.log_a2 = std::log(law.autocatalytic->factor.in(unit::per_second));
  if (matter.autocatalytic) matter.e2 = inKelvin(law.autocatalytic->energy);
  matter.m = law.m;
  matter.n = law.n;
  if (!matter.diffusion) return;
  matter.steepness = law.diffusion->steepness;
  matter.critical = law.diffusion->critical_at_zero;
  matter.critical_per_kelvin = law.diffusion->critical_per_kelvin.in(unit::per_kelvin);
}

Matter matterOf(const Material& material) {
  Matter matter;
  const double density = material.density.in(unit::kilogram_per_cubic_metre);
  matter.capacity = density * material.capacity.in(unit::joule_per_kilogram_kelvin);
  matter.capacity_slope = material.capacity_slope.in(unit::per_kelvin);
  matter.conductivity = material.conductivity.in(unit::watt_per_metre_kelvin);
  matter.conductivity_slope = material.conductivity_slope.in(unit::per_kelvin);
  matter.reference = material.reference.in(scale::kelvin);
  if (!material.binder) return matter;
  const Binder& binder = *material.binder;
  matter.cures = true;
  matter.start = binder.start;
  matter.heat =
      density * binder.share.in(unit::one)*binder.heat.in(unit::kilojoule_per_kilogram)*1000;
  addLaw(matter, binder.law);
  return matter;
}

Length heightOf(const Stack& stack) {
  Length height{};
  for (const Layer& layer : stack.layers) height = height + layer.thickness;
  return height;
}

double sideOf(const Stack& stack) {
  const double sides = stack.sides.in(unit::watt_per_square_metre_kelvin);
  return sides > 0 ? sides / stack.area_over_girth.in(unit::metre) : 0;
}

void layOut(Grid& grid, const Stack& shape) {
  for (std::size_t i = 0; i < shape.layers.size(); ++i) {
    const Layer& layer = shape.layers[i];
    const std::size_t begin = grid.matter.size();
    grid.matter.insert(grid.matter.end(), static_cast<std::size_t>(layer.cells), layer.material);
    if (layer.pad) grid.pads.push_back({i, begin, grid.matter.size()});
  }
}

void fillLane(Grid& grid, const Stack& stack, std::size_t lane) {
  const double total = heightOf(stack).in(unit::metre), side = sideOf(stack);
  double bottom = 0;
  std::size_t cell = 0;
  for (const Layer& layer : stack.layers) {
    const double width = layer.thickness.in(unit::metre) / layer.cells;
    for (int i = 0; i < layer.cells; ++i, ++cell) {
      grid.half_width[cell][lane] = width / 2;
      grid.sides[cell][lane] = side * width;
      grid.height[cell][lane] = (bottom + width * (i + 0.5)) / total;
    }
    bottom += layer.thickness.in(unit::metre);
    if (layer.joint_to_next)
      grid.joint[cell - 1][lane] = 1 / layer.joint_to_next->in(unit::watt_per_square_metre_kelvin);
  }
  grid.first_end[0][lane] = stack.first_end.in(unit::watt_per_square_metre_kelvin);
  grid.last_end[0][lane] = stack.last_end.in(unit::watt_per_square_metre_kelvin);
  grid.start[0][lane] = stack.start.in(scale::kelvin);
  grid.first_air.push_back(&stack.first_air);
  grid.last_air.push_back(&stack.last_air);
  grid.has_sides = grid.has_sides || side > 0;
}

bool moves(const Matter& matter) {
  return matter.capacity_slope != 0 || matter.conductivity_slope != 0;
}

}  // namespace

Grid gridOf(const Load& load, const Batch& batch) {
  Grid grid;
  for (const Material& material : load.materials) grid.matters.push_back(matterOf(material));
  layOut(grid, load.stacks[batch.front()]);
  for (std::size_t cell = 0; cell < grid.cells(); ++cell)
    grid.varies = grid.varies || moves(grid.of(cell));
  for (Field* field : {&grid.half_width, &grid.joint, &grid.sides, &grid.height})
    *field = Field(grid.cells());
  for (Field* field : {&grid.first_end, &grid.last_end, &grid.start}) *field = Field(1);
  for (std::size_t lane = 0; lane < lanes; ++lane)
    fillLane(grid, load.stacks[batch[std::min(lane, batch.size() - 1)]], lane);
  return grid;
}

}  // namespace platemark::method::cure
