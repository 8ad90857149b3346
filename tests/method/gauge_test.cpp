#include <cmath>
#include <numbers>

#include "platemark/method/gauge/agreement.h"
#include "platemark/method/gauge/bias.h"
#include "platemark/method/gauge/nested.h"
#include "platemark/method/gauge/range_factor.h"
#include "platemark/method/gauge/study.h"
#include "support/catalogue_cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method::gauge;
using platemark::test::drawn;
using platemark::test::holds;
using platemark::test::near;

namespace {

GaugeReadings drawnStudy() {
  GaugeReadings study{
      *rc::gen::inRange(1, 4), *rc::gen::inRange(2, 8), *rc::gen::inRange(2, 4), {}, {}};
  for (int i = 0; i < study.operators * study.parts * study.trials; ++i)
    study.values.push_back(drawn(-1000, 1000, 0.01));
  study.values.front() += 0.001;  // never all the same
  return study;
}

GaugeReadings scaled(GaugeReadings study, double factor, double shift) {
  for (double& x : study.values) x = factor * x + shift;
  return study;
}

/// The published study, read from the row that holds it.
GaugeReadings publishedStudy() {
  const test::Case row = test::loadCases("method/cases/gauge_study.csv").rows.front();
  const catalogue::Inputs inputs = test::inputsOf(row);
  GaugeReadings study{3, 10, 3, {}, {}};
  for (const Measure& m : inputs.numbers.at("values")) study.values.push_back(m.value.value());
  return study;
}

GaugeStudy withShare(double share, int categories) {
  GaugeStudy study;
  study.share = share;
  study.categories = categories;
  return study;
}

constexpr GaugeRule usual{0.10, 0.30, 5};

}  // namespace

TEST_CASE("Gauge studies agree with the published study") {
  test::checkCases("method/cases/gauge_study.csv");
}

TEST_CASE("The gauge study over days and runs agrees with the published one") {
  test::checkCases("method/cases/gauge_nested.csv");
  const test::Case row = test::loadCases("method/cases/gauge_nested.csv").rows.front();
  const catalogue::Inputs inputs = test::inputsOf(row);
  NestedReadings in{2, 5, 6, 6, {}, {}};
  for (const Measure& m : inputs.numbers.at("means")) in.means.push_back(m.value.value());
  for (const Measure& m : inputs.numbers.at("spreads")) in.spreads.push_back(m.value.value());
  const auto study = nestedGaugeStudy(in);
  REQUIRE(study);
  // As printed with the data: run 1 and run 2, then the five artefacts.
  CHECK(study->short_term_by_run[0].s == doctest::Approx(0.06751).epsilon(1e-4));
  CHECK(study->short_term_by_run[1].s == doctest::Approx(0.07786).epsilon(1e-4));
  CHECK(study->day_by_run[0].s == doctest::Approx(0.03334).epsilon(2e-4));
  CHECK(study->day_by_run[1].s == doctest::Approx(0.03879).epsilon(2e-4));
  CHECK(study->short_term.degrees == 300);
  CHECK(study->day.degrees == 50);
  CHECK(study->run.degrees == 5);
  const double printed[] = {0.02224, 0.00271, 0.02885, 0.01328, 0.02047};
  for (std::size_t i = 0; i < 5; ++i)
    CHECK(std::abs(study->run_by_artefact[i].s - printed[i]) < 5e-5);
}

TEST_CASE("Each line of the analysis of variance agrees with the published table") {
  const GaugeReadings published = publishedStudy();
  test::eachCase("method/cases/gauge_variance.csv", [&](const test::Case& row) {
    const auto study = varianceStudy(published, row.number("pool_above"));
    REQUIRE(study);
    const GaugeVariance& table = *study->variance;
    const std::map<std::string, VarianceLine> lines{{"operator", table.operators},
                                                    {"part", table.parts},
                                                    {"operator_x_part", table.interaction},
                                                    {"repeatability", table.repeatability},
                                                    {"total", table.total}};
    const VarianceLine& found = lines.at(row.text("line"));
    CHECK(found.degrees == static_cast<int>(row.number("degrees")));
    CHECK(near(found.squares, row.number("squares"), 1e-12));
    CHECK(found.f.has_value() == !row.text("f").empty());
    if (!found.f) return;
    CHECK(near(*found.f, row.number("f"), 1e-10));
    CHECK(near(*found.p, row.number("p"), 1e-9));
  });
}

