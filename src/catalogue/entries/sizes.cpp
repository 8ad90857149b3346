#include <cmath>

#include "platemark/method/powder/comparison.h"
#include "platemark/method/powder/moments.h"
#include "platemark/method/powder/sieve.h"
#include "platemark/method/powder/sieve_series.h"
#include "platemark/method/powder/size_fit.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

using namespace method;

std::vector<Length> lengthsOf(const Inputs& inputs, const std::string& name) {
  std::vector<Length> list;
  for (const double x : siList(inputs, name)) list.push_back(Length::of(x, unit::metre));
  return list;
}

std::vector<Mass> massesOf(const Inputs& inputs, const std::string& name) {
  std::vector<Mass> list;
  for (const double x : siList(inputs, name)) list.push_back(Mass::of(x, unit::kilogram));
  return list;
}

std::vector<Share> sharesOf(const Inputs& inputs, const std::string& name) {
  std::vector<Share> list;
  for (const double x : siList(inputs, name)) list.push_back(Share::of(x, unit::one));
  return list;
}

std::string micrometresOf(Length size) {
  return fmt::format("{:.6g} µm", size.in(unit::micrometre));
}

Measure percent(Share share) { return fromSi(share.in(unit::one), "%"); }

/// What was typed does not fit the lists beside it.
Error countError(const std::string& code, const std::string& name, std::string what) {
  Error error;
  error.code = code;
  error.what = std::move(what);
  error.where.field = "numbers." + name;
  error.expected = "as many values as there are sieves";
  error.remedy = "Check which value belongs to which sieve.";
  return error;
}

// Stack of a standard series, with certified apertures.

struct Stack {
  Sieving nominal, certified;
  bool has_certificates = false;
};

Result<Stack> stackFrom(const Inputs& inputs) {
  const std::string edition =
      inputs.choices.at("edition") == "iso" ? "ISO 3310-1:2016" : "ASTM E11-17";
  Stack stack;
  const std::vector<Length> nominal = lengthsOf(inputs, "sieves");
  const std::vector<Length> certified = lengthsOf(inputs, "certified");
  stack.has_certificates = !certified.empty();
  if (stack.has_certificates && certified.size() != nominal.size())
    return countError(
        "sieve.count", "certified",
        fmt::format("{} sieves, but {} certified apertures.", nominal.size(), certified.size()));
  for (std::size_t i = 0; i < nominal.size(); ++i) {
    const Result<SieveDesignation> sieve = standardSieve(nominal[i], edition);
    if (!sieve) return atInput(sieve.error());
    stack.nominal.apertures.push_back(sieve->aperture);
    if (!stack.has_certificates) continue;
    if (Result<void> kept = checkCertified(*sieve, certified[i]); !kept)
      return atInput(kept.error());
  }
  stack.nominal.retained = massesOf(inputs, "retained");
  stack.nominal.pan = Mass::of(si(one(inputs, "pan")), unit::kilogram);
  stack.nominal.initial = Mass::of(si(one(inputs, "initial")), unit::kilogram);
  stack.certified = stack.nominal;
  if (stack.has_certificates) stack.certified.apertures = certified;
  return stack;
}

OutputValue bounded(const Entry& entry, const std::string& name, PassingSize size) {
  OutputValue value = output(entry, name, size.size.in(unit::metre));
  value.determined = size.kind == SizeKind::interpolated || size.kind == SizeKind::plateau;
  if (size.kind == SizeKind::finer_than_finest)
    value.why = "finer than " + micrometresOf(size.size);
  if (size.kind == SizeKind::coarser_than_coarsest)
    value.why = "coarser than " + micrometresOf(size.size);
  return value;
}

