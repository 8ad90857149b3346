#include "platemark/method/powder/assay.h"
#include "platemark/method/powder/comparison.h"
#include "platemark/method/powder/moments.h"
#include "platemark/method/powder/sieve_series.h"
#include "platemark/method/powder/size_fit.h"
#include "support/catalogue_cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method;
using platemark::test::drawn;
using platemark::test::holds;
using platemark::test::near;

namespace {

constexpr auto um = unit::micrometre;

Length micrometres(double value) { return Length::of(value, um); }

Share percent(double value) { return Share::of(value, unit::percent); }

/// Points that a drawn Rosin–Rammler curve passes, without noise.
std::vector<SizePoint> pointsOf(const SizeFit& truth) {
  std::vector<SizePoint> points;
  for (const double at : {0.2, 0.5, 1.0, 1.4, 2.0})
    points.push_back({truth.scale * at, fittedPassing(truth, truth.scale * at)});
  return points;
}

SizeFit drawnFit(SizeModel model) {
  SizeFit fit;
  fit.model = model;
  fit.scale = micrometres(drawn(10, 2000, 1));
  fit.slope = drawn(50, 150, 0.01);
  return fit;
}

}  // namespace

TEST_CASE("Stacks, fits, moments, bands and lots agree with the examples") {
  test::checkCases("method/cases/sizes.csv");
}

TEST_CASE("What is weighed of a powder agrees with the hand") {
  test::checkCases("method/cases/assay.csv");
}

TEST_CASE("Both ways of fitting find the curve that the points lie on") {
  holds("fit", [] {
    const SizeFit truth = drawnFit(SizeModel::rosin_rammler);
    const std::vector<SizePoint> points = pointsOf(truth);
    for (const SizeFitWay way : {SizeFitWay::straight_line, SizeFitWay::least_squares}) {
      const auto fit = fitRosinRammler(points, way);
      RC_ASSERT(static_cast<bool>(fit));
      RC_ASSERT(fit->way == way);
      RC_ASSERT(near(fit->scale.in(um), truth.scale.in(um), 1e-8));
      RC_ASSERT(near(fit->slope, truth.slope, 1e-8));
    }
  });
}

TEST_CASE("Neither the unit nor the order of points changes a fit") {
  holds("unit and order", [] {
    std::vector<SizePoint> points = pointsOf(drawnFit(SizeModel::rosin_rammler));
    for (SizePoint& point : points)
      point.passing = Share::of(point.passing.in(unit::one)*0.99, unit::one);
    std::vector<SizePoint> other = points;
    std::reverse(other.begin(), other.end());
    for (SizePoint& point : other) point.size = point.size * 1000;
    for (const SizeFitWay way : {SizeFitWay::straight_line, SizeFitWay::least_squares}) {
      const auto a = fitRosinRammler(points, way), b = fitRosinRammler(other, way);
      RC_ASSERT(near(a->scale.in(um)*1000, b->scale.in(um), 1e-6));
      RC_ASSERT(near(a->slope, b->slope, 1e-6));
    }
  });
}

TEST_CASE("Least squares never leave more than the straight line does") {
  holds("least", [] {
    std::vector<SizePoint> points;
    double passing = 1;
    for (int i = 0; i < *rc::gen::inRange(3, 8); ++i) {
      passing = std::min(99.0, passing + drawn(1, 30, 1));
      points.push_back({micrometres(100.0 * (i + 1)), percent(passing)});
    }
    const auto line = fitRosinRammler(points, SizeFitWay::straight_line);
    const auto squares = fitRosinRammler(points, SizeFitWay::least_squares);
    if (!line || !squares) return;
    RC_ASSERT(squares->residual_squares <= line->residual_squares * (1 + 1e-9));
  });
}