TEST_CASE("Operators' means and ranges of the published study stand on its sheet") {
  const auto study = rangeStudy(publishedStudy());
  REQUIRE(study);
  const double means[] = {0.1903, 0.0683, -0.2543}, ranges[] = {0.1840, 0.5130, 0.3280};
  for (std::size_t i = 0; i < 3; ++i) {
    CHECK(std::abs(study->operator_means[i] - means[i]) < 5e-5);
    CHECK(std::abs(study->operator_ranges[i] - ranges[i]) < 5e-5);
  }
  // 5.094 with the printed factors, which are rounded to four digits.
  CHECK(std::abs(study->categories_uncut - 5.094) < 2e-3);
}

TEST_CASE("Factors of the range agree with the table and with their closed forms") {
  test::eachCase("method/cases/gauge_range_factors.csv", [](const test::Case& row) {
    const int readings = static_cast<int>(row.number("readings"));
    CHECK(std::abs(rangeFactors(readings)->d2 - row.number("d2")) < 6e-7);
    CHECK(std::abs(*rangeDivisor(readings, 1) - row.number("d2star")) < 6e-7);
  });
  CHECK(std::abs(rangeFactors(2)->d2 - 2 / std::sqrt(std::numbers::pi)) < 1e-8);
  CHECK(std::abs(rangeFactors(2)->d3 - std::sqrt(2 - 4 / std::numbers::pi)) < 1e-8);
  CHECK(std::abs(rangeFactors(3)->d2 - 3 / std::sqrt(std::numbers::pi)) < 1e-8);
  CHECK(rangeFactors(1).error().code == "gauge.range_size");
  CHECK(rangeDivisor(2, 0).error().code == "gauge.range_groups");
}

TEST_CASE("Neither another unit nor another zero changes what a gauge is worth") {
  holds("unit and zero", [] {
    const GaugeReadings study = drawnStudy();
    const GaugeReadings other = scaled(study, 1024, 4096);
    const auto a = varianceStudy(study, 0.25), b = varianceStudy(other, 0.25);
    RC_ASSERT(std::abs(a->share - b->share) < 1e-9);
    RC_ASSERT(near(a->total * 1024, b->total, 1e-9));
    const auto c = rangeStudy(study), d = rangeStudy(other);
    RC_ASSERT(std::abs(c->share - d->share) < 1e-9);
    RC_ASSERT(near(c->total * 1024, d->total, 1e-9));
  });
}

TEST_CASE("The order of parts and of operators does not matter") {
  holds("order", [] {
    const GaugeReadings study = drawnStudy();
    GaugeReadings turned = study;
    std::reverse(turned.values.begin(), turned.values.end());  // parts, operators, trials turned
    RC_ASSERT(std::abs(varianceStudy(study, 0.25)->share - varianceStudy(turned, 0.25)->share) <
              1e-9);
    RC_ASSERT(std::abs(rangeStudy(study)->share - rangeStudy(turned)->share) < 1e-9);
  });
}

TEST_CASE("The sums of squares of a study make up its total") {
  holds("squares", [] {
    const GaugeVariance table = *varianceStudy(drawnStudy(), 0.25)->variance;
    const double sum = table.operators.squares + table.parts.squares + table.interaction.squares +
                       table.repeatability.squares;
    RC_ASSERT(near(sum, table.total.squares, 1e-10));
    RC_ASSERT(table.operators.degrees + table.parts.degrees + table.interaction.degrees +
                  table.repeatability.degrees ==
              table.total.degrees);
  });
}

TEST_CASE("A gauge that tells parts apart without fail has endless categories") {
  const auto study = varianceStudy({2, 2, 2, {1, 1, 2, 2, 1, 1, 2, 2}, {}}, 0.25);
  REQUIRE(study);
  CHECK(study->share == 0);
  CHECK(std::isinf(study->categories_uncut));
  CHECK(*gaugeStanding(*study, usual) == GaugeStanding::usable);
}

TEST_CASE("A gauge is blocked over the limit or under the categories; between it needs a hand") {
  CHECK(*gaugeStanding(withShare(0.0999, 14), usual) == GaugeStanding::usable);
  CHECK(*gaugeStanding(withShare(0.10, 14), usual) == GaugeStanding::needs_acceptance);
  CHECK(*gaugeStanding(withShare(0.30, 5), usual) == GaugeStanding::needs_acceptance);
  CHECK(*gaugeStanding(withShare(0.3001, 5), usual) == GaugeStanding::blocked);
  CHECK(*gaugeStanding(withShare(0.05, 4), usual) == GaugeStanding::blocked);
  GaugeStudy narrow = withShare(0.05, 20);
  narrow.tolerance_share = 0.31;
  CHECK(*gaugeStanding(narrow, usual) == GaugeStanding::blocked);
  CHECK(gaugeStanding(narrow, {0.3, 0.1, 5}).error().code == "gauge.rule");
  CHECK(gaugeStanding(narrow, {0.1, 0.3, 0}).error().code == "gauge.rule");
}

