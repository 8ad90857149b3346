#include "platemark/method/statistics/control_chart.h"

#include <cmath>
#include <random>

#include "support/cases.h"
#include "support/catalogue_cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method::statistics;
using platemark::test::drawn;
using platemark::test::holds;
using platemark::test::near;

namespace {

std::vector<double> normalResults(std::mt19937& random, std::size_t count, double shift) {
  std::normal_distribution<double> draw(shift, 1);
  std::vector<double> results(count);
  for (double& x : results) x = draw(random);
  return results;
}

}  // namespace

TEST_CASE("Signs, weighted means and sums of published runs") {
  test::checkCases("method/cases/control_chart.csv");
}

TEST_CASE("Sums give a sign after as many results as theory says") {
  test::eachCase("method/cases/control_chart_run_length.csv", [](const test::Case& row) {
    std::mt19937 random(20261125);
    constexpr int runs = 4000;
    const double expected = row.number("run_length");
    const auto longest = static_cast<std::size_t>(expected * 20);
    double total = 0, squares = 0;
    for (int run = 0; run < runs; ++run) {
      const auto chart = cumulativeSum(normalResults(random, longest, row.number("shift")), 0, 1,
                                       row.number("allowance"), row.number("decision"));
      REQUIRE(chart);
      REQUIRE(chart->sign);
      const double length = static_cast<double>(*chart->sign) + 1;
      total += length;
      squares += length * length;
    }
    const double mean = total / runs;
    const double error = std::sqrt((squares / runs - mean * mean) / runs);
    INFO("mean run length ", mean, " ± ", error);
    CHECK(std::abs(mean - expected) < 4 * error + 0.005);
  });
}

TEST_CASE("A chart of results in other units is the same chart") {
  holds("unit", [] {
    std::vector<double> results, other;
    const double factor = drawn(1, 500, 0.1), offset = drawn(-100, 100, 1);
    for (int i = 0; i < 25; ++i) {
      results.push_back(drawn(-10, 10, 0.01));
      other.push_back(factor * results.back() + offset);
    }
    results.front() += 0.003;
    other.front() = factor * results.front() + offset;
    const auto a = individuals(results), b = individuals(other);
    RC_ASSERT((a && b));
    RC_ASSERT(near(b->centre, factor * a->centre + offset, 1e-9));
    RC_ASSERT(near(b->sigma, factor * a->sigma, 1e-9));
    const auto sum = cumulativeSum(results, a->centre, a->sigma, 0.5, 4);
    const auto same = cumulativeSum(other, b->centre, b->sigma, 0.5, 4);
    RC_ASSERT((sum && same));
    RC_ASSERT(sum->sign == same->sign);
    RC_ASSERT(std::abs(same->above.back() - factor * sum->above.back()) < 1e-7);
  });
}

TEST_CASE("A drift that stays inside three standard deviations is seen, with its beginning") {
  std::vector<double> results(20, 0.0);
  for (std::size_t i = 0; i < results.size(); ++i) results[i] = i % 2 == 0 ? 0.4 : -0.4;
  for (int i = 1; i <= 20; ++i) results.push_back(0.1 * i);
  const auto signs = runSigns(results, 0, 1);
  REQUIRE(signs);
  CHECK_FALSE((*signs)[0]);
  const auto chart = cumulativeSum(results, 0, 1, 0.5, 5);
  REQUIRE(chart);
  CHECK(chart->standing);
  CHECK(chart->since >= 24);
  CHECK(chart->shift > 0.5);
}
