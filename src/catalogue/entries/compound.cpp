#include <fmt/format.h>

#include <cmath>

#include "platemark/method/compound/composition.h"
#include "platemark/method/forming/charge.h"
#include "platemark/method/forming/pressure.h"
#include "platemark/method/mixing/charge_sheet.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

std::vector<Measure> measures(std::initializer_list<const char*> values, const std::string& unit) {
  std::vector<Measure> list;
  for (const char* value : values) list.push_back({*Decimal::parse(value), unit});
  return list;
}

std::vector<Density> densities(const Inputs& inputs, const std::string& name) {
  std::vector<Density> list;
  for (const double density : siList(inputs, name))
    list.push_back(Density::of(density, unit::kilogram_per_cubic_metre));
  return list;
}

double grams(Mass mass) { return mass.in(unit::gram); }
double gramsPerCm3(Density density) { return density.in(unit::gram_per_cubic_centimetre); }
double kilograms(Mass mass) { return mass.in(unit::kilogram); }
double kilogramsPerM3(Density density) { return density.in(unit::kilogram_per_cubic_metre); }

OutputValue extra(std::string name, double si_value, std::string_view unit) {
  return {std::move(name), fromSi(si_value, unit), {}, true, ""};
}

// ---- compound.composition

Result<Evaluation> evaluateComposition(const Entry& entry, const Inputs& inputs) {
  if (inputs.choices.at("declared") == "percent") {
    std::vector<Decimal> percents;
    for (const Measure& part : inputs.numbers.at("parts")) percents.push_back(part.value);
    if (Result<void> sum = method::checkPercentSum(percents); !sum) return atInput(sum.error());
  }
  const auto made = method::composition(siList(inputs, "parts"), densities(inputs, "densities"));
  if (!made) return atInput(made.error());

  Evaluation evaluation;
  evaluation.outputs = {output(entry, "void_free_density", kilogramsPerM3(made->void_free))};
  evaluation.substituted_formula = fmt::format("ρ_th = {:.4f} g/cm³", gramsPerCm3(made->void_free));
  if (inputs.numbers.contains("measured_density")) {
    const Density measured = densities(inputs, "measured_density").front();
    const Result<Share> porosity = method::totalPorosity(measured, made->void_free);
    if (!porosity) return atInput(porosity.error());
    evaluation.outputs.push_back(output(entry, "porosity", porosity->in(unit::one)));
    evaluation.substituted_formula +=
        fmt::format(";  P = 1 − {:g}/{:.4f} = {:.2f} %", gramsPerCm3(measured),
                    gramsPerCm3(made->void_free), porosity->in(unit::percent));
  }
  for (std::size_t i = 0; i < made->mass.size(); ++i) {
    evaluation.outputs.push_back(
        extra(fmt::format("mass_{:02}", i + 1), made->mass[i].in(unit::one), "%"));
    evaluation.outputs.push_back(
        extra(fmt::format("volume_{:02}", i + 1), made->volume[i].in(unit::one), "%"));
    evaluation.working.push_back({fmt::format("φ{}", i + 1),
                                  fmt::format("volume share of ingredient {}", i + 1),
                                  fromSi(made->volume[i].in(unit::one), "%"),
                                  {},
                                  0});
  }
  return evaluation;
}

Entry compositionEntry() {
  Entry entry;
  entry.id = "compound.composition";
  entry.version = method::composition_version;
  entry.title = "Composition and void-free density";
  entry.words =
      "Mass and volume shares and the density without any pores of a formula given in mass parts; "
      "with a measured "
      "density also the total porosity. Besides the outputs named here it gives mass_01, "
      "volume_01, "
      "mass_02, volume_02, … in per cent, in the order given.";
  entry.formula = "w_i = m_i/Σm;  φ_i = (w_i/ρ_i)/Σ(w/ρ);  1/ρ_th = Σ w_i/ρ_i;  P = 1 − ρ/ρ_th";
  entry.inputs = {
      {"parts", "m", "mass parts of each ingredient", Kind::number, "1", 0, {}, true, false},
      {"densities",
       "ρ_i",
       "true density of each ingredient, in the same order",
       Kind::density,
       "g/cm3",
       0,
       {},
       true,
       false},
      {"measured_density",
       "ρ",
       "measured density of the compound",
       Kind::density,
       "g/cm3",
       0,
       {},
       false,
       true}};
  entry.choices = {{"declared",
                    "whether the amounts are parts of any sum, or per cent that must sum to 100",
                    {"parts", "percent"},
                    "parts"}};
  entry.outputs = {
      {"void_free_density", "ρ_th", "density without any pores", Kind::density, "g/cm3", 4},
      {"porosity", "P", "total porosity, when a measured density is given", Kind::number, "%", 2}};
  entry.validity =
      "Volumes add: no ingredient dissolves in another. The densities are true densities; bulk or "
      "tapped ones give a wrong porosity. A negative porosity is refused.";
  entry.uncertainty = "Not propagated; the ingredients' densities govern.";
  entry.source = "Inverse rule of mixtures.";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/composition.csv";
  entry.example.numbers = {
      {"parts", measures({"10", "30", "20", "10", "5", "5", "10", "10"}, "1")},
      {"densities",
       measures({"1.25", "4.45", "7.85", "2.2", "1.2", "3.97", "2.82", "1.9"}, "g/cm3")},
      {"measured_density", measures({"2.55"}, "g/cm3")}};
  entry.evaluate = evaluateComposition;
  return entry;
}