TEST_CASE("A fitted size and the share that passes it undo one another") {
  holds("inverse", [] {
    for (const SizeModel model : {SizeModel::rosin_rammler, SizeModel::gates_gaudin_schuhmann}) {
      const SizeFit fit = drawnFit(model);
      const Share share = percent(drawn(1, 99, 1));
      RC_ASSERT(near(fittedPassing(fit, *fittedSize(fit, share)).in(unit::one), share.in(unit::one),
                     1e-12));
      RC_ASSERT(*fittedSize(fit, percent(10)) < *fittedSize(fit, percent(90)));
    }
  });
  CHECK(fittedSize({}, percent(100)).error().code == "size_fit.share");
}

TEST_CASE("Two models give the shares that their formulas are printed with") {
  // (0.2/1)^2.3 and 1 − exp(−200·0.05²), published test values of an open library.
  SizeFit ggs;
  ggs.model = SizeModel::gates_gaudin_schuhmann;
  ggs.scale = Length::of(1, unit::millimetre);
  ggs.slope = 2.3;
  CHECK(near(fittedPassing(ggs, Length::of(0.2, unit::millimetre)).in(unit::one), 0.0246814, 2e-6));
  CHECK(fittedPassing(ggs, Length::of(2, unit::millimetre)) == percent(100));
  SizeFit rr;
  rr.scale = Length::of(std::pow(200, -0.5), unit::millimetre);
  rr.slope = 2;
  CHECK(near(fittedPassing(rr, Length::of(0.05, unit::millimetre)).in(unit::one), 0.3934693, 2e-7));
}

TEST_CASE("Points without a logarithm are left out and named") {
  const auto fit = fitRosinRammler({{{micrometres(500), percent(100)},
                                     {micrometres(250), percent(80)},
                                     {micrometres(125), percent(30)},
                                     {micrometres(63), percent(0)}}},
                                   SizeFitWay::straight_line);
  REQUIRE(fit);
  CHECK(fit->used == 2);
  CHECK(fit->left_out == std::vector<std::size_t>{0, 3});
  CHECK(
      fitRosinRammler({{{micrometres(0), percent(10)}}}, SizeFitWay::straight_line).error().code ==
      "size_fit.size");
  CHECK(fitGatesGaudinSchuhmann({{{micrometres(1), percent(110)}}}).error().code ==
        "size_fit.share");
}

TEST_CASE("Means of a log-normal distribution are those of ISO 9276-2") {
  // Median by volume 5 µm, s = 0.5; read through a text that quotes the standard's example.
  const struct {
    int p, q;
    double mean;
  } rows[] = {{1, 0, 2.676}, {2, 0, 3.033}, {2, 1, 3.436}, {3, 2, 4.412},
              {4, 3, 5.666}, {3, 3, 5.000}, {0, 0, 2.362}};
  for (const auto& row : rows)
    CHECK(std::abs(logNormalMean(micrometres(5), 0.5, row.p, row.q)->in(um)-row.mean) < 6e-4);
  CHECK(logNormalMean(micrometres(5), -1, 1, 0).error().code == "moments.log_normal");
  CHECK(logNormalMean(micrometres(5), 1, 7, 0).error().code == "moments.orders");
}

TEST_CASE("Mean sizes rise with their orders and scale with the unit") {
  holds("orders", [] {
    std::vector<Length> limits{micrometres(10)};
    std::vector<double> weights;
    for (int i = 0; i < *rc::gen::inRange(1, 8); ++i) {
      limits.push_back(limits.back() + micrometres(drawn(1, 200, 1)));
      weights.push_back(drawn(0, 100, 1));
    }
    weights.push_back(1);
    limits.push_back(limits.back() + micrometres(5));
    const auto sauter = momentMean(limits, weights, ClassWeight::volume, 3, 2);
    const auto volume = momentMean(limits, weights, ClassWeight::volume, 4, 3);
    RC_ASSERT(*sauter <= *volume * (1 + 1e-12));
    RC_ASSERT(*sauter >= limits.front() && *volume <= limits.back());
    for (Length& limit : limits) limit = limit * 1000;
    RC_ASSERT(near(momentMean(limits, weights, ClassWeight::volume, 3, 2)->in(um),
                   sauter->in(um)*1000, 1e-9));
  });
}