TEST_CASE("A worse share never stands better") {
  holds("monotonic", [] {
    const int categories = *rc::gen::inRange(0, 10);
    const double a = drawn(0, 100, 0.01), b = drawn(0, 100, 0.01);
    RC_ASSERT(*gaugeStanding(withShare(std::min(a, b), categories), usual) <=
              *gaugeStanding(withShare(std::max(a, b), categories), usual));
  });
}

TEST_CASE("Bias, linearity and agreement agree with the examples") {
  test::checkCases("method/cases/gauge_bias.csv");
  test::checkCases("method/cases/gauge_linearity.csv");
  test::checkCases("method/cases/gauge_agreement.csv");
}

TEST_CASE("The published linearity study reads off at most of its references") {
  const auto row = test::loadCases("method/cases/gauge_linearity.csv").rows.front();
  const catalogue::Inputs inputs = test::inputsOf(row);
  std::vector<double> x, y;
  for (const Measure& m : inputs.numbers.at("references")) x.push_back(m.value.value());
  for (const Measure& m : inputs.numbers.at("readings")) y.push_back(m.value.value());
  const auto found = gaugeLinearity(x, y, 0.95);
  REQUIRE(found);
  CHECK(std::abs(found->intercept.standard_error - 0.0725) < 5e-5);
  CHECK(std::abs(found->slope.standard_error - 0.0109) < 6e-5);
  CHECK(std::abs(found->intercept.t - 10.16) < 6e-3);
  CHECK(std::abs(found->slope.t + 12.04) < 6e-3);
  CHECK(found->references.size() == 5);
  CHECK_FALSE(found->acceptable);
}

TEST_CASE("A wider confidence never finds a bias that a narrower one does not") {
  holds("monotonic bias", [] {
    std::vector<double> readings;
    for (int i = 0; i < *rc::gen::inRange(2, 12); ++i) readings.push_back(drawn(-50, 50, 0.1));
    readings.push_back(7.77);
    if (readings.size() < 2) readings.push_back(1);
    const auto narrow = gaugeBias(readings, 0, 0.8), wide = gaugeBias(readings, 0, 0.99);
    RC_ASSERT(narrow->low >= wide->low && narrow->high <= wide->high);
    RC_ASSERT(narrow->present || !wide->present);
    RC_ASSERT((narrow->p < 0.2) == narrow->present || std::abs(narrow->p - 0.2) < 1e-9);
  });
}

TEST_CASE("Kappa does not depend on the names of classes or on who comes first") {
  holds("names and order", [] {
    std::vector<int> a{0, 1}, b{1, 1};
    for (int i = 0; i < *rc::gen::inRange(1, 30); ++i) {
      a.push_back(*rc::gen::inRange(0, 3));
      b.push_back(*rc::gen::inRange(0, 3));
    }
    const auto straight = cohenKappa(a, b);
    for (int& k : a) k = 7 - 3 * k;
    for (int& k : b) k = 7 - 3 * k;
    const auto turned = cohenKappa(b, a);
    RC_ASSERT(near(straight->kappa, turned->kappa, 1e-9) || std::abs(straight->kappa) < 1e-12);
    RC_ASSERT(std::abs(straight->standard_error - turned->standard_error) < 1e-9);
    RC_ASSERT(straight->kappa <= 1 + 1e-12);
  });
}

TEST_CASE("Sorting against the known answer counts misses apart from false alarms") {
  const auto found =
      sortedRight({true, true, false, false, true}, {true, false, false, true, true});
  REQUIRE(found);
  CHECK(found->right == doctest::Approx(0.6));
  CHECK(*found->missed == doctest::Approx(0.5));
  CHECK(*found->false_alarms == doctest::Approx(1.0 / 3));
  CHECK_FALSE(sortedRight({true}, {true})->missed.has_value());
  CHECK(sortedRight({true}, {}).error().code == "agreement.count");
  CHECK(sortedRight({}, {}).error().code == "agreement.empty");
}

TEST_CASE("The entry says what a study is worth") {
  const catalogue::Entry* entry = catalogue::find("gauge.study");
  REQUIRE(entry != nullptr);
  const auto result = catalogue::evaluate(*entry, entry->example);
  REQUIRE(result);
  CHECK(result->notes.front().find("usable") != std::string::npos);
}
