/// Thermal paint: a range between thresholds, and spots that contradict each other.
#include "platemark/method/brake/paint.h"

#include "support/cases.h"

using namespace platemark;
using namespace platemark::method::brake;

namespace {

/// "430+ 560-": changed, not changed; every tolerance the same.
std::vector<PaintSpot> spotsOf(const std::string& text, double tolerance) {
  std::vector<PaintSpot> spots;
  std::istringstream words(text);
  for (std::string word; words >> word;)
    spots.push_back({TemperaturePoint::of(std::stod(word), scale::celsius),
                     TemperatureDifference::of(tolerance, unit::kelvin), word.back() == '+'});
  return spots;
}

void checkBound(const std::optional<TemperaturePoint>& bound, const std::string& expected) {
  CHECK(bound.has_value() == !expected.empty());
  if (bound && !expected.empty())
    CHECK(bound->in(scale::celsius) == doctest::Approx(std::stod(expected)).epsilon(1e-9));
}

}  // namespace

TEST_CASE("Paint spots give a range") {
  test::eachCase("method/cases/brake_paint.csv", [](const test::Case& row) {
    const auto reading = readSpots(spotsOf(row.text("spots"), row.number("tolerance")));
    if (!row.text("error").empty()) {
      REQUIRE_FALSE(reading);
      CHECK(reading.error().code == row.text("error"));
      return;
    }
    REQUIRE(reading);
    checkBound(reading->at_least, row.text("at_least"));
    checkBound(reading->at_most, row.text("at_most"));
  });
}
