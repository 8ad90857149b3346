#include <limits>

#include "courses.h"
#include "platemark/method/cure/equivalent_time.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method::cure;
using cases::courseOf;
using cases::point;
using platemark::test::drawn;
using platemark::test::holds;

namespace {

double minutes(const Result<Duration>& time) {
  REQUIRE(time);
  return time->in(unit::minute);
}

double equivalentMinutes(const test::Case& row) {
  const auto course = courseOf(row.text("course"));
  const auto reference = TemperaturePoint::of(row.number("reference"), scale::celsius);
  const double value = row.number("energy");
  if (row.text("form") == "step")
    return minutes(
        equivalentTimeByStep(course, reference, TemperatureDifference::of(value, unit::kelvin)));
  return minutes(
      equivalentTime(course, reference, MolarEnergy::of(value, unit::kilojoule_per_mole)));
}

std::vector<CoursePoint> drawnCourse() {
  std::vector<CoursePoint> course{point(0, drawn(20, 30, 1))};
  double minute = 0;
  const int pieces = *rc::gen::inRange(1, 8);
  for (int i = 0; i < pieces; ++i)
    course.push_back(point(minute += drawn(0, 90, 1), drawn(20, 200, 1)));
  return course;
}

/// k(T) of one energy, so that α is known from ∫k dt; exponent n at least 1.
ParameterSet drawnOneEnergySet() {
  ParameterSet set;
  KamalLaw law;
  law.plain = Arrhenius{Rate::of(std::pow(10, drawn(8, 15, 1)), unit::per_minute),
                        MolarEnergy::of(drawn(80, 130, 1), unit::kilojoule_per_mole)};
  law.n = drawn(10, 25, 0.1);
  set.law = law;
  return set;
}

double closedForm(const ParameterSet& set, const std::vector<CoursePoint>& course) {
  const auto& law = std::get<KamalLaw>(set.law);
  const auto reference = TemperaturePoint::of(150, scale::celsius);
  const double kt = rateConstant(*law.plain, reference)
                        .in(unit::per_second)*equivalentTime(course, reference, law.plain->energy)
                        ->in(unit::second);
  return law.n == 1 ? 1 - std::exp(-kt) : 1 - std::pow(1 + (law.n - 1) * kt, 1 / (1 - law.n));
}

std::string codeOf(const ParameterSet& set) {
  const auto cured = cureAlong(set, courseOf("0:25 60:180"));
  return cured ? "" : cured.error().code;
}

ParameterSet withLaw(const KamalLaw& law) {
  ParameterSet set;
  set.law = law;
  return set;
}

}  // namespace

TEST_CASE("Equivalent times agree with the independent ones") {
  test::eachCase("method/cases/cure_equivalent_time.csv",
                 [](const test::Case& row) { test::checkNumber(row, equivalentMinutes(row)); });
}

TEST_CASE("The rise for a tenfold rate follows from the energy") {
  const auto step = [](double kilojoules) {
    return stepOf(MolarEnergy::of(kilojoules, unit::kilojoule_per_mole),
                  TemperaturePoint::of(160, scale::celsius),
                  TemperaturePoint::of(180, scale::celsius))
        .in(unit::kelvin);
  };
  CHECK(step(49.6) == doctest::Approx(75.761489).epsilon(1e-8));
  CHECK(step(126) == doctest::Approx(29.823570).epsilon(1e-7));
}

TEST_CASE("Degrees of cure agree with closed forms and independent integration") {
  test::eachCase("method/cases/cure_degree.csv", [](const test::Case& row) {
    const auto cured = cureAlong(cases::setOf(row), courseOf(row.text("course")));
    REQUIRE(cured);
    const std::vector<double> expected = row.numbers("expected");
    REQUIRE(cured->states.size() == expected.size() + 1);
    for (std::size_t i = 0; i < expected.size(); ++i) {
      const CureState& state = cured->states[i + 1];
      CAPTURE(state.degree);
      CAPTURE(state.error_bound);
      CHECK(std::abs(state.degree - expected[i]) <= row.number("tolerance"));
      CHECK(state.error_bound < 1e-7);
    }
  });
}

