#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "entries.h"
#include "platemark/method/compound/composition.h"
#include "platemark/method/forming/charge.h"

namespace platemark::catalogue {
namespace {

namespace forming = method::forming;
namespace compound = method::compound;

Measure typed(const char* value, const char* unit) { return {*Decimal::parse(value), unit}; }

std::vector<Density> densities(const Inputs& inputs, const std::string& name) {
  std::vector<Density> list;
  for (const double v : siList(inputs, name)) list.push_back(Density::of(v, unit::kilogram_per_cubic_metre));
  return list;
}

double gcm3(Density d) { return d.in(unit::gram_per_cubic_centimetre); }

Result<Evaluation> evaluateComposition(const Entry& entry, const Inputs& inputs) {
  const std::vector<double> parts = siList(inputs, "parts");
  const std::vector<Density> rho = densities(inputs, "densities");
  const Result<compound::Composition> composition = compound::compose(parts, rho);
  if (!composition) return composition.error();
  Evaluation evaluation;
  evaluation.outputs.push_back(output(entry, "void_free_density", composition->void_free.in(unit::kilogram_per_cubic_metre)));
  if (inputs.numbers.contains("measured_density")) {
    const Result<Share> porosity = compound::totalPorosity(Density::of(si(one(inputs, "measured_density")), unit::kilogram_per_cubic_metre), composition->void_free);
    if (!porosity) return porosity.error();
    evaluation.outputs.push_back(output(entry, "porosity", porosity->in(unit::one)));
  }
  for (std::size_t i = 0; i < parts.size(); ++i)
    evaluation.working.push_back({fmt::format("φ_{}", i + 1), "volume share", {Decimal::fixed(100 * composition->volume_share[i], 3), "%"}, {}, 0});
  evaluation.substituted_formula = fmt::format("ρ_th = {:.4f} g/cm³", gcm3(composition->void_free));
  return evaluation;
}

/// What a charge is computed from; keeps the lists that the input only points at.
struct ChargeLists {
  std::vector<double> parts;
  std::vector<Density> nominal, lots;
};

Result<forming::Charge> chargeOf(const Inputs& inputs, ChargeLists& lists) {
  lists = {siList(inputs, "parts"), densities(inputs, "nominal_densities"), densities(inputs, "lot_densities")};
  const forming::LossBasis basis = inputs.choices.at("loss_basis") == "charge" ? forming::LossBasis::charge : forming::LossBasis::pad;
  return forming::chargeWeight({Volume::of(si(one(inputs, "pad_volume")) * 1e6, unit::cubic_centimetre), Density::of(si(one(inputs, "target_density")), unit::kilogram_per_cubic_metre),
                                Share::of(si(one(inputs, "loss")), unit::one), basis, lists.parts, lists.nominal, lists.lots});
}

void describeCharge(const Entry& entry, const forming::Charge& charge, Evaluation& evaluation) {
  evaluation.outputs.push_back(output(entry, "target_charge", charge.charge.in(unit::kilogram)));
  evaluation.outputs.push_back(output(entry, "lot_target_density", charge.lot_target.in(unit::kilogram_per_cubic_metre)));
  evaluation.outputs.push_back(output(entry, "void_free_density", charge.void_free_lots.in(unit::kilogram_per_cubic_metre)));
  evaluation.working.push_back({"ρ_th(nominal)", "density without voids, nominal ingredients", {Decimal::fixed(gcm3(charge.void_free_nominal), 4), "g/cm3"}, {}, 0});
  evaluation.working.push_back({"ρ_th(lots)", "density without voids, lots in the mix", {Decimal::fixed(gcm3(charge.void_free_lots), 4), "g/cm3"}, {}, 0});
  evaluation.working.push_back({"P", "total porosity held", {Decimal::fixed(charge.porosity.in(unit::percent), 2), "%"}, {}, 0});
  evaluation.working.push_back({"ρ_lot", "target density with these lots", {Decimal::fixed(gcm3(charge.lot_target), 4), "g/cm3"}, {}, 0});
  evaluation.working.push_back({"m_pad", "compound on one pad", {Decimal::fixed(charge.pad.in(unit::gram), 3), "g"}, {}, 0});
  evaluation.substituted_formula = fmt::format("charge = {:.3f} g with loss = {:.3f} g", charge.pad.in(unit::gram), charge.charge.in(unit::gram));
}

Result<Evaluation> evaluateCharge(const Entry& entry, const Inputs& inputs) {
  ChargeLists lists;
  const Result<forming::Charge> charge = chargeOf(inputs, lists);
  if (!charge) return charge.error();
  Evaluation evaluation;
  describeCharge(entry, *charge, evaluation);
  return evaluation;
}

Result<Evaluation> evaluateChargeCheck(const Entry& entry, const Inputs& inputs) {
  ChargeLists lists;
  const Result<forming::Charge> charge = chargeOf(inputs, lists);
  if (!charge) return charge.error();
  const double target = charge->charge.in(unit::kilogram);
  std::vector<double> deviations;
  for (const double mass : siList(inputs, "charges")) deviations.push_back(mass - target);
  const double worst = *std::max_element(deviations.begin(), deviations.end(), [](double a, double b) { return std::abs(a) < std::abs(b); });
  Evaluation evaluation;
  describeCharge(entry, *charge, evaluation);
  evaluation.outputs.push_back(output(entry, "worst_deviation", worst));
  for (const Measure& m : inputs.numbers.at("charges")) evaluation.working.push_back({"m", "charge weighed", m, {}, 0});
  return evaluation;
}

std::vector<Input> chargeInputs() {
  return {{"pad_volume", "V", "volume of compound on one pad", Kind::volume, "cm3", 0.1, 5000, false, false},
          {"target_density", "ρ", "target density with the nominal ingredients", Kind::density, "g/cm3", 0.5, 12, false, false},
          {"loss", "λ", "loss: flash, moisture, volatiles", Kind::number, "%", 0, 49, false, false},
          {"parts", "m_i", "mass parts of the formula", Kind::number, "1", 0, 1e6, true, false},
          {"nominal_densities", "ρ_i", "true densities the formula was written with", Kind::density, "g/cm3", 0.2, 25, true, false},
          {"lot_densities", "ρ_i'", "true densities of the lots in the mix", Kind::density, "g/cm3", 0.2, 25, true, false}};
}

Inputs chargeExample() {
  return {{{"pad_volume", {typed("59.80", "cm3")}}, {"target_density", {typed("2.35", "g/cm3")}}, {"loss", {typed("2", "%")}}, {"parts", {typed("30", "1"), typed("70", "1")}},
           {"nominal_densities", {typed("1.25", "g/cm3"), typed("4.50", "g/cm3")}}, {"lot_densities", {typed("1.25", "g/cm3"), typed("4.46", "g/cm3")}}},
          {}};
}

Entry chargeEntry(std::string id, std::string title, std::string words) {
  Entry entry;
  entry.id = std::move(id);
  entry.version = forming::charge_version;
  entry.title = std::move(title);
  entry.words = std::move(words);
  entry.formula = "ρ_lot = ρ · ρ_th(lots)/ρ_th(nominal);  charge = V ρ_lot (1 + λ) on pad basis, V ρ_lot/(1 − λ) on charge basis";
  entry.inputs = chargeInputs();
  entry.choices = {{"loss_basis", "what the loss is a share of", {"pad", "charge"}, "pad"}};
  entry.outputs = {{"target_charge", "m_c", "charge weight aimed at", Kind::mass, "g", 2}, {"lot_target_density", "ρ_lot", "target density with these lots", Kind::density, "g/cm3", 4},
                   {"void_free_density", "ρ_th", "density without voids, lots in the mix", Kind::density, "g/cm3", 4}};
  entry.validity = "Total porosity is held when lot densities move. Stock to be ground off belongs in the volume.";
  entry.uncertainty = "That of the lot densities; not stated.";
  entry.source = "Mass balance; inverse rule of mixtures.";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/charge.csv";
  entry.example = chargeExample();
  entry.evaluate = evaluateCharge;
  return entry;
}

Entry compositionEntry() {
  Entry entry;
  entry.id = "compound.composition";
  entry.version = compound::composition_version;
  entry.title = "Density without voids of a formula";
  entry.words = "What a compound would weigh without any pores, and how much of a pad is pores.";
  entry.formula = "1/ρ_th = Σ w_i/ρ_i;  P = 1 − ρ/ρ_th";
  entry.inputs = {{"parts", "m_i", "mass parts", Kind::number, "1", 0, 1e6, true, false}, {"densities", "ρ_i", "true densities", Kind::density, "g/cm3", 0.2, 25, true, false},
                  {"measured_density", "ρ", "measured density", Kind::density, "g/cm3", 0.2, 25, false, true}};
  entry.outputs = {{"void_free_density", "ρ_th", "density without voids", Kind::density, "g/cm3", 4}, {"porosity", "P", "total porosity", Kind::number, "%", 2}};
  entry.validity = "True densities, not bulk. A measured density above ρ_th is refused: an ingredient density is wrong.";
  entry.uncertainty = "That of the ingredient densities; not stated.";
  entry.source = "Mass balance; inverse rule of mixtures.";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/composition.csv";
  entry.example = {{{"parts", {typed("30", "1"), typed("70", "1")}}, {"densities", {typed("1.25", "g/cm3"), typed("4.50", "g/cm3")}}, {"measured_density", {typed("2.35", "g/cm3")}}}, {}};
  entry.evaluate = evaluateComposition;
  return entry;
}

}  // namespace

std::vector<Entry> compoundEntries() {
  Entry check = chargeEntry("forming.charge_check", "Charge-weight check", "Whether the charges weighed at the press are what volume, target density and the lots ask for.");
  check.inputs.push_back({"charges", "m", "charges weighed", Kind::mass, "g", 0.1, 20000, true, false});
  check.outputs.push_back({"worst_deviation", "Δm", "charge furthest from the target, minus the target", Kind::mass, "g", 2});
  check.example.numbers["charges"] = {typed("142.9", "g"), typed("143.6", "g")};
  check.evaluate = evaluateChargeCheck;
  return {compositionEntry(), chargeEntry("forming.charge", "Charge weight", "How much compound to press for one pad, from its volume, the target density and the lots in the mix."), check};
}

}  // namespace platemark::catalogue
