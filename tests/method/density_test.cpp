#include "platemark/method/bench/density.h"

#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <cmath>
#include <limits>
#include <random>

#include "platemark/method/bench/porosity.h"
#include "platemark/method/bench/water_density.h"
#include "support/cases.h"

using namespace platemark;
using namespace platemark::method::bench;

namespace {

TemperaturePoint celsius(double t) { return TemperaturePoint::of(t, scale::celsius); }
Mass grams(double m) { return Mass::of(m, unit::gram); }
Density gramsPerCm3(double d) { return Density::of(d, unit::gram_per_cubic_centimetre); }
double asNumber(Density d) { return d.in(unit::gram_per_cubic_centimetre); }

Immersion bondedPad() {
  return {grams(361.84), grams(271.30), celsius(22.6),
          BondedPlate{grams(226.40), gramsPerCm3(7.850)}, false};
}

ImmersionUncertainty plateFromTheLot() {
  return {grams(0.01), grams(0.45), gramsPerCm3(0.005),
          TemperatureDifference::of(0.3, unit::kelvin)};
}

Immersion immersionFrom(const platemark::test::Case& row) {
  Immersion weighing{grams(row.number("in_air_g")),
                     grams(row.number("in_water_g")),
                     celsius(row.number("t_celsius")),
                     {},
                     row.text("air_buoyancy") == "yes"};
  if (!row.text("plate_g").empty())
    weighing.plate =
        BondedPlate{grams(row.number("plate_g")), gramsPerCm3(row.number("plate_g_cm3"))};
  return weighing;
}

std::string codeOf(const Immersion& weighing) {
  const Result<ImmersionDensity> result = immersionDensity(weighing);
  return result ? "" : result.error().code;
}

/// Standard deviation of the density when each input is drawn from its normal distribution.
double spreadByDrawing(const Immersion& mean, const ImmersionUncertainty& u, int draws) {
  std::mt19937_64 random(20260108);
  std::normal_distribution<double> normal;
  double sum = 0, squares = 0;
  for (int i = 0; i < draws; ++i) {
    Immersion drawn = mean;
    drawn.in_air = drawn.in_air + u.balance * normal(random);
    drawn.in_water = drawn.in_water + u.balance * normal(random);
    drawn.water_temperature = drawn.water_temperature + u.water_temperature * normal(random);
    if (drawn.plate) {
      drawn.plate->mass = drawn.plate->mass + u.plate_mass * normal(random);
      drawn.plate->density = drawn.plate->density + u.plate_density * normal(random);
    }
    const double density = asNumber(immersionDensity(drawn)->density);
    sum += density;
    squares += density * density;
  }
  return std::sqrt((squares - sum * sum / draws) / (draws - 1));
}

}  // namespace

TEST_CASE("Density of water agrees with the published formula and with printed figures") {
  platemark::test::eachCase("method/cases/water_density.csv", [](const platemark::test::Case& row) {
    const Result<Density> density = waterDensity(celsius(row.number("t_celsius")));
    REQUIRE(density);
    CHECK(std::abs(density->in(unit::kilogram_per_cubic_metre)-row.number("density_kg_m3")) <=
          row.number("tolerance"));
  });
}

TEST_CASE("Water is densest at 3.983 °C, and its slope is the slope of the density") {
  CHECK(waterDensity(celsius(3.983035))->in(unit::kilogram_per_cubic_metre) ==
        doctest::Approx(999.97495).epsilon(1e-9));
  const auto per_kelvin =
      Density::of(1, unit::kilogram_per_cubic_metre) / TemperatureDifference::of(1, unit::kelvin);
  CHECK(std::abs(*waterDensitySlope(celsius(3.983035)) / per_kelvin) < 1e-9);
  for (const double t : {0.5, 4.0, 15.0, 23.0, 39.5}) {
    const double h = 0.001;
    const double difference = (*waterDensity(celsius(t + h)) - *waterDensity(celsius(t - h)))
                                  .in(unit::kilogram_per_cubic_metre) /
                              (2 * h);
    CHECK(std::abs(*waterDensitySlope(celsius(t)) / per_kelvin - difference) < 1e-6);
  }
}