TEST_CASE("A wider band never finds more outside") {
  holds("monotonic band", [] {
    std::vector<Share> passing;
    std::vector<BandLimit> narrow, wide;
    for (int i = 0; i < *rc::gen::inRange(1, 9); ++i) {
      passing.push_back(percent(drawn(0, 100, 1)));
      const double low = drawn(10, 50, 1), high = drawn(50, 90, 1), more = drawn(0, 10, 1);
      narrow.push_back({percent(low), percent(high)});
      wide.push_back({percent(low - more), percent(high + more)});
    }
    if (passing.empty()) return;
    RC_ASSERT(checkBand(passing, wide)->outside <= checkBand(passing, narrow)->outside);
    RC_ASSERT(checkBand(passing, wide)->worst <= checkBand(passing, narrow)->worst + percent(1e-9));
  });
}

TEST_CASE("A lot farther off is never less outside; order within the window does not matter") {
  holds("monotonic lots", [] {
    std::vector<double> earlier;
    for (int i = 0; i < *rc::gen::inRange(5, 21); ++i) earlier.push_back(drawn(-100, 100, 0.1));
    earlier.resize(std::max<std::size_t>(earlier.size(), 5), 55.5);
    earlier.front() = 77.7;
    const double near_by = drawn(0, 300, 0.1), far = near_by + drawn(0, 100, 0.1);
    const double mean = compareLot(earlier, 0, 0.95)->mean;
    const auto a = compareLot(earlier, mean + near_by, 0.95);
    std::reverse(earlier.begin(), earlier.end());
    const auto b = compareLot(earlier, mean + far, 0.95);
    RC_ASSERT(b->outside || !a->outside);
    RC_ASSERT(near(a->s, b->s, 1e-9));
  });
}

TEST_CASE("The ISO list is the whole of its series, each sieve with what its standard permits") {
  // Count and sum of the openings of ISO 3310-1:2016 as published: 99 sieves, 1520.558 mm.
  double sum = 0;
  int count = 0, principal = 0;
  for (const SieveDesignation& sieve : sieveDesignations()) {
    if (sieve.edition != "ISO 3310-1:2016") continue;
    sum += sieve.aperture.in(unit::millimetre);
    ++count;
    principal += sieve.series == SieveSeries::r20_3 ? 1 : 0;
  }
  CHECK(count == 99);
  CHECK(principal == 24);
  CHECK(sum == doctest::Approx(1520.558).epsilon(1e-12));
  CHECK(standardSieve("75 µm", "ISO 3310-1:2016")->series == SieveSeries::r40_3);
  CHECK(standardSieve("63 µm", "ISO 3310-1:2016")->mean_deviation->in(um) == doctest::Approx(3.4));
  CHECK(standardSieve("No. 200", "ASTM E11-17")->mean_deviation->in(um) == doctest::Approx(4.1));
  CHECK_FALSE(standardSieve("75 µm", "ISO 3310-1:2016")->mean_deviation.has_value());
  CHECK(standardSieve(micrometres(63.0), "ISO 3310-1:2016")->designation == "63 µm");
}

TEST_CASE("A certified aperture is taken only within what the standard permits") {
  const SieveDesignation sieve = *standardSieve("63 µm", "ISO 3310-1:2016");
  CHECK(checkCertified(sieve, micrometres(66.4)));
  CHECK(checkCertified(sieve, micrometres(59.6)));
  CHECK(checkCertified(sieve, micrometres(66.5)).error().code == "sieve.certified_aperture");
  const SieveDesignation unknown = *standardSieve("75 µm", "ISO 3310-1:2016");
  CHECK(checkCertified(unknown, micrometres(82)));
  CHECK_FALSE(checkCertified(unknown, micrometres(83)));
}