// ---- forming.charge and forming.charge_check

method::ChargeDesign designFrom(const Inputs& inputs) {
  return {Volume::of(si(one(inputs, "pad_volume")), Unit<dim::Volume>{1.0}),
          Density::of(si(one(inputs, "target_density")), unit::kilogram_per_cubic_metre),
          Share::of(si(one(inputs, "loss")), unit::one),
          inputs.choices.at("loss_basis") == "charge" ? method::ChargeLoss::on_charge
                                                      : method::ChargeLoss::on_pad,
          siList(inputs, "parts"),
          densities(inputs, "nominal_densities"),
          densities(inputs, "lot_densities")};
}

std::string chargeSubstituted(const method::ChargeDesign& design, const method::Charge& charge) {
  const double loss = design.loss.in(unit::one);
  const std::string factor = design.basis == method::ChargeLoss::on_pad
                                 ? fmt::format("· (1 + {:g})", loss)
                                 : fmt::format("/ (1 − {:g})", loss);
  return fmt::format("m = {:g} cm³ · {:.4f} g/cm³ {} = {:.2f} g",
                     design.pad_volume.in(unit::cubic_centimetre), gramsPerCm3(charge.lot_target),
                     factor, grams(charge.charge));
}

void addWorking(Evaluation& evaluation, const method::Charge& charge) {
  const auto line = [&](std::string symbol, std::string words, double si_value,
                        std::string_view unit) {
    evaluation.working.push_back(
        {std::move(symbol), std::move(words), fromSi(si_value, unit), {}, 0});
  };
  line("ρ_th,nom", "void-free density at nominal densities",
       kilogramsPerM3(charge.void_free_nominal), "g/cm3");
  line("ρ_th,lot", "void-free density at the lots' densities",
       kilogramsPerM3(charge.void_free_lots), "g/cm3");
  line("P", "total porosity held", charge.porosity.in(unit::one), "%");
  line("ρ_t,lot", "target density with these lots", kilogramsPerM3(charge.lot_target), "g/cm3");
  line("m_pad", "mass of compound on the ground pad", kilograms(charge.pad), "g");
}

Result<Evaluation> evaluateCharge(const Entry& entry, const Inputs& inputs) {
  const method::ChargeDesign design = designFrom(inputs);
  const Result<method::Charge> charge = method::chargeWeight(design);
  if (!charge) return atInput(charge.error());
  Evaluation evaluation;
  evaluation.outputs = {output(entry, "target_charge", kilograms(charge->charge)),
                        output(entry, "void_free_density", kilogramsPerM3(charge->void_free_lots)),
                        output(entry, "lot_target_density", kilogramsPerM3(charge->lot_target))};
  evaluation.substituted_formula = chargeSubstituted(design, *charge);
  addWorking(evaluation, *charge);
  return evaluation;
}

