#include <cmath>
#include <limits>

#include "platemark/method/friction/behaviour.h"
#include "platemark/method/friction/braking.h"
#include "support/catalogue_cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method::friction;
using platemark::test::drawn;
using platemark::test::holds;
using platemark::test::near;

namespace {

constexpr auto kpa = unit::kilopascal;
constexpr auto s = unit::second;

const BrakingRule rule{Pressure::of(200, kpa), Pressure::of(100, kpa), Duration::of(0.5, s),
                       Duration()};
const BrakeGeometry geometry{Area::of(22.9, unit::square_centimetre),
                             Length::of(110, unit::millimetre), Pressure(), 1};
constexpr double pressure_kpa = 2089.384;

/// Torque that gives µ at the pressure of the tests.
double torqueFor(double mu) { return mu * 2 * pressure_kpa * 1000 * 22.9e-4 * 0.110; }

void rest(std::vector<FrictionSample>& record, int samples) {
  record.insert(record.end(), static_cast<std::size_t>(samples), {3, 20, 30, 100});
}

struct Stop {
  double m0, k, v0, length;
};

/// A stop from v0 to rest with µ = m0 + k·t, values at the middle of each sample's time.
void stop(std::vector<FrictionSample>& record, const Stop& of, double rate) {
  const int samples = static_cast<int>(std::lround(of.length * rate));
  for (int i = 0; i < samples; ++i) {
    const double t = (i + 0.5) / rate;
    record.push_back(
        {static_cast<float>(torqueFor(of.m0 + of.k * t)), static_cast<float>(pressure_kpa),
         static_cast<float>(of.v0 * (1 - t / of.length)), static_cast<float>(100 + 10 * t)});
  }
}

Brakings found(const std::vector<FrictionSample>& record, double rate,
               const BrakingRule& by = rule) {
  auto finder = BrakingFinder::make(by, geometry, rate);
  REQUIRE(finder);
  REQUIRE(finder->take(record));
  return finder->finish();
}

std::vector<FrictionSample> drawnRecord(double rate) {
  std::vector<FrictionSample> record;
  const int stops = *rc::gen::inRange(0, 5);
  for (int i = 0; i < stops; ++i) {
    rest(record, *rc::gen::inRange(1, 50));
    stop(record, {drawn(20, 60, 0.01), drawn(-3, 3, 0.01), drawn(1, 40, 1), drawn(1, 40, 0.1)},
         rate);
  }
  rest(record, *rc::gen::inRange(1, 20));
  return record;
}

bool same(const Brakings& a, const Brakings& b) {
  if (a.brakings.size() != b.brakings.size() || a.too_short != b.too_short) return false;
  for (std::size_t i = 0; i < a.brakings.size(); ++i)
    if (a.brakings[i].over_time != b.brakings[i].over_time ||
        a.brakings[i].begin != b.brakings[i].begin || a.brakings[i].rise != b.brakings[i].rise ||
        a.brakings[i].distance != b.brakings[i].distance)
      return false;
  return true;
}

double one(Share share) { return share.in(unit::one); }

}  // namespace

TEST_CASE("µ of a braking agrees with its closed form at every rate") {
  test::eachCase("method/cases/friction_brakings.csv", [](const test::Case& row) {
    const double rate = row.number("rate");
    std::vector<FrictionSample> record;
    rest(record, 10);
    stop(record, {row.number("m0"), row.number("k"), row.number("v0"), row.number("length")}, rate);
    rest(record, 5);
    const Brakings brakings = found(record, rate);
    REQUIRE(brakings.brakings.size() == 1);
    const Braking& braking = brakings.brakings.front();
    // Samples stand at the middle of their time: the sums are off by a step squared.
    const double slack = 1e-6 + 1 / (rate * rate);
    CHECK(std::abs(one(braking.over_time) - row.number("over_time")) < 1e-6);
    CHECK(std::abs(one(braking.over_distance) - row.number("over_distance")) < slack);
    CHECK(std::abs(one(braking.rise) - row.number("rise")) < 2 / rate * 0.03 + 1e-6);
    CHECK(std::abs(one(*braking.after_one_second) - row.number("one_second")) < 0.03 / rate + 1e-6);
    CHECK(near(braking.distance.in(unit::metre), row.number("distance"), 1e-6));
    CHECK(near(braking.length.in(s), row.number("length"), 1e-12));
    CHECK(near(braking.begin.in(s), 10 / rate, 1e-12));
  });
}

