#include <fmt/format.h>

#include <cmath>
#include <limits>
#include <string>

#include "platemark/method/gauge/bias.h"
#include "platemark/method/gauge/study.h"
#include "platemark/method/statistics/decision.h"
#include "platemark/method/statistics/distribution.h"
#include "platemark/method/statistics/least_squares.h"
#include "platemark/method/statistics/outlier.h"
#include "platemark/method/statistics/summary.h"
#include "support/catalogue_cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method::statistics;
using platemark::test::drawn;
using platemark::test::holds;
using platemark::test::near;

namespace {

/// Digits that agree with the certified value, at most 15.
double digitsOfAgreement(double computed, double certified) {
  const double off = std::abs(computed - certified) / std::abs(certified);
  return off == 0 ? 15 : std::min(15.0, -std::log10(off));
}

void checkDigits(const std::string& what, double computed, double certified, double floor) {
  const double digits = digitsOfAgreement(computed, certified);
  INFO(what, ": ", digits, " digits agree");
  CHECK(digits >= floor);
  MESSAGE(what, ": ", digits, " digits agree, floor ", floor);
}

std::vector<double> drawnReadings(int fewest, int most) {
  std::vector<double> readings;
  const int count = *rc::gen::inRange(fewest, most);
  for (int i = 0; i < count; ++i) readings.push_back(drawn(-1000, 1000, 0.01));
  readings.front() += 0.003;
  return readings;
}

}  // namespace

TEST_CASE("Decisions agree with the examples") { test::checkCases("method/cases/decision.csv"); }

TEST_CASE("Outliers agree with the published examples") {
  test::checkCases("method/cases/outlier.csv");
}

TEST_CASE("The one-way analysis of variance keeps the certified digits") {
  test::eachCase("method/cases/nist_anova.csv", [](const test::Case& row) {
    const auto study = method::gauge::varianceStudy({1,
                                                     static_cast<int>(row.number("groups")),
                                                     static_cast<int>(row.number("trials")),
                                                     row.numbers("values"),
                                                     {}},
                                                    1);
    REQUIRE(study);
    const double floor = row.number("floor");
    checkDigits("F", *study->variance->parts.f, row.number("f"), floor);
    checkDigits("between", study->variance->parts.squares, row.number("between"), floor);
    checkDigits("within", study->variance->repeatability.squares, row.number("within"), floor);
  });
}

TEST_CASE("The line of a gauge's bias keeps the certified digits") {
  const test::Case row = test::loadCases("method/cases/nist_line.csv").rows.front();
  const std::vector<double> x = row.numbers("x");
  std::vector<double> readings = row.numbers("y");
  for (std::size_t i = 0; i < x.size(); ++i) readings[i] += x[i];
  const auto line = method::gauge::gaugeLinearity(x, readings, 0.95);
  REQUIRE(line);
  const double floor = row.number("floor");
  checkDigits("intercept", line->intercept.value, row.number("intercept"), floor);
  checkDigits("slope", line->slope.value, row.number("slope"), floor);
  checkDigits("its error", line->slope.standard_error, row.number("slope_error"), floor);
  checkDigits("error of the intercept", line->intercept.standard_error,
              row.number("intercept_error"), floor);
  checkDigits("residual", line->s, row.number("s"), floor);
  checkDigits("R²", line->r_squared, row.number("r_squared"), floor);
}

