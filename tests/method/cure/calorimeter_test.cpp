#include "platemark/method/cure/calorimeter.h"

#include <random>

#include "../../../src/method/cure/least_squares.h"
#include "courses.h"

using namespace platemark;
using namespace platemark::method::cure;

namespace {

constexpr double joules_per_kilogram = 250e3;

/// A run as a calorimeter would write it: flow of a known law on a sloping baseline, with noise.
CalorimeterRun made(const ParameterSet& set, double rate, int points, double noise, unsigned seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal;
  std::vector<CoursePoint> course;
  for (int i = 0; i <= points; ++i)
    course.push_back(cases::point(230.0 / points * i / rate, 40 + 230.0 / points * i));
  const auto cured = cureAlong(set, course);
  REQUIRE(cured);
  CalorimeterRun run;
  for (std::size_t i = 0; i < course.size(); ++i) {
    const double flow =
        joules_per_kilogram *
        rateOfCure(set.law, cured->states[i].degree, course[i].temperature).in(unit::per_second);
    const bool end = i == 0 || i + 1 == course.size();
    const double baseline = 30 - 0.05 * static_cast<double>(i);
    run.push_back({course[i].at, course[i].temperature,
                   SpecificPower::of(baseline + flow + (end ? 0 : noise * rate * normal(random)),
                                     unit::watt_per_kilogram)});
  }
  return run;
}

std::vector<ReducedRun> runsOf(const ParameterSet& set, int points, double noise = 0,
                               unsigned seed = 1) {
  std::vector<ReducedRun> runs;
  for (const double rate : {5.0, 10.0, 15.0, 20.0}) {
    const auto reduced = reduce(made(set, rate, points, noise, seed++));
    REQUIRE(reduced);
    runs.push_back(*reduced);
  }
  return runs;
}

KamalLaw roughGuess() { return {cases::arrhenius(1e12, unit::per_minute, 100), {}, 0, 1, {}}; }

std::string fitCode(std::span<const ReducedRun> runs, const FitRequest& request) {
  const auto fitted = fitLaw(runs, request);
  return fitted ? "" : fitted.error().code;
}

std::vector<Peak> peaksOf(std::span<const ReducedRun> runs) {
  std::vector<Peak> peaks;
  for (const ReducedRun& run : runs) peaks.push_back({run.heating, run.peak});
  return peaks;
}

}  // namespace

TEST_CASE("Least squares keep the certified digits") {
  test::eachCase("method/cases/least_squares.csv", [](const test::Case& row) {
    const auto x = row.numbers("x"), y = row.numbers("y");
    Squares problem;
    problem.start = row.numbers("start");
    problem.lower = {1, 1e-6};
    problem.upper = {1e4, 10};
    problem.residuals = [&](const std::vector<double>& b) -> std::optional<std::vector<double>> {
      std::vector<double> r;
      for (std::size_t i = 0; i < x.size(); ++i)
        r.push_back(b[0] * (1 - std::exp(-b[1] * x[i])) - y[i]);
      return r;
    };
    const auto fit = leastSquares(problem);
    REQUIRE(fit);
    for (std::size_t j = 0; j < 2; ++j) {
      CHECK(fit->p[j] == doctest::Approx(row.numbers("b")[j]).epsilon(1e-7));
      CHECK(fit->standard_error[j] == doctest::Approx(row.numbers("s")[j]).epsilon(1e-6));
    }
    CHECK(fit->sum == doctest::Approx(row.number("sum")).epsilon(1e-9));
  });
}

TEST_CASE("Student's quantiles are those of the table") {
  test::eachCase("method/cases/student.csv", [](const test::Case& row) {
    test::checkNumber(row, studentQuantile(static_cast<int>(row.number("freedom"))));
  });
}

TEST_CASE("Kissinger's line through the known peaks gives the known energy") {
  std::vector<Peak> peaks;
  for (const test::Case& row : test::loadCases("method/cases/cure_peak.csv").rows)
    peaks.push_back({TemperatureRate::of(row.number("rate"), unit::kelvin_per_minute),
                     TemperaturePoint::of(row.number("peak"), scale::celsius)});
  const auto line = kissinger(peaks);
  REQUIRE(line);
  CHECK(std::abs(line->energy_kj_per_mol.value - 126.1085) < 2e-4);  // independent least squares
  CHECK(line->energy_kj_per_mol.low < line->energy_kj_per_mol.value);
  CHECK(line->log_factor.value == doctest::Approx(std::log(2.3e15 / 60)).epsilon(0.005));
}

TEST_CASE("A run is brought to heat, degree and rate whatever its baseline") {
  const auto reduced = reduce(made(cases::novolac(), 10, 460, 0, 1));
  REQUIRE(reduced);
  CHECK(reduced->heat.in(unit::kilojoule_per_kilogram) == doctest::Approx(250).epsilon(1e-3));
  CHECK(reduced->points.back().degree == doctest::Approx(1));
  CHECK(reduced->heating.in(unit::kelvin_per_minute) == doctest::Approx(10));
  CHECK(std::abs(reduced->peak.in(scale::celsius)-152.71255) < 0.05);
}