Result<Evaluation> evaluateChargeCheck(const Entry& entry, const Inputs& inputs) {
  const method::ChargeDesign design = designFrom(inputs);
  const Result<method::Charge> charge = method::chargeWeight(design);
  if (!charge) return atInput(charge.error());
  std::vector<Mass> weighed;
  for (const double mass : siList(inputs, "charges"))
    weighed.push_back(Mass::of(mass, unit::kilogram));
  const Result<method::ChargeDeviation> deviation =
      method::chargeDeviation(charge->charge, weighed);
  if (!deviation) return atInput(deviation.error());

  Evaluation evaluation;
  evaluation.outputs = {output(entry, "target_charge", kilograms(charge->charge)),
                        output(entry, "worst_charge_deviation", kilograms(deviation->worst)),
                        output(entry, "mean_charge", kilograms(deviation->mean)),
                        output(entry, "highest_deviation", kilograms(deviation->highest)),
                        output(entry, "lowest_deviation", kilograms(deviation->lowest))};
  evaluation.substituted_formula =
      chargeSubstituted(design, *charge) +
      fmt::format(";  farthest charge {:+.2f} g", grams(deviation->worst));
  addWorking(evaluation, *charge);
  for (const Measure& mass : inputs.numbers.at("charges"))
    evaluation.working.push_back({"c_i", "weighed charge", mass, {}, 0});
  return evaluation;
}

/// What both entries share: inputs, choice, validity, example.
Entry chargeBase() {
  Entry entry;
  entry.version = method::charge_version;
  entry.formula =
      "ρ_t,lot = ρ_t·ρ_th,lot/ρ_th,nom;  m = V·ρ_t,lot·(1 + λ) on pad basis, V·ρ_t,lot/(1 − λ) on "
      "charge basis";
  entry.inputs = {
      {"pad_volume",
       "V",
       "volume of compound on one pad",
       Kind::volume,
       "cm3",
       0,
       {},
       false,
       false},
      {"target_density",
       "ρ_t",
       "target density of the compound, at nominal densities",
       Kind::density,
       "g/cm3",
       0,
       {},
       false,
       false},
      {"loss", "λ", "mass lost from the charge to the ground pad", Kind::number, "%", 0, 99, false,
       false},
      {"parts", "m_i", "mass parts of each ingredient", Kind::number, "1", 0, {}, true, false},
      {"nominal_densities",
       "ρ_i",
       "nominal true density of each ingredient, in the same order",
       Kind::density,
       "g/cm3",
       0,
       {},
       true,
       false},
      {"lot_densities",
       "ρ_i,lot",
       "true density of the lot of each ingredient, in the same order",
       Kind::density,
       "g/cm3",
       0,
       {},
       true,
       false}};
  entry.choices = {{"loss_basis",
                    "what the loss is a share of: the pad or the charge",
                    {"pad", "charge"},
                    "pad"}};
  entry.validity =
      "The lots differ from nominal in density only; the total porosity of the pad is held, so the "
      "target density scales with the void-free density. The loss holds moisture, volatiles, flash "
      "and stock that is ground off.";
  entry.uncertainty = "Not propagated; the loss and the lots' densities govern.";
  entry.source = "Mass balance over one pad.";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/forming.csv";
  entry.example.numbers = {{"pad_volume", measures({"59.8"}, "cm3")},
                           {"target_density", measures({"2.35"}, "g/cm3")},
                           {"loss", measures({"2"}, "%")},
                           {"parts", measures({"30", "70"}, "1")},
                           {"nominal_densities", measures({"1.25", "4.50"}, "g/cm3")},
                           {"lot_densities", measures({"1.25", "4.40"}, "g/cm3")}};
  entry.example.choices = {{"loss_basis", "pad"}};
  return entry;
}

Output targetCharge() {
  return {"target_charge", "m", "mass to put into the cavity for one pad", Kind::mass, "g", 2};
}

Entry chargeEntry() {
  Entry entry = chargeBase();
  entry.id = "forming.charge";
  entry.title = "Charge weight";
  entry.words =
      "How much compound to weigh in for one pad so that it comes out at its density, with the "
      "lots that are in the mix.";
  entry.outputs = {targetCharge(),
                   {"void_free_density", "ρ_th,lot", "density without any pores, with these lots",
                    Kind::density, "g/cm3", 4},
                   {"lot_target_density", "ρ_t,lot", "target density with these lots",
                    Kind::density, "g/cm3", 4}};
  entry.evaluate = evaluateCharge;
  return entry;
}