TEST_CASE("The fastest cure of a ramp lies where it was found independently") {
  test::eachCase("method/cases/cure_peak.csv", [](const test::Case& row) {
    const double rate = row.number("rate"), peak = row.number("peak");
    std::vector<CoursePoint> course{point(0, 25)};
    for (double t = peak - 0.05; t < peak + 0.05; t += 2e-4)
      course.push_back(point((t - 25) / rate, t));
    const auto cured = cureAlong(cases::novolac(), course);
    REQUIRE(cured);
    CHECK(std::abs(25 + rate * cured->fastest_at.in(unit::minute)-peak) <=
          row.number("within_peak"));
    const double middle = cured->states[cured->states.size() / 2].degree;
    CHECK(std::abs(middle - row.number("degree")) <= row.number("within_degree"));
  });
}

TEST_CASE("The stated error bound holds against the closed form, whatever the course") {
  holds("bound", [] {
    const ParameterSet set = drawnOneEnergySet();
    const auto course = drawnCourse();
    const double tolerance = std::pow(10, drawn(-11, -3, 1));
    const auto cured = cureAlong(set, course, {tolerance});
    RC_ASSERT(bool(cured));
    const CureState& end = cured->states.back();
    RC_ASSERT(std::abs(end.degree - closedForm(set, course)) <= end.error_bound + 1e-12);
  });
}

TEST_CASE("Cure never falls and stays between start and one") {
  holds("monotone", [] {
    ParameterSet set = publishedSets()[static_cast<std::size_t>(*rc::gen::inRange(0, 3))];
    const auto cured = cureAlong(set, drawnCourse(), {1e-8});
    RC_ASSERT(bool(cured));
    double before = set.start;
    for (const CureState& state : cured->states) {
      RC_ASSERT(state.degree >= before && state.degree <= 1);
      before = state.degree;
    }
  });
}

TEST_CASE("Splitting a course changes neither equivalent time nor cure") {
  holds("additive", [] {
    const auto course = drawnCourse();
    std::vector<CoursePoint> split{course.front()};
    for (std::size_t i = 1; i < course.size(); ++i) {
      const auto a = course[i - 1], b = course[i];
      split.push_back(
          {a.at + (b.at - a.at) * 0.3, a.temperature + (b.temperature - a.temperature) * 0.3});
      split.push_back(b);
    }
    const auto reference = TemperaturePoint::of(180, scale::celsius);
    const auto energy = MolarEnergy::of(126, unit::kilojoule_per_mole);
    const double whole = equivalentTime(course, reference, energy)->in(unit::second);
    const double parts = equivalentTime(split, reference, energy)->in(unit::second);
    RC_ASSERT(std::abs(whole - parts) <= 1e-11 * whole + 1e-12);
    const double cured = cureAlong(cases::novolac(), course)->states.back().degree;
    RC_ASSERT(std::abs(cured - cureAlong(cases::novolac(), split)->states.back().degree) < 1e-8);
  });
}

TEST_CASE("An isoconversional table of a first-order law cures as the law does") {
  IsoconversionalLaw table;
  const auto energy = MolarEnergy::of(100, unit::kilojoule_per_mole);
  for (int i = 0; i <= 990; ++i)
    table.rows.push_back({i * 1e-3, std::log(1e9 * (1 - i * 1e-3)), energy});
  ParameterSet by_table, by_law;
  by_table.law = table;
  by_law.law = KamalLaw{Arrhenius{Rate::of(1e9, unit::per_second), energy}, {}, 0, 1, {}};
  const auto course = courseOf("0:25 60:170 100:170");
  const auto a = cureAlong(by_table, course), b = cureAlong(by_law, course);
  REQUIRE(a);
  REQUIRE(b);
  CHECK(b->states[1].degree > 0.3);
  CHECK(a->states[1].degree == doctest::Approx(b->states[1].degree).epsilon(1e-6));
}

TEST_CASE("Time outside the stated range is counted; without a range all of it") {
  ParameterSet set = cases::novolac();
  const auto course = courseOf("0:20 100:120 200:120");
  CHECK(cureAlong(set, course)->outside.in(unit::minute) == doctest::Approx(200));
  set.valid = {TemperaturePoint::of(100, scale::celsius),
               TemperaturePoint::of(200, scale::celsius)};
  CHECK(cureAlong(set, course)->outside.in(unit::minute) == doctest::Approx(80));
}