TEST_CASE("Water outside 0 to 40 °C is refused; the ends are not") {
  for (const double t : {-0.1, 40.1, 73.4, std::nan("")}) {
    CAPTURE(t);
    const Result<Density> density = waterDensity(celsius(t));
    REQUIRE_FALSE(density);
    CHECK(density.error().code == "water.temperature_out_of_range");
    CHECK_FALSE(waterDensitySlope(celsius(t)));
  }
  CHECK(waterDensity(celsius(0)));
  CHECK(waterDensity(celsius(40)));
  CHECK(waterDensity(TemperaturePoint::of(32, scale::fahrenheit)));
  CHECK(waterDensity(TemperaturePoint::of(104, scale::fahrenheit)));
}

TEST_CASE("Density by immersion agrees with hand calculation") {
  platemark::test::eachCase("method/cases/density.csv", [](const platemark::test::Case& row) {
    const Result<ImmersionDensity> result = immersionDensity(immersionFrom(row));
    REQUIRE(result);
    CHECK(std::abs(asNumber(result->density) - row.number("density_g_cm3")) <=
          row.number("tolerance"));
  });
  CHECK(specificGravity(grams(52.340), grams(29.815))->in(unit::one) ==
        doctest::Approx(2.32364).epsilon(1e-6));
}

TEST_CASE("The uncertainty of a density is what drawing its inputs gives") {
  Immersion pad_in_air = bondedPad();
  pad_in_air.air_buoyancy = true;
  const Immersion coupon{grams(52.340), grams(29.815), celsius(23), {}, false};
  for (const Immersion& weighing : {bondedPad(), pad_in_air, coupon}) {
    const Result<DensityUncertainty> u = immersionUncertainty(weighing, plateFromTheLot());
    REQUIRE(u);
    const double drawn = spreadByDrawing(weighing, plateFromTheLot(), 200000);
    CHECK(std::abs(asNumber(u->standard) / drawn - 1) < 0.01);
  }
}

TEST_CASE("Each share of variance is what drawing that input alone gives") {
  const ImmersionUncertainty all = plateFromTheLot();
  const DensityUncertainty whole = *immersionUncertainty(bondedPad(), all);
  const auto agrees = [&](double share, const ImmersionUncertainty& alone) {
    const double s = spreadByDrawing(bondedPad(), alone, 100000) / asNumber(whole.standard);
    return std::abs(share / (s * s) - 1) < 0.02;
  };
  const VarianceShares& shares = whole.shares;
  CHECK(agrees(shares.plate_mass, {{}, all.plate_mass, {}, {}}));
  CHECK(agrees(shares.plate_density, {{}, {}, all.plate_density, {}}));
  CHECK(agrees(shares.water_temperature, {{}, {}, {}, all.water_temperature}));
  CHECK(agrees(shares.in_air + shares.in_water, {all.balance, {}, {}, {}}));
  CHECK(shares.in_water > shares.in_air);
  CHECK(shares.in_air + shares.in_water + shares.plate_mass + shares.plate_density +
            shares.water_temperature ==
        doctest::Approx(1));
  CHECK(shares.plate_mass > 0.9);
}

TEST_CASE("Exactly known inputs have no uncertainty, and no share is invented") {
  const DensityUncertainty none = *immersionUncertainty(bondedPad(), {});
  CHECK(asNumber(none.standard) == 0);
  CHECK(none.shares.plate_mass == 0);
}