TEST_CASE("Steps, coefficients, wear and the registered behaviour agree with the hand") {
  test::checkCases("method/cases/friction_behaviour.csv");
}

TEST_CASE("The machine test's set-up gives the µ of its formula") {
  std::vector<FrictionSample> record(1000, {420, static_cast<float>(pressure_kpa), 10, 100});
  rest(record, 1);
  // 0.285·420/300
  CHECK(std::abs(one(found(record, 500).brakings.front().over_time) - 0.3990) < 1e-6);
}

TEST_CASE("Wherever a recording is cut into pieces, the same brakings are found") {
  holds("pieces", [] {
    const std::vector<FrictionSample> record = drawnRecord(100);
    auto finder = BrakingFinder::make(rule, geometry, 100);
    const std::span<const FrictionSample> all = record;
    std::size_t at = 0;
    while (at < all.size()) {
      const auto piece = std::min<std::size_t>(all.size() - at,
                                               static_cast<std::size_t>(*rc::gen::inRange(1, 300)));
      RC_ASSERT(static_cast<bool>(finder->take(all.subspan(at, piece))));
      at += piece;
    }
    const Brakings pieces = finder->finish();
    RC_ASSERT(same(pieces, found(record, 100)));
    RC_ASSERT(pieces.samples == static_cast<std::int64_t>(record.size()));
  });
}

TEST_CASE("Means lie between lowest and highest, and µ goes with torque over pressure") {
  holds("bounds and scale", [] {
    std::vector<FrictionSample> record = drawnRecord(100);
    const Brakings brakings = found(record, 100);
    for (const Braking& b : brakings.brakings) {
      RC_ASSERT(one(b.lowest) <= one(b.over_time) + 1e-9);
      RC_ASSERT(one(b.over_time) <= one(b.highest) + 1e-9);
      RC_ASSERT(one(b.lowest) <= one(b.over_distance) + 1e-9);
      RC_ASSERT(one(b.over_distance) <= one(b.highest) + 1e-9);
      RC_ASSERT(std::abs(one(b.rise)) <= one(b.highest) - one(b.lowest) + 1e-6);
    }
    for (FrictionSample& sample : record) sample.torque_nm *= -2;  // the other way round, twice
    const Brakings doubled = found(record, 100);
    for (std::size_t i = 0; i < brakings.brakings.size(); ++i)
      RC_ASSERT(
          near(one(doubled.brakings[i].over_time), 2 * one(brakings.brakings[i].over_time), 1e-6));
  });
}

TEST_CASE("The first moments are left out; short brakings are counted; the cut-off one is said") {
  const double rate = 100;
  std::vector<FrictionSample> record;
  rest(record, 10);
  // Torque lags behind the pressure for a tenth of a second.
  for (int i = 0; i < 10; ++i) record.push_back({0, static_cast<float>(pressure_kpa), 20, 100});
  stop(record, {0.4, 0, 20, 2}, rate);
  rest(record, 10);
  stop(record, {0.4, 0, 20, 0.3}, rate);
  rest(record, 10);
  stop(record, {0.4, 0, 20, 3}, rate);
  const Brakings all = found(record, rate);
  CHECK(all.brakings.size() == 1);
  CHECK(all.too_short == 1);
  CHECK(all.cut_off);
  CHECK(one(all.brakings.front().lowest) == 0);
  BrakingRule settled = rule;
  settled.settle = Duration::of(0.1, s);
  const Braking braking = found(record, rate, settled).brakings.front();
  CHECK(std::abs(one(braking.lowest) - 0.4) < 1e-6);
  CHECK(near(braking.length.in(s), 2.1));
  CHECK(braking.highest_temperature.in(scale::celsius) == doctest::Approx(120).epsilon(0.01));
}