/// D10, D50 and D90 under `suffix`, and the span when all three are known.
Result<void> addSizes(const Entry& entry, const SieveAnalysis& analysis, const std::string& suffix,
                      Evaluation& result) {
  std::vector<PassingSize> sizes;
  for (const auto& [name, share] : {std::pair{"d10", 10.0}, {"d50", 50.0}, {"d90", 90.0}}) {
    const Result<PassingSize> size = passingSize(analysis, Share::of(share, unit::percent));
    if (!size) return atInput(size.error());
    sizes.push_back(*size);
    result.outputs.push_back(bounded(entry, name + suffix, *size));
  }
  const Result<double> span = sizeSpan(sizes[0].size, sizes[1].size, sizes[2].size);
  if (!span) return atInput(span.error());
  OutputValue value = output(entry, "span" + suffix, *span);
  const auto known = [](const PassingSize& s) {
    return s.kind == SizeKind::interpolated || s.kind == SizeKind::plateau;
  };
  value.determined = known(sizes[0]) && known(sizes[1]) && known(sizes[2]);
  if (!value.determined) value.why = "a size of it is only a bound";
  result.outputs.push_back(value);
  return {};
}

Result<Evaluation> evaluateStack(const Entry& entry, const Inputs& inputs) {
  const Result<Stack> stack = stackFrom(inputs);
  if (!stack) return stack.error();
  Evaluation result;
  for (const auto& [sieving, suffix] : {std::pair<const Sieving*, std::string>{&stack->nominal, ""},
                                        {&stack->certified, "_certified"}}) {
    if (sieving == &stack->certified && !stack->has_certificates) continue;
    const Result<SieveAnalysis> analysis = sieveAnalysis(*sieving);
    if (!analysis) return atInput(analysis.error());
    if (Result<void> sizes = addSizes(entry, *analysis, suffix, result); !sizes)
      return sizes.error();
    for (const SieveRow& row : analysis->rows)
      result.working.push_back(
          line("F" + suffix, "share passing " + micrometresOf(row.aperture), percent(row.passing)));
  }
  result.substituted_formula = "D50 = " + format(result.outputs[1].value);
  if (!stack->has_certificates)
    result.notes = {"Nominal apertures: none of the sieves has a certificate here."};
  return result;
}

Entry stackEntry() {
  Entry entry;
  entry.id = "powder.sieve_stack";
  entry.version = sieve_version;
  entry.title = "Sieve analysis with a standard stack";
  entry.words =
      "Sizes that 10, 50 and 90 % of a powder pass, and the span, with sieves of a standard "
      "series; "
      "with certified apertures both by nominal and by certified size.";
  entry.formula =
      "log D_p = log x_a + (log x_b − log x_a)·(p − F_a)/(F_b − F_a); span = (D90 − D10)/D50";
  entry.inputs = {
      listOf(value("sieves", "x", "nominal apertures, coarse to fine", Kind::length, "um")),
      ifKnown(listOf(value("certified", "x_c", "certified mean apertures, in the same order",
                           Kind::length, "um"))),
      listOf(value("retained", "m", "mass retained on each sieve", Kind::mass, "g", 0)),
      value("pan", "m_pan", "mass in the pan", Kind::mass, "g", 0),
      value("initial", "m0", "dry mass before sieving", Kind::mass, "g")};
  entry.choices = {{"edition",
                    "standard and edition of the sieves: ISO 3310-1:2016 or ASTM E11-17",
                    {"iso", "astm"},
                    ""}};
  for (const auto& [suffix, of] : {std::pair{"", "nominal"}, {"_certified", "certified"}}) {
    for (const int p : {10, 50, 90})
      entry.outputs.push_back({fmt::format("d{}{}", p, suffix), fmt::format("D{}", p),
                               fmt::format("size that {} % pass, {} apertures", p, of),
                               Kind::length, "um", 1});
    entry.outputs.push_back({std::string("span") + suffix, "span",
                             std::string("span, ") + of + " apertures", Kind::number, "1", 3});
  }
  entry.validity =
      "A sieve must stand in the edition chosen: No. 200 is no ISO size. A certified aperture must "
      "lie within the standard's deviation, or within a tenth of the nominal one where that is not "
      "on file. Sizes are never extrapolated.";
  entry.uncertainty = "Not propagated; sampling and end point govern, then the apertures.";
  entry.source =
      "ISO 3310-1:2016 and ASTM E11-17, sizes and deviations through another text that quotes "
      "them; span remembered, not verified";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/sizes.csv";
  entry.example.numbers = {{"sieves", typedList({"250", "125", "63"}, "um")},
                           {"certified", typedList({"252.1", "124.2", "63.4"}, "um")},
                           {"retained", typedList({"4.2", "30.6", "42.9"}, "g")},
                           {"pan", {typed("22.1", "g")}},
                           {"initial", {typed("100.0", "g")}}};
  entry.example.choices = {{"edition", "iso"}};
  entry.evaluate = evaluateStack;
  return entry;
}

