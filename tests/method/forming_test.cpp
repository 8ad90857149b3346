#include <limits>

#include "platemark/method/compound/composition.h"
#include "platemark/method/forming/charge.h"
#include "platemark/method/forming/pressure.h"
#include "platemark/method/mixing/charge_sheet.h"
#include "support/catalogue_cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method;
using platemark::test::drawn;
using platemark::test::holds;
using platemark::test::near;

namespace {

constexpr auto g_cm3 = unit::gram_per_cubic_centimetre;

ChargeDesign drawnDesign() {
  ChargeDesign design;
  design.pad_volume = Volume::of(drawn(100, 2000, 0.1), unit::cubic_centimetre);
  design.loss = Share::of(drawn(0, 200, 0.1), unit::percent);
  design.basis = *rc::gen::element(ChargeLoss::on_pad, ChargeLoss::on_charge);
  const int lines = *rc::gen::inRange(1, 13);
  for (int i = 0; i < lines; ++i) {
    design.parts.push_back(drawn(1, 400, 0.1));
    design.nominal.push_back(Density::of(drawn(90, 800, 0.01), g_cm3));
    design.lots.push_back(design.nominal.back() * drawn(95, 105, 0.01));
  }
  const Density void_free = composition(design.parts, design.nominal)->void_free;
  design.target = void_free * drawn(80, 99, 0.01);
  return design;
}

}  // namespace

TEST_CASE("Charges, pressures and weighing sheets agree with the examples") {
  test::checkCases("method/cases/forming.csv");
}

TEST_CASE("The lots keep the pad's total porosity") {
  holds("porosity held", [] {
    const auto charge = chargeWeight(drawnDesign());
    RC_ASSERT(static_cast<bool>(charge));
    const auto porosity = totalPorosity(charge->lot_target, charge->void_free_lots);
    RC_ASSERT(std::abs(porosity->in(unit::one)-charge->porosity.in(unit::one)) < 1e-12);
  });
}

TEST_CASE("Lots at nominal density leave the target as it is") {
  holds("nominal", [] {
    ChargeDesign design = drawnDesign();
    design.lots = design.nominal;
    RC_ASSERT(near(chargeWeight(design)->lot_target.in(g_cm3), design.target.in(g_cm3)));
  });
}

TEST_CASE("What is lost from the charge leaves the pad, on either basis") {
  holds("mass balance", [] {
    const ChargeDesign design = drawnDesign();
    const auto charge = chargeWeight(design);
    const Mass of = design.basis == ChargeLoss::on_pad ? charge->pad : charge->charge;
    RC_ASSERT(near((charge->charge - of * design.loss.in(unit::one)).in(unit::gram),
                   charge->pad.in(unit::gram)));
  });
}

TEST_CASE("More loss needs more charge, and twice the volume twice the charge") {
  holds("monotonic", [] {
    const ChargeDesign design = drawnDesign();
    ChargeDesign lossier = design, larger = design;
    lossier.loss = lossier.loss + Share::of(1, unit::percent);
    larger.pad_volume = larger.pad_volume * 2;
    RC_ASSERT(chargeWeight(lossier)->charge > chargeWeight(design)->charge);
    RC_ASSERT(near(chargeWeight(larger)->charge.in(unit::gram),
                   2 * chargeWeight(design)->charge.in(unit::gram)));
  });
}

TEST_CASE("The order of the charges does not matter, and the worst is one of the two ends") {
  holds("deviation", [] {
    const Mass target = Mass::of(drawn(1000, 20000, 0.01), unit::gram);
    std::vector<Mass> charges;
    const int count = *rc::gen::inRange(1, 30);
    for (int i = 0; i < count; ++i) charges.push_back(target * drawn(900, 1100, 0.001));
    const auto a = chargeDeviation(target, charges);
    std::reverse(charges.begin(), charges.end());
    const auto b = chargeDeviation(target, charges);
    RC_ASSERT(a->worst == b->worst && a->lowest == b->lowest && a->highest == b->highest);
    RC_ASSERT(near(a->mean.in(unit::gram), b->mean.in(unit::gram)));
    RC_ASSERT(a->worst == a->lowest || a->worst == a->highest);
    for (const Mass charge : charges) {
      RC_ASSERT(std::abs((charge - target).in(unit::gram)) <=
                std::abs(a->worst.in(unit::gram)) + 1e-12 * target.in(unit::gram));
      RC_ASSERT(charge - target >= a->lowest && charge - target <= a->highest);
    }
  });
}