TEST_CASE("A pressure that wavers between off and on is one braking") {
  std::vector<FrictionSample> record;
  for (int i = 0; i < 300; ++i) record.push_back({100, i % 2 == 0 ? 210.0F : 150.0F, 20, 100});
  rest(record, 5);
  CHECK(found(record, 100).brakings.size() == 1);
}

TEST_CASE("A number that is none while the brake is on is named; while it is off it is nothing") {
  const float nan = std::numeric_limits<float>::quiet_NaN();
  std::vector<FrictionSample> record;
  rest(record, 10);
  record[3].torque_nm = nan;
  stop(record, {0.4, 0, 20, 2}, 100);
  rest(record, 1);
  auto finder = BrakingFinder::make(rule, geometry, 100);
  CHECK(finder->take(record));
  record[50].speed_m_s = nan;
  auto other = BrakingFinder::make(rule, geometry, 100);
  CHECK(other->take(record).error().where.field == "samples[50]");
  record[5].pressure_kpa = nan;
  auto third = BrakingFinder::make(rule, geometry, 100);
  CHECK(third->take(record).error().where.field == "samples[5]");
}

TEST_CASE("Rules and set-ups that make no sense are refused") {
  const auto codeOf = [](const BrakingRule& by, const BrakeGeometry& on, double rate) {
    const auto finder = BrakingFinder::make(by, on, rate);
    return finder ? std::string() : finder.error().code;
  };
  CHECK(codeOf(rule, geometry, 0.5) == "braking.rate");
  CHECK(codeOf(rule, geometry, 1001) == "braking.rate");
  BrakingRule crossed = rule;
  crossed.off = Pressure::of(300, kpa);
  CHECK(codeOf(crossed, geometry, 100) == "braking.rule");
  BrakingRule never = rule;
  never.settle = Duration::of(1, s);
  CHECK(codeOf(never, geometry, 100) == "braking.rule");
  BrakeGeometry none = geometry;
  none.threshold = rule.off;
  CHECK(codeOf(rule, none, 100) == "braking.geometry");
}

TEST_CASE("Operating µ is that one second into the first application of the operating cycles") {
  // Torques one second after the start, cycles 2 to 7 of the machine test; cycle 1 does not count.
  const double torques[] = {300, 412, 405, 398, 392, 388, 395};
  std::vector<FrictionSample> record;
  for (const double torque : torques)
    for (int application = 0; application < 2; ++application) {
      rest(record, 20);
      const float t = static_cast<float>(application == 0 ? torque : torque - 30);
      record.insert(record.end(), 500, {t, static_cast<float>(pressure_kpa), 10, 100});
    }
  rest(record, 1);
  const Brakings brakings = found(record, 100);
  const std::vector<int> applications(7, 2), operating{2, 3, 4, 5, 6, 7};
  const auto behaviour = behaviourOf(brakings.brakings, applications, operating);
  REQUIRE(behaviour);
  CHECK(std::abs(one(behaviour->operating) - 0.3784) < 5e-5);
  CHECK(std::abs(one(behaviour->highest) - 0.285 * 412 / 300) < 1e-6);
  CHECK(std::abs(one(behaviour->lowest) - 0.285 * 270 / 300) < 1e-6);
  CHECK(behaviourOf(brakings.brakings, std::vector<int>(6, 2), operating).error().code ==
        "behaviour.cycles");
  CHECK(behaviourOf(brakings.brakings, applications, std::vector<int>{8}).error().code ==
        "behaviour.cycles");
  CHECK(behaviourOf({}, {}, operating).error().code == "behaviour.cycles");
}

TEST_CASE("A wider tolerance never turns a sample away that a narrower one keeps") {
  holds("monotonic", [] {
    const auto mu = [] { return Share::of(drawn(20, 60, 0.01), unit::one); };
    const FrictionBehaviour sample{mu(), mu(), mu()}, registered{mu(), mu(), mu()};
    const double tolerance = drawn(1, 40, 1);
    const auto narrow = compareBehaviour(sample, registered, Share::of(tolerance, unit::percent));
    const auto wide =
        compareBehaviour(sample, registered, Share::of(tolerance + 10, unit::percent));
    RC_ASSERT(wide->kept() || !narrow->kept());
  });
}
