/// The methods against random cases that SciPy and statsmodels computed just before; their file
/// stands in PLATEMARK_REFERENCE_CASES.
#include <cstdlib>
#include <functional>

#include "platemark/method/gauge/agreement.h"
#include "platemark/method/gauge/bias.h"
#include "platemark/method/gauge/study.h"
#include "platemark/method/plate/flatness.h"
#include "platemark/method/powder/comparison.h"
#include "platemark/method/powder/size_fit.h"
#include "platemark/method/statistics/distribution.h"
#include "platemark/method/statistics/outlier.h"
#include "support/cases.h"

using namespace platemark;
using namespace platemark::method;

namespace {

using Numbers = std::vector<double>;

/// First and second half of a list.
std::pair<Numbers, Numbers> halves(const Numbers& list) {
  const auto middle = list.begin() + std::ssize(list) / 2;
  return {{list.begin(), middle}, {middle, list.end()}};
}

std::vector<int> whole(const Numbers& list) { return {list.begin(), list.end()}; }

Numbers student(const Numbers& in, const Numbers&) {
  return {statistics::studentShare(in[0], in[1]), statistics::studentTails(in[0], in[1])};
}

Numbers bias(const Numbers& in, const Numbers& sizes) {
  const auto found = gauge::gaugeBias(in, sizes[0], 0.95);
  return {found->t, found->p, found->low, found->high};
}

Numbers linearity(const Numbers& in, const Numbers&) {
  const auto [x, y] = halves(in);
  const auto found = gauge::gaugeLinearity(x, y, 0.95);
  const auto &a = found->intercept, &b = found->slope;
  return {a.value, b.value, a.standard_error, b.standard_error,
          a.p,     b.p,     found->s,         found->r_squared};
}

Numbers variance(const Numbers& in, const Numbers& sizes) {
  const auto found = gauge::varianceStudy(
      {static_cast<int>(sizes[0]), static_cast<int>(sizes[1]), static_cast<int>(sizes[2]), in, {}},
      1);
  const gauge::GaugeVariance& table = *found->variance;
  return {table.operators.squares,     table.parts.squares,  table.interaction.squares,
          table.repeatability.squares, *table.interaction.f, *table.interaction.p};
}

Numbers cohen(const Numbers& in, const Numbers&) {
  const auto [first, second] = halves(in);
  const auto found = gauge::cohenKappa(whole(first), whole(second));
  return {found->kappa, found->standard_error};
}

Numbers fleiss(const Numbers& in, const Numbers&) {
  std::vector<std::vector<int>> counts;
  for (std::size_t i = 0; i < in.size(); i += 3)
    counts.push_back(whole({in[i], in[i + 1], in[i + 2]}));
  return {gauge::fleissKappa(counts)->kappa};
}

Numbers grubbs(const Numbers& in, const Numbers& sizes) {
  const auto found = statistics::grubbs(in, sizes[0]);
  return {found->statistic, found->critical};
}

Numbers lots(const Numbers& in, const Numbers& sizes) {
  const auto found = compareLot(in, 0, sizes[0]);
  return {found->low, found->high};
}

Numbers rosinRammler(const Numbers& in, const Numbers&) {
  const auto [sizes, passing] = halves(in);
  std::vector<SizePoint> points;
  for (std::size_t i = 0; i < sizes.size(); ++i)
    points.push_back(
        {Length::of(sizes[i], unit::micrometre), Share::of(passing[i], unit::percent)});
  const auto fit = fitRosinRammler(points, SizeFitWay::least_squares);
  return {fit->scale.in(unit::micrometre), fit->slope};
}

Numbers zone(const Numbers& in, const Numbers&) {
  std::vector<plate::SurfacePoint> points;
  for (std::size_t i = 0; i < in.size(); i += 3) points.push_back({in[i], in[i + 1], in[i + 2]});
  return {plate::linearZone(points)->width.in(unit::millimetre)};
}

const std::map<std::string, std::function<Numbers(const Numbers&, const Numbers&)>> kinds{
    {"student", student},
    {"student_quantile",
     [](const Numbers& in, const Numbers&) {
       return Numbers{statistics::studentQuantile(in[0], in[1])};
     }},
    {"fisher", [](const Numbers& in,
                  const Numbers&) { return Numbers{statistics::fisherTail(in[0], in[1], in[2])}; }},
    {"normal_quantile",
     [](const Numbers& in, const Numbers&) { return Numbers{statistics::normalQuantile(in[0])}; }},
    {"bias", bias},
    {"linearity", linearity},
    {"variance", variance},
    {"cohen", cohen},
    {"fleiss", fleiss},
    {"grubbs", grubbs},
    {"lots", lots},
    {"rosin_rammler", rosinRammler},
    {"zone", zone}};

test::CaseFile referenceCases() {
  const char* path = std::getenv("PLATEMARK_REFERENCE_CASES");
  REQUIRE_MESSAGE(path != nullptr, "run it by ctest, which makes the cases first");
  std::ifstream in(path);
  REQUIRE(in);
  return test::readCases(in, "reference cases");
}

}  // namespace

TEST_CASE("Random cases agree with SciPy and statsmodels") {
  const test::CaseFile file = referenceCases();
  CHECK(file.rows.size() >= 60);
  std::map<std::string, int> seen;
  for (const test::Case& row : file.rows) {
    INFO(test::describeCase(row));
    const Numbers found = kinds.at(row.text("kind"))(row.numbers("numbers"), row.numbers("sizes"));
    const Numbers expected = row.numbers("expected");
    const double tolerance = row.number("tolerance");
    REQUIRE(found.size() == expected.size());
    for (std::size_t i = 0; i < found.size(); ++i)
      CHECK(std::abs(found[i] - expected[i]) <= tolerance * (1 + std::abs(expected[i])));
    ++seen[row.text("kind")];
  }
  CHECK(seen.size() == kinds.size());
}
