#include "cvode_reference.h"

#include <doctest/doctest.h>

#include "courses.h"

using namespace platemark;
using namespace platemark::method::cure;

namespace {

HeatTransfer film(double h) { return HeatTransfer::of(h, unit::watt_per_square_metre_kelvin); }

Load twelvePads(const ParameterSet& set) {
  Load load;
  Material steel, friction;
  steel.conductivity = Conductivity::of(50, unit::watt_per_metre_kelvin);
  steel.density = Density::of(7850, unit::kilogram_per_cubic_metre);
  steel.capacity = HeatCapacity::of(480, unit::joule_per_kilogram_kelvin);
  friction.conductivity = Conductivity::of(1.5, unit::watt_per_metre_kelvin);
  friction.density = Density::of(2500, unit::kilogram_per_cubic_metre);
  friction.capacity = HeatCapacity::of(1000, unit::joule_per_kilogram_kelvin);
  friction.conductivity_slope = PerTemperature::of(-5e-4, unit::per_kelvin);
  friction.capacity_slope = PerTemperature::of(8e-4, unit::per_kelvin);
  friction.binder =
      Binder{std::get<KamalLaw>(set.law), set.start,
             SpecificEnergy::of(300, unit::kilojoule_per_kilogram), Share::of(10, unit::percent)};
  load.materials = {steel, friction};
  Stack stack;
  for (int pad = 0; pad < 12; ++pad) {
    stack.layers.push_back({0, Length::of(6, unit::millimetre), 2, false, {}});
    stack.layers.push_back({1, Length::of(12, unit::millimetre), 6, true, film(500)});
  }
  stack.layers.back().joint_to_next.reset();
  stack.first_end = film(15);
  stack.last_end = film(0);
  stack.sides = film(20);
  stack.area_over_girth = Length::of(20, unit::millimetre);
  stack.first_air = {{1, 0}, TemperatureDifference::of(2, unit::kelvin)};
  stack.last_air = {{0.25, 0.75}, {}};
  stack.start = TemperaturePoint::of(25, scale::celsius);
  load.stacks = {stack};
  load.air = {cases::courseOf("0:25 57.5:140 117.5:140 157.5:180 397.5:180 480:60"),
              cases::courseOf("0:25 60:136 117.5:136 160:177 397.5:177 480:60")};
  load.to = Duration::of(8, unit::hour);
  load.limits = {TemperaturePoint::of(170, scale::celsius), {}, {}};
  return load;
}

struct Apart {
  double kelvin = 0, degree = 0;
};

Apart apart(const Load& load) {
  std::vector<Duration> at;
  std::vector<double> seconds;
  for (double minute = 7; minute <= 480; minute += 11) {
    at.push_back(Duration::of(minute, unit::minute));
    seconds.push_back(minute * 60);
  }
  const auto ours = followStack(load, 0, at);
  REQUIRE(ours);
  const auto theirs = reference::CvodeStack(load, 0).run(seconds, 1e-10, 1e-8, 1e-10, true);
  Apart apart;
  for (std::size_t t = 0; t < at.size(); ++t)
    for (std::size_t i = 0; i < theirs[t].kelvin.size(); ++i) {
      apart.kelvin = std::max(apart.kelvin,
                              std::abs((*ours)[t].cells[i].in(scale::kelvin)-theirs[t].kelvin[i]));
      apart.degree = std::max(apart.degree, std::abs((*ours)[t].degrees[i] - theirs[t].degree[i]));
    }
  return apart;
}

}  // namespace

TEST_CASE("Every law keeps the tolerance against CVODE at 1e-10") {
  for (const ParameterSet& set : publishedSets()) {
    CAPTURE(set.id);
    Load load = twelvePads(set);
    const Apart usual = apart(load);
    CAPTURE(usual.kelvin);
    CAPTURE(usual.degree);
    CHECK(usual.kelvin < 0.05);
    CHECK(usual.degree < 0.001);
    load.tolerance = {TemperatureDifference::of(1e-5, unit::kelvin), 2e-7};
    const Apart tight = apart(load);
    CAPTURE(tight.kelvin);
    CAPTURE(tight.degree);
    CHECK(tight.kelvin < 1e-4);
    CHECK(tight.degree < 1e-6);
  }
}

TEST_CASE("A law with both constants keeps it too") {
  ParameterSet set;
  KamalLaw law;
  law.plain = cases::arrhenius(1e6, unit::per_second, 85);
  law.autocatalytic = cases::arrhenius(5e6, unit::per_second, 80);
  law.m = 0.8;
  law.n = 1.4;
  set.law = law;
  const Apart found = apart(twelvePads(set));
  CHECK(found.kelvin < 0.05);
  CHECK(found.degree < 0.001);
}
