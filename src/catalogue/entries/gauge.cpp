#include <algorithm>
#include <cmath>

#include "platemark/method/gauge/agreement.h"
#include "platemark/method/gauge/bias.h"
#include "platemark/method/gauge/nested.h"
#include "platemark/method/gauge/study.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

using namespace method::gauge;

/// A study's sizes are whole numbers; whatever else was typed is refused by the method.
int whole(const Inputs& inputs, const std::string& name) {
  const double typed = si(one(inputs, name));
  return typed == std::floor(typed) && std::abs(typed) < 1e6 ? static_cast<int>(typed) : 0;
}

std::vector<int> wholeList(const Inputs& inputs, const std::string& name) {
  std::vector<int> list;
  for (const double typed : siList(inputs, name))
    list.push_back(static_cast<int>(std::lround(typed)));
  return list;
}

WorkingLine computedLine(std::string symbol, std::string words, double value) {
  return line(std::move(symbol), std::move(words), fromSi(value, "1"));
}

GaugeReadings readingsFrom(const Inputs& inputs) {
  GaugeReadings readings{whole(inputs, "operators"),
                         whole(inputs, "parts"),
                         whole(inputs, "trials"),
                         siList(inputs, "values"),
                         {}};
  if (isGiven(inputs, "tolerance")) readings.tolerance = si(one(inputs, "tolerance"));
  return readings;
}

std::string standingNote(const GaugeStudy& study, GaugeStanding standing) {
  std::string found = fmt::format("{:.1f} % of the spread is the gauge's, ", 100 * study.share);
  if (study.tolerance_share)
    found += fmt::format("{:.1f} % of the tolerance, ", 100 * *study.tolerance_share);
  found += fmt::format("{} categories ({:.2f} before the cut)", study.categories,
                       study.categories_uncut);
  switch (standing) {
    case GaugeStanding::usable:
      return found + ": usable.";
    case GaugeStanding::needs_acceptance:
      return found + ": usable only with a signed acceptance.";
    default:
      return found + ": blocked.";
  }
}

void addVariance(Evaluation& result, const GaugeVariance& table) {
  const auto add = [&](const char* of, const VarianceLine& part) {
    result.working.push_back(computedLine(fmt::format("MS_{}", of),
                                          fmt::format("mean square, {} degrees of freedom, sum of "
                                                      "squares {:.6g}",
                                                      part.degrees, part.squares),
                                          part.mean_square));
    if (part.p)
      result.working.push_back(computedLine(
          fmt::format("p_{}", of), fmt::format("p-value of F = {:.4g}", *part.f), *part.p));
  };
  add("o", table.operators);
  add("p", table.parts);
  add("op", table.interaction);
  add("e", table.repeatability);
  if (table.pooled) result.notes.push_back("The interaction was pooled with the repeatability.");
}

void addOperators(Evaluation& result, const GaugeStudy& study) {
  for (std::size_t i = 0; i < study.operator_means.size(); ++i)
    result.working.push_back(computedLine(
        fmt::format("x̄_{}", i + 1),
        fmt::format("mean of operator {}, mean range {:.6g}", i + 1, study.operator_ranges[i]),
        study.operator_means[i]));
}

std::vector<OutputValue> studyOutputs(const Entry& entry, const GaugeStudy& study) {
  std::vector<OutputValue> outputs{output(entry, "repeatability", study.repeatability),
                                   output(entry, "reproducibility", study.reproducibility),
                                   output(entry, "interaction", study.interaction),
                                   output(entry, "gauge", study.gauge),
                                   output(entry, "parts_spread", study.parts),
                                   output(entry, "total", study.total),
                                   output(entry, "share", study.share),
                                   output(entry, "categories", study.categories)};
  if (study.tolerance_share)
    outputs.push_back(output(entry, "tolerance_share", *study.tolerance_share));
  return outputs;
}