TEST_CASE("The time unit of A is never lost: sixty times the rate per second") {
  const auto per = [](Unit<dim::Rate> unit_of_a) {
    return rateConstant(
        {Rate::of(2.3e15, unit_of_a), MolarEnergy::of(126, unit::kilojoule_per_mole)},
        TemperaturePoint::of(150, scale::celsius));
  };
  CHECK(per(unit::per_minute).in(unit::per_minute) == doctest::Approx(0.6431208126).epsilon(1e-9));
  CHECK(per(unit::per_second) / per(unit::per_minute) == doctest::Approx(60));
}

TEST_CASE("Below the critical cure the diffusion limit slows nothing") {
  const auto& epoxy = publishedSets()[1];
  KamalLaw free = std::get<KamalLaw>(epoxy.law);
  free.diffusion.reset();
  const auto at = TemperaturePoint::of(180, scale::celsius);
  for (const double degree : {0.01, 0.3, 0.6, 0.8, 0.95})
    CHECK(rateOfCure(epoxy.law, degree, at) <= rateOfCure(free, degree, at));
}

TEST_CASE("Laws that cannot be are refused by name") {
  const auto k = cases::arrhenius(1e10, unit::per_second, 100);
  CHECK(codeOf(withLaw({})) == "cure.kinetics_none");
  CHECK(codeOf(withLaw({cases::arrhenius(-1, unit::per_second, 100), {}, 0, 1, {}})) ==
        "cure.kinetics_range");
  CHECK(codeOf(withLaw({cases::arrhenius(1, unit::per_second, -1), {}, 0, 1, {}})) ==
        "cure.kinetics_range");
  CHECK(codeOf(withLaw({k, {}, -1, 1, {}})) == "cure.kinetics_range");
  CHECK(codeOf(withLaw({k, {}, 0, std::nan(""), {}})) == "cure.kinetics_range");
  CHECK(codeOf(withLaw({k, {}, 0, 1, DiffusionLimit{0, 0, {}}})) == "cure.kinetics_range");
  CHECK(codeOf(withLaw({{}, k, 0.8, 1, {}})) == "cure.kinetics_start");
  ParameterSet set = cases::novolac();
  for (const double start : {-0.1, 1.0, std::nan("")}) {
    set.start = start;
    CHECK(codeOf(set) == "cure.kinetics_start");
  }
  set.start = 0;
  set.law = IsoconversionalLaw{{{0.5, 1, {}}, {0.5, 1, {}}}};
  CHECK(codeOf(set) == "cure.kinetics_table");
  set.law = IsoconversionalLaw{};
  CHECK(codeOf(set) == "cure.kinetics_table");
}

TEST_CASE("Courses that cannot be are refused by name and place") {
  const auto code = [](const std::vector<CoursePoint>& course) {
    const auto cured = cureAlong(cases::novolac(), course);
    return cured ? "" : cured.error().code + " " + cured.error().where.field;
  };
  CHECK(code({}) == "cure.course_short course[0]");
  CHECK(code(courseOf("0:25")) == "cure.course_short course[1]");
  CHECK(code(courseOf("0:25 10:30 9:40")) == "cure.course_backwards course[2]");
  CHECK(code(courseOf("0:25 10:1001")) == "cure.course_range course[1]");
  CHECK(code({point(0, 25), point(1, std::nan(""))}) == "cure.course_range course[1]");
  CHECK(code({point(0, 25), point(std::numeric_limits<double>::infinity(), 25)}) ==
        "cure.course_range course[1]");
  CHECK(cureAlong(cases::novolac(), courseOf("0:25 1:26"), {0}).error().code ==
        "cure.tolerance_range");
  const auto wrong = MolarEnergy::of(-1, unit::kilojoule_per_mole);
  CHECK(equivalentTime(courseOf("0:25 1:26"), TemperaturePoint::of(180, scale::celsius), wrong)
            .error()
            .code == "cure.energy_range");
  CHECK(equivalentTimeByStep(courseOf("0:25 1:26"), TemperaturePoint::of(180, scale::celsius), {})
            .error()
            .code == "cure.step_range");
}

TEST_CASE("Every published set can be used and says where it is from") {
  for (const ParameterSet& set : publishedSets()) {
    CAPTURE(set.id);
    CHECK(checkLaw(set.law));
    CHECK(checkStart(set.law, set.start));
    CHECK_FALSE(set.source.empty());
    CHECK_FALSE(set.remark.empty());
  }
}
