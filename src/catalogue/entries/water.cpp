#include <fmt/format.h>

#include <cmath>

#include "entries.h"
#include "platemark/method/bench/water_density.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

using namespace method::bench;

double kgPerM3(Density density) { return density.in(unit::kilogram_per_cubic_metre); }

Result<OutputValue> densityOutput(const Entry& entry, const Inputs& inputs, Density density) {
  if (!isGiven(inputs, "u_water_temperature")) return output(entry, "density", kgPerM3(density));
  const Result<DensityPerKelvin> slope =
      waterDensitySlope(*temperatureFrom(one(inputs, "water_temperature")));
  if (!slope) return atInput(slope.error());
  const TemperatureDifference u = *temperatureDifferenceFrom(one(inputs, "u_water_temperature"));
  return output(entry, "density", kgPerM3(density), std::abs(kgPerM3(*slope * u)));
}

Result<Evaluation> evaluateWaterDensity(const Entry& entry, const Inputs& inputs) {
  const Measure& temperature = one(inputs, "water_temperature");
  const Result<Density> density = waterDensity(*temperatureFrom(temperature));
  if (!density) return atInput(density.error());
  const Result<OutputValue> value = densityOutput(entry, inputs, *density);
  if (!value) return value.error();
  Evaluation result;
  result.outputs = {*value};
  result.substituted_formula =
      fmt::format("ρ_w({} °C) = {:.4f} kg/m³", numberIn(temperature, "Cel"), kgPerM3(*density));
  result.working = {line("t", "temperature of the water", temperature)};
  if (!value->standard_uncertainty) return result;
  result.working.front().u = one(inputs, "u_water_temperature");
  result.working.front().share_of_variance = 1;
  return result;
}

Entry waterDensityEntry() {
  Entry entry;
  entry.id = "bench.water_density";
  entry.version = water_density_version;
  entry.title = "Density of water";
  entry.words = "Density of pure water at its temperature, for weighing in water.";
  entry.formula =
      "ρ_w = 999.974950·[1 − (t − 3.983035)²·(t + 301.797)/(522528.9·(t + 69.34881))] kg/m³, t in "
      "°C";
  entry.inputs = {value("water_temperature", "t", "temperature of the water",
                        Kind::temperature_point, "Cel", 0, 40),
                  ifKnown(value("u_water_temperature", "u(t)",
                                "standard uncertainty of the water's temperature",
                                Kind::temperature_difference, "K", 0))};
  entry.outputs = {{"density", "ρ_w", "density of water", Kind::density, "kg/m3", 4}};
  entry.validity =
      "Pure liquid water free of air at 101.325 kPa, 0 to 40 °C. Tap water, air in solution and a "
      "wetting agent change it by some 0.01 kg/m³ and more: not corrected.";
  entry.uncertainty =
      "u(ρ_w) = |dρ_w/dt|·u(t), about 0.24 kg/m³ per kelvin at 23 °C; of the formula itself below "
      "0.001 kg/m³.";
  entry.source = "Tanaka et al., Metrologia 38 (2001) 301–309, recommended by the CIPM.";
  entry.mark = Mark::read;
  entry.outside_check = "method/cases/water_density.csv";
  entry.example.numbers = {{"water_temperature", {typed("22.6", "Cel")}},
                           {"u_water_temperature", {typed("0.3", "K")}}};
  entry.evaluate = evaluateWaterDensity;
  return entry;
}

}  // namespace

std::vector<Entry> waterEntries() { return {waterDensityEntry()}; }

}  // namespace platemark::catalogue
