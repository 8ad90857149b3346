#include "platemark/method/friction/letters.h"

#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <cmath>

#include "support/cases.h"

using namespace platemark;
using namespace platemark::method::friction;

namespace {

std::vector<Share> shares(const std::vector<double>& values) {
  std::vector<Share> list;
  for (const double value : values) list.push_back(Share::of(value, unit::one));
  return list;
}

char letterOf(double coefficient) { return *frictionLetter(Share::of(coefficient, unit::one)); }

}  // namespace

TEST_CASE("Means and code letters agree with hand calculation") {
  platemark::test::eachCase(
      "method/cases/friction_letters.csv", [](const platemark::test::Case& row) {
        const Result<FrictionCode> code =
            frictionCode(shares(row.numbers("normal")), shares(row.numbers("hot")));
        REQUIRE(code);
        CHECK(code->normal.in(unit::one) ==
              doctest::Approx(row.number("normal_mean")).epsilon(1e-12));
        CHECK(code->hot.in(unit::one) == doctest::Approx(row.number("hot_mean")).epsilon(1e-12));
        CHECK(code->letters == row.text("letters"));
      });
}

TEST_CASE("The counts of readings are told") {
  CHECK(frictionCode(shares(std::vector<double>(4, 0.4)), shares(std::vector<double>(10, 0.4)))
            ->as_the_test);
  CHECK_FALSE(frictionCode(shares({0.4}), shares({0.4}))->as_the_test);
}

TEST_CASE("A mean on a bound keeps its letter however many readings were summed") {
  const std::pair<double, char> bounds[] = {
      {0.15, 'C'}, {0.25, 'D'}, {0.35, 'E'}, {0.45, 'F'}, {0.55, 'G'}};
  for (const auto& [bound, letter] : bounds)
    for (std::size_t n = 1; n <= 200; ++n)
      CHECK(frictionCode(shares(std::vector<double>(n, bound)), shares({0.4}))->letters[0] ==
            letter);
}

TEST_CASE("Impossible coefficients are refused") {
  for (const double bad : {0.0, -0.3, 2.01, 38.0, std::nan("")}) {
    CAPTURE(bad);
    const Result<FrictionCode> code = frictionCode(shares({0.4}), shares({0.4, bad}));
    REQUIRE_FALSE(code);
    CHECK(code.error().code == "friction.coefficient_out_of_range");
    CHECK(code.error().where.field == "hot[1]");
    CHECK_FALSE(frictionLetter(Share::of(bad, unit::one)));
  }
  CHECK(frictionCode({}, shares({0.4})).error().code == "friction.no_reading");
  CHECK(frictionCode(shares({0.4}), {}).error().code == "friction.no_reading");
}

TEST_CASE("A higher coefficient never has an earlier letter, and percent is the same") {
  CHECK(rc::check([] {
    const double low = *rc::gen::inRange(1, 9000) / 10000.0;
    const double high = low + *rc::gen::inRange(0, 1000) / 10000.0;
    RC_ASSERT(letterOf(low) <= letterOf(high));
    RC_ASSERT(letterOf(low) == *frictionLetter(Share::of(low * 100, unit::percent)));
  }));
}
