#include "platemark/method/bench/shear.h"

#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <cmath>

#include "support/cases.h"

using namespace platemark;
using namespace platemark::method::bench;

namespace {

Force newtons(double f) { return Force::of(f, unit::newton); }
Area cm2(double a) { return Area::of(a, unit::square_centimetre); }
double asNumber(Pressure p) { return p.in(unit::newton_per_square_centimetre); }

}  // namespace

TEST_CASE("Shear strength of pads and their summary agree with hand calculation") {
  std::vector<Pressure> pads;
  for (const platemark::test::Case& row :
       platemark::test::loadCases("method/cases/shear.csv").rows) {
    CAPTURE(row.text("id"));
    const Result<Pressure> shear =
        shearStrength(newtons(row.number("force_n")), cm2(row.number("bond_area_cm2")));
    REQUIRE(shear);
    CHECK(std::abs(asNumber(*shear) - row.number("shear_n_cm2")) <= row.number("tolerance"));
    pads.push_back(*shear);
  }
  const Result<ShearSummary> summary = summariseShear(pads);
  REQUIRE(summary);
  const platemark::test::Case row =
      platemark::test::loadCases("method/cases/shear_summary.csv").rows.front();
  const double tolerance = row.number("tolerance");
  CHECK(summary->pads == 5);
  CHECK(std::abs(asNumber(summary->mean) - row.number("mean_n_cm2")) <= tolerance);
  CHECK(std::abs(asNumber(*summary->s) - row.number("s_n_cm2")) <= tolerance);
  CHECK(std::abs(asNumber(summary->lowest) - row.number("lowest_n_cm2")) <= tolerance);
  const Result<Share> left =
      shareOfBond(cm2(row.number("compound_cm2")), cm2(row.number("bond_area_cm2")));
  CHECK(std::abs(left->in(unit::percent)-row.number("retention_percent")) <= tolerance);
}

TEST_CASE("250 N/mm² as a limit is refused and the slip of unit is named") {
  const Result<void> limit = plausibleShear(Pressure::of(250, unit::newton_per_square_millimetre));
  REQUIRE_FALSE(limit);
  CHECK(limit.error().code == "shear.implausible");
  CHECK(limit.error().what.find("25000 N/cm²") != std::string::npos);
  CHECK(limit.error().remedy.find("N/mm² against N/cm²") != std::string::npos);
  CHECK(plausibleShear(Pressure::of(250, unit::newton_per_square_centimetre)));
  CHECK(plausibleShear(Pressure::of(30, unit::megapascal)));
  CHECK_FALSE(plausibleShear(Pressure::of(30.01, unit::megapascal)));
}

TEST_CASE("Impossible forces, areas and shares are refused") {
  CHECK(shearStrength(newtons(0), cm2(47)).error().code == "shear.force");
  CHECK(shearStrength(newtons(-1), cm2(47)).error().code == "shear.force");
  CHECK(shearStrength(newtons(std::nan("")), cm2(47)).error().code == "shear.force");
  CHECK(shearStrength(newtons(27400), cm2(0)).error().code == "shear.bond_area");
  CHECK(shearStrength(newtons(27400), Area::of(47.2, unit::square_millimetre)).error().code ==
        "shear.implausible");
  CHECK(shareOfBond(cm2(48), cm2(47.2)).error().code == "shear.share_out_of_range");
  CHECK(shareOfBond(cm2(1), cm2(0)).error().code == "shear.bond_area");
  CHECK(bondLineShare(Share::of(-1, unit::percent)).error().code == "shear.share_out_of_range");
  CHECK(bondLineShare(Share::of(18, unit::one)).error().code == "shear.share_out_of_range");
  CHECK(bondLineShare(Share::of(100, unit::percent)));
  CHECK(summariseShear({}).error().code == "shear.no_pad");
  const std::vector<Pressure> one_wrong{Pressure::of(5, unit::megapascal),
                                        Pressure::of(500, unit::megapascal)};
  CHECK(summariseShear(one_wrong).error().where.field == "pads[1]");
  CHECK_FALSE(summariseShear(std::vector{Pressure::of(5, unit::megapascal)})->s);
}

TEST_CASE("Shear is the same in any unit, rises with force and falls with area") {
  CHECK(rc::check([] {
    const double f = *rc::gen::inRange(100, 60000);
    const double a = *rc::gen::inRange(300, 1500) / 10.0;
    const double shear = asNumber(*shearStrength(newtons(f), cm2(a)));
    const double other = asNumber(*shearStrength(Force::of(f / 1000, unit::kilonewton),
                                                 Area::of(a * 100, unit::square_millimetre)));
    RC_ASSERT(std::abs(shear - other) <= 1e-12 * shear);
    RC_ASSERT(asNumber(*shearStrength(newtons(f + 1), cm2(a))) > shear);
    RC_ASSERT(asNumber(*shearStrength(newtons(f), cm2(a + 0.1))) < shear);
  }));
}

TEST_CASE("The mean of pads lies between the lowest and the highest") {
  CHECK(rc::check([] {
    const auto values =
        *rc::gen::nonEmpty(rc::gen::container<std::vector<int>>(rc::gen::inRange(1, 3001)));
    std::vector<Pressure> pads;
    double highest = 0;
    for (const int v : values) {
      pads.push_back(Pressure::of(v, unit::newton_per_square_centimetre));
      highest = std::max<double>(highest, v);
    }
    const ShearSummary summary = *summariseShear(pads);
    RC_ASSERT(asNumber(summary.lowest) <= asNumber(summary.mean) + 1e-9);
    RC_ASSERT(asNumber(summary.mean) <= highest + 1e-9);
    RC_ASSERT(summary.s.has_value() == (pads.size() > 1));
  }));
}
