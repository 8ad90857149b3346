#include "platemark/method/brake/heating.h"

#include <cmath>
#include <numbers>

#include "../bad_input.h"

namespace platemark::method::brake {
namespace {

bool within(double x, double low, double high) { return x >= low && x <= high; }

Result<void> check(const Disc& disc) {
  if (disc.mass.in(unit::kilogram) > 0 && disc.capacity.in(unit::joule_per_kilogram_kelvin) > 0 &&
      within(disc.cooling.in(unit::watt_per_square_metre_kelvin), 0, 1e5) &&
      within(disc.cooled.in(unit::square_metre), 0, 100))
    return {};
  return badInput("brake.disc_range", "disc", "The disc's data are out of range.",
                  "mass and capacity above 0, cooling 0 to 1e5 W/(m²·K) over 0 to 100 m²");
}

Result<void> check(const Solid& solid) {
  if (solid.conductivity.in(unit::watt_per_metre_kelvin) > 0 &&
      solid.density.in(unit::kilogram_per_cubic_metre) > 0 &&
      solid.capacity.in(unit::joule_per_kilogram_kelvin) > 0)
    return {};
  return badInput("brake.solid_range", "solid", "A property of the solid is out of range.",
                  "conductivity, density and capacity above 0");
}

double effusivity(const Solid& solid) {
  return std::sqrt(
      solid.conductivity.in(unit::watt_per_metre_kelvin)*solid.density
          .in(unit::kilogram_per_cubic_metre)*solid.capacity.in(unit::joule_per_kilogram_kelvin));
}

Error stopError() {
  return badInput("brake.stop_range", "stop", "The stop's data are out of range.",
                  "masses, times and areas above 0, speeds that fall, rotating masses of 1 to 2");
}

TemperatureDifference kelvins(double k) { return TemperatureDifference::of(k, unit::kelvin); }

}  // namespace

Result<Energy> energyOf(const Stop& stop) {
  const double v1 = stop.from.in(unit::metre_per_second), v2 = stop.to.in(unit::metre_per_second);
  const double mass = stop.vehicle.in(unit::kilogram);
  if (!(mass > 0 && within(stop.rotating, 1, 2) && v2 >= 0 && v1 > v2 && v1 < 200))
    return stopError();
  return Energy::of(stop.rotating * mass * (v1 * v1 - v2 * v2) / 2, unit::joule);
}

Energy perDisc(Energy stop, Share axle) { return stop * (axle.in(unit::one) / 2); }

Result<TemperatureDifference> riseOf(const Disc& disc, Energy into_disc) {
  if (Result<void> sound = check(disc); !sound) return sound.error();
  return kelvins(into_disc.in(unit::joule) /
                 (disc.mass.in(unit::kilogram)*disc.capacity.in(unit::joule_per_kilogram_kelvin)));
}

Result<RepeatedStops> repeatedStops(const Disc& disc, Energy into_disc, Duration between,
                                    TemperaturePoint air, int count) {
  const Result<TemperatureDifference> rise = riseOf(disc, into_disc);
  if (!rise) return rise.error();
  if (count < 1 || count > 100000)
    return badInput("brake.count_range", "count", "The number of stops is out of range.",
                    "1 to 100000");
  const double b = disc.cooling.in(unit::watt_per_square_metre_kelvin)*disc.cooled
                       .in(unit::square_metre)*between.in(unit::second) /
                   (disc.mass.in(unit::kilogram)*disc.capacity.in(unit::joule_per_kilogram_kelvin));
  if (!(b > 0))
    return badInput("brake.disc_range", "disc.cooling", "Without cooling the disc has no limit.",
                    "cooling, area and time between stops above 0");
  RepeatedStops stops;
  for (int n = 1; n <= count; ++n) {
    const TemperatureDifference before =
        *rise * (std::expm1(-(n - 1) * b) / std::expm1(-b)) * std::exp(-b);
    stops.before.push_back(air + before);
    stops.after.push_back(air + (before + *rise));
  }
  stops.limit = air + *rise / -std::expm1(-b);
  return stops;
}

Result<FadingFlux> fluxOf(Energy into_surface, Duration length, Area swept) {
  const double seconds = length.in(unit::second), area = swept.in(unit::square_metre);
  if (!(seconds > 0 && area > 0)) return stopError();
  return FadingFlux{HeatFlux::of(2 * into_surface.in(unit::joule) / (seconds * area),
                                 unit::watt_per_square_metre),
                    length};
}

Result<TemperatureDifference> surfaceRise(const Solid& solid, const FadingFlux& flux, Duration at) {
  if (Result<void> sound = check(solid); !sound) return sound.error();
  const double t = at.in(unit::second), whole = flux.length.in(unit::second);
  if (!(whole > 0 && within(t, 0, whole))) return stopError();
  return kelvins(2 * flux.first.in(unit::watt_per_square_metre)*std::sqrt(t / std::numbers::pi) /
                 effusivity(solid) * (1 - 2 * t / (3 * whole)));
}

Result<TemperatureDifference> largestSurfaceRise(const Solid& solid, const FadingFlux& flux) {
  return surfaceRise(solid, flux, flux.length / 2);
}

Result<Share> padShare(const Solid& pad, Area pad_area, const Solid& disc, Area disc_area) {
  if (Result<void> sound = check(pad); !sound) return sound.error();
  if (Result<void> sound = check(disc); !sound) return sound.error();
  if (!(pad_area.in(unit::square_metre) > 0 && disc_area.in(unit::square_metre) > 0))
    return stopError();
  const double ratio = effusivity(disc) / effusivity(pad) * (disc_area / pad_area);
  return Share::of(1 / (1 + ratio), unit::one);
}

Result<TemperaturePoint> contactTemperature(const Solid& one, TemperaturePoint at_one,
                                            const Solid& other, TemperaturePoint at_other) {
  if (Result<void> sound = check(one); !sound) return sound.error();
  if (Result<void> sound = check(other); !sound) return sound.error();
  const double e1 = effusivity(one), e2 = effusivity(other);
  return at_other + (at_one - at_other) * (e1 / (e1 + e2));
}

}  // namespace platemark::method::brake
