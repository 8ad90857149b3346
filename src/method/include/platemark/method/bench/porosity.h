/// Open porosity: the volume of fluid a test piece takes up, in % of its own volume.
///
/// Formula      P = (m2 − m1) / (ρ·V)
/// Symbols      m1 mass of the dry piece, g, above 0; m2 mass after soaking and wiping, g, at least
///              m1; ρ density of the fluid at room temperature, g/cm³, above 0; V volume of the
///              piece with its pores, cm³, above 0
/// Valid        room 23 ± 2 °C, 50 ± 5 % relative humidity. Oil, water and vacuum give different
///              numbers: compare only the same fluid and the same soak. A fluid the compound
///              swells in gives too high a number. Closed pores are not seen.
/// Uncertainty  mostly how well the piece is wiped: u(P) ≈ u(m2 − m1)/(ρ·V)
/// Source       definition and room: JIS D 4418:1996, read; the formula follows from the definition
/// Errors       porosity.mass_dry, porosity.soaked_lighter, porosity.fluid_density,
///              porosity.volume, porosity.above_whole
/// Pure.
#pragma once

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::bench {

inline constexpr int open_porosity_version = 1;

[[nodiscard]] Result<Share> openPorosity(Mass dry, Mass soaked, Density fluid, Volume piece);

}  // namespace platemark::method::bench
