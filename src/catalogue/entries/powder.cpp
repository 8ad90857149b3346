#include <fmt/format.h>

#include "entries.h"
#include "platemark/method/powder/sieve.h"

namespace platemark::catalogue {
namespace {

namespace powder = method::powder;

std::vector<Length> lengths(const Inputs& inputs, const std::string& name) {
  std::vector<Length> list;
  for (const double v : siList(inputs, name)) list.push_back(Length::of(v, unit::metre));
  return list;
}
std::vector<Mass> masses(const Inputs& inputs, const std::string& name) {
  std::vector<Mass> list;
  for (const double v : siList(inputs, name)) list.push_back(Mass::of(v, unit::kilogram));
  return list;
}

OutputValue sizeOutput(const Entry& entry, std::string_view name, const powder::SizeAt& at) {
  OutputValue value = output(entry, name, at.size.in(unit::metre));
  value.determined = at.known == powder::SizeAt::Known::yes;
  const std::string bound = format(Measure{Decimal::fixed(at.size.in(unit::micrometre), 0), "um"});
  if (at.known == powder::SizeAt::Known::finer_than) value.why = fmt::format("{} is finer than {}, the finest sieve.", name, bound);
  if (at.known == powder::SizeAt::Known::coarser_than) value.why = fmt::format("{} is coarser than {}, the coarsest sieve.", name, bound);
  return value;
}

void addWorking(Evaluation& evaluation, const std::vector<Length>& apertures, const powder::SieveResult& result) {
  for (std::size_t i = 0; i < apertures.size(); ++i)
    evaluation.working.push_back({fmt::format("F_{}", i + 1), fmt::format("passing {}", format(Measure{Decimal::fixed(apertures[i].in(unit::micrometre), 0), "um"})), {Decimal::fixed(result.passing[i], 3), "%"}, {}, 0});
}

Result<Evaluation> evaluateSieve(const Entry& entry, const Inputs& inputs) {
  const std::vector<Length> apertures = lengths(inputs, "apertures");
  const std::vector<Mass> retained = masses(inputs, "retained");
  powder::SieveInput in{apertures, retained, Mass::of(si(one(inputs, "pan")), unit::kilogram), Mass::of(si(one(inputs, "initial")), unit::kilogram), powder::Denominator::recovered};
  if (inputs.choices.at("denominator") == "initial") in.denominator = powder::Denominator::initial;
  const Result<powder::SieveResult> result = powder::analyse(in);
  if (!result) return result.error();
  Evaluation evaluation;
  for (const auto& [name, p] : {std::pair{"d10", 10.0}, {"d50", 50.0}, {"d90", 90.0}}) evaluation.outputs.push_back(sizeOutput(entry, name, powder::sizeAt(*result, apertures, p)));
  evaluation.outputs.push_back(output(entry, "loss", result->loss / 100));
  for (std::size_t i = 0; i < apertures.size(); ++i) {
    // One value for each sieve, in the order of the stack; the fixed outputs cannot know how many there are.
    evaluation.outputs.push_back({fmt::format("passing_{:02}", i + 1), fromSi(result->passing[i] / 100, "%"), {}, true, ""});
  }
  evaluation.substituted_formula = fmt::format("L = 100 × ({:.3f} − {:.3f}) / {:.3f} = {:.3f} %", in.initial.in(unit::gram), result->recovered.in(unit::gram), in.initial.in(unit::gram), result->loss);
  addWorking(evaluation, apertures, *result);
  return evaluation;
}

}  // namespace

std::vector<Entry> powderEntries() {
  Entry sieve;
  sieve.id = "powder.sieve";
  sieve.version = powder::sieve_version;
  sieve.title = "Sieve analysis";
  sieve.words = "How fine a powder is: what each sieve passes, and the sizes under which 10, 50 and 90 % of the mass lie.";
  sieve.formula = "F_i = 100 − Σ R_j;  log D_p = log x_a + (log x_b − log x_a)(p − F_a)/(F_b − F_a);  L = 100 (m₀ − M)/m₀";
  sieve.inputs = {{"apertures", "x", "sieve apertures, coarse to fine", Kind::length, "um", 1, 200000, true, false},
                  {"retained", "m_i", "mass retained on each sieve", Kind::mass, "g", 0, 100000, true, false},
                  {"pan", "m_pan", "mass in the pan", Kind::mass, "g", 0, 100000, false, false},
                  {"initial", "m₀", "mass taken", Kind::mass, "g", 0.001, 100000, false, false}};
  sieve.choices = {{"denominator", "what the shares are taken of", {"recovered", "initial"}, "recovered"}};
  sieve.outputs = {{"d10", "D10", "size under which 10 % of the mass lies", Kind::length, "um", 1},
                   {"d50", "D50", "size under which 50 % of the mass lies", Kind::length, "um", 1},
                   {"d90", "D90", "size under which 90 % of the mass lies", Kind::length, "um", 1},
                   {"loss", "L", "mass lost in sieving", Kind::number, "%", 2}};
  sieve.validity = "Dry powders on a stack of test sieves. Sizes are not extrapolated beyond the stack: 'finer than' is said instead. Further outputs passing_01, passing_02 … give the passing of each sieve.";
  sieve.uncertainty = "Not stated. A loss of more than a per cent or so makes the result doubtful; the control plan sets the limit.";
  sieve.source = "Common practice of sieve analysis; sieve lists ISO 3310-1:2016 and ASTM E11-17, interpolation and worked examples as published in university exercises.";
  sieve.mark = Mark::secondary;
  sieve.outside_check = "method/cases/sieve.csv";
  const auto m = [](const char* v, const char* u) { return Measure{*Decimal::parse(v), u}; };
  sieve.example = {{{"apertures", {m("250", "um"), m("180", "um"), m("125", "um"), m("90", "um"), m("63", "um"), m("45", "um")}},
                    {"retained", {m("0.02", "g"), m("1.32", "g"), m("4.23", "g"), m("9.44", "g"), m("13.10", "g"), m("11.56", "g")}},
                    {"pan", {m("4.87", "g")}}, {"initial", {m("44.60", "g")}}}, {}};
  sieve.evaluate = evaluateSieve;
  return {sieve};
}

}  // namespace platemark::catalogue