TEST_CASE("Impossible designs are refused") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const ChargeDesign good{Volume::of(59.8, unit::cubic_centimetre),
                          Density::of(2.35, g_cm3),
                          Share::of(2, unit::percent),
                          ChargeLoss::on_pad,
                          {30, 70},
                          {Density::of(1.25, g_cm3), Density::of(4.5, g_cm3)},
                          {Density::of(1.25, g_cm3), Density::of(4.5, g_cm3)}};
  const auto codeOf = [&](auto change) {
    ChargeDesign design = good;
    change(design);
    const auto charge = chargeWeight(design);
    return charge ? std::string("none") : charge.error().code;
  };
  CHECK(codeOf([](ChargeDesign&) {}) == "none");
  CHECK(codeOf([&](ChargeDesign& d) { d.pad_volume = Volume::of(nan, unit::cubic_centimetre); }) ==
        "charge.volume");
  CHECK(codeOf([](ChargeDesign& d) { d.loss = Share::of(100, unit::percent); }) == "charge.loss");
  CHECK(codeOf([](ChargeDesign& d) { d.loss = Share::of(-1, unit::percent); }) == "charge.loss");
  CHECK(codeOf([](ChargeDesign& d) { d.lots.pop_back(); }) == "composition.count");
  CHECK(codeOf([](ChargeDesign& d) { d.target = Density(); }) == "composition.measured_density");
  CHECK(chargeDeviation(Mass::of(1, unit::gram), {}).error().code == "charge.none");
  CHECK(chargeDeviation(Mass(), std::vector{Mass::of(1, unit::gram)}).error().code ==
        "charge.weight");
}

TEST_CASE(
    "Pressure times area times cavities gives the force back; unphysical presses are refused") {
  holds("force back", [] {
    const Force force = Force::of(drawn(1, 5000, 1), unit::kilonewton);
    const Area area = Area::of(drawn(1000, 10000, 1), unit::square_millimetre);
    const int cavities = *rc::gen::inRange(1, 25);
    const auto pressure = specificPressure(force, area, cavities);
    RC_ASSERT(near((*pressure * (area * cavities)).in(unit::newton), force.in(unit::newton)));
  });
  const Area area = Area::of(1, unit::square_centimetre);
  CHECK(specificPressure(Force::of(1, unit::newton), area, 0).error().code == "pressure.cavities");
  CHECK(specificPressure(Force::of(-1, unit::newton), area, 1).error().code == "pressure.force");
  CHECK(specificPressure(Force::of(1, unit::newton), Area(), 1).error().code == "pressure.area");
  CHECK(pressForce(Pressure(), Length::of(1, unit::metre)).error().code == "pressure.line");
}

TEST_CASE("A weighing sheet sums to the mix and keeps its order") {
  holds("sheet", [] {
    std::vector<ChargeSheetLine> formula;
    const int lines = *rc::gen::inRange(1, 20);
    for (int i = 0; i < lines; ++i)
      formula.push_back({drawn(1, 500, 0.1), Share::of(drawn(0, 50, 0.1), unit::percent)});
    const Mass mix = Mass::of(drawn(1, 5000, 0.1), unit::kilogram);
    const auto sheet = chargeSheet(formula, mix);
    Mass sum;
    for (std::size_t i = 0; i < formula.size(); ++i) {
      sum = sum + (*sheet)[i].target;
      RC_ASSERT((*sheet)[i].lowest <= (*sheet)[i].target &&
                (*sheet)[i].target <= (*sheet)[i].highest);
      RC_ASSERT(near((*sheet)[i].target / sheet->front().target,
                     formula[i].parts / formula.front().parts));
    }
    RC_ASSERT(near(sum.in(unit::kilogram), mix.in(unit::kilogram)));
  });
  CHECK(chargeSheet({}, Mass::of(1, unit::kilogram)).error().code == "charge_sheet.empty");
  const std::vector<ChargeSheetLine> wide{{1, Share::of(100, unit::percent)}};
  CHECK(chargeSheet(wide, Mass::of(1, unit::kilogram)).error().code == "charge_sheet.tolerance");
}
