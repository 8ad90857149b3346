/// Density of air-free pure water at 101.325 kPa, in kg/m³.
///
/// Formula      ρw(t) = a5·[1 − (t + a1)²·(t + a2) / (a3·(t + a4))]
/// Symbols      t temperature of the water, 0 to 40 °C (ITS-90); a1 −3.983035 °C, a2 301.797 °C,
///              a3 522528.9 °C², a4 69.34881 °C, a5 999.974950 kg/m³
/// Valid        liquid water, free of air, at atmospheric pressure. Tap water, air in solution and
///              a wetting agent change it by some 0.01 kg/m³ and more: not corrected here.
/// Uncertainty  of the formula below 0.001 kg/m³; of a thermometer at 23 °C about 0.24 kg/m³ per
///              kelvin: see waterDensitySlope
/// Source       Tanaka et al., Metrologia 38 (2001) 301–309, recommended by the CIPM. Read.
/// Errors       water.temperature_out_of_range
/// Pure.
#pragma once

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::bench {

inline constexpr int water_density_version = 1;

/// Change of a density with temperature; one SI unit is kg/(m³·K).
using DensityPerKelvin = Quantity<Dimension<-3, 1, 0, -1>>;

[[nodiscard]] Result<Density> waterDensity(TemperaturePoint water);
/// dρw/dt, the derivative of the formula above.
[[nodiscard]] Result<DensityPerKelvin> waterDensitySlope(TemperaturePoint water);

}  // namespace platemark::method::bench
