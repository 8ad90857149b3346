#include "platemark/method/cure/load_uncertainty.h"

#include "../../../src/method/cure/load/air.h"
#include "courses.h"

using namespace platemark;
using namespace platemark::method::cure;

namespace {

HeatTransfer film(double h) { return HeatTransfer::of(h, unit::watt_per_square_metre_kelvin); }
TemperaturePoint celsius(double t) { return TemperaturePoint::of(t, scale::celsius); }
Share share(double x) { return Share::of(x, unit::one); }
TemperatureDifference kelvin(double x) { return TemperatureDifference::of(x, unit::kelvin); }

Material material(double k, double rho, double c) {
  Material made;
  made.conductivity = Conductivity::of(k, unit::watt_per_metre_kelvin);
  made.density = Density::of(rho, unit::kilogram_per_cubic_metre);
  made.capacity = HeatCapacity::of(c, unit::joule_per_kilogram_kelvin);
  return made;
}

/// The steel plate of the cases.
Load plate() {
  Load load;
  load.materials = {material(50, 7850, 480)};
  Stack stack;
  stack.layers = {{0, Length::of(6, unit::millimetre), 1, true, {}}};
  stack.sides = film(30);
  stack.area_over_girth = Length::of(20, unit::millimetre);
  stack.first_air = stack.last_air = {{1}, {}};
  stack.start = celsius(25);
  load.stacks = {stack};
  load.air = {cases::courseOf("0:180 30:180")};
  load.to = Duration::of(30, unit::minute);
  load.limits = {celsius(100), celsius(0), celsius(200)};
  load.tolerance = {kelvin(1e-4), 1e-6};
  return load;
}

/// Two curing pads on steel, long enough in the soak to be straight in their inputs.
Load pads() {
  Load load;
  load.materials = {material(50, 7850, 480), material(1.5, 2500, 1000)};
  load.materials[1].binder =
      Binder{std::get<KamalLaw>(cases::novolac().law), 0,
             SpecificEnergy::of(300, unit::kilojoule_per_kilogram), Share::of(10, unit::percent)};
  Stack stack;
  for (int pad = 0; pad < 2; ++pad) {
    stack.layers.push_back({0, Length::of(6, unit::millimetre), 1, false, {}});
    stack.layers.push_back({1, Length::of(12, unit::millimetre), 4, true, film(500)});
  }
  stack.layers.back().joint_to_next.reset();
  stack.first_end = stack.last_end = film(15);
  stack.sides = film(20);
  stack.area_over_girth = Length::of(20, unit::millimetre);
  stack.first_air = stack.last_air = {{1}, {}};
  stack.start = celsius(25);
  load.stacks = {stack};
  load.air = {cases::courseOf("0:25 60:145 240:145 300:60")};
  load.to = Duration::of(300, unit::minute);
  load.limits = {celsius(135), celsius(60), celsius(120)};
  load.tolerance = {kelvin(1e-3), 2e-5};
  return load;
}

InputSpread usual() {
  return {kelvin(0.9), kelvin(0.6), kelvin(0.6), share(0.05), share(0.1),
          share(0.04), share(0.03), share(0.05), share(0.05)};
}

std::string codeOf(std::size_t stack, std::size_t layer, const InputSpread& spread) {
  const auto propagated = propagate(pads(), stack, layer, spread);
  return propagated ? "" : propagated.error().code;
}

void checkAlike(double a, double b) { CHECK(a == doctest::Approx(b).epsilon(0.15)); }

}  // namespace

TEST_CASE("The uncertainty of a plate is that of the lumped body") {
  test::eachCase("method/cases/cure_load_uncertainty.csv", [](const test::Case& row) {
    InputSpread spread;
    spread.sensors = kelvin(row.number("sensors"));
    spread.film = share(row.number("film"));
    spread.capacity = share(row.number("capacity"));
    const auto propagated = propagate(plate(), 0, 0, spread);
    REQUIRE(propagated);
    test::checkNumber(row, propagated->standard.hottest.in(unit::kelvin));
  });
}

TEST_CASE("Propagated and drawn uncertainties agree") {
  const auto propagated = propagate(pads(), 0, 1, usual());
  const auto drawn = drawLoads(pads(), 0, 1, usual(), 400, 20261125);
  REQUIRE(propagated);
  REQUIRE(drawn);
  const PadSpread &a = propagated->standard, &b = drawn->standard;
  checkAlike(b.hottest.in(unit::kelvin), a.hottest.in(unit::kelvin));
  checkAlike(b.coldest_peak.in(unit::kelvin), a.coldest_peak.in(unit::kelvin));
  checkAlike(b.soaked.in(unit::minute), a.soaked.in(unit::minute));
  checkAlike(b.fastest.in(unit::kelvin_per_minute), a.fastest.in(unit::kelvin_per_minute));
  checkAlike(b.least_degree, a.least_degree);
  CHECK(propagated->contributions.size() == 9);
  CHECK(drawn->never_reached == 0);
}

TEST_CASE("The same seed gives the same draws, another seed others") {
  const auto one = drawLoads(plate(), 0, 0, usual(), 20, 1);
  const auto again = drawLoads(plate(), 0, 0, usual(), 20, 1);
  const auto other = drawLoads(plate(), 0, 0, usual(), 20, 2);
  REQUIRE(one);
  CHECK(one->standard.hottest == again->standard.hottest);
  CHECK(one->standard.hottest != other->standard.hottest);
}

TEST_CASE("A soak that is often missed shows in the draws") {
  Load load = plate();
  load.limits.soak = celsius(180 - 155 * std::exp(-1800 / 2512.0));
  InputSpread spread;
  spread.sensors = kelvin(2);
  const auto drawn = drawLoads(load, 0, 0, spread, 200, 7);
  REQUIRE(drawn);
  CHECK(drawn->never_reached > 0.35);
  CHECK(drawn->never_reached < 0.65);
}

TEST_CASE("Without uncertain inputs nothing is uncertain; wrong ones are refused") {
  CHECK(propagate(pads(), 0, 1, {})->standard.hottest == TemperatureDifference{});
  CHECK(codeOf(1, 1, {}) == "cure.load_stack");
  CHECK(codeOf(0, 0, {}) == "cure.load_stack");
  InputSpread spread;
  spread.heat = share(0.6);
  CHECK(codeOf(0, 1, spread) == "cure.spread_range");
  spread = {};
  spread.sensors = kelvin(-1);
  CHECK(codeOf(0, 1, spread) == "cure.spread_range");
  CHECK(drawLoads(pads(), 0, 1, {}, 9, 1).error().code == "cure.draws_range");
}

TEST_CASE("The line that stands for the air keeps its mean and first moment") {
  // 0 K up to 60 s, then rising to 60 K at 120 s, on 300 K: area 1800 K·s; moment about
  // 60 s: 60³/3 = 72000; slope 12·72000/120³ = 0.5 K/s; mean 15 K, so −15 K at the start.
  const std::vector<std::vector<CoursePoint>> channels{
      {cases::point(0, 26.85), cases::point(1, 26.85), cases::point(2, 86.85)}};
  Air air(channels);
  air.fit(0, 120);
  CHECK(air.lines()[0].slope == doctest::Approx(0.5));
  CHECK(air.lines()[0].value == doctest::Approx(285));
}
