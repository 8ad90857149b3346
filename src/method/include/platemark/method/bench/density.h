/// Density of a pad, a coupon or the compound of a bonded pad by weighing in air and in water.
///
/// Formula      ρ = (A − mp) / [(A − B)/(ρw − ρa) − mp/(ρs − ρa)] + ρa
///              without a plate mp = 0; without air buoyancy ρa = 0
/// Symbols      A mass in air, g, above 0; B mass in water, g, 0 ≤ B < A; ρw density of water at
///              its temperature (water_density.h); mp mass of the bare plate weighed in air, g,
///              below A; ρs density of the plate, g/cm³, above 1; ρa density of air 0.0012 g/cm³
///              at 20 °C and 101.325 kPa
/// Valid        water at 0 to 40 °C wets the whole surface and does not enter the pores while the
///              weight is read. Adhesive and coating count as compound. The balance may be adjusted
///              with weights of any density: the air they displace cancels in the quotient.
/// Uncertainty  first order: u² = Σ (∂ρ/∂x · u(x))² over A, B, mp, ρs and the water's temperature,
///              independent of one another. An unknown mass of the bare plate governs.
/// Source       without plate: JIS D 4417:1986, specific gravity times density of the water, read;
///              specific gravity A/(A − B): SAE J380 (2002 and 2017), read through another text;
///              air buoyancy: operating instructions of a balance's density kit, read. With plate:
///              the same relation applied to pad and plate, algebra of this project. Propagation:
///              JCGM 100:2008, 5.1.2, remembered, not verified.
/// Errors       density.mass_in_air, density.mass_in_water, density.not_heavier_in_air,
///              density.plate_mass, density.plate_density, density.no_compound,
///              density.negative_uncertainty, water.temperature_out_of_range
/// Pure.
#pragma once

#include <optional>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::bench {

inline constexpr int immersion_density_version = 1;
inline constexpr Density air_density = Density::of(0.0012, unit::gram_per_cubic_centimetre);

struct BondedPlate {
  Mass mass;        ///< of the bare plate, weighed in air
  Density density;  ///< of its steel
};

struct Immersion {
  Mass in_air;
  Mass in_water;
  TemperaturePoint water_temperature;
  std::optional<BondedPlate> plate;
  bool air_buoyancy = false;
};

struct ImmersionDensity {
  Density density;
  Density water;  ///< ρw used
  Volume volume;  ///< of what the density belongs to: the whole, or the compound
};

/// Standard uncertainties (k = 1); zero: taken as exactly known.
struct ImmersionUncertainty {
  Mass balance;  ///< of each weighing, A and B
  Mass plate_mass;
  Density plate_density;
  TemperatureDifference water_temperature;
};

/// Each input's part of the result's variance, 0…1; they sum to 1 unless all uncertainties are 0.
struct VarianceShares {
  double in_air = 0;
  double in_water = 0;
  double plate_mass = 0;
  double plate_density = 0;
  double water_temperature = 0;
};

struct DensityUncertainty {
  Density standard;
  Density water;  ///< standard uncertainty of ρw
  VarianceShares shares;
};

[[nodiscard]] Result<ImmersionDensity> immersionDensity(const Immersion& weighing);
[[nodiscard]] Result<DensityUncertainty> immersionUncertainty(const Immersion& weighing,
                                                              const ImmersionUncertainty& u);
/// A/(A − B), a plain number. Errors: as immersionDensity.
[[nodiscard]] Result<Share> specificGravity(Mass in_air, Mass in_water);

}  // namespace platemark::method::bench
