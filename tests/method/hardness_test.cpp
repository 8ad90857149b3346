#include "platemark/method/bench/hardness.h"

#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <cmath>

#include "platemark/quantity/measure.h"
#include "support/cases.h"

using namespace platemark;
using namespace platemark::method::bench;

namespace {

Length millimetres(double h) { return Length::of(h, unit::millimetre); }

}  // namespace

TEST_CASE("Hardness from the depth agrees with printed and hand-worked examples") {
  platemark::test::eachCase("method/cases/hardness.csv", [](const platemark::test::Case& row) {
    const Result<RockwellScale> scale = rockwellScale(row.text("scale"));
    REQUIRE(scale);
    const Result<Rockwell> hardness =
        rockwellFromDepth(millimetres(row.number("depth_mm")), *scale);
    REQUIRE(hardness);
    CHECK(hardness->scale == *scale);
    CHECK(std::abs(hardness->number - row.number("hardness")) <= row.number("tolerance"));
  });
}

TEST_CASE("Depths off the scale are refused") {
  CHECK(rockwellFromDepth(millimetres(0.2601), RockwellScale::r).error().code ==
        "hardness.below_scale");
  CHECK(rockwellFromDepth(Length::of(0.12, unit::centimetre), RockwellScale::r).error().code ==
        "hardness.below_scale");
  CHECK(rockwellFromDepth(millimetres(-0.001), RockwellScale::r).error().code ==
        "hardness.depth_negative");
  CHECK(rockwellFromDepth(millimetres(std::nan("")), RockwellScale::r).error().code ==
        "hardness.depth_negative");
}

TEST_CASE("Every scale is found by its symbol and is a unit") {
  for (const RockwellBall& ball : rockwellBalls()) {
    CHECK(rockwellBall(ball.scale).symbol == ball.symbol);
    CHECK(*rockwellScale(ball.symbol) == ball.scale);
    CHECK(*rockwellScale("{" + std::string(ball.symbol) + "}") == ball.scale);
    CHECK(findUnit(ball.symbol)->kind == Kind::hardness);
    CHECK(ball.total > ball.preliminary);
  }
  for (const char* unknown : {"HRX", "HR", "", "{", "{}", "R"})
    CHECK(rockwellScale(unknown).error().code == "hardness.unknown_scale");
}

TEST_CASE("Balls and forces are those of the published table, and no scale is left out of it") {
  platemark::test::eachCase(
      "method/cases/hardness_scales.csv", [](const platemark::test::Case& row) {
        const RockwellBall& ball = rockwellBall(*rockwellScale(row.text("id")));
        CHECK(std::abs(ball.diameter.in(unit::millimetre)-row.number("ball_mm")) < 1e-9);
        CHECK(std::abs(ball.preliminary.in(unit::newton)-row.number("preliminary_n")) <= 0.005);
        CHECK(std::abs(ball.total.in(unit::newton)-row.number("total_n")) <=
              row.number("tolerance_n"));
        CHECK(ball.verified == (row.text("mark") != "remembered"));
      });
  CHECK(platemark::test::loadCases("method/cases/hardness_scales.csv").rows.size() ==
        rockwellBalls().size());
}

TEST_CASE("Readings of one scale are summarised; two scales never") {
  platemark::test::eachCase("method/cases/hardness_readings.csv",
                            [](const platemark::test::Case& row) {
                              std::vector<Rockwell> readings;
                              for (const double number : row.numbers("readings"))
                                readings.push_back({number, *rockwellScale(row.text("scale"))});
                              const Result<RockwellSummary> summary = summariseRockwell(readings);
                              REQUIRE(summary);
                              CHECK(summary->mean == doctest::Approx(row.number("mean")));
                              CHECK(*summary->s == doctest::Approx(row.number("s")));
                              CHECK(summary->lowest == row.number("lowest"));
                              CHECK(summary->highest == row.number("highest"));
                            });
  const std::vector<Rockwell> mixed{{76, RockwellScale::r}, {79, RockwellScale::m}};
  REQUIRE_FALSE(summariseRockwell(mixed));
  CHECK(summariseRockwell(mixed).error().code == "hardness.mixed_scales");
  CHECK(summariseRockwell(mixed).error().where.field == "readings[1]");
  const std::vector<Rockwell> single{{76, RockwellScale::s}};
  CHECK_FALSE(summariseRockwell(single)->s);
  CHECK(summariseRockwell({}).error().code == "hardness.no_reading");
  for (const double bad : {-1.0, 130.5, std::nan("")}) {
    const std::vector<Rockwell> off{{76, RockwellScale::r}, {bad, RockwellScale::r}};
    CHECK(summariseRockwell(off).error().code == "hardness.out_of_range");
  }
}

TEST_CASE("Hardness falls with depth, by one for two micrometres, in any unit of length") {
  CHECK(rc::check([] {
    const double micrometres = *rc::gen::inRange(0, 2580) / 10.0;
    const double shallow =
        rockwellFromDepth(Length::of(micrometres, unit::micrometre), RockwellScale::m)->number;
    const double same =
        rockwellFromDepth(millimetres(micrometres / 1000), RockwellScale::m)->number;
    const double deeper =
        rockwellFromDepth(Length::of(micrometres + 2, unit::micrometre), RockwellScale::m)->number;
    RC_ASSERT(std::abs(shallow - same) < 1e-9);
    RC_ASSERT(std::abs(shallow - deeper - 1) < 1e-9);
  }));
}