TEST_CASE("Least squares keep the certified digits of all eleven sets") {
  test::eachCase("method/cases/nist_linear.csv", [](const test::Case& row) {
    const std::vector<double> x = row.numbers("x"), y = row.numbers("y");
    const int degree = static_cast<int>(row.number("degree"));
    Result<LeastSquares> fit =
        polynomial(x, y, std::max(1, degree), row.number("through_origin") > 0);
    if (degree == 0) {  // columns of their own
      std::vector<std::vector<double>> columns{std::vector<double>(y.size(), 1.0)};
      for (auto at = x.begin(); at != x.end(); at += std::ssize(y))
        columns.emplace_back(at, at + std::ssize(y));
      fit = leastSquares(columns, y, true);
    }
    REQUIRE(fit);
    const std::vector<double> estimates = row.numbers("estimates"), errors = row.numbers("errors");
    REQUIRE(fit->coefficients.size() == estimates.size());
    const double floor = row.number("floor");
    double least = 15;
    for (std::size_t j = 0; j < estimates.size(); ++j) {
      least = std::min(least, digitsOfAgreement(fit->coefficients[j].value, estimates[j]));
      // Wampler 1 and 2 lie on their curves: the certified errors are 0.
      if (errors[j] > 0)
        least = std::min(least, digitsOfAgreement(fit->coefficients[j].standard_error, errors[j]));
    }
    if (row.number("s") > 0) least = std::min(least, digitsOfAgreement(fit->s, row.number("s")));
    MESSAGE(row.text("id"), ": ", least, " digits agree at least, floor ", floor);
    CHECK(least >= floor);
  });
  CHECK(polynomial(std::vector{1.0, 1.0, 1.0}, std::vector{1.0, 2.0, 3.0}, 1, false).error().code ==
        "squares.dependent");
  CHECK(polynomial(std::vector{1.0, 2.0}, std::vector{1.0, 2.0}, 1, false).error().code ==
        "squares.few");
  CHECK(polynomial(std::vector{1.0, 2.0}, std::vector{1.0, 2.0, 3.0}, 1, false).error().code ==
        "squares.count");
  CHECK(polynomial({}, {}, 11, false).error().code == "squares.degree");
}

TEST_CASE("Digits of agreement of means and standard deviations") {
  // Data of NIST/ITL Statistical Reference Datasets; floors as double arithmetic can reach.
  test::eachCase("method/cases/nist_univariate.csv", [](const test::Case& row) {
    std::vector<double> readings = row.numbers("readings");
    const double low = readings[1], high = readings[2];
    for (int pair = 1; pair < static_cast<int>(row.number("pairs")); ++pair) {
      readings.push_back(low);
      readings.push_back(high);
    }
    const auto found = summary(readings);
    checkDigits("mean", found->mean, row.number("mean"), 14);
    const double floor = row.text("id") == "NumAcc4" ? 8 : row.text("id") == "NumAcc3" ? 9 : 12;
    checkDigits("standard deviation", *found->s, row.number("s"), floor);
  });
}

TEST_CASE("A larger uncertainty or probability never widens what is accepted") {
  holds("monotonic guard", [] {
    DecisionInput in{drawn(0, 100, 0.1), drawn(1, 20, 0.05),     {},
                     drawn(40, 60, 0.1), GuardRule::probability, drawn(600, 950, 0.001)};
    const auto first = decide(in);
    in.u *= 1.5;
    const auto less_sure = decide(in);
    RC_ASSERT(less_sure->guard_band > first->guard_band);
    RC_ASSERT(first->outcome == Outcome::conforms || less_sure->outcome != Outcome::conforms);
    in.u /= 1.5;
    in.required += 0.04;
    RC_ASSERT(decide(in)->guard_band > first->guard_band);
    in.rule = GuardRule::simple;
    RC_ASSERT(first->outcome != Outcome::conforms || decide(in)->outcome == Outcome::conforms);
  });
}

TEST_CASE("A value accepted by probability has at least that probability") {
  holds("probability", [] {
    const DecisionInput in{
        drawn(0, 100, 0.1), drawn(1, 20, 0.1), 20.0, 90.0, GuardRule::probability, 0.95};
    const auto decision = decide(in);
    RC_ASSERT(static_cast<bool>(decision));
    if (decision->outcome == Outcome::conforms) RC_ASSERT(*decision->probability >= 0.95 - 1e-9);
    if (decision->outcome == Outcome::does_not_conform)
      RC_ASSERT(*decision->probability <= 0.05 + 1e-9);
  });
}

