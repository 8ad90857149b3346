#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <fstream>

#include "platemark/catalogue/catalogue.h"

using namespace platemark;
using namespace platemark::catalogue;

namespace {

const std::vector<std::string> ids{
    "bench.density", "bench.porosity",        "bench.hardness",      "bench.hardness_depth",
    "bench.shear",   "bench.compressibility", "bench.water_density", "friction.letters"};

Measure measure(const char* typed) { return *parseMeasure(typed); }

Result<Evaluation> computed(const char* id, const Inputs& inputs) {
  return evaluate(*find(id), inputs);
}

std::string codeOf(const char* id, const Inputs& inputs) {
  const Result<Evaluation> result = computed(id, inputs);
  return result ? "" : result.error().code;
}

const OutputValue* outputOf(const Evaluation& evaluation, const std::string& name) {
  for (const OutputValue& output : evaluation.outputs)
    if (output.name == name) return &output;
  return nullptr;
}

double numberOf(const Evaluation& evaluation, const std::string& name) {
  return outputOf(evaluation, name)->value.value.value();
}

Inputs example(const char* id) { return find(id)->example; }

}  // namespace

TEST_CASE("Each bench entry is complete and its example computes what it declares") {
  for (const std::string& id : ids) {
    CAPTURE(id);
    const Entry* entry = find(id);
    REQUIRE(entry != nullptr);
    for (const std::string* text : {&entry->title, &entry->words, &entry->formula, &entry->validity,
                                    &entry->uncertainty, &entry->source})
      CHECK_FALSE(text->empty());
    CHECK(std::ifstream(std::string(PLATEMARK_TESTS_DIR) + "/" + entry->outside_check).good());
    const Result<Evaluation> result = evaluate(*entry, entry->example);
    REQUIRE(result);
    CHECK(result->outputs.size() == entry->outputs.size());
    for (const Output& declared : entry->outputs) {
      REQUIRE(outputOf(*result, declared.name) != nullptr);
      CHECK(findUnit(outputOf(*result, declared.name)->value.unit)->kind == declared.kind);
    }
    CHECK_FALSE(result->substituted_formula.empty());
    CHECK_FALSE(result->working.empty());
  }
}

TEST_CASE("The density of a bonded pad shows its working and what makes up its uncertainty") {
  const Evaluation result = *computed("bench.density", example("bench.density"));
  CHECK(result.substituted_formula ==
        "ρ = (361.84 − 226.40) / ((361.84 − 271.30)/0.99763 − 226.40/7.850) = 2.1876 g/cm³");
  CHECK(std::abs(numberOf(result, "density") - 2.18755) < 6e-6);
  const std::optional<Measure>& u = outputOf(result, "density")->standard_uncertainty;
  REQUIRE(u);
  CHECK(u->unit == "g/cm3");
  CHECK(u->value.value() > 0.003);
  CHECK(u->value.value() < 0.008);
  REQUIRE(result.working.size() == 5);
  double sum = 0;
  for (const WorkingLine& line : result.working) {
    CHECK(line.u.has_value());
    sum += line.share_of_variance;
  }
  CHECK(sum == doctest::Approx(1));
  CHECK(result.working[2].symbol == "m_p");
  CHECK(result.working[2].share_of_variance > 0.9);
}

TEST_CASE("Density without a plate, with air, in other units; no half uncertainty") {
  Inputs coupon;
  coupon.numbers = {{"in_air", {measure("52.340 g")}},
                    {"in_water", {measure("0.029815 kg")}},
                    {"water_temperature", {measure("73.4 °F")}}};
  Evaluation result = *computed("bench.density", coupon);
  CHECK(std::abs(numberOf(result, "density") - 2.3179) < 5e-5);
  CHECK_FALSE(outputOf(result, "density")->standard_uncertainty);
  CHECK(result.substituted_formula == "ρ = 52.340 / ((52.340 − 29.815)/0.99754) = 2.3179 g/cm³");
  coupon.choices["air_buoyancy"] = "yes";
  coupon.numbers["u_balance"] = {measure("1 mg")};
  result = *computed("bench.density", coupon);
  CHECK(std::abs(numberOf(result, "density") - 2.3163) < 5e-5);
  CHECK_FALSE(outputOf(result, "density")->standard_uncertainty);
  CHECK(result.notes.front().find("u_water_temperature") != std::string::npos);
  coupon.numbers["u_water_temperature"] = {measure("0.5 K")};
  CHECK(outputOf(*computed("bench.density", coupon), "density")->standard_uncertainty);
}

TEST_CASE("Wrong units, half plates and impossible weighings are refused where they were typed") {
  Inputs pad = example("bench.density");
  pad.numbers["in_air"] = {measure("361.84 N")};
  CHECK(codeOf("bench.density", pad) == "unit.wrong_kind");
  pad = example("bench.density");
  pad.numbers.erase("plate_density");
  CHECK(codeOf("bench.density", pad) == "catalogue.missing_input");
  pad = example("bench.density");
  std::swap(pad.numbers["in_air"], pad.numbers["in_water"]);
  CHECK(codeOf("bench.density", pad) == "density.not_heavier_in_air");
  CHECK(computed("bench.density", pad).error().where.field == "numbers.in_water");
  pad = example("bench.density");
  pad.numbers["water_temperature"] = {measure("41 °C")};
  CHECK(codeOf("bench.density", pad) == "catalogue.out_of_range");
  pad = example("bench.density");
  pad.numbers["in_air"] = {measure("-361 g")};
  CHECK(codeOf("bench.density", pad) == "catalogue.out_of_range");
}

