#include <fmt/format.h>

#include <array>

#include "platemark/method/powder/sieve.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

using method::SizeKind;

Measure percent(Share share) { return fromSi(share.in(unit::one), "%"); }

method::Sieving sievingFrom(const Inputs& inputs) {
  method::Sieving sieving;
  for (const double x : siList(inputs, "apertures"))
    sieving.apertures.push_back(Length::of(x, unit::metre));
  for (const double m : siList(inputs, "retained"))
    sieving.retained.push_back(Mass::of(m, unit::kilogram));
  sieving.pan = Mass::of(si(one(inputs, "pan")), unit::kilogram);
  sieving.initial = Mass::of(si(one(inputs, "initial")), unit::kilogram);
  sieving.denominator = inputs.choices.at("denominator") == "initial"
                            ? method::SieveDenominator::initial
                            : method::SieveDenominator::recovered;
  return sieving;
}

std::string micrometresOf(Length size) {
  // Fifteen digits: the aperture as it was typed, without the dust of its way through metres.
  return fmt::format("{:.15g} µm", size.in(unit::micrometre));
}

OutputValue sizeOutput(const Entry& entry, std::string_view name, method::PassingSize size,
                       std::vector<std::string>& notes) {
  OutputValue value = output(entry, name, size.size.in(unit::metre));
  value.determined = size.kind == SizeKind::interpolated || size.kind == SizeKind::plateau;
  if (size.kind == SizeKind::finer_than_finest)
    value.why = "finer than " + micrometresOf(size.size);
  if (size.kind == SizeKind::coarser_than_coarsest)
    value.why = "coarser than " + micrometresOf(size.size);
  if (size.kind == SizeKind::plateau)
    notes.push_back(
        fmt::format("Two neighbouring sieves pass the share of {}; the finer one, {}, "
                    "is given.",
                    name, micrometresOf(size.size)));
  return value;
}

void addPassing(Evaluation& evaluation, const method::SieveAnalysis& analysis) {
  for (std::size_t i = 0; i < analysis.rows.size(); ++i) {
    const method::SieveRow& row = analysis.rows[i];
    const Measure passing = percent(row.passing);
    evaluation.outputs.push_back({fmt::format("passing_{:02}", i + 1), passing, {}, true, ""});
    evaluation.working.push_back({fmt::format("F{}", i + 1),
                                  fmt::format("share passing {}", micrometresOf(row.aperture)),
                                  passing,
                                  {},
                                  0});
  }
}

std::string lossSubstituted(const method::Sieving& sieving, const method::SieveAnalysis& analysis) {
  const double initial = sieving.initial.in(unit::gram);
  return fmt::format("L = ({:.6g} − {:.6g}) / {:.6g} = {:.4g} %", initial,
                     analysis.recovered.in(unit::gram), initial, analysis.loss.in(unit::percent));
}

Result<Evaluation> evaluateSieve(const Entry& entry, const Inputs& inputs) {
  const method::Sieving sieving = sievingFrom(inputs);
  const Result<method::SieveAnalysis> analysis = method::sieveAnalysis(sieving);
  if (!analysis) return atInput(analysis.error());

  Evaluation evaluation;
  static constexpr std::array<std::pair<std::string_view, double>, 3> sizes{
      {{"d10", 10}, {"d50", 50}, {"d90", 90}}};
  for (const auto& [name, passing] : sizes) {
    const auto size = method::passingSize(*analysis, Share::of(passing, unit::percent));
    if (!size) return atInput(size.error());
    evaluation.outputs.push_back(sizeOutput(entry, name, *size, evaluation.notes));
  }
  evaluation.outputs.push_back(output(entry, "loss", analysis->loss.in(unit::one)));
  evaluation.working.push_back({"M",
                                "mass recovered from sieves and pan",
                                fromSi(analysis->recovered.in(unit::kilogram), "g"),
                                {},
                                0});
  addPassing(evaluation, *analysis);
  evaluation.substituted_formula = lossSubstituted(sieving, *analysis);
  return evaluation;
}

Inputs sieveExample() {
  Inputs inputs;
  for (const char* x : {"250", "180", "125", "90", "63", "45"})
    inputs.numbers["apertures"].push_back({*Decimal::parse(x), "um"});
  for (const char* m : {"0.02", "1.32", "4.23", "9.44", "13.10", "11.56"})
    inputs.numbers["retained"].push_back({*Decimal::parse(m), "g"});
  inputs.numbers["pan"] = {{*Decimal::parse("4.87"), "g"}};
  inputs.numbers["initial"] = {{*Decimal::parse("44.60"), "g"}};
  return inputs;
}

Entry sieveEntry() {
  Entry entry;
  entry.id = "powder.sieve";
  entry.version = method::sieve_version;
  entry.title = "Sieve analysis";
  entry.words =
      "What share of a powder passes each sieve, the sizes that 10, 50 and 90 % pass, and how much "
      "was lost. Besides the outputs named here it gives passing_01, passing_02, … in per cent, "
      "one for each sieve in the order given.";
  entry.formula =
      "F_i = 1 − Σ_{j≤i} m_j / N;  log D_p = log x_a + (log x_b − log x_a)·(p − F_a)/(F_b − F_a);  "
      "L = (m0 − M)/m0";
  entry.inputs = {
      {"apertures",
       "x",
       "apertures of the sieves, coarse to fine",
       Kind::length,
       "um",
       {},
       {},
       true,
       false},
      {"retained",
       "m",
       "mass retained on each sieve, in the same order",
       Kind::mass,
       "g",
       0,
       {},
       true,
       false},
      {"pan", "m_pan", "mass in the pan", Kind::mass, "g", 0, {}, false, false},
      {"initial", "m0", "dry mass before sieving", Kind::mass, "g", {}, {}, false, false}};
  entry.choices = {
      {"denominator",
       "what the shares are counted of: all that was recovered, M, or the initial mass, m0",
       {"recovered", "initial"},
       "recovered"}};
  entry.outputs = {
      {"d10", "D10", "size that 10 % by mass pass", Kind::length, "um", 1},
      {"d50", "D50", "size that 50 % by mass pass", Kind::length, "um", 1},
      {"d90", "D90", "size that 90 % by mass pass", Kind::length, "um", 1},
      {"loss", "L", "mass lost in sieving, of the initial mass", Kind::number, "%", 2}};
  entry.validity =
      "Dry powder sieved to its end point. Sizes are interpolated on the logarithm of the aperture "
      "and never extrapolated: outside the set of sieves only a bound is given. Where two "
      "neighbours pass the same share the finer one is given.";
  entry.uncertainty =
      "Not propagated. Sampling, end point and the apertures' permitted deviations outweigh the "
      "balance; sizes from different sets of sieves differ by the interpolation alone.";
  entry.source =
      "Retained, cumulative, passing and interpolated sizes: worked example that cites ASTM "
      "C136/C136M-19. The standard itself was not read.";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/sieve.csv";
  entry.example = sieveExample();
  entry.evaluate = evaluateSieve;
  return entry;
}

}  // namespace

std::vector<Entry> powderEntries() { return {sieveEntry()}; }

}  // namespace platemark::catalogue