// Fitted distributions.

Result<std::vector<SizePoint>> pointsFrom(const Inputs& inputs) {
  const std::vector<Length> sizes = lengthsOf(inputs, "sizes");
  const std::vector<Share> passing = sharesOf(inputs, "passing");
  if (sizes.size() != passing.size())
    return countError("size_fit.points", "passing",
                      fmt::format("{} sizes, but {} shares.", sizes.size(), passing.size()));
  std::vector<SizePoint> points;
  for (std::size_t i = 0; i < sizes.size(); ++i) points.push_back({sizes[i], passing[i]});
  return points;
}

Evaluation fitEvaluation(const Entry& entry, const SizeFit& fit, const Inputs& inputs) {
  Evaluation result;
  result.outputs = {output(entry, "scale", fit.scale.in(unit::metre)),
                    output(entry, "slope", fit.slope), output(entry, "r_squared", fit.r_squared)};
  for (const auto& [name, share] :
       {std::pair{"d10", 0.1}, {"d50", 0.5}, {"d80", 0.8}, {"d90", 0.9}})
    result.outputs.push_back(
        output(entry, name, fittedSize(fit, Share::of(share, unit::one))->in(unit::metre)));
  const bool rosin = fit.model == SizeModel::rosin_rammler;
  result.substituted_formula =
      rosin ? fmt::format("R(x) = exp(−(x/{})^{:.4f})", micrometresOf(fit.scale), fit.slope)
            : fmt::format("F(x) = (x/{})^{:.4f}", micrometresOf(fit.scale), fit.slope);
  for (std::size_t i = 0; i < inputs.numbers.at("sizes").size(); ++i)
    result.working.push_back(line("F", "share passing " + format(inputs.numbers.at("sizes")[i]),
                                  inputs.numbers.at("passing")[i]));
  result.notes = {fmt::format(
      "{}, {} points used, {} left out, sum of squares {:.4g} (%)²",
      fit.way == SizeFitWay::least_squares ? "Least squares of the share" : "Straight line",
      fit.used, fit.left_out.size(), fit.residual_squares)};
  return result;
}

Result<Evaluation> evaluateRosin(const Entry& entry, const Inputs& inputs) {
  const Result<std::vector<SizePoint>> points = pointsFrom(inputs);
  if (!points) return points.error();
  const Result<SizeFit> fit =
      fitRosinRammler(*points, inputs.choices.at("fit") == "line" ? SizeFitWay::straight_line
                                                                  : SizeFitWay::least_squares);
  if (!fit) return atInput(fit.error());
  return fitEvaluation(entry, *fit, inputs);
}

Result<Evaluation> evaluateSchuhmann(const Entry& entry, const Inputs& inputs) {
  const Result<std::vector<SizePoint>> points = pointsFrom(inputs);
  if (!points) return points.error();
  const Result<SizeFit> fit = fitGatesGaudinSchuhmann(*points);
  if (!fit) return atInput(fit.error());
  return fitEvaluation(entry, *fit, inputs);
}

