#include "platemark/method/bench/porosity.h"

#include <fmt/format.h>

#include "../bad_input.h"

namespace platemark::method::bench {
namespace {

Result<void> check(Mass dry, Mass soaked, Density fluid, Volume piece) {
  if (!(dry > Mass()))
    return badInput("porosity.mass_dry", "dry",
                    fmt::format("The dry mass is {:g} g.", dry.in(unit::gram)), "above 0 g");
  if (!(soaked >= dry))
    return badInput("porosity.soaked_lighter", "soaked",
                    fmt::format("The piece weighs {:g} g dry and {:g} g soaked.",
                                dry.in(unit::gram), soaked.in(unit::gram)),
                    "at least the dry mass",
                    "Check that the two masses are not exchanged and nothing broke off.");
  if (!(fluid > Density()))
    return badInput("porosity.fluid_density", "fluid_density",
                    fmt::format("The fluid's density is {:g} g/cm³.",
                                fluid.in(unit::gram_per_cubic_centimetre)),
                    "above 0 g/cm³");
  if (!(piece > Volume()))
    return badInput("porosity.volume", "volume",
                    fmt::format("The volume is {:g} cm³.", piece.in(unit::cubic_centimetre)),
                    "above 0 cm³");
  return {};
}

}  // namespace

Result<Share> openPorosity(Mass dry, Mass soaked, Density fluid, Volume piece) {
  if (Result<void> checked = check(dry, soaked, fluid, piece); !checked) return checked.error();
  const double porosity = (soaked - dry) / (fluid * piece);
  if (porosity < 1) return Share::of(porosity, unit::one);
  return badInput("porosity.above_whole", "volume",
                  fmt::format("The pores would take {:.1f} % of the piece.", 100 * porosity),
                  "below 100 %", "Check the unit of the volume and the fluid's density.");
}

}  // namespace platemark::method::bench
