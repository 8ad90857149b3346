#include "platemark/method/bench/compressibility.h"

#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <cmath>
#include <numbers>

#include "support/cases.h"

using namespace platemark;
using namespace platemark::method::bench;

namespace {

Length micrometres(double d) { return Length::of(d, unit::micrometre); }

CompressionTest testFrom(const std::vector<platemark::test::Case>& rows) {
  CompressionTest test;
  for (const platemark::test::Case& row : rows) {
    test.deflection.push_back(micrometres(row.number("deflection_um")));
    test.machine_deflection.push_back(micrometres(row.number("machine_um")));
  }
  const platemark::test::Case& first = rows.front();
  const double d = first.number("piston_mm");
  test.thickness = Length::of(first.number("thickness_mm"), unit::millimetre);
  test.load = CycleLoad{Area::of(std::numbers::pi * d * d / 4, unit::square_millimetre),
                        Pressure::of(first.number("low_bar"), unit::bar),
                        Pressure::of(first.number("high_bar"), unit::bar)};
  return test;
}

CompressionTest usual() {
  return testFrom(platemark::test::loadCases("method/cases/compressibility.csv").rows);
}

std::string codeOf(const CompressionTest& test) {
  const Result<Compressibility> result = compressibility(test);
  return result ? "" : result.error().code;
}

}  // namespace

TEST_CASE("Net deflection, strain and stiffness of each cycle agree with hand calculation") {
  const auto rows = platemark::test::loadCases("method/cases/compressibility.csv").rows;
  const Result<Compressibility> result = compressibility(testFrom(rows));
  REQUIRE(result);
  REQUIRE(result->cycles.size() == rows.size());
  CHECK_FALSE(result->rising);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    CAPTURE(rows[i].text("id"));
    const CompressionCycle& cycle = result->cycles[i];
    CHECK(cycle.number == static_cast<int>(rows[i].number("cycle")));
    CHECK(std::abs(cycle.net.in(unit::micrometre)-rows[i].number("net_um")) < 1e-9);
    CHECK(std::abs(cycle.strain.in(unit::percent)-rows[i].number("strain_percent")) <= 0.0005);
    CHECK(std::abs(cycle.stiffness->in(unit::newton_per_micrometre)-rows[i].number(
              "stiffness_n_um")) <= 0.05);
  }
}

TEST_CASE("The basis of the pressure stays with the result; without a load there is no stiffness") {
  CompressionTest test = usual();
  CHECK(compressibility(test)->basis == PressureBasis::line);
  test.basis = PressureBasis::specific;
  test.load.reset();
  const Compressibility result = *compressibility(test);
  CHECK(result.basis == PressureBasis::specific);
  CHECK_FALSE(result.cycles.back().stiffness);
}

TEST_CASE("A later cycle that compresses more is told, not refused") {
  CompressionTest test = usual();
  std::swap(test.deflection[0], test.deflection[2]);
  CHECK(compressibility(test)->rising);
}

TEST_CASE("Impossible cycles are refused by name") {
  CompressionTest test;
  CHECK(codeOf(test) == "compressibility.no_cycle");
  test = usual(), test.machine_deflection.pop_back();
  CHECK(codeOf(test) == "compressibility.cycles_differ");
  test = usual(), test.deflection[1] = micrometres(31.2);
  CHECK(codeOf(test) == "compressibility.not_above_machine");
  CHECK(compressibility(test).error().where.field == "deflection[1]");
  test = usual(), test.deflection[0] = micrometres(std::nan(""));
  CHECK(codeOf(test) == "compressibility.not_above_machine");
  test = usual(), test.machine_deflection[2] = micrometres(-1);
  CHECK(codeOf(test) == "compressibility.machine_deflection");
  test = usual(), test.deflection[0] = Length::of(188.4, unit::millimetre);
  CHECK(codeOf(test) == "compressibility.above_thickness");
  test = usual(), test.thickness = Length();
  CHECK(codeOf(test) == "compressibility.thickness");
  test = usual(), test.load->area = Area();
  CHECK(codeOf(test) == "compressibility.area");
  test = usual(), std::swap(test.load->low, test.load->high);
  CHECK(codeOf(test) == "compressibility.pressures");
  test = usual(), test.load->low = Pressure::of(-1, unit::bar);
  CHECK(codeOf(test) == "compressibility.pressures");
}

TEST_CASE(
    "The same test in other units is the same; more deflection is more strain, less stiffness") {
  CHECK(rc::check([] {
    const double raw = *rc::gen::inRange(400, 4000) / 10.0;
    const double machine = *rc::gen::inRange(0, 390) / 10.0;
    CompressionTest test = usual();
    test.deflection = {micrometres(raw)}, test.machine_deflection = {micrometres(machine)};
    CompressionTest other = test;
    other.deflection = {Length::of(raw / 1000, unit::millimetre)};
    other.load->high = Pressure::of(16, unit::megapascal);
    CompressionTest softer = test;
    softer.deflection = {micrometres(raw + 0.1)};
    const CompressionCycle a = compressibility(test)->cycles[0];
    const CompressionCycle b = compressibility(other)->cycles[0];
    const CompressionCycle c = compressibility(softer)->cycles[0];
    RC_ASSERT(std::abs(*a.stiffness / *b.stiffness - 1) < 1e-9);
    RC_ASSERT(std::abs(a.strain / b.strain - 1) < 1e-9);
    RC_ASSERT(c.strain > a.strain);
    RC_ASSERT(*c.stiffness < *a.stiffness);
  }));
}
