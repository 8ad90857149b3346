#include <limits>

#include "platemark/method/statistics/conformity.h"
#include "platemark/method/statistics/summary.h"
#include "support/catalogue_cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method::statistics;
using platemark::test::drawn;
using platemark::test::holds;
using platemark::test::near;

namespace {

std::vector<double> drawnReadings() {
  std::vector<double> readings;
  const int count = *rc::gen::inRange(2, 40);
  for (int i = 0; i < count; ++i) readings.push_back(drawn(-10000, 10000, 0.01));
  return readings;
}

std::vector<double> readingsOf(const test::Case& row) {
  std::vector<double> readings = row.numbers("readings");
  const double low = readings[1], high = readings[2];
  for (int pair = 1; pair < static_cast<int>(row.number("pairs")); ++pair) {
    readings.push_back(low);
    readings.push_back(high);
  }
  return readings;
}

}  // namespace

TEST_CASE("Summaries and conformity agree with the examples") {
  test::checkCases("method/cases/statistics.csv");
}

TEST_CASE("Mean and standard deviation keep the certified digits") {
  test::eachCase("method/cases/nist_univariate.csv", [](const test::Case& row) {
    const auto computed = summary(readingsOf(row));
    REQUIRE(computed);
    CAPTURE(computed->mean);
    CAPTURE(*computed->s);
    CHECK(near(computed->mean, row.number("mean"), row.number("mean_tolerance")));
    CHECK(near(*computed->s, row.number("s"), row.number("s_tolerance")));
  });
}

TEST_CASE("The order of readings does not matter; a shift moves the mean and leaves s") {
  holds("order and shift", [] {
    const std::vector<double> readings = drawnReadings();
    std::vector<double> turned = readings;
    std::reverse(turned.begin(), turned.end());
    for (double& x : turned) x += 1000;
    const auto a = summary(readings), b = summary(turned);
    RC_ASSERT(std::abs(a->mean + 1000 - b->mean) < 1e-11);
    RC_ASSERT(std::abs(*a->s - *b->s) < 1e-10);
    RC_ASSERT(a->min <= a->mean && a->mean <= a->max);
  });
}

TEST_CASE("Another unit scales mean and s alike") {
  holds("unit", [] {
    const std::vector<double> readings = drawnReadings();
    std::vector<double> scaled = readings;
    for (double& x : scaled) x *= 1024;  // a power of two: exact
    const auto a = summary(readings), b = summary(scaled);
    RC_ASSERT(a->mean * 1024 == b->mean && *a->s * 1024 == *b->s);
  });
}

TEST_CASE("Readings that are equal have no spread; one reading has none to speak of") {
  const auto equal = summary(std::vector{0.1, 0.1, 0.1});
  CHECK(equal->mean == 0.1);
  CHECK(*equal->s == 0);
  CHECK_FALSE(summary(std::vector{7.0})->s.has_value());
  CHECK(summary({}).error().code == "statistics.empty");
  CHECK(summary(std::vector{1.0, std::numeric_limits<double>::infinity()}).error().where.field ==
        "readings[1]");
}

TEST_CASE("Conformance falls beyond a limit and mirrors about it") {
  holds("monotonic and symmetric", [] {
    const double u = drawn(1, 100, 0.01), limit = drawn(-100, 100, 0.1), step = drawn(1, 100, 0.01);
    const double inside = conformanceProbability(limit - step, u, {}, limit);
    const double outside = conformanceProbability(limit + step, u, {}, limit);
    RC_ASSERT(inside >= outside);
    RC_ASSERT(std::abs(inside + outside - 1) < 1e-12);
    RC_ASSERT(near(inside, conformanceProbability(limit + step, u, limit, {}), 1e-9));
    RC_ASSERT(conformanceProbability(limit, u, {}, limit) == 0.5);
  });
}

TEST_CASE("A value that keeps the guard band reaches the required probability, and no less") {
  holds("guard band", [] {
    const double required = drawn(600, 990, 0.001), width = drawn(60, 400, 0.1);
    const auto factor = guardBandFactor(required, width);
    RC_ASSERT(static_cast<bool>(factor));
    RC_ASSERT(near(conformanceProbability(width - *factor, 1, 0.0, width), required, 1e-12));
    RC_ASSERT(*factor >= *guardBandFactor(required) - 1e-12);
  });
}

TEST_CASE("Far in a tail the probability keeps its digits") {
  // Φ(−10) = 7.619853024160527e-24, as tables of the normal distribution print it.
  CHECK(near(conformanceProbability(10, 1, {}, 0.0), 7.619853024160527e-24, 1e-12));
  CHECK(near(conformanceProbability(-10, 1, 0.0, 5.0), 7.619853024160527e-24, 1e-12));
}

TEST_CASE("Limits too close have no acceptance zone; nonsense is refused") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const auto close = guardBandFactor(0.95, 3.5);
  REQUIRE_FALSE(close);
  CHECK(close.error().code == "conformity.no_acceptance_zone");
  CHECK(close.error().what.find("91.99 %") != std::string::npos);
  CHECK(guardBandFactor(0.5).error().code == "conformity.required");
  CHECK(guardBandFactor(nan).error().code == "conformity.required");
  CHECK(guardBandFactor(0.95, 0).error().code == "conformity.width");
  CHECK(std::isnan(conformanceProbability(1, 0, {}, 2)));
  CHECK(std::isnan(conformanceProbability(1, 1, {}, {})));
}
