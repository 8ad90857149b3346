#include "platemark/method/compound/composition.h"

#include <limits>

#include "support/catalogue_cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method;
using platemark::test::drawn;
using platemark::test::holds;
using platemark::test::near;

namespace {

struct Formula {
  std::vector<double> parts;
  std::vector<Density> densities;
};

Formula drawnFormula() {
  Formula formula;
  const int lines = *rc::gen::inRange(1, 16);
  for (int i = 0; i < lines; ++i) {
    formula.parts.push_back(drawn(1, 1000, 0.1));
    formula.densities.push_back(Density::of(drawn(50, 900, 0.01), unit::gram_per_cubic_centimetre));
  }
  return formula;
}

double voidFree(const Formula& formula) {
  return composition(formula.parts, formula.densities)
      ->void_free.in(unit::gram_per_cubic_centimetre);
}

}  // namespace

TEST_CASE("Compositions agree with the examples") {
  test::checkCases("method/cases/composition.csv");
}

TEST_CASE("Shares sum to one, and the void-free density lies between the ingredients'") {
  holds("shares and bounds", [] {
    const Formula f = drawnFormula();
    const auto made = composition(f.parts, f.densities);
    double mass = 0, volume = 0;
    for (const Share share : made->mass) mass += share.in(unit::one);
    for (const Share share : made->volume) volume += share.in(unit::one);
    RC_ASSERT(near(mass, 1) && near(volume, 1));
    const auto [low, high] = std::minmax_element(f.densities.begin(), f.densities.end());
    RC_ASSERT(made->void_free >= *low * (1 - 1e-12) && made->void_free <= *high * (1 + 1e-12));
  });
}

TEST_CASE("The volume shares times the densities give the mass shares back") {
  holds("there and back", [] {
    const Formula f = drawnFormula();
    const auto made = composition(f.parts, f.densities);
    for (std::size_t i = 0; i < f.parts.size(); ++i)
      RC_ASSERT(near(made->volume[i].in(unit::one) * (f.densities[i] / made->void_free),
                     made->mass[i].in(unit::one), 1e-9));
  });
}

TEST_CASE("Neither the unit of the parts nor the order of the lines moves the void-free density") {
  holds("unit and order", [] {
    const Formula f = drawnFormula();
    Formula turned = f;
    std::reverse(turned.parts.begin(), turned.parts.end());
    std::reverse(turned.densities.begin(), turned.densities.end());
    for (double& parts : turned.parts) parts *= 28.349523125;
    RC_ASSERT(near(voidFree(f), voidFree(turned)));
  });
}

TEST_CASE("A denser ingredient makes a denser compound") {
  holds("monotonic", [] {
    const Formula f = drawnFormula();
    Formula denser = f;
    denser.densities.front() = denser.densities.front() * 1.5;
    RC_ASSERT(voidFree(denser) > voidFree(f));
  });
}

TEST_CASE("The likely cause is named where the porosity would be negative") {
  const auto g_cm3 = unit::gram_per_cubic_centimetre;
  const auto porosity = totalPorosity(Density::of(1.521, g_cm3), Density::of(1.4793, g_cm3));
  REQUIRE_FALSE(porosity);
  CHECK(porosity.error().what.find("-2.82 %") != std::string::npos);
  CHECK(porosity.error().remedy.find("bulk or tapped") != std::string::npos);
  CHECK(totalPorosity(Density::of(2, g_cm3), Density::of(2, g_cm3))->in(unit::one) == 0);
  CHECK(totalPorosity(Density(), Density::of(2, g_cm3)).error().code ==
        "composition.measured_density");
}

TEST_CASE("Empty, uneven and not-a-number formulas are refused") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const std::vector<Density> one{Density::of(1, unit::gram_per_cubic_centimetre)};
  CHECK(composition({}, {}).error().code == "composition.empty");
  CHECK(composition(std::vector{1.0, 2.0}, one).error().code == "composition.count");
  CHECK(composition(std::vector{nan}, one).error().code == "composition.parts");
  CHECK(
      composition(std::vector{1.0}, std::vector{Density::of(nan, unit::gram_per_cubic_centimetre)})
          .error()
          .code == "composition.density");
}

TEST_CASE("A pad without pores is allowed; the least bit denser is not") {
  const auto density = [](double value) {
    return Density::of(value, unit::gram_per_cubic_centimetre);
  };
  CHECK(totalPorosity(density(2), density(2))->in(unit::one) == 0);
  CHECK(totalPorosity(density(2.0001), density(2)).error().code == "composition.negative_porosity");
}
