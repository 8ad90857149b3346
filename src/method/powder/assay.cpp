#include "platemark/method/powder/assay.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "../bad_input.h"

namespace platemark::method {
namespace {

double grams(Mass mass) { return mass.in(unit::gram); }

bool positive(double value) { return value > 0 && std::isfinite(value); }

Result<void> checkMass(Mass mass, const char* field) {
  if (positive(grams(mass))) return {};
  return badInput("assay.mass", field, fmt::format("A mass is {:g} g.", grams(mass)), "above 0 g");
}

/// The share that is gone after drying.
Result<Share> lost(Mass before, Mass after) {
  if (Result<void> mass = checkMass(before, "before"); !mass) return mass.error();
  if (Result<void> mass = checkMass(after, "after"); !mass) return mass.error();
  const Share share = Share::of((before - after) / before, unit::one);
  if (share >= Share::of(-0.05, unit::percent)) return share;
  return badInput("assay.heavier_after", "after",
                  fmt::format("{:g} g before, {:g} g after.", grams(before), grams(after)),
                  "not heavier after drying", "Check the two weighings and the tare.");
}

}  // namespace

Result<Share> moisture(Mass before, Mass after) { return lost(before, after); }

Result<Share> acetoneExtract(Mass before, Mass after) { return lost(before, after); }

Result<Share> lossOnIgnition(Mass crucible, Mass dry, Mass ash) {
  if (Result<void> mass = checkMass(crucible, "crucible"); !mass) return mass.error();
  if (Result<void> mass = checkMass(dry, "dry"); !mass) return mass.error();
  if (Result<void> mass = checkMass(ash, "ash"); !mass) return mass.error();
  if (dry > crucible && ash >= crucible)
    return Share::of((dry - ash) / (dry - crucible), unit::one);
  return badInput("assay.crucible", "crucible",
                  fmt::format("Crucible {:g} g, with powder {:g} g, with ash {:g} g.",
                              grams(crucible), grams(dry), grams(ash)),
                  "crucible lighter than with powder and not heavier than with ash",
                  "Enter powder and ash together with their crucible.");
}

Result<Density> bulkDensity(Mass mass, Volume volume) {
  if (Result<void> checked = checkMass(mass, "mass"); !checked) return checked.error();
  if (positive(volume.in(unit::cubic_centimetre))) return mass / volume;
  return badInput("assay.volume", "volume",
                  fmt::format("The volume is {:g} cm³.", volume.in(unit::cubic_centimetre)),
                  "above 0 cm³");
}

Result<ResinFlow> resinFlow(std::span<const Length> tablets) {
  if (tablets.empty())
    return badInput("assay.no_tablet", "tablets", "No tablet was measured.", "one tablet or more");
  Length sum;
  for (std::size_t i = 0; i < tablets.size(); ++i) {
    const double flow = tablets[i].in(unit::millimetre);
    if (!(flow >= 0) || !std::isfinite(flow))
      return badInput("assay.flow", fmt::format("tablets[{}]", i),
                      fmt::format("A tablet flowed {:g} mm.", flow), "0 mm or more");
    sum = sum + tablets[i];
  }
  const auto [least, most] = std::minmax_element(tablets.begin(), tablets.end());
  return ResinFlow{sum / static_cast<double>(tablets.size()), *most - *least};
}

}  // namespace platemark::method