TEST_CASE("Neither unit nor zero nor order moves a flag") {
  holds("flags", [] {
    const std::vector<double> readings = drawnReadings(5, 25);
    std::vector<double> other(readings.rbegin(), readings.rend());
    for (double& x : other) x = -8 * x + 1000;
    const auto a = grubbs(readings, 0.05), b = grubbs(other, 0.05);
    RC_ASSERT(near(a->statistic, b->statistic, 1e-9));
    RC_ASSERT(a->critical == b->critical);
    RC_ASSERT(near(dixon(readings, 0.05)->statistic, dixon(other, 0.05)->statistic, 1e-9) ||
              dixon(readings, 0.05)->statistic < 1e-9);
    RC_ASSERT(severalOutliers(readings, 2, 0.05)->flagged.size() ==
              severalOutliers(other, 2, 0.05)->flagged.size());
    RC_ASSERT(severalOutliers(readings, 1, 0.05)->tests.front().critical == a->critical);
  });
}

TEST_CASE("The stricter the level, the fewer the flags") {
  holds("monotonic level", [] {
    const std::vector<double> readings = drawnReadings(5, 20);
    RC_ASSERT(grubbs(readings, 0.01)->critical > grubbs(readings, 0.05)->critical);
    RC_ASSERT(dixon(readings, 0.01)->critical > dixon(readings, 0.05)->critical);
  });
  CHECK(grubbs(std::vector{1.0, 2.0, 3.0}, 0.5).error().code == "outlier.level");
  CHECK(grubbs(std::vector{1.0, std::nan(""), 3.0}, 0.05).error().where.field == "readings[1]");
  CHECK(dixon(std::vector<double>(31, 1.0), 0.05).error().code == "outlier.no_spread");
}

TEST_CASE("A tie is rounded by its rule in the digits as written") {
  const auto rounded = [](const char* text, int decimals, RoundingRule rule) {
    return *roundedText(text, decimals, rule);
  };
  using enum RoundingRule;
  CHECK(rounded("2.675", 2, half_even) == "2.68");
  CHECK(rounded("2.665", 2, half_even) == "2.66");
  CHECK(rounded("2.665", 2, half_away) == "2.67");
  CHECK(rounded("2.6650001", 2, half_even) == "2.67");
  CHECK(rounded("-0.5", 0, half_even) == "0");
  CHECK(rounded("-0.5", 0, half_away) == "-1");
  CHECK(rounded("0.5", 0, half_even) == "0");
  CHECK(rounded("1.5", 0, half_even) == "2");
  CHECK(rounded("9.996", 2, half_even) == "10.00");
  CHECK(rounded("99.5", 0, half_away) == "100");
  CHECK(rounded(".05", 1, half_away) == "0.1");
  CHECK(rounded("7", 3, half_even) == "7.000");
  CHECK(rounded("007.10", 1, half_even) == "7.1");
  CHECK(rounded("-0.04", 1, half_even) == "0.0");
  for (const char* bad : {"", "1,5", "1.2.3", "1e5", "-", "."})
    CHECK(roundedText(bad, 1, half_even).error().code == "rounding.text");
  CHECK(roundedText("1", 13, half_even).error().code == "rounding.decimals");
}

TEST_CASE("Rounding never moves a number by more than half of the last place") {
  holds("half", [] {
    const int whole = *rc::gen::inRange(-100000, 100001), decimals = *rc::gen::inRange(0, 5);
    const std::string text = fmt::format("{}{}.{:04}", whole < 0 ? "-" : "",
                                         std::abs(whole) / 10000, std::abs(whole) % 10000);
    for (const RoundingRule rule : {RoundingRule::half_even, RoundingRule::half_away}) {
      const double off = std::stod(*roundedText(text, decimals, rule)) - whole * 1e-4;
      RC_ASSERT(std::abs(off) <= 0.5 * std::pow(10, -decimals) + 1e-12);
    }
  });
}

TEST_CASE("Shares outside their range are no numbers") {
  CHECK(std::isnan(normalQuantile(0)));
  CHECK(std::isnan(studentQuantile(1, 5)));
  CHECK(std::isnan(studentTails(1, 0)));
  CHECK(std::isnan(fisherTail(-1, 1, 1)));
  CHECK(std::isnan(incompleteBeta(2, 1, 1)));
  CHECK(studentQuantile(0.5, 3) == 0);
}