Entry chargeCheckEntry() {
  Entry entry = chargeBase();
  entry.id = "forming.charge_check";
  entry.title = "Check of charge weights";
  entry.words =
      "How far weighed charges lie from the charge weight of the pad and the lots in the mix.";
  entry.formula += ";  d_i = c_i − m";
  entry.inputs.push_back(
      {"charges", "c_i", "weighed charges", Kind::mass, "g", 0, {}, true, false});
  entry.outputs = {
      targetCharge(),
      {"worst_charge_deviation", "d_worst",
       "of the charge farthest from the target, minus the target; of two as far the light one",
       Kind::mass, "g", 2},
      {"mean_charge", "c̄", "mean of the weighed charges", Kind::mass, "g", 2},
      {"highest_deviation", "d_max", "heaviest charge minus target", Kind::mass, "g", 2},
      {"lowest_deviation", "d_min", "lightest charge minus target", Kind::mass, "g", 2}};
  entry.example.numbers["charges"] = measures({"141.9", "142.6", "141.2"}, "g");
  entry.evaluate = evaluateChargeCheck;
  return entry;
}

// ---- forming.pressure

Error missing(const std::string& name, std::string_view words) {
  Error error;
  error.code = "catalogue.missing_input";
  error.what = fmt::format("{} ({}) is missing.", words, name);
  error.where.field = "numbers." + name;
  error.remedy = "Give it, or choose the other way to give the force.";
  return error;
}

Result<Force> forceOfPress(const Inputs& inputs) {
  if (inputs.choices.at("known") == "force") {
    if (!inputs.numbers.contains("force")) return missing("force", "force of the press");
    return Force::of(si(one(inputs, "force")), unit::newton);
  }
  if (!inputs.numbers.contains("line_pressure")) return missing("line_pressure", "line pressure");
  if (!inputs.numbers.contains("ram_diameter"))
    return missing("ram_diameter", "diameter of the ram");
  return method::pressForce(Pressure::of(si(one(inputs, "line_pressure")), unit::pascal),
                            Length::of(si(one(inputs, "ram_diameter")), unit::metre));
}

Result<int> wholeCavities(const Inputs& inputs) {
  const double cavities = si(one(inputs, "cavities"));
  if (cavities == std::floor(cavities)) return static_cast<int>(cavities);
  Error error;
  error.code = "pressure.cavities";
  error.what = fmt::format("{:g} is not a whole number of cavities.", cavities);
  error.where.field = "numbers.cavities";
  error.expected = "1, 2, 3, …";
  return error;
}

Result<Evaluation> evaluatePressure(const Entry& entry, const Inputs& inputs) {
  const Result<int> cavities = wholeCavities(inputs);
  if (!cavities) return cavities.error();
  const Result<Force> force = forceOfPress(inputs);
  if (!force) return force.error();
  const Area area = Area::of(si(one(inputs, "area")), Unit<dim::Area>{1.0});
  const Result<Pressure> pressure = method::specificPressure(*force, area, *cavities);
  if (!pressure) return atInput(pressure.error());
  Evaluation evaluation;
  evaluation.outputs = {output(entry, "specific_pressure", pressure->in(unit::pascal)),
                        output(entry, "press_force", force->in(unit::newton))};
  evaluation.substituted_formula =
      fmt::format("p = {:.2f} kN / ({} · {:g} mm²) = {:.3f} MPa", force->in(unit::kilonewton),
                  *cavities, area.in(unit::square_millimetre), pressure->in(unit::megapascal));
  return evaluation;
}

Entry pressureEntry() {
  Entry entry;
  entry.id = "forming.pressure";
  entry.version = method::specific_pressure_version;
  entry.title = "Specific pressure in the press";
  entry.words =
      "Pressure on the compound, from the force of the press or from its line pressure and ram.";
  entry.formula = "p = F/(n·A);  F = p_hyd·π·d²/4";
  entry.inputs = {
      {"force", "F", "force of the press", Kind::force, "kN", 0, {}, false, true},
      {"line_pressure", "p_hyd", "line pressure", Kind::pressure, "bar", 0, {}, false, true},
      {"ram_diameter", "d", "diameter of the ram", Kind::length, "mm", 0, {}, false, true},
      {"area", "A", "area of one cavity across the stroke", Kind::area, "mm2", 0, {}, false, false},
      {"cavities", "n", "cavities pressed at once", Kind::number, "1", 1, 1000, false, false}};
  entry.choices = {{"known",
                    "what is known of the press: its force, or line pressure and ram",
                    {"force", "line_pressure"},
                    "force"}};
  entry.outputs = {{"specific_pressure", "p", "pressure on the compound", Kind::pressure, "MPa", 2},
                   {"press_force", "F", "force of the press", Kind::force, "kN", 1}};
  entry.validity =
      "The whole force reaches the compound: no friction of the ram or in the cavities, no stop "
      "that carries load; the weight of moving parts is left out.";
  entry.uncertainty = "Not propagated; the relative uncertainty is that of the force.";
  entry.source = "Force over area.";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/forming.csv";
  entry.example.numbers = {{"line_pressure", measures({"250"}, "bar")},
                           {"ram_diameter", measures({"320"}, "mm")},
                           {"area", measures({"5200"}, "mm2")},
                           {"cavities", measures({"4"}, "1")}};
  entry.example.choices = {{"known", "line_pressure"}};
  entry.evaluate = evaluatePressure;
  return entry;
}