Result<Evaluation> evaluateStudy(const Entry& entry, const Inputs& inputs) {
  const GaugeReadings readings = readingsFrom(inputs);
  const Result<GaugeStudy> study = inputs.choices.at("method") == "ranges"
                                       ? rangeStudy(readings)
                                       : varianceStudy(readings, si(one(inputs, "pool_above")));
  if (!study) return atInput(study.error());
  const Result<GaugeStanding> standing =
      gaugeStanding(*study, {si(one(inputs, "accept_from")), si(one(inputs, "block_above")),
                             whole(inputs, "fewest_categories")});
  if (!standing) return atInput(standing.error());
  Evaluation result;
  result.outputs = studyOutputs(entry, *study);
  result.substituted_formula =
      fmt::format("GRR = √({:.6g}² + {:.6g}² + {:.6g}²) = {:.6g}; share = {:.6g}/{:.6g} = {:.2f} %",
                  study->repeatability, study->reproducibility, study->interaction, study->gauge,
                  study->gauge, study->total, 100 * study->share);
  result.notes = {standingNote(*study, *standing)};
  if (study->variance) addVariance(result, *study->variance);
  addOperators(result, *study);
  return result;
}

/// 2 operators, 5 parts, 2 trials: rounded thickness readings in mm, made up.
void fillStudyExample(Entry& entry) {
  entry.example.numbers = {
      {"values", typedList({"17.02", "17.03", "16.95", "16.95", "17.11", "17.12", "16.99",
                            "16.98", "17.06", "17.06", "17.03", "17.03", "16.96", "16.95",
                            "17.12", "17.11", "16.99", "17.00", "17.07", "17.06"},
                           "1")},
      {"operators", {typed("2", "1")}},
      {"parts", {typed("5", "1")}},
      {"trials", {typed("2", "1")}},
      {"tolerance", {typed("0.40", "1")}},
      {"accept_from", {typed("10", "%")}},
      {"block_above", {typed("30", "%")}},
      {"fewest_categories", {typed("5", "1")}},
      {"pool_above", {typed("0.25", "1")}}};
}

Entry studyEntry() {
  Entry entry;
  entry.id = "gauge.study";
  entry.version = gauge_study_version;
  entry.title = "Gauge study";
  entry.words =
      "How much of the spread a gauge shows comes from the gauge and its people, and how many "
      "categories of parts it can tell apart.";
  entry.formula =
      "EV repeatability, AV reproducibility, INT interaction, PV parts; GRR = √(EV² + AV² + INT²); "
      "TV = √(GRR² + PV²); share = GRR/TV; categories = 1.41·PV/GRR, cut to the whole number below";
  entry.inputs = {
      listOf(value("values", "x",
                   "readings as plain numbers in one unit: operator by operator, in "
                   "it part by part, in it trial by trial",
                   Kind::number, "1")),
      value("operators", "o", "operators", Kind::number, "1", 1, 50),
      value("parts", "p", "parts", Kind::number, "1", 2, 50),
      value("trials", "r", "trials of each part by each operator", Kind::number, "1", 2, 50),
      ifKnown(value("tolerance", "U − L", "upper minus lower limit, in the unit of the readings",
                    Kind::number, "1")),
      value("accept_from", "", "share from which a signed acceptance is needed", Kind::number, "%",
            0, 100),
      value("block_above", "", "share above which the gauge is blocked", Kind::number, "%", 0, 100),
      value("fewest_categories", "", "fewer categories block the gauge", Kind::number, "1", 1, 100),
      value("pool_above", "", "p-value above which the interaction is pooled", Kind::number, "1", 0,
            1)};
  entry.choices = {
      {"method", "analysis of variance, or mean ranges", {"variance", "ranges"}, "variance"}};
  entry.outputs = {
      {"repeatability", "EV", "repeatability", Kind::number, "1", 6},
      {"reproducibility", "AV", "reproducibility", Kind::number, "1", 6},
      {"interaction", "INT", "interaction of operators and parts", Kind::number, "1", 6},
      {"gauge", "GRR", "spread of the gauge and its people", Kind::number, "1", 6},
      {"parts_spread", "PV", "spread of the parts", Kind::number, "1", 6},
      {"total", "TV", "total spread", Kind::number, "1", 6},
      {"share", "%GRR", "share of the gauge in the total spread", Kind::number, "%", 2},
      {"categories", "ndc", "categories told apart, cut", Kind::number, "1", 0},
      {"tolerance_share", "%P/T", "six times the gauge's spread of the tolerance, when it is given",
       Kind::number, "%", 2}};
  entry.validity =
      "Every operator reads every part equally often, blind and in random order; the parts cover "
      "the process. The limits are the plant's: usual are 10 % and 30 % and five categories, "
      "remembered, not verified. The greater of both shares counts.";
  entry.uncertainty =
      "Large with few operators: for three, the standard error of AV is about half of AV.";
  entry.source =
      "AIAG, Measurement Systems Analysis, 4th edition, chapter III; checked with its "
      "published example of 10 parts, 3 operators and 3 trials";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/gauge_study.csv";
  fillStudyExample(entry);
  entry.evaluate = evaluateStudy;
  return entry;
}

