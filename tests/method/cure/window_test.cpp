#include "platemark/method/cure/window.h"

#include "courses.h"
#include "platemark/method/cure/equivalent_time.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method::cure;
using platemark::test::drawn;
using platemark::test::holds;

namespace {

CurePair pairOf(double celsius, double minutes) {
  return {TemperaturePoint::of(celsius, scale::celsius), Duration::of(minutes, unit::minute)};
}
CureWindow card() {
  const std::vector<CurePair> pairs{pairOf(190, 12), pairOf(200, 10), pairOf(210, 8)};
  const auto window = windowThrough(pairs);
  REQUIRE(window);
  return *window;
}
double needed(double celsius) {
  return neededAt(card(), TemperaturePoint::of(celsius, scale::celsius)).in(unit::minute);
}

double valueOf(const std::string& id) {
  const auto part = cases::courseOf("0:25 8:185 12:200 20:204 24:120");
  std::optional<TemperaturePoint> above;
  if (id.ends_with("above_160")) above = TemperaturePoint::of(160, scale::celsius);
  if (id == "energy") return card().energy.in(unit::joule_per_mole);
  if (id.starts_with("needed")) return needed(std::stod(id.substr(7)));
  const double index = *cureIndex(card(), part, above);
  return id.starts_with("equivalent") ? index * needed(200) : index;
}

std::string codeOf(std::vector<CurePair> pairs) { return windowThrough(pairs).error().code; }

}  // namespace

TEST_CASE("The card's window and index are as found independently") {
  test::eachCase("method/cases/cure_window.csv",
                 [](const test::Case& row) { test::checkNumber(row, valueOf(row.text("id"))); });
  CHECK(card().residuals.size() == 3);
  CHECK(card().residuals[0] == doctest::Approx(std::log(12 / 12.09707130)).epsilon(1e-6));
}

TEST_CASE("Holding as long as the window needs cures just enough, at any temperature") {
  holds("just enough", [] {
    const double celsius = drawn(150, 230, 1);
    const auto hold = std::vector{cases::point(0, celsius), cases::point(needed(celsius), celsius)};
    RC_ASSERT(std::abs(*cureIndex(card(), hold) - 1) < 1e-10);
  });
}

TEST_CASE("Cards that give no window are refused") {
  CHECK(codeOf({}) == "cure.window_pairs");
  CHECK(codeOf({pairOf(190, 12)}) == "cure.window_pairs");
  CHECK(codeOf({pairOf(190, 12), pairOf(190, 10)}) == "cure.window_pairs");
  CHECK(codeOf({pairOf(190, 8), pairOf(200, 12)}) == "cure.window_pairs");
  CHECK(codeOf({pairOf(190, 0), pairOf(200, 12)}) == "cure.window_pairs");
  CHECK(cureIndex({}, cases::courseOf("0:25 1:30")).error().code == "cure.window_range");
  CHECK(cureIndex(card(), cases::courseOf("0:25")).error().code == "cure.course_short");
}
