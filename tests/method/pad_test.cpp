#include <cmath>
#include <limits>

#include "platemark/method/bench/load_curve.h"
#include "platemark/method/bench/pad_findings.h"
#include "support/catalogue_cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method::bench;
using platemark::test::drawn;
using platemark::test::holds;
using platemark::test::near;

namespace {

constexpr auto um = unit::micrometre;

/// Cycles between 0 and the largest force: stiffer from cycle to cycle, softer on the way back.
LoadRun drawnRun() {
  LoadRun run{{},
              {{0, 0}, {20000, drawn(1, 200, 0.1)}, {50000, drawn(200, 400, 0.1)}},
              Force::of(drawn(100, 2000, 1), unit::newton),
              Length::of(drawn(50, 200, 0.1), unit::millimetre),
              PressureBasis::line};
  const double top = drawn(10000, 50000, 1), soft = drawn(20, 60, 1e-4);
  const int cycles = *rc::gen::inRange(1, 4);
  for (int c = 0; c < cycles; ++c)
    for (int i = 0; i <= 20; ++i) {
      const double part = i <= 10 ? i / 10.0 : (20 - i) / 10.0, back = i <= 10 ? 0 : 3 * part;
      run.pad.push_back({part * top, part * top * (soft / (c + 1)) + 41 * part + back});
    }
  return run;
}

}  // namespace

TEST_CASE("Curves, swell, hardness, pH, shear minimum and findings agree with the hand") {
  test::checkCases("method/cases/pad.csv");
}

TEST_CASE("A stiffer machine makes a pad look softer, by as much as it is stiffer") {
  holds("machine", [] {
    const LoadRun run = drawnRun();
    LoadRun stiff = run;
    for (LoadPoint& point : stiff.machine) point.deflection_um = 0;
    const auto a = loadCurve(run), b = loadCurve(stiff);
    RC_ASSERT(static_cast<bool>(b));
    if (!a) return;
    for (std::size_t i = 0; i < a->cycles.size(); ++i)
      RC_ASSERT(a->cycles[i].net <= b->cycles[i].net);
  });
}

TEST_CASE("Neither the zero of the deflection nor points between change a cycle") {
  holds("zero and points", [] {
    const LoadRun run = drawnRun();
    const auto a = loadCurve(run);
    if (!a) return;
    LoadRun other = run;
    other.pad.clear();
    for (std::size_t i = 0; i < run.pad.size(); ++i) {
      if (i > 0)
        other.pad.push_back({(run.pad[i - 1].force_n + run.pad[i].force_n) / 2,
                             (run.pad[i - 1].deflection_um + run.pad[i].deflection_um) / 2 + 77});
      other.pad.push_back({run.pad[i].force_n, run.pad[i].deflection_um + 77});
    }
    const auto b = loadCurve(other);
    RC_ASSERT(a->cycles.size() == b->cycles.size());
    for (std::size_t i = 0; i < a->cycles.size(); ++i) {
      RC_ASSERT(std::abs(a->cycles[i].net.in(um)-b->cycles[i].net.in(um)) < 1e-8);
      RC_ASSERT(a->cycles[i].strain.in(unit::one) > 0);
    }
    RC_ASSERT(a->rising == b->rising);
  });
}

TEST_CASE("A cycle that was not unloaded keeps its deflection and has no loop") {
  LoadRun run{{{0, 0}, {10, 1}, {30, 3}},
              {{0, 0}, {30, 1}},
              Force::of(10, unit::newton),
              Length::of(1, unit::millimetre),
              PressureBasis::specific};
  const auto curve = loadCurve(run);
  REQUIRE(curve);
  CHECK_FALSE(curve->cycles.front().hysteresis.has_value());
  CHECK_FALSE(curve->cycles.front().set.has_value());
  CHECK(curve->basis == PressureBasis::specific);
  run.pad[1].deflection_um = std::numeric_limits<double>::quiet_NaN();
  CHECK(loadCurve(run).error().where.field == "pad[1]");
  run.pad = {{1, 1}};
  CHECK(loadCurve(run).error().code == "load_curve.count");
}

TEST_CASE("A higher minimum never keeps a sample that a lower one does not") {
  holds("monotonic minimum", [] {
    std::vector<Pressure> pads{
        Pressure::of(drawn(100, 900, 1), unit::newton_per_square_centimetre)};
    for (int i = 0; i < *rc::gen::inRange(0, 6); ++i)
      pads.push_back(Pressure::of(drawn(100, 900, 1), unit::newton_per_square_centimetre));
    const Pressure low = Pressure::of(drawn(100, 500, 1), unit::newton_per_square_centimetre);
    const Pressure high = low + Pressure::of(50, unit::newton_per_square_centimetre);
    RC_ASSERT(shearAgainst(pads, low, 3)->kept() || !shearAgainst(pads, high, 3)->kept());
    RC_ASSERT(shearAgainst(pads, low, 2)->kept() || !shearAgainst(pads, low, 3)->kept());
  });
  CHECK(shearAgainst({}, Pressure::of(2, unit::megapascal), 5).error().code == "shear.no_pad");
}

TEST_CASE("The modes of a failure make up the bond, and the leading one is named") {
  const auto shares = [](double a, double b, double c, double d) {
    return FailureShares{Share::of(a, unit::percent), Share::of(b, unit::percent),
                         Share::of(c, unit::percent), Share::of(d, unit::percent)};
  };
  CHECK(*leadingFailure(shares(70, 10, 20, 0)) == FailureMode::compound);
  CHECK(*leadingFailure(shares(10, 10, 80, 0)) == FailureMode::bond_line);
  CHECK(leadingFailure(shares(70, 10, 10, 0)).error().code == "failure.sum");
  CHECK(leadingFailure(shares(110, -10, 0, 0)).error().code == "failure.share");
}