Result<Evaluation> evaluateNested(const Entry& entry, const Inputs& inputs) {
  const Result<NestedGauge> study = nestedGaugeStudy(
      {whole(inputs, "runs"), whole(inputs, "artefacts"), whole(inputs, "days"),
       whole(inputs, "readings"), siList(inputs, "means"), siList(inputs, "spreads")});
  if (!study) return atInput(study.error());
  Evaluation result;
  result.outputs = {output(entry, "short_term", study->short_term.s),
                    output(entry, "day", study->day.s), output(entry, "run", study->run.s)};
  result.substituted_formula =
      fmt::format("s1 = {:.6g} ({} degrees of freedom); s2 = {:.6g} ({}); s3 = {:.6g} ({})",
                  study->short_term.s, study->short_term.degrees, study->day.s, study->day.degrees,
                  study->run.s, study->run.degrees);
  for (std::size_t i = 0; i < study->day_by_run.size(); ++i) {
    const std::string run = std::to_string(i + 1);
    result.working.push_back(computedLine("s1," + run, "short-term spread of run " + run,
                                          study->short_term_by_run[i].s));
    result.working.push_back(
        computedLine("s2," + run, "spread from day to day in run " + run, study->day_by_run[i].s));
  }
  for (std::size_t i = 0; i < study->run_by_artefact.size(); ++i)
    result.working.push_back(computedLine("s3," + std::to_string(i + 1),
                                          "spread of the runs on artefact " + std::to_string(i + 1),
                                          study->run_by_artefact[i].s));
  return result;
}

Entry nestedEntry() {
  Entry entry;
  entry.id = "gauge.nested";
  entry.version = nested_gauge_version;
  entry.title = "Gauge over days and runs";
  entry.words = "Spread of one gauge on check artefacts: short-term, from day to day, run to run.";
  entry.formula =
      "s1² = mean of the squared short-term spreads; s2² = mean variance of the daily means; s3² = "
      "mean variance of the runs' means";
  entry.inputs = {
      listOf(value("means", "x̄",
                   "daily means, plain numbers in one unit: run by run, in it "
                   "artefact by artefact, in it day by day",
                   Kind::number, "1")),
      listOf(value("spreads", "s", "standard deviation behind each mean, in the same order",
                   Kind::number, "1", 0)),
      value("runs", "L", "runs", Kind::number, "1", 2),
      value("artefacts", "Q", "artefacts", Kind::number, "1", 1),
      value("days", "K", "days of a run", Kind::number, "1", 2),
      value("readings", "J", "readings behind each mean", Kind::number, "1", 2)};
  entry.outputs = {{"short_term", "s1", "short-term spread", Kind::number, "1", 5},
                   {"day", "s2", "spread from day to day", Kind::number, "1", 5},
                   {"run", "s3", "spread from run to run", Kind::number, "1", 5}};
  entry.validity = "Each artefact on each day of each run, with equally many readings.";
  entry.uncertainty = "Of each spread about s/√(2·degrees of freedom).";
  entry.source =
      "NIST/SEMATECH e-Handbook of Statistical Methods, 2.6.1, and its printed results, through a "
      "text that quotes the page";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/gauge_nested.csv";
  entry.example.numbers = {
      {"means", typedList({"10.01", "10.03", "10.02", "9.98", "10.00", "9.99"}, "1")},
      {"spreads", typedList({"0.02", "0.01", "0.02", "0.01", "0.02", "0.03"}, "1")},
      {"runs", {typed("2", "1")}},
      {"artefacts", {typed("1", "1")}},
      {"days", {typed("3", "1")}},
      {"readings", {typed("6", "1")}}};
  entry.evaluate = evaluateNested;
  return entry;
}