TEST_CASE("Hardness comes out in the scale that went in; scales do not mix") {
  Inputs readings;
  readings.numbers["readings"] = {measure("101 HRM"), measure("103 HRM")};
  const Evaluation result = *computed("bench.hardness", readings);
  CHECK(outputOf(result, "hardness")->value == Measure{*Decimal::parse("102"), "{HRM}"});
  CHECK(outputOf(result, "s")->value.unit == "{HRM}");
  readings.numbers["readings"][1] = measure("103 HRR");
  CHECK(codeOf("bench.hardness", readings) == "hardness.mixed_scales");
  readings.numbers["readings"] = {measure("77 HRS")};
  const Evaluation single = *computed("bench.hardness", readings);
  CHECK(outputOf(single, "s") == nullptr);
  CHECK(std::any_of(single.notes.begin(), single.notes.end(), [](const std::string& note) {
    return note.find("remembered, not verified") != std::string::npos;
  }));
  Inputs depth;
  depth.numbers["depth"] = {measure("120 µm")};
  CHECK(codeOf("bench.hardness_depth", depth) == "catalogue.missing_input");
  depth.choices["scale"] = "HRL";
  const Evaluation from_depth = *computed("bench.hardness_depth", depth);
  CHECK(outputOf(from_depth, "hardness")->value.unit == "{HRL}");
  CHECK(numberOf(from_depth, "hardness") == doctest::Approx(70));
  depth.numbers["depth"] = {measure("0.27 mm")};
  CHECK(codeOf("bench.hardness_depth", depth) == "catalogue.out_of_range");
}

TEST_CASE("Shear reports the share of bond-line failure when it was read, and slips of unit") {
  Inputs pad = example("bench.shear");
  CHECK(std::abs(numberOf(*computed("bench.shear", pad), "shear_strength") - 580.508) < 5e-4);
  CHECK(numberOf(*computed("bench.shear", pad), "bond_line_share") == doctest::Approx(18));
  pad.numbers.erase("bond_line_share");
  CHECK(outputOf(*computed("bench.shear", pad), "bond_line_share") == nullptr);
  pad.numbers["bond_area"] = {measure("47.2 mm2")};
  CHECK(codeOf("bench.shear", pad) == "shear.implausible");
  pad.numbers["bond_area"] = {measure("0 cm2")};
  CHECK(codeOf("bench.shear", pad) == "shear.bond_area");
  pad.numbers["bond_line_share"] = {measure("101 %")};
  CHECK(codeOf("bench.shear", pad) == "catalogue.out_of_range");
}

TEST_CASE("Compressibility needs its basis; stiffness needs area and pressures, all or none") {
  Inputs pad = example("bench.compressibility");
  const Evaluation result = *computed("bench.compressibility", pad);
  CHECK(numberOf(result, "compressibility") == doctest::Approx(137.2));
  CHECK(numberOf(result, "compressibility_first") == doctest::Approx(156.8));
  CHECK(std::abs(numberOf(result, "strain") - 0.868) < 5e-4);
  CHECK(std::abs(numberOf(result, "stiffness") - 288.3) < 0.05);
  pad.choices.clear();
  CHECK(codeOf("bench.compressibility", pad) == "catalogue.missing_input");
  pad.choices["pressure_basis"] = "specific";
  pad.numbers.erase("pressure_low");
  CHECK(codeOf("bench.compressibility", pad) == "catalogue.missing_input");
  pad.numbers.erase("pressure_high");
  pad.numbers.erase("piston_area");
  CHECK(outputOf(*computed("bench.compressibility", pad), "stiffness") == nullptr);
  CHECK(computed("bench.compressibility", pad)->notes.front().starts_with("By specific pressure"));
  pad.numbers["machine_deflection"].pop_back();
  CHECK(codeOf("bench.compressibility", pad) == "compressibility.cycles_differ");
}

TEST_CASE("Friction letters stand in the notes; percent is understood") {
  Inputs test = example("friction.letters");
  Evaluation result = *computed("friction.letters", test);
  CHECK(result.notes == std::vector<std::string>{"SAE J866: FF"});
  CHECK(numberOf(result, "normal") == doctest::Approx(0.395));
  CHECK(numberOf(result, "hot") == doctest::Approx(0.354));
  test.numbers["normal"] = {measure("35 %")};
  result = *computed("friction.letters", test);
  CHECK(result.notes.front() == "SAE J866: EF");
  CHECK(result.notes.size() == 2);
  test.numbers["hot"].clear();
  CHECK(codeOf("friction.letters", test) == "catalogue.missing_input");
}

TEST_CASE("The density of water comes with the uncertainty of its temperature, when given") {
  Inputs inputs;
  inputs.numbers["water_temperature"] = {measure("73.4 °F")};
  const Evaluation bare = *computed("bench.water_density", inputs);
  CHECK(std::abs(numberOf(bare, "density") - 997.5408) < 5e-5);
  CHECK_FALSE(bare.outputs.front().standard_uncertainty);
  inputs.numbers["u_water_temperature"] = {measure("0.5 K")};
  const Evaluation result = *computed("bench.water_density", inputs);
  REQUIRE(result.outputs.front().standard_uncertainty);
  // The drop between the printed 22 and 24 °C, half of it for one kelvin.
  const double per_kelvin = (997.7730 - 997.2988) / 2;
  CHECK(std::abs(result.outputs.front().standard_uncertainty->value.value() - per_kelvin / 2) <
        2e-4);
  CHECK(result.working.front().share_of_variance == 1);
}