Entry fitEntry(std::string id, std::string title, std::string formula, std::string scale_words) {
  Entry entry;
  entry.id = std::move(id);
  entry.version = size_fit_version;
  entry.title = std::move(title);
  entry.words = "A size distribution in two numbers, fitted to the shares that sieves pass.";
  entry.formula = std::move(formula);
  entry.inputs = {
      listOf(value("sizes", "x", "sizes", Kind::length, "um")),
      listOf(value("passing", "F", "share passing each size", Kind::number, "%", 0, 100))};
  entry.outputs = {{"scale", "x₀", std::move(scale_words), Kind::length, "um", 2},
                   {"slope", "n", "exponent", Kind::number, "1", 4},
                   {"r_squared", "r²", "how well the model fits", Kind::number, "1", 4},
                   {"d10", "D10", "fitted size that 10 % pass", Kind::length, "um", 2},
                   {"d50", "D50", "fitted size that 50 % pass", Kind::length, "um", 2},
                   {"d80", "D80", "fitted size that 80 % pass", Kind::length, "um", 2},
                   {"d90", "D90", "fitted size that 90 % pass", Kind::length, "um", 2}};
  entry.uncertainty = "Not propagated; r² and the sum of squares say how well the model fits.";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/sizes.csv";
  entry.example.numbers = {
      {"sizes", typedList({"250", "180", "125", "90", "63", "45"}, "um")},
      {"passing", typedList({"99.955", "96.991", "87.494", "66.300", "36.888", "10.934"}, "%")}};
  return entry;
}

Entry rosinEntry() {
  Entry entry = fitEntry("powder.rosin_rammler", "Rosin–Rammler distribution",
                         "R(x) = exp(−(x/d′)ⁿ); D_p = d′·(−ln(1 − p))^(1/n)",
                         "d′, size above which 36.8 % lie");
  entry.choices = {{"fit",
                    "straight line on the double logarithm, or least squares of the share",
                    {"line", "squares"},
                    ""}};
  entry.validity =
      "Points with a share between 0 and 100 %. Both ways of fitting the same points give "
      "different numbers, by 14 % on published data: compare only the same way. A size outside the "
      "sieves is an extrapolation.";
  entry.source =
      "P. Rosin and E. Rammler (1933), grid in DIN 66145; formulas and examples read in "
      "public texts, the standard not";
  entry.example.choices = {{"fit", "line"}};
  entry.evaluate = evaluateRosin;
  return entry;
}

Entry schuhmannEntry() {
  Entry entry = fitEntry("powder.gates_gaudin_schuhmann", "Gates–Gaudin–Schuhmann distribution",
                         "F(x) = (x/k)^m for x ≤ k; D_p = k·p^(1/m)", "k, size that all pass");
  entry.validity =
      "Points with a share between 0 and 100 %, straight line on double logarithmic paper. A size "
      "outside the sieves is an extrapolation.";
  entry.source =
      "A. M. Gaudin (1926), R. Schuhmann (1940); formulas and example read in a public "
      "text";
  entry.evaluate = evaluateSchuhmann;
  return entry;
}

// Moments.

int orderOf(const Inputs& inputs, const std::string& name) {
  const double typed = si(one(inputs, name));
  return typed == std::floor(typed) ? static_cast<int>(typed) : 99;
}

Result<Evaluation> evaluateMoments(const Entry& entry, const Inputs& inputs) {
  const Result<Length> mean = momentMean(
      lengthsOf(inputs, "limits"), siList(inputs, "weights"),
      inputs.choices.at("weighed_by") == "number" ? ClassWeight::number : ClassWeight::volume,
      orderOf(inputs, "p"), orderOf(inputs, "q"));
  if (!mean) return atInput(mean.error());
  Evaluation result;
  result.outputs = {output(entry, "mean", mean->in(unit::metre))};
  result.substituted_formula = fmt::format("D[{},{}] = {}", orderOf(inputs, "p"),
                                           orderOf(inputs, "q"), micrometresOf(*mean));
  const std::vector<Measure>& limits = inputs.numbers.at("limits");
  for (std::size_t i = 0; i + 1 < limits.size(); ++i)
    result.working.push_back(line("w",
                                  "class " + format(limits[i]) + " to " + format(limits[i + 1]),
                                  inputs.numbers.at("weights")[i]));
  return result;
}

