/// Specific pressure on the pads under a press [Pa inside].
///
///   p = F / (n A)        p = p_hyd A_ram / (n A)
///
///   F   press force, > 0   n   cavities, ≥ 1   A   friction-face area of one pad, > 0   p_hyd   hydraulic pressure   A_ram   ram area
///
/// A tonne-force is 9.80665 kN; short and long tons-force differ from it by 9.3 and 1.6 %.
/// Source: definition of pressure; conversion 9.80665 m/s² exact by definition (3rd CGPM 1901).
/// Errors: forming.not_positive. Pure.
#pragma once

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::forming {

inline constexpr int pressure_version = 1;

[[nodiscard]] Result<Pressure> specificPressure(Force force, int cavities, Area face);
[[nodiscard]] Result<Pressure> specificPressure(Pressure hydraulic, Area ram, int cavities, Area face);

}  // namespace platemark::method::forming