Result<Evaluation> evaluateBias(const Entry& entry, const Inputs& inputs) {
  const double confidence = si(one(inputs, "confidence"));
  const Result<GaugeBias> bias =
      gaugeBias(siList(inputs, "readings"), si(one(inputs, "reference")), confidence);
  if (!bias) return atInput(bias.error());
  Evaluation result;
  result.outputs = {output(entry, "bias", bias->bias), output(entry, "low", bias->low),
                    output(entry, "high", bias->high), output(entry, "s", bias->s),
                    output(entry, "p", bias->p)};
  result.substituted_formula =
      fmt::format("b = {:.6g}; t = {:.4g}; {:g} % interval {:.6g} to {:.6g}", bias->bias, bias->t,
                  100 * confidence, bias->low, bias->high);
  for (const Measure& reading : inputs.numbers.at("readings"))
    result.working.push_back(line("x", "reading", reading));
  result.notes = {bias->present ? "The interval excludes 0: the gauge reads off."
                                : "The interval holds 0: no bias was shown."};
  return result;
}

Entry biasEntry() {
  Entry entry;
  entry.id = "gauge.bias";
  entry.version = gauge_bias_version;
  entry.title = "Bias of a gauge";
  entry.words = "How far a gauge reads off a reference, with its interval.";
  entry.formula = "b = x̄ − X; t = b/(s/√n); interval b ± t_(n−1,(1+c)/2)·s/√n";
  entry.inputs = {
      listOf(value("readings", "x", "readings of the reference, plain numbers in one unit",
                   Kind::number, "1")),
      value("reference", "X", "value of the reference, in the same unit", Kind::number, "1"),
      value("confidence", "c", "confidence of the interval", Kind::number, "%", 50, 100)};
  entry.outputs = {{"bias", "b", "bias", Kind::number, "1", 6},
                   {"low", "", "lower end of the interval", Kind::number, "1", 6},
                   {"high", "", "upper end of the interval", Kind::number, "1", 6},
                   {"s", "s", "standard deviation of the readings", Kind::number, "1", 6},
                   {"p", "p", "two-sided p-value", Kind::number, "1", 4}};
  entry.validity =
      "A reference known much better than the gauge reads; normal readings. A bias that was not "
      "shown can still be there.";
  entry.uncertainty = "s/√n and the reference's own, which is not added here.";
  entry.source = "AIAG, Measurement Systems Analysis, 4th edition, chapter III";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/gauge_bias.csv";
  entry.example.numbers = {{"readings", typedList({"10.02", "10.01", "10.03", "10.02"}, "1")},
                           {"reference", {typed("10.00", "1")}},
                           {"confidence", {typed("95", "%")}}};
  entry.evaluate = evaluateBias;
  return entry;
}