Entry momentsEntry() {
  Entry entry;
  entry.id = "powder.moments";
  entry.version = moments_version;
  entry.title = "Mean size of classes";
  entry.words = "Mean size D[p,q] of a distribution in classes, such as the Sauter mean D[3,2].";
  entry.formula =
      "D[p,q] = (M_(p−r)/M_(q−r))^(1/(p − q)); M_k = Σ w_i·(b^(k+1) − a^(k+1))/((k + "
      "1)·(b − a))";
  entry.inputs = {
      listOf(value("limits", "x", "limits of the classes, fine to coarse", Kind::length, "um")),
      listOf(value("weights", "w", "count, mass or volume of each class", Kind::number, "1", 0)),
      value("p", "p", "first order", Kind::number, "1", -6, 6),
      value("q", "q", "second order", Kind::number, "1", -6, 6)};
  entry.choices = {{"weighed_by",
                    "what a class is weighed by: number of particles, or mass or volume",
                    {"number", "volume"},
                    ""}};
  entry.outputs = {{"mean", "D[p,q]", "mean size", Kind::length, "um", 2}};
  entry.validity =
      "Sizes lie evenly within a class. From counts the coarse classes decide D[4,3]: one particle "
      "shifts it.";
  entry.uncertainty = "Not propagated; the width of the classes governs.";
  entry.source =
      "ISO 9276-2:2014; class moments reproduce published means of drop counts, read through "
      "another text";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/sizes.csv";
  entry.example.numbers = {{"limits", typedList({"45", "63", "90", "125"}, "um")},
                           {"weights", typedList({"20", "50", "30"}, "1")},
                           {"p", {typed("3", "1")}},
                           {"q", {typed("2", "1")}}};
  entry.example.choices = {{"weighed_by", "volume"}};
  entry.evaluate = evaluateMoments;
  return entry;
}

// Band and earlier lots.

Result<std::vector<BandLimit>> bandFrom(const Inputs& inputs, std::size_t sieves) {
  std::vector<BandLimit> limits(sieves);
  for (const char* side : {"lower", "upper"}) {
    const std::vector<Share> given = sharesOf(inputs, side);
    if (given.empty()) continue;
    if (given.size() != sieves)
      return countError("band.count", side,
                        fmt::format("{} sieves, but {} limits.", sieves, given.size()));
    for (std::size_t i = 0; i < sieves; ++i)
      (side[0] == 'l' ? limits[i].lower : limits[i].upper) = given[i];
  }
  return limits;
}

Result<Evaluation> evaluateBand(const Entry& entry, const Inputs& inputs) {
  const std::vector<Share> passing = sharesOf(inputs, "passing");
  const Result<std::vector<BandLimit>> limits = bandFrom(inputs, passing.size());
  if (!limits) return limits.error();
  const Result<BandCheck> check = checkBand(passing, *limits);
  if (!check) return atInput(check.error());
  Evaluation result;
  result.outputs = {output(entry, "outside", check->outside),
                    output(entry, "worst", check->worst.in(unit::one))};
  result.substituted_formula =
      fmt::format("{} of {} sieves outside the band", check->outside, check->rows.size());
  for (std::size_t i = 0; i < check->rows.size(); ++i)
    result.working.push_back(
        line("off", fmt::format("sieve {} off its band", i + 1), percent(check->rows[i].off)));
  return result;
}

