#include "platemark/method/brake/heating.h"

#include "support/cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method::brake;
using platemark::test::drawn;
using platemark::test::holds;

namespace {

Disc carDisc() {
  return {Mass::of(7, unit::kilogram), HeatCapacity::of(500, unit::joule_per_kilogram_kelvin),
          HeatTransfer::of(60, unit::watt_per_square_metre_kelvin),
          Area::of(0.12, unit::square_metre)};
}
Stop carStop() {
  return {Mass::of(1600, unit::kilogram), 1.05, Speed::of(100, unit::kilometre_per_hour), {}};
}
Energy intoDisc() { return perDisc(*energyOf(carStop()), Share::of(70, unit::percent)) * 0.95; }
Solid solid(double k, double rho, double c) {
  return {Conductivity::of(k, unit::watt_per_metre_kelvin),
          Density::of(rho, unit::kilogram_per_cubic_metre),
          HeatCapacity::of(c, unit::joule_per_kilogram_kelvin)};
}
const Solid iron = solid(50, 7200, 500);

RepeatedStops carStops(int count) {
  return *repeatedStops(carDisc(), intoDisc(), Duration::of(60, unit::second),
                        TemperaturePoint::of(20, scale::celsius), count);
}

double lumpedRise(double joules, double kilograms, double capacity) {
  const Disc disc{Mass::of(kilograms, unit::kilogram),
                  HeatCapacity::of(capacity, unit::joule_per_kilogram_kelvin),
                  {},
                  {}};
  return riseOf(disc, Energy::of(joules, unit::joule))->in(unit::kelvin);
}

double padShareOf(const Solid& pad, double area) {
  return padShare(pad, Area::of(area, unit::square_metre), iron, Area::of(1, unit::square_metre))
      ->in(unit::one);
}

FadingFlux carFlux() {
  return *fluxOf(intoDisc(), Duration::of(100 / 3.6 / (0.7 * 9.80665), unit::second),
                 Area::of(0.08, unit::square_metre));
}

double stopsValue(const std::string& id) {
  const int number = std::stoi(id.substr(id.find('_') + 1));
  const RepeatedStops stops = carStops(number);
  return (id.starts_with("after") ? stops.after : stops.before).back().in(scale::celsius);
}

double valueOf(const std::string& id) {
  const Stop car{Mass::of(750, unit::kilogram), 1, Speed::of(24, unit::metre_per_second), {}};
  if (id == "truck_rise") return lumpedRise(10000 * 9.80 * 75, 100, 800);
  if (id == "car_rise") return lumpedRise(energyOf(car)->in(unit::joule), 15, 450);
  if (id == "energy") return energyOf(carStop())->in(unit::joule);
  if (id == "per_disc") return intoDisc().in(unit::joule) / 0.95;
  if (id == "rise") return riseOf(carDisc(), intoDisc())->in(unit::kelvin);
  if (id == "limit") return carStops(1).limit.in(scale::celsius);
  if (id == "flux") return carFlux().first.in(unit::watt_per_square_metre);
  if (id == "surface") return largestSurfaceRise(iron, carFlux())->in(unit::kelvin);
  if (id == "pad_share_poor") return padShareOf(solid(0.5, 2000, 900), 1);
  if (id == "pad_share_usual") return padShareOf(solid(1.5, 2500, 1000), 1);
  if (id == "pad_share_rich") return padShareOf(solid(5, 1400, 1000), 1);
  if (id == "pad_share_small") return padShareOf(solid(1.5, 2500, 1000), 0.12);
  if (id == "contact")
    return contactTemperature(solid(50, 7850, 480), TemperaturePoint::of(180, scale::celsius),
                              solid(1.5, 2500, 1000), TemperaturePoint::of(25, scale::celsius))
        ->in(scale::celsius);
  return stopsValue(id);
}

}  // namespace

TEST_CASE("Stops, discs and surfaces are as hot as by hand") {
  test::eachCase("method/cases/brake_heating.csv",
                 [](const test::Case& row) { test::checkNumber(row, valueOf(row.text("id"))); });
}

TEST_CASE("Every stop leaves the disc hotter, never beyond the limit") {
  holds("limit", [] {
    Disc disc = carDisc();
    disc.mass = Mass::of(drawn(20, 150, 0.1), unit::kilogram);
    const auto stops = repeatedStops(disc, Energy::of(drawn(1, 500, 1000), unit::joule),
                                     Duration::of(drawn(5, 600, 1), unit::second),
                                     TemperaturePoint::of(20, scale::celsius), 40);
    RC_ASSERT(bool(stops));
    for (std::size_t i = 0; i < stops->after.size(); ++i) {
      RC_ASSERT(stops->after[i] > stops->before[i]);
      RC_ASSERT(stops->after[i] <= stops->limit + TemperatureDifference::of(1e-9, unit::kelvin));
      if (i > 0) RC_ASSERT(stops->before[i] < stops->after[i - 1]);
    }
  });
}

TEST_CASE("The surface is hottest half-way through the stop") {
  const FadingFlux flux = carFlux();
  const auto largest = *largestSurfaceRise(iron, flux);
  for (const double share : {0.1, 0.3, 0.45, 0.55, 0.8, 1.0})
    CHECK(*surfaceRise(iron, flux, flux.length * share) < largest);
}

TEST_CASE("Brake data that cannot be are refused by name") {
  Stop stop = carStop();
  stop.to = stop.from;
  CHECK(energyOf(stop).error().code == "brake.stop_range");
  stop = carStop();
  stop.rotating = 0.9;
  CHECK(energyOf(stop).error().code == "brake.stop_range");
  Disc disc = carDisc();
  disc.mass = {};
  CHECK(riseOf(disc, intoDisc()).error().code == "brake.disc_range");
  const auto air = TemperaturePoint::of(20, scale::celsius);
  const auto minute = Duration::of(60, unit::second);
  CHECK(repeatedStops(carDisc(), intoDisc(), minute, air, 0).error().code == "brake.count_range");
  disc = carDisc();
  disc.cooling = {};
  CHECK(repeatedStops(disc, intoDisc(), minute, air, 1).error().code == "brake.disc_range");
  CHECK(fluxOf(intoDisc(), {}, Area::of(1, unit::square_metre)).error().code == "brake.stop_range");
  CHECK(surfaceRise({}, carFlux(), {}).error().code == "brake.solid_range");
  CHECK(surfaceRise(iron, carFlux(), minute).error().code == "brake.stop_range");
  CHECK(padShare(iron, {}, iron, {}).error().code == "brake.stop_range");
}