Result<Evaluation> evaluateLinearity(const Entry& entry, const Inputs& inputs) {
  const Result<GaugeLinearity> found = gaugeLinearity(
      siList(inputs, "references"), siList(inputs, "readings"), si(one(inputs, "confidence")));
  if (!found) return atInput(found.error());
  Evaluation result;
  result.outputs = {
      output(entry, "intercept", found->intercept.value, found->intercept.standard_error),
      output(entry, "slope", found->slope.value, found->slope.standard_error),
      output(entry, "s", found->s),
      output(entry, "r_squared", found->r_squared),
      output(entry, "mean_bias", found->mean_bias),
      output(entry, "p_slope", found->slope.p),
      output(entry, "p_intercept", found->intercept.p)};
  result.substituted_formula =
      fmt::format("b = {:.6g} + {:.6g}·X", found->intercept.value, found->slope.value);
  for (const BiasAt& at : found->references)
    result.working.push_back(computedLine(
        "b", fmt::format("fitted bias at {:g} ± {:.4g}", at.reference, at.half_width), at.fitted));
  result.notes = {found->acceptable ? "No bias lies inside the band at every reference."
                                    : "At one reference or more the band excludes a bias of 0."};
  return result;
}

Entry linearityEntry() {
  Entry entry;
  entry.id = "gauge.linearity";
  entry.version = gauge_linearity_version;
  entry.title = "Linearity of a gauge";
  entry.words = "Whether the bias of a gauge changes over its range.";
  entry.formula =
      "b_i = x_i − X_i fitted by b = a0 + a1·X; band ± t_(n−2,(1+c)/2)·s·√(1/n + (X − "
      "X̄)²/Σ(X_i − X̄)²)";
  entry.inputs = {
      listOf(value("references", "X", "value of the reference of each reading, plain numbers",
                   Kind::number, "1")),
      listOf(value("readings", "x", "readings in the same unit and order", Kind::number, "1")),
      value("confidence", "c", "confidence of the band", Kind::number, "%", 50, 100)};
  entry.outputs = {
      {"intercept", "a0", "bias at 0", Kind::number, "1", 6},
      {"slope", "a1", "bias per unit", Kind::number, "1", 6},
      {"s", "s", "spread about the line", Kind::number, "1", 6},
      {"r_squared", "R²", "share of the spread that the line explains", Kind::number, "%", 2},
      {"mean_bias", "b̄", "mean bias", Kind::number, "1", 6},
      {"p_slope", "", "p-value of the slope", Kind::number, "1", 4},
      {"p_intercept", "", "p-value of the bias at 0", Kind::number, "1", 4}};
  entry.validity =
      "References known much better than the gauge reads; equal spread over the range.";
  entry.uncertainty = "Standard errors of both terms from the spread about the line.";
  entry.source =
      "AIAG, Measurement Systems Analysis, 4th edition, chapter III; checked with its "
      "published example of 5 parts and 12 readings";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/gauge_linearity.csv";
  entry.example.numbers = {
      {"references", typedList({"2", "2", "6", "6", "10", "10"}, "1")},
      {"readings", typedList({"2.01", "2.00", "6.02", "6.01", "10.02", "10.04"}, "1")},
      {"confidence", {typed("95", "%")}}};
  entry.evaluate = evaluateLinearity;
  return entry;
}

Evaluation kappaEvaluation(const Entry& entry, const Kappa& kappa) {
  Evaluation result;
  result.outputs = {output(entry, "kappa", kappa.kappa, kappa.standard_error),
                    output(entry, "agreed", kappa.agreed),
                    output(entry, "by_chance", kappa.by_chance)};
  result.substituted_formula =
      fmt::format("κ = ({:.4f} − {:.4f})/(1 − {:.4f}) = {:.4f}", kappa.agreed, kappa.by_chance,
                  kappa.by_chance, kappa.kappa);
  result.working = {computedLine("p_o", "share agreed", kappa.agreed),
                    computedLine("p_e", "share agreed by chance", kappa.by_chance)};
  return result;
}

Result<Evaluation> evaluateTwo(const Entry& entry, const Inputs& inputs) {
  const Result<Kappa> kappa = cohenKappa(wholeList(inputs, "first"), wholeList(inputs, "second"));
  if (!kappa) return atInput(kappa.error());
  return kappaEvaluation(entry, *kappa);
}