TEST_CASE("A fit to undisturbed runs finds the law they were made with") {
  const auto runs = runsOf(cases::novolac(), 230);
  const auto fitted = fitLaw(runs, {roughGuess(), 0, {}});
  REQUIRE(fitted);
  REQUIRE(fitted->parameters.size() == 3);
  CHECK(fitted->parameters[0].estimate.value ==
        doctest::Approx(std::log(2.3e15 / 60)).epsilon(3e-3));
  CHECK(fitted->parameters[1].estimate.value == doctest::Approx(126).epsilon(3e-3));
  CHECK(fitted->parameters[2].estimate.value == doctest::Approx(1.66).epsilon(1e-2));
  CHECK(fitted->points == 4 * 231);
  CHECK(fitted->residual < 2e-3);
}

TEST_CASE("A fit finds both exponents of an autocatalytic law") {
  ParameterSet set;
  set.law = KamalLaw{{}, cases::arrhenius(1e9, unit::per_second, 90), 0.7, 1.5, {}};
  set.start = 0.01;
  const auto runs = runsOf(set, 230);
  const auto fitted =
      fitLaw(runs, {{{}, cases::arrhenius(1e8, unit::per_second, 80), 0.4, 1, {}}, 0.01, {}});
  REQUIRE(fitted);
  REQUIRE(fitted->parameters.size() == 4);
  CHECK(fitted->parameters[1].estimate.value == doctest::Approx(90).epsilon(0.01));
  CHECK(fitted->parameters[2].estimate.value == doctest::Approx(0.7).epsilon(0.03));
  CHECK(fitted->parameters[3].estimate.value == doctest::Approx(1.5).epsilon(0.02));
}

TEST_CASE("Of 40 noisy fits about 95 in 100 intervals hold the true energy") {
  int held = 0;
  for (unsigned seed = 1; seed <= 40; ++seed) {
    const auto fitted = fitLaw(runsOf(cases::novolac(), 46, 20, 100 * seed), {roughGuess(), 0, {}});
    REQUIRE(fitted);
    const Estimate& energy = fitted->parameters[1].estimate;
    CHECK(energy.high - energy.low > 0.5);
    if (energy.low <= 126 && 126 <= energy.high) ++held;
  }
  CHECK(held >= 34);
}

TEST_CASE("A parameter driven to its bound stays there and is said to") {
  const auto runs = runsOf(cases::novolac(), 115);
  FitRequest request{roughGuess(), 0, {}};
  request.bounds.exponent_to = 1.2;
  const auto fitted = fitLaw(runs, request);
  REQUIRE(fitted);
  CHECK(fitted->parameters[2].at_bound);
  CHECK(fitted->parameters[2].estimate.value == 1.2);
  CHECK_FALSE(fitted->parameters[1].at_bound);
}

TEST_CASE("Friedman's lines give the one energy of a one-energy law, and a law that predicts") {
  const auto runs = runsOf(cases::novolac(), 920);
  std::vector<double> degrees;
  for (int i = 1; i < 50; ++i) {
    degrees.push_back(i * 0.02);
    const auto line = friedman(runs, i * 0.02);
    REQUIRE(line);
    CHECK(line->energy_kj_per_mol.value == doctest::Approx(126).epsilon(0.01));
  }
  const auto law = friedmanLaw(runs, degrees);
  REQUIRE(law);
  ParameterSet by_table;
  by_table.law = *law;
  const auto hold = cases::courseOf("0:150 5:150");
  CHECK(cureAlong(by_table, hold)->states.back().degree ==
        doctest::Approx(0.8218457).epsilon(0.02));
}

TEST_CASE("Runs and requests that cannot be used are refused by name") {
  CalorimeterRun run = made(cases::novolac(), 10, 50, 0, 1);
  const auto code = [](const CalorimeterRun& r) { return reduce(r).error().code; };
  CHECK(code({run[0], run[1]}) == "cure.run_short");
  CalorimeterRun cold = run;
  for (CalorimeterPoint& point : cold) point.flow = -point.flow;
  CHECK(code(cold) == "cure.run_no_heat");
  CalorimeterRun stopped = run;
  stopped[3].at = stopped[2].at;
  CHECK(code(stopped) == "cure.run_range");
  stopped[3].at = stopped[0].at;
  CHECK(code(stopped) == "cure.course_backwards");
  run[4].flow = SpecificPower::of(std::nan(""), unit::watt_per_kilogram);
  CHECK(code(run) == "cure.run_range");

  const auto runs = runsOf(cases::novolac(), 50);
  const std::vector<ReducedRun> alike{runs[0], runs[0], runs[0]};
  CHECK(kissinger(peaksOf(alike)).error().code == "cure.runs_few");
  CHECK(kissinger(peaksOf(std::span(runs).first(2))).error().code == "cure.runs_few");
  CHECK(kissinger(std::vector<Peak>(3)).error().code == "cure.peak_range");
  CHECK(friedman(std::span(runs).first(2), 0.5).error().code == "cure.runs_few");
  CHECK(friedman(runs, 1).error().code == "cure.run_range");
  CHECK(fitCode({}, {roughGuess(), 0, {}}) == "cure.fit_points");
  CHECK(fitCode(runs, {}) == "cure.kinetics_none");
  FitRequest request{roughGuess(), 0, {}};
  request.bounds.exponent_from = 6;
  CHECK(fitCode(runs, request) == "cure.fit_bounds");
}