Entry bandEntry() {
  Entry entry;
  entry.id = "powder.band";
  entry.version = band_version;
  entry.title = "Shares passing against a band";
  entry.words = "How many sieves of a powder lie outside their band, and by how much at most.";
  entry.formula = "off = F − upper above it, F − lower below it, 0 inside";
  entry.inputs = {
      listOf(value("passing", "F", "share passing each sieve", Kind::number, "%", 0, 100)),
      ifKnown(listOf(value("lower", "", "lower limit of each sieve", Kind::number, "%", 0, 100))),
      ifKnown(listOf(value("upper", "", "upper limit of each sieve", Kind::number, "%", 0, 100)))};
  entry.outputs = {{"outside", "", "sieves outside the band", Kind::number, "1", 0},
                   {"worst", "", "largest distance off the band", Kind::number, "%", 2}};
  entry.validity = "A share equal to its limit keeps it. The band is the plant's specification.";
  entry.uncertainty = "Not propagated.";
  entry.source = "definition of this project";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/sizes.csv";
  entry.example.numbers = {{"passing", typedList({"95.0", "60.0", "20.0"}, "%")},
                           {"lower", typedList({"90", "55", "22"}, "%")},
                           {"upper", typedList({"100", "70", "35"}, "%")}};
  entry.evaluate = evaluateBand;
  return entry;
}

Result<Evaluation> evaluateLots(const Entry& entry, const Inputs& inputs) {
  const Result<LotComparison> found = compareLot(
      siList(inputs, "earlier"), si(one(inputs, "value")), si(one(inputs, "confidence")));
  if (!found) return atInput(found.error());
  Evaluation result;
  result.outputs = {output(entry, "mean", found->mean), output(entry, "s", found->s),
                    output(entry, "low", found->low), output(entry, "high", found->high),
                    output(entry, "z", found->z)};
  result.substituted_formula =
      fmt::format("{:.6g} against {:.6g} to {:.6g} of {} lots", si(one(inputs, "value")),
                  found->low, found->high, found->lots);
  for (const Measure& lot : inputs.numbers.at("earlier"))
    result.working.push_back(line("x", "earlier lot", lot));
  result.notes = {found->outside ? "The lot is unlike the lots before it."
                                 : "The lot is like the lots before it.",
                  fmt::format("{} of the {} last lots lie below it.", found->below, found->lots)};
  return result;
}

Entry lotsEntry() {
  Entry entry;
  entry.id = "powder.earlier_lots";
  entry.version = lot_comparison_version;
  entry.title = "A lot against the lots before it";
  entry.words = "Whether a lot is like its supplier's last twenty in one measured value.";
  entry.formula = "x̄ ± t_(n−1,(1+c)/2)·s·√(1 + 1/n); z = (x − x̄)/s";
  entry.inputs = {
      listOf(value("earlier", "x",
                   "values of the earlier lots in the order they came, plain "
                   "numbers; the last twenty are used",
                   Kind::number, "1")),
      value("value", "x", "value of the new lot, in the same unit", Kind::number, "1"),
      value("confidence", "c", "confidence of the interval", Kind::number, "%", 50, 100)};
  entry.outputs = {{"mean", "x̄", "mean of the earlier lots", Kind::number, "1", 4},
                   {"s", "s", "their standard deviation", Kind::number, "1", 4},
                   {"low", "", "lower end for one lot more", Kind::number, "1", 4},
                   {"high", "", "upper end for one lot more", Kind::number, "1", 4},
                   {"z", "z", "standard deviations off the mean", Kind::number, "1", 2}};
  entry.validity =
      "The earlier lots are one population without a drift. Being outside says that the lot is "
      "unlike its forerunners, not that it is bad; being inside does not say that it is good: the "
      "specification does.";
  entry.uncertainty = "Of the interval that of s, about s/√(2(n − 1)).";
  entry.source = "prediction interval of one future value, checked against SciPy";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/sizes.csv";
  entry.example.numbers = {
      {"earlier", typedList({"74.1", "73.8", "74.6", "74.0", "73.9", "74.3"}, "1")},
      {"value", {typed("75.9", "1")}},
      {"confidence", {typed("99", "%")}}};
  entry.evaluate = evaluateLots;
  return entry;
}

}  // namespace

std::vector<Entry> sizesEntries() {
  return {stackEntry(), rosinEntry(), schuhmannEntry(), momentsEntry(), bandEntry(), lotsEntry()};
}

}  // namespace platemark::catalogue
