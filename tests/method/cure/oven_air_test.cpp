/// Corrections, drift, another programme, and time between degrees of cure.
#include "courses.h"
#include "platemark/method/cure/correction.h"
#include "platemark/method/cure/drift.h"
#include "platemark/method/cure/reshape.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method::cure;

namespace {

std::vector<std::pair<double, double>> pairsOf(const std::string& text) {
  std::vector<std::pair<double, double>> pairs;
  std::istringstream words(text);
  for (std::string word; words >> word;) {
    const auto colon = word.find(':');
    pairs.emplace_back(std::stod(word.substr(0, colon)), std::stod(word.substr(colon + 1)));
  }
  return pairs;
}

std::vector<OffsetPoint> pointsOf(const std::string& text) {
  std::vector<OffsetPoint> points;
  for (const auto& [days, offset] : pairsOf(text)) points.push_back({days, offset});
  return points;
}

RateLaw ofOrder(double n) {
  KamalLaw law;
  law.plain = Arrhenius{Rate::of(0.01, unit::per_second), MolarEnergy::of(0, unit::joule_per_mole)};
  law.n = n;
  return law;
}

const TemperaturePoint soak = TemperaturePoint::of(180, scale::celsius);

std::string told(const std::vector<CoursePoint>& course) {
  std::string text;
  for (const CoursePoint& p : course)
    text += std::to_string(std::lround(p.at.in(unit::minute))) + ":" +
            std::to_string(std::lround(p.temperature.in(scale::celsius))) + " ";
  return text;
}

}  // namespace

TEST_CASE("A reading is corrected by its calibration, linear between the rows") {
  test::eachCase("method/cases/cure_correction.csv", [](const test::Case& row) {
    std::vector<CorrectionRow> rows;
    for (const auto& [at, add] : pairsOf(row.text("rows"))) rows.push_back({at, add});
    CHECK(corrected(rows, row.number("reading")) ==
          doctest::Approx(row.number("expected")).epsilon(1e-12));
  });
  CHECK(std::isnan(corrected({}, NAN)));
  const CorrectionRow one{100, 2};
  CHECK(std::isnan(corrected({&one, 1}, NAN)));
}

TEST_CASE("A drift is the line through the offsets, with its uncertainty") {
  test::eachCase("method/cases/cure_drift.csv", [](const test::Case& row) {
    const auto drift = driftOf(pointsOf(row.text("points")));
    REQUIRE(drift);
    CHECK(drift->drift_k == doctest::Approx(row.number("drift")).epsilon(1e-12));
    CHECK(std::abs(drift->u_k - row.number("u")) < 1e-12);
    CHECK(std::abs(drift->first_k - row.number("first")) < 1e-12);
  });
  CHECK(driftOf(pointsOf("0:0 1:1 2:2 3:3")).error().code == "cure.drift_few");
  CHECK(driftOf(pointsOf("1:0 1:1 1:2 1:3 1:4")).error().code == "cure.drift_few");
}

TEST_CASE("A drift passes a limit only beyond it and beyond twice its uncertainty") {
  const auto scattered = driftOf(pointsOf("0:0 1:1 2:1 3:2 4:2"));  // 2 K, u 0.4 K
  CHECK(scattered->passes(1.9));
  CHECK_FALSE(scattered->passes(2.0));
  CHECK_FALSE(Drift{2, 1, 0}.passes(1));
  CHECK(Drift{-2.1, 1, 0}.passes(1));
}

TEST_CASE("Offsets are against the mean of all channels, where all have a reading") {
  const std::vector<std::int64_t> at{0, 1000, 2000, 3000};
  const std::vector<double> upper{180, 182, NAN, 500}, lower{178, 178, 178, 100};
  std::vector<Channel> channels{{"upper", ChannelRole::record, {at, upper}, {}},
                                {"lower", ChannelRole::record, {at, lower}, {}}};
  const auto offsets = offsetsBetween(channels, 0, 2000);
  REQUIRE(offsets);
  CHECK((*offsets)[0] == doctest::Approx(1.5));  // (1 + 2)/2; the third is empty, the fourth later
  CHECK((*offsets)[1] == doctest::Approx(-1.5));
  CHECK_FALSE(offsetsBetween(channels, 2000, 2000));
  channels.pop_back();
  CHECK_FALSE(offsetsBetween(channels, 0, 2000));
}

TEST_CASE("The time between two degrees of cure is that of the closed forms") {
  test::eachCase("method/cases/cure_time_between.csv", [](const test::Case& row) {
    const auto time =
        timeBetween(ofOrder(row.number("n")), row.number("from"), row.number("to"), soak);
    REQUIRE(time);
    CHECK(std::abs(time->in(unit::second)-row.number("seconds")) <=
          row.number("tolerance") * std::max(1.0, std::abs(row.number("seconds"))));
  });
  CHECK(timeBetween(ofOrder(1), 0.5, 1, soak).error().code == "cure.degree_range");
  CHECK(timeBetween(ofOrder(1), -0.1, 0.5, soak).error().code == "cure.degree_range");
}

TEST_CASE("A longer soak holds the air where it was; a shorter one leaves its end out") {
  const auto course = cases::courseOf("0:20 80:180 140:180 180:100");
  const auto minutes = [](double m) { return Duration::of(m, unit::minute); };
  CHECK(told(soakedLonger(course, minutes(140), minutes(30))) ==
        "0:20 80:180 140:180 170:180 210:100 ");
  CHECK(told(soakedLonger(course, minutes(140), minutes(-30))) ==
        "0:20 80:180 110:180 110:180 150:100 ");
  CHECK(soakedLonger({}, minutes(1), minutes(1)).empty());
}

TEST_CASE("Another set point lifts the air by its share of the way") {
  const auto course = cases::courseOf("0:20 80:180 90:190 180:100");
  CHECK(told(lifted(course, TemperaturePoint::of(20, scale::celsius), soak,
                    TemperatureDifference::of(8, unit::kelvin))) == "0:20 80:188 90:198 180:104 ");
}

TEST_CASE("The soak's first and last moment are where the course crosses its edge") {
  const auto course = cases::courseOf("0:20 80:180 140:180 180:100");
  const TemperaturePoint edge = TemperaturePoint::of(170, scale::celsius);
  CHECK(firstAt(course, edge)->in(unit::minute) == doctest::Approx(75));
  CHECK(lastAt(course, edge)->in(unit::minute) == doctest::Approx(145));
  CHECK_FALSE(firstAt(course, TemperaturePoint::of(200, scale::celsius)));
  CHECK_FALSE(lastAt(course, TemperaturePoint::of(200, scale::celsius)));
  CHECK(lastAt(cases::courseOf("0:20 80:180"), edge)->in(unit::minute) == doctest::Approx(80));
}
