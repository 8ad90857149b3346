#include "platemark/method/bench/water_density.h"

#include <fmt/format.h>

#include "../bad_input.h"

namespace platemark::method::bench {
namespace {

constexpr double a1 = -3.983035;
constexpr double a2 = 301.797;
constexpr double a3 = 522528.9;
constexpr double a4 = 69.34881;
constexpr double a5 = 999.974950;
// 0 °C typed and brought to kelvin and back must still be 0 °C.
constexpr double rounding = 1e-9;

Result<double> celsiusInRange(TemperaturePoint water) {
  const double t = water.in(scale::celsius);
  if (t >= -rounding && t <= 40 + rounding) return t;
  return badInput(
      "water.temperature_out_of_range", "water_temperature",
      fmt::format("The water is at {:.1f} °C; its density is known from 0 to 40 °C.", t),
      "0 to 40 °C", "Read the thermometer in the water again; check °C against °F.");
}

}  // namespace

Result<Density> waterDensity(TemperaturePoint water) {
  const Result<double> t = celsiusInRange(water);
  if (!t) return t.error();
  const double loss = (*t + a1) * (*t + a1) * (*t + a2) / (a3 * (*t + a4));
  return Density::of(a5 * (1 - loss), unit::kilogram_per_cubic_metre);
}

Result<DensityPerKelvin> waterDensitySlope(TemperaturePoint water) {
  const Result<double> t = celsiusInRange(water);
  if (!t) return t.error();
  const double u = *t + a1, v = *t + a2, w = *t + a4;
  const double slope = -a5 * u / (a3 * w) * (2 * v + u - u * v / w);
  return slope * (Density::of(1, unit::kilogram_per_cubic_metre) /
                  TemperatureDifference::of(1, unit::kelvin));
}

}  // namespace platemark::method::bench