// ---- mixing.charge_sheet

Result<std::vector<method::ChargeSheetLine>> linesFrom(const Inputs& inputs) {
  const std::vector<double> parts = siList(inputs, "parts"),
                            tolerances = siList(inputs, "tolerances");
  if (parts.size() != tolerances.size()) {
    Error error;
    error.code = "charge_sheet.count";
    error.what = fmt::format("{} lines, but {} tolerances.", parts.size(), tolerances.size());
    error.where.field = "numbers.tolerances";
    error.expected = "one tolerance for each line";
    return error;
  }
  std::vector<method::ChargeSheetLine> lines;
  for (std::size_t i = 0; i < parts.size(); ++i)
    lines.push_back({parts[i], Share::of(tolerances[i], unit::one)});
  return lines;
}

Result<Evaluation> evaluateChargeSheet(const Entry& entry, const Inputs& inputs) {
  const auto lines = linesFrom(inputs);
  if (!lines) return lines.error();
  const Mass mix = Mass::of(si(one(inputs, "mix_mass")), unit::kilogram);
  const auto sheet = method::chargeSheet(*lines, mix);
  if (!sheet) return atInput(sheet.error());
  Evaluation evaluation;
  Mass total;
  for (const method::ChargeSheetMass& line : *sheet) total = total + line.target;
  evaluation.outputs = {output(entry, "total", kilograms(total))};
  for (std::size_t i = 0; i < sheet->size(); ++i) {
    const std::string name = fmt::format("line_{:02}", i + 1);
    evaluation.outputs.push_back(extra(name, kilograms((*sheet)[i].target), "kg"));
    evaluation.outputs.push_back(extra(name + "_low", kilograms((*sheet)[i].lowest), "kg"));
    evaluation.outputs.push_back(extra(name + "_high", kilograms((*sheet)[i].highest), "kg"));
  }
  evaluation.substituted_formula =
      fmt::format("M_1 = {:g} kg · {:g}/Σm = {:.4g} kg", kilograms(mix), lines->front().parts,
                  kilograms(sheet->front().target));
  return evaluation;
}

Entry chargeSheetEntry() {
  Entry entry;
  entry.id = "mixing.charge_sheet";
  entry.version = method::charge_sheet_version;
  entry.title = "Weighing sheet of a mix";
  entry.words =
      "What to weigh of each ingredient for one mix and within which limits. Besides the total it "
      "gives line_01, line_01_low, line_01_high, line_02, … in kilograms, in the order given.";
  entry.formula = "M_i = M·m_i/Σm;  limits M_i·(1 ∓ t_i)";
  entry.inputs = {{"parts",
                   "m_i",
                   "mass parts of each line, in the order of loading",
                   Kind::number,
                   "1",
                   0,
                   {},
                   true,
                   false},
                  {"tolerances", "t_i", "tolerance of each line, of its own mass", Kind::number,
                   "%", 0, 99, true, false},
                  {"mix_mass", "M", "mass of the mix", Kind::mass, "kg", 0, {}, false, false}};
  entry.outputs = {{"total", "ΣM_i", "sum of the lines", Kind::mass, "kg", 3}};
  entry.validity = "The lines keep the order given.";
  entry.uncertainty = "None in the sheet; the scale must resolve the narrowest tolerance.";
  entry.source = "Proportion.";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/forming.csv";
  entry.example.numbers = {{"parts", measures({"9", "4", "30", "57"}, "1")},
                           {"tolerances", measures({"1", "2", "0.5", "0.5"}, "%")},
                           {"mix_mass", measures({"162"}, "kg")}};
  entry.evaluate = evaluateChargeSheet;
  return entry;
}

}  // namespace

std::vector<Entry> compoundEntries() {
  return {compositionEntry(), chargeEntry(), chargeCheckEntry(), pressureEntry(),
          chargeSheetEntry()};
}

}  // namespace platemark::catalogue
