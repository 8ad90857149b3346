/// Specific pressure on the compound in the press.
///
/// Formula      p = F/(n·A);  F = p_hyd·π·d²/4
/// Symbols      F force of the press, kN, above 0; n cavities pressed at once, 1 or more; A area of
///              one cavity across the stroke, mm², above 0; p_hyd line pressure, bar, above 0;
///              d diameter of the ram, mm, above 0; p specific pressure, MPa
/// Valid        the force reaches the compound: no friction of the ram or in the cavities, no stop
///              carries load, the weight of the moving parts is left out.
/// Uncertainty  not propagated; p has the relative uncertainty of the force.
/// Source       force over area, definition of this project
/// Errors       pressure.force, pressure.area, pressure.cavities, pressure.line, pressure.ram
/// Pure.
#pragma once

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method {

inline constexpr int specific_pressure_version = 1;

/// Errors: pressure.force, pressure.area, pressure.cavities.
[[nodiscard]] Result<Pressure> specificPressure(Force press, Area cavity, int cavities);
/// Errors: pressure.line, pressure.ram.
[[nodiscard]] Result<Force> pressForce(Pressure line, Length ram_diameter);

}  // namespace platemark::method