TEST_CASE("Impossible weighings are refused by name") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const auto coupon = [](double a, double b) {
    return Immersion{grams(a), grams(b), celsius(23), {}, false};
  };
  CHECK(codeOf(coupon(29.8, 52.3)) == "density.not_heavier_in_air");
  CHECK(codeOf(coupon(29.8, 29.8)) == "density.not_heavier_in_air");
  CHECK(codeOf(coupon(-1, -2)) == "density.mass_in_air");
  CHECK(codeOf(coupon(0, 0)) == "density.mass_in_air");
  CHECK(codeOf(coupon(nan, 1)) == "density.mass_in_air");
  CHECK(codeOf(coupon(1, nan)) == "density.mass_in_water");
  CHECK(codeOf(coupon(1, -0.1)) == "density.mass_in_water");
  Immersion pad = bondedPad();
  pad.plate->mass = grams(361.84);
  CHECK(codeOf(pad) == "density.plate_mass");
  pad.plate->mass = grams(-226);
  CHECK(codeOf(pad) == "density.plate_mass");
  pad = bondedPad();
  pad.plate->density = Density::of(7.85, unit::kilogram_per_cubic_metre);
  CHECK(codeOf(pad) == "density.plate_density");
  pad = bondedPad();
  pad.plate->density = gramsPerCm3(2.4);
  CHECK(codeOf(pad) == "density.no_compound");
  pad = bondedPad();
  pad.water_temperature = celsius(73.4);
  CHECK(codeOf(pad) == "water.temperature_out_of_range");
  ImmersionUncertainty negative = plateFromTheLot();
  negative.plate_mass = grams(-0.1);
  CHECK(immersionUncertainty(bondedPad(), negative).error().code == "density.negative_uncertainty");
  CHECK(immersionUncertainty(coupon(1, 2), {}).error().code == "density.not_heavier_in_air");
}

TEST_CASE("Density does not depend on the unit of the masses and rises with the mass in water") {
  CHECK(rc::check([] {
    const double a = *rc::gen::inRange(10000, 500000) / 1000.0;
    const double b = a * *rc::gen::inRange(10, 900) / 1000.0;
    const TemperaturePoint t = celsius(*rc::gen::inRange(0, 41));
    const bool air = *rc::gen::arbitrary<bool>();
    const double in_g = asNumber(immersionDensity({grams(a), grams(b), t, {}, air})->density);
    const Mass a_kg = Mass::of(a / 1000, unit::kilogram), b_kg = Mass::of(b / 1000, unit::kilogram);
    const double in_kg = asNumber(immersionDensity({a_kg, b_kg, t, {}, air})->density);
    RC_ASSERT(std::abs(in_g - in_kg) <= 1e-12 * in_g);
    const double heavier =
        asNumber(immersionDensity({grams(a), grams(b * 1.001), t, {}, air})->density);
    RC_ASSERT(heavier > in_g);
  }));
}

TEST_CASE("A plate built from the compound itself leaves the density unchanged") {
  CHECK(rc::check([] {
    const double density = *rc::gen::inRange(1500, 6000) / 1000.0;
    const double volume = *rc::gen::inRange(10, 100);
    const double water = asNumber(*waterDensity(celsius(23)));
    const Mass a = grams(density * volume), b = grams((density - water) * volume);
    const double part = *rc::gen::inRange(1, 90) / 100.0;
    const BondedPlate plate{a * part, gramsPerCm3(density)};
    const double found = asNumber(immersionDensity({a, b, celsius(23), plate, false})->density);
    RC_ASSERT(std::abs(found - density) < 1e-9);
  }));
}

TEST_CASE("Open porosity agrees with hand calculation and refuses the impossible") {
  platemark::test::eachCase("method/cases/porosity.csv", [](const platemark::test::Case& row) {
    const Result<Share> porosity =
        openPorosity(grams(row.number("dry_g")), grams(row.number("soaked_g")),
                     gramsPerCm3(row.number("fluid_g_cm3")),
                     Volume::of(row.number("volume_cm3"), unit::cubic_centimetre));
    REQUIRE(porosity);
    CHECK(std::abs(porosity->in(unit::percent)-row.number("porosity_percent")) <=
          row.number("tolerance"));
  });
  const Volume v = Volume::of(9.45, unit::cubic_centimetre);
  const Density oil = gramsPerCm3(0.861);
  CHECK(openPorosity(grams(24.8), grams(24.1), oil, v).error().code == "porosity.soaked_lighter");
  CHECK(openPorosity(grams(0), grams(24.1), oil, v).error().code == "porosity.mass_dry");
  CHECK(openPorosity(grams(24), grams(25), Density(), v).error().code == "porosity.fluid_density");
  CHECK(openPorosity(grams(24), grams(25), oil, Volume()).error().code == "porosity.volume");
  CHECK(openPorosity(grams(24), grams(35), oil, v).error().code == "porosity.above_whole");
  CHECK(openPorosity(grams(24), grams(24), oil, v)->in(unit::percent) == 0);
}
