#include "platemark/method/powder/assay.h"

#include "typed.h"

namespace platemark::catalogue {
namespace {

using namespace method;

Mass massOf(const Inputs& inputs, const std::string& name) {
  return Mass::of(si(one(inputs, name)), unit::kilogram);
}

std::string grams(const Inputs& inputs, const std::string& name) {
  return numberIn(one(inputs, name), "g");
}

Result<Evaluation> shareEvaluation(const Entry& entry, const Inputs& inputs,
                                   const Result<Share>& share, const std::string& terms) {
  if (!share) return atInput(share.error());
  Evaluation result;
  result.outputs = {output(entry, entry.outputs.front().name, share->in(unit::one))};
  result.substituted_formula = fmt::format("{} = {} = {:.3f} %", entry.outputs.front().symbol,
                                           terms, share->in(unit::percent));
  result.working = asTyped(entry, inputs);
  return result;
}

std::string dryingTerms(const Inputs& inputs) {
  return fmt::format("({} − {})/{}", grams(inputs, "before"), grams(inputs, "after"),
                     grams(inputs, "before"));
}

Result<Evaluation> evaluateMoisture(const Entry& entry, const Inputs& inputs) {
  return shareEvaluation(entry, inputs, moisture(massOf(inputs, "before"), massOf(inputs, "after")),
                         dryingTerms(inputs));
}

Result<Evaluation> evaluateExtract(const Entry& entry, const Inputs& inputs) {
  Result<Evaluation> result = shareEvaluation(
      entry, inputs, acetoneExtract(massOf(inputs, "before"), massOf(inputs, "after")),
      dryingTerms(inputs));
  if (result)
    result->notes = {"Dried " +
                     std::string(inputs.choices.at("drying") == "hot_2h"
                                     ? "2 h at 100 to 120 °C."
                                     : "45 min at 80 to 85 °C.") +
                     " Results of another drying are not comparable."};
  return result;
}

Result<Evaluation> evaluateIgnition(const Entry& entry, const Inputs& inputs) {
  Result<Evaluation> result = shareEvaluation(
      entry, inputs,
      lossOnIgnition(massOf(inputs, "crucible"), massOf(inputs, "dry"), massOf(inputs, "ash")),
      fmt::format("({} − {})/({} − {})", grams(inputs, "dry"), grams(inputs, "ash"),
                  grams(inputs, "dry"), grams(inputs, "crucible")));
  if (result && result->outputs.front().value.value.value() < 0)
    result->notes = {"The ash is heavier than the powder: metal took up oxygen."};
  return result;
}

Entry weighed(std::string id, std::string title, std::string words, std::string formula) {
  Entry entry;
  entry.id = std::move(id);
  entry.version = assay_version;
  entry.title = std::move(title);
  entry.words = std::move(words);
  entry.formula = std::move(formula);
  entry.inputs = {value("before", "m1", "mass before", Kind::mass, "g"),
                  value("after", "m2", "mass after", Kind::mass, "g")};
  entry.uncertainty = "Balance: u(m)·√2 over the mass in the denominator; sampling outweighs it.";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/assay.csv";
  entry.example.numbers = {{"before", {typed("10.0000", "g")}}, {"after", {typed("9.9312", "g")}}};
  return entry;
}

Entry moistureEntry() {
  Entry entry =
      weighed("powder.moisture", "Moisture", "What a powder loses in drying.", "w = (m1 − m2)/m1");
  entry.outputs = {{"moisture", "w", "moisture", Kind::number, "%", 3}};
  entry.validity = "Dried at 105 °C to constant mass; other volatiles count as moisture.";
  entry.source = "ISO 787-2, drying at 105 °C";
  entry.evaluate = evaluateMoisture;
  return entry;
}

Entry extractEntry() {
  Entry entry = weighed("powder.acetone_extract", "Acetone extract",
                        "What acetone dissolves of a cured compound: resin that did not cure.",
                        "e = (m1 − m2)/m1");
  entry.choices = {{"drying",
                    "how the rest was dried: 2 h at 100 to 120 °C, or 45 min at 80 to 85 °C",
                    {"hot_2h", "warm_45min"},
                    ""}};
  entry.outputs = {{"extract", "e", "acetone extract", Kind::number, "%", 2}};
  entry.validity =
      "It also holds free oil, plasticiser and wax: compare only within one formula and one way of "
      "drying.";
  entry.source = "JC/T 528-2009, foreword on the change of drying read; formula remembered";
  entry.example.numbers = {{"before", {typed("5.0000", "g")}}, {"after", {typed("4.8935", "g")}}};
  entry.example.choices = {{"drying", "hot_2h"}};
  entry.evaluate = evaluateExtract;
  return entry;
}

Entry ignitionEntry() {
  Entry entry =
      weighed("powder.loss_on_ignition", "Loss on ignition", "What a powder loses in the furnace.",
              "l = (m_dry − m_ash)/(m_dry − m_crucible)");
  entry.inputs = {value("crucible", "m_crucible", "mass of the empty crucible", Kind::mass, "g"),
                  value("dry", "m_dry", "crucible and dry powder", Kind::mass, "g"),
                  value("ash", "m_ash", "crucible and ash", Kind::mass, "g")};
  entry.outputs = {{"loss", "l", "loss on ignition", Kind::number, "%", 2}};
  entry.validity =
      "Metal takes up oxygen: the loss of a compound with metal is understated and can be "
      "negative. "
      "Temperature and time belong to the method of the plant.";
  entry.source = "definition";
  entry.example.numbers = {{"crucible", {typed("26.2031", "g")}},
                           {"dry", {typed("31.2045", "g")}},
                           {"ash", {typed("30.3978", "g")}}};
  entry.evaluate = evaluateIgnition;
  return entry;
}

Result<Evaluation> evaluateBulk(const Entry& entry, const Inputs& inputs) {
  const Result<Density> density = bulkDensity(
      massOf(inputs, "mass"), Volume::of(si(one(inputs, "volume")) * 1e6, unit::cubic_centimetre));
  if (!density) return atInput(density.error());
  Evaluation result;
  result.outputs = {output(entry, "density", density->in(unit::kilogram_per_cubic_metre))};
  result.substituted_formula = fmt::format(
      "ρ = {} g / {} cm³ = {:.4g} g/cm³", grams(inputs, "mass"),
      numberIn(one(inputs, "volume"), "cm3"), density->in(unit::gram_per_cubic_centimetre));
  result.working = asTyped(entry, inputs);
  return result;
}

Entry bulkEntry() {
  Entry entry;
  entry.id = "powder.bulk_density";
  entry.version = assay_version;
  entry.title = "Bulk density";
  entry.words = "Mass of a powder over the cup it fills.";
  entry.formula = "ρ = m/V";
  entry.inputs = {value("mass", "m", "mass in the cup", Kind::mass, "g"),
                  value("volume", "V", "volume of the cup", Kind::volume, "cm3")};
  entry.outputs = {{"density", "ρ", "bulk density", Kind::density, "g/cm3", 3}};
  entry.validity =
      "Loosely filled and struck off. It is no true density: never use it for the density of a "
      "formula without voids.";
  entry.uncertainty = "Filling outweighs balance and cup.";
  entry.source = "definition";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/assay.csv";
  entry.example.numbers = {{"mass", {typed("52.30", "g")}}, {"volume", {typed("100", "cm3")}}};
  entry.evaluate = evaluateBulk;
  return entry;
}

Result<Evaluation> evaluateFlow(const Entry& entry, const Inputs& inputs) {
  std::vector<Length> tablets;
  for (const double flow : siList(inputs, "tablets"))
    tablets.push_back(Length::of(flow, unit::metre));
  const Result<ResinFlow> flow = resinFlow(tablets);
  if (!flow) return atInput(flow.error());
  Evaluation result;
  result.outputs = {output(entry, "flow", flow->mean.in(unit::metre)),
                    output(entry, "apart", flow->apart.in(unit::metre))};
  result.substituted_formula = fmt::format("mean of {} tablets = {:.2f} mm", tablets.size(),
                                           flow->mean.in(unit::millimetre));
  result.working = asTyped(entry, inputs);
  return result;
}

Entry flowEntry() {
  Entry entry;
  entry.id = "powder.resin_flow";
  entry.version = assay_version;
  entry.title = "Flow of a resin";
  entry.words = "How far tablets of a powder resin run down a warm glass plate.";
  entry.formula = "flow = mean of the distances";
  entry.inputs = {
      listOf(value("tablets", "l", "distance each tablet flowed", Kind::length, "mm", 0))};
  entry.outputs = {{"flow", "l̄", "flow", Kind::length, "mm", 1},
                   {"apart", "", "largest minus smallest", Kind::length, "mm", 1}};
  entry.validity =
      "Tablet 12.5 mm wide and 4.8 mm high on glass at 125 °C, 3 min level, 20 min at 60°. A resin "
      "that reacts or is stiff flows less.";
  entry.uncertainty = "From the tablets' spread.";
  entry.source = "GB/T 32688-2016 (ISO 8619:2003), through its summary";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/assay.csv";
  entry.example.numbers = {{"tablets", typedList({"31.5", "32.0", "30.5"}, "mm")}};
  entry.evaluate = evaluateFlow;
  return entry;
}

}  // namespace

std::vector<Entry> assayEntries() {
  return {moistureEntry(), bulkEntry(), ignitionEntry(), extractEntry(), flowEntry()};
}

}  // namespace platemark::catalogue