Result<Evaluation> evaluateSeveral(const Entry& entry, const Inputs& inputs) {
  const std::vector<int> flat = wholeList(inputs, "counts");
  const int classes = whole(inputs, "classes");
  if (classes < 2 || flat.size() % static_cast<std::size_t>(classes) != 0) {
    Error error;
    error.code = "agreement.count";
    error.what = fmt::format("{} counts cannot be parted into {} classes.", flat.size(), classes);
    error.where.field = "numbers.counts";
    error.expected = "a count for each class of each part";
    error.remedy = "Check the number of classes and the counts.";
    return error;
  }
  std::vector<std::vector<int>> counts;
  for (auto at = flat.begin(); at != flat.end(); at += classes)
    counts.emplace_back(at, at + classes);
  const Result<Kappa> kappa = fleissKappa(counts);
  if (!kappa) return atInput(kappa.error());
  return kappaEvaluation(entry, *kappa);
}

Entry kappaEntry(std::string id, std::string title) {
  Entry entry;
  entry.id = std::move(id);
  entry.version = agreement_version;
  entry.title = std::move(title);
  entry.outputs = {{"kappa", "κ", "agreement beyond chance", Kind::number, "1", 3},
                   {"agreed", "p_o", "share agreed", Kind::number, "%", 2},
                   {"by_chance", "p_e", "share agreed by chance", Kind::number, "%", 2}};
  entry.validity =
      "Classes without an order; every part sorted by as many people. κ falls when one class is "
      "rare, at the same share of agreement: compare only like studies.";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/gauge_agreement.csv";
  return entry;
}

Entry twoEntry() {
  Entry entry = kappaEntry("gauge.agreement_two", "Agreement of two people");
  entry.words =
      "Whether two people, or one person and the known answer, sort parts into the same classes.";
  entry.formula = "κ = (p_o − p_e)/(1 − p_e); p_e = Σ a_k·b_k";
  entry.inputs = {listOf(value("first", "", "class given by the first, a number for each part",
                               Kind::number, "1")),
                  listOf(value("second", "", "class given by the second, in the same order",
                               Kind::number, "1"))};
  entry.uncertainty = "Standard error of a large sample, Fleiss, Cohen and Everitt (1969).";
  entry.source = "J. Cohen, Educational and Psychological Measurement 20 (1960) 37";
  entry.example.numbers = {{"first", typedList({"1", "1", "0", "1", "0", "1", "0", "0"}, "1")},
                           {"second", typedList({"1", "1", "0", "0", "0", "1", "0", "1"}, "1")}};
  entry.evaluate = evaluateTwo;
  return entry;
}

Entry severalEntry() {
  Entry entry = kappaEntry("gauge.agreement_several", "Agreement of several people");
  entry.words = "Whether several people sort parts into the same classes.";
  entry.formula =
      "κ = (p_o − p_e)/(1 − p_e); p_o = mean of Σ n_k(n_k − 1)/(m(m − 1)); p_e = Σ q_k²";
  entry.inputs = {listOf(value("counts", "n",
                               "how many people took each class: part by part, in it class by "
                               "class",
                               Kind::number, "1", 0)),
                  value("classes", "K", "classes", Kind::number, "1", 2, 100)};
  entry.uncertainty =
      "Standard error under no agreement, Fleiss, Nee and Landis (1979): for the question whether "
      "there is any, not for an interval.";
  entry.source = "J. L. Fleiss, Psychological Bulletin 76 (1971) 378";
  entry.example.numbers = {{"counts", typedList({"3", "0", "1", "2", "0", "3", "3", "0"}, "1")},
                           {"classes", {typed("2", "1")}}};
  entry.evaluate = evaluateSeveral;
  return entry;
}

}  // namespace

std::vector<Entry> gaugeEntries() {
  return {studyEntry(), nestedEntry(), biasEntry(), linearityEntry(), twoEntry(), severalEntry()};
}

}  // namespace platemark::catalogue
