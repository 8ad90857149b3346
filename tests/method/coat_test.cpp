#include "platemark/method/coat/bake.h"

#include <algorithm>

#include "support/cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method::coat;
using platemark::test::holds;

namespace {

std::vector<MetalTime> readingsOf(const test::Case& row) {
  const std::vector<double> metal = row.numbers("metal"), time = row.numbers("time");
  std::vector<MetalTime> list;
  for (std::size_t i = 0; i < metal.size(); ++i) list.push_back({metal[i], time.at(i)});
  return list;
}

std::string text(const std::optional<double>& minutes) {
  if (!minutes) return "none";
  std::ostringstream words;
  words << *minutes;
  return words.str();
}

/// Minutes that a triangle of metal temperature, 2 K/min up and down, lies at or above T.
double above(double peak, double celsius) { return std::max(0.0, (peak - celsius) / 2 * 2); }

}  // namespace

TEST_CASE("times of a baked coat are bounded as worked by hand") {
  test::eachCase("method/cases/coat_bake.csv", [](const test::Case& row) {
    const Result<BakeTime> time = timeAtOrAbove(row.number("asked"), readingsOf(row));
    const std::string& wanted = row.text("at_least");
    if (wanted.starts_with("error:")) {
      REQUIRE_FALSE(bool(time));
      CHECK("error:" + time.error().code == wanted);
      CHECK_FALSE(time.error().where.field.empty());
      return;
    }
    REQUIRE(bool(time));
    CHECK(text(time->at_least) == wanted);
    CHECK(text(time->at_most) == row.text("at_most"));
  });
}

TEST_CASE("no reading is no bake") {
  const Result<BakeTime> none = timeAtOrAbove(200, {});
  REQUIRE_FALSE(bool(none));
  CHECK(none.error().code == "bake.no_readings");
}

TEST_CASE("bounds hold the true time of a known curve, whichever readings are taken of it") {
  holds("bounds of a triangle", [] {
    const double peak = *rc::gen::inRange(150, 260), asked = *rc::gen::inRange(140, 250);
    std::vector<MetalTime> readings;
    for (int i = 0, n = *rc::gen::inRange(1, 6); i < n; ++i) {
      const double celsius = *rc::gen::inRange(120, 260);
      readings.push_back({celsius, above(peak, celsius)});
    }
    const Result<BakeTime> time = timeAtOrAbove(asked, readings);
    RC_ASSERT(bool(time));
    RC_ASSERT((!time->at_least || *time->at_least <= above(peak, asked)));
    RC_ASSERT((!time->at_most || *time->at_most >= above(peak, asked)));
    RC_ASSERT(time->at_least || time->at_most);
  });
}
