#include "platemark/method/bench/density.h"

#include <fmt/format.h>

#include <cmath>

#include "../bad_input.h"
#include "platemark/method/bench/water_density.h"

namespace platemark::method::bench {
namespace {

double grams(Mass mass) { return mass.in(unit::gram); }
double gramsPerCm3(Density density) { return density.in(unit::gram_per_cubic_centimetre); }

Result<void> checkMasses(Mass in_air, Mass in_water) {
  if (!(grams(in_air) > 0))
    return badInput("density.mass_in_air", "in_air",
                    fmt::format("The mass in air is {:g} g.", grams(in_air)), "above 0 g");
  if (!(grams(in_water) >= 0))
    return badInput("density.mass_in_water", "in_water",
                    fmt::format("The mass in water is {:g} g.", grams(in_water)), "at least 0 g",
                    "A part that floats needs a sinker; check the tare of the basket.");
  if (!(in_air > in_water))
    return badInput("density.not_heavier_in_air", "in_water",
                    fmt::format("The part weighs {:g} g in air and {:g} g in water.", grams(in_air),
                                grams(in_water)),
                    "less in water than in air",
                    "Check that the two masses are not exchanged and the basket is tared.");
  return {};
}

Result<void> checkPlate(const BondedPlate& plate, Mass in_air) {
  if (!(grams(plate.mass) > 0 && plate.mass < in_air))
    return badInput("density.plate_mass", "plate_mass",
                    fmt::format("The bare plate weighs {:g} g, the pad {:g} g.", grams(plate.mass),
                                grams(in_air)),
                    "above 0 g and below the pad's mass in air");
  if (!(gramsPerCm3(plate.density) > 1))
    return badInput("density.plate_density", "plate_density",
                    fmt::format("The plate's density is {:g} g/cm³.", gramsPerCm3(plate.density)),
                    "above 1 g/cm³; steel has about 7.85 g/cm³");
  return {};
}

/// The numbers of the formula in g, cm³ and g/cm³, air already taken off the densities.
struct Terms {
  double air = 0;
  double water = 0;         // ρw
  double water_in_air = 0;  // ρw − ρa
  double plate_in_air = 1;  // ρs − ρa
  double displaced = 0;     // A − B
  double plate_mass = 0;
  double compound = 0;  // A − mp
  double volume = 0;
};

Terms termsFor(const Immersion& weighing, Density water) {
  Terms terms;
  terms.air = weighing.air_buoyancy ? gramsPerCm3(air_density) : 0;
  terms.water = gramsPerCm3(water);
  terms.water_in_air = terms.water - terms.air;
  terms.displaced = grams(weighing.in_air - weighing.in_water);
  if (weighing.plate) {
    terms.plate_mass = grams(weighing.plate->mass);
    terms.plate_in_air = gramsPerCm3(weighing.plate->density) - terms.air;
  }
  terms.compound = grams(weighing.in_air) - terms.plate_mass;
  terms.volume = terms.displaced / terms.water_in_air - terms.plate_mass / terms.plate_in_air;
  return terms;
}

Result<Terms> checkedTerms(const Immersion& weighing) {
  if (Result<void> masses = checkMasses(weighing.in_air, weighing.in_water); !masses)
    return masses.error();
  if (weighing.plate)
    if (Result<void> plate = checkPlate(*weighing.plate, weighing.in_air); !plate)
      return plate.error();
  const Result<Density> water = waterDensity(weighing.water_temperature);
  if (!water) return water.error();
  const Terms terms = termsFor(weighing, *water);
  if (terms.volume > 0) return terms;
  return badInput(
      "density.no_compound", "plate_mass",
      fmt::format("The plate alone would take {:.3f} cm³, the whole pad takes {:.3f} cm³.",
                  terms.plate_mass / terms.plate_in_air, terms.displaced / terms.water_in_air),
      "a plate smaller than the pad", "Check the plate's mass and density and the mass in water.");
}

Result<void> checkUncertainty(const ImmersionUncertainty& u) {
  const bool known = grams(u.balance) >= 0 && grams(u.plate_mass) >= 0 &&
                     gramsPerCm3(u.plate_density) >= 0 && u.water_temperature.in(unit::kelvin) >= 0;
  if (known) return {};
  return badInput("density.negative_uncertainty", "u",
                  "A standard uncertainty is below zero or not a number.", "0 or more");
}

/// ∂ρ/∂x · u(x) for each input, in g/cm³.
struct Contributions {
  double in_air, in_water, plate_mass, plate_density, water_temperature;
};

Contributions contributionsOf(const Terms& t, const ImmersionUncertainty& u, double water_u) {
  const double per_volume = t.compound / (t.volume * t.volume);  // −∂ρ/∂V
  const double plate_volume_slope = t.plate_mass / (t.plate_in_air * t.plate_in_air);
  return {(1 / t.volume - per_volume / t.water_in_air) * grams(u.balance),
          per_volume / t.water_in_air * grams(u.balance),
          (per_volume / t.plate_in_air - 1 / t.volume) * grams(u.plate_mass),
          -per_volume * plate_volume_slope * gramsPerCm3(u.plate_density),
          per_volume * t.displaced / (t.water_in_air * t.water_in_air) * water_u};
}

double squared(double x) { return x * x; }

}  // namespace

Result<ImmersionDensity> immersionDensity(const Immersion& weighing) {
  const Result<Terms> terms = checkedTerms(weighing);
  if (!terms) return terms.error();
  return ImmersionDensity{
      Density::of(terms->compound / terms->volume + terms->air, unit::gram_per_cubic_centimetre),
      Density::of(terms->water, unit::gram_per_cubic_centimetre),
      Volume::of(terms->volume, unit::cubic_centimetre)};
}

Result<DensityUncertainty> immersionUncertainty(const Immersion& weighing,
                                                const ImmersionUncertainty& given) {
  const Result<Terms> terms = checkedTerms(weighing);
  if (!terms) return terms.error();
  if (Result<void> known = checkUncertainty(given); !known) return known.error();
  ImmersionUncertainty u = given;
  if (!weighing.plate) u.plate_mass = Mass(), u.plate_density = Density();

  const Result<DensityPerKelvin> slope = waterDensitySlope(weighing.water_temperature);
  if (!slope) return slope.error();
  const double water_u = std::abs(gramsPerCm3(*slope * u.water_temperature));
  const Contributions c = contributionsOf(*terms, u, water_u);
  const double variance = squared(c.in_air) + squared(c.in_water) + squared(c.plate_mass) +
                          squared(c.plate_density) + squared(c.water_temperature);
  const auto share = [&](double part) { return variance > 0 ? squared(part) / variance : 0; };
  return DensityUncertainty{Density::of(std::sqrt(variance), unit::gram_per_cubic_centimetre),
                            Density::of(water_u, unit::gram_per_cubic_centimetre),
                            {share(c.in_air), share(c.in_water), share(c.plate_mass),
                             share(c.plate_density), share(c.water_temperature)}};
}

Result<Share> specificGravity(Mass in_air, Mass in_water) {
  if (Result<void> masses = checkMasses(in_air, in_water); !masses) return masses.error();
  return Share::of(in_air / (in_air - in_water), unit::one);
}

}  // namespace platemark::method::bench
