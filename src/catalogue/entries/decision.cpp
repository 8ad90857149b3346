#include "platemark/method/statistics/decision.h"

#include "platemark/method/statistics/least_squares.h"
#include "platemark/method/statistics/outlier.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

using namespace method::statistics;

std::optional<double> given(const Inputs& inputs, const std::string& name) {
  if (!isGiven(inputs, name)) return {};
  return si(one(inputs, name));
}

DecisionInput decisionFrom(const Inputs& inputs) {
  DecisionInput in{si(one(inputs, "value")), si(one(inputs, "u")),
                   given(inputs, "lower"),   given(inputs, "upper"),
                   GuardRule::simple,        given(inputs, "required").value_or(0.95)};
  const std::string& rule = inputs.choices.at("rule");
  if (rule == "expanded") in.rule = GuardRule::expanded;
  if (rule == "probability") in.rule = GuardRule::probability;
  return in;
}

std::string outcomeNote(Outcome outcome) {
  switch (outcome) {
    case Outcome::conforms:
      return "It conforms.";
    case Outcome::does_not_conform:
      return "It does not conform.";
    default:
      return "Undecided: neither is proved.";
  }
}

Result<Evaluation> evaluateDecision(const Entry& entry, const Inputs& inputs) {
  const DecisionInput in = decisionFrom(inputs);
  const Result<Decision> decision = decide(in);
  if (!decision) return atInput(decision.error());
  Evaluation result;
  result.outputs = {output(entry, "outcome", 1 - static_cast<double>(decision->outcome)),
                    output(entry, "guard_band", decision->guard_band)};
  if (decision->probability)
    result.outputs.push_back(output(entry, "probability", *decision->probability));
  if (decision->accept_from)
    result.outputs.push_back(output(entry, "accept_from", *decision->accept_from));
  if (decision->accept_to)
    result.outputs.push_back(output(entry, "accept_to", *decision->accept_to));
  result.substituted_formula =
      fmt::format("guard band {:.6g} at a value of {:.6g}", decision->guard_band, in.value);
  result.working = {line("y", "value", one(inputs, "value")),
                    line("u", "standard uncertainty", one(inputs, "u"))};
  result.notes = {outcomeNote(decision->outcome)};
  return result;
}

Entry decisionEntry() {
  Entry entry;
  entry.id = "statistics.decision";
  entry.version = decision_version;
  entry.title = "Decision with a guard band";
  entry.words = "Whether a value with its uncertainty conforms to its limits, by an agreed rule.";
  entry.formula =
      "accepted from lower + g to upper − g; rejected beyond lower − g and upper + g; g = 0, 2·u, "
      "or "
      "the band that reaches the required probability";
  entry.inputs = {
      value("value", "y", "measured value, a plain number", Kind::number, "1"),
      value("u", "u", "standard uncertainty, in the unit of the value", Kind::number, "1", 0),
      ifKnown(value("lower", "L", "lower limit", Kind::number, "1")),
      ifKnown(value("upper", "U", "upper limit", Kind::number, "1")),
      ifKnown(value("required", "p", "required probability, 95 % when not given", Kind::number, "%",
                    50, 100))};
  entry.choices = {{"rule",
                    "no guard band, twice the uncertainty, or by the required probability",
                    {"simple", "expanded", "probability"},
                    ""}};
  entry.outputs = {
      {"outcome", "", "1 conforms, 0 undecided, −1 does not conform", Kind::number, "1", 0},
      {"guard_band", "g", "guard band", Kind::number, "1", 6},
      {"probability", "p_c", "probability that it conforms", Kind::number, "%", 2},
      {"accept_from", "", "lower acceptance limit", Kind::number, "1", 6},
      {"accept_to", "", "upper acceptance limit", Kind::number, "1", 6}};
  entry.validity =
      "Normal. A value on an acceptance limit is accepted. Between acceptance and rejection "
      "nothing "
      "is proved: who has to prove carries the uncertainty. The rule is agreed before.";
  entry.uncertainty = "It is what the method works with.";
  entry.source = "JCGM 106:2012, clause 8; ISO 14253-1:2017";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/decision.csv";
  entry.example.numbers = {{"value", {typed("9.80", "1")}},
                           {"u", {typed("0.10", "1")}},
                           {"upper", {typed("10.00", "1")}}};
  entry.example.choices = {{"rule", "probability"}};
  entry.evaluate = evaluateDecision;
  return entry;
}

std::vector<WorkingLine> readingLines(const Inputs& inputs) {
  std::vector<WorkingLine> lines;
  for (const Measure& reading : inputs.numbers.at("readings"))
    lines.push_back(line(fmt::format("x_{}", lines.size() + 1), "reading", reading));
  return lines;
}

std::string flagNote(const OutlierTest& test) {
  return fmt::format("Reading {} {} flagged; it stays in every figure.", test.reading + 1,
                     test.flagged() ? "is" : "is not");
}

Evaluation testEvaluation(const Entry& entry, const Inputs& inputs, const OutlierTest& test,
                          double flagged) {
  Evaluation result;
  result.outputs = {output(entry, "statistic", test.statistic),
                    output(entry, "critical", test.critical),
                    output(entry, "reading", static_cast<double>(test.reading) + 1),
                    output(entry, "flagged", flagged)};
  result.substituted_formula = fmt::format("{:.6g} against {:.6g}", test.statistic, test.critical);
  result.working = readingLines(inputs);
  return result;
}

Result<Evaluation> evaluateOutliers(const Entry& entry, const Inputs& inputs) {
  const std::vector<double> readings = siList(inputs, "readings");
  const double level = si(one(inputs, "level"));
  const std::string& by = inputs.choices.at("test");
  if (by == "several") {
    const int most = isGiven(inputs, "most") ? static_cast<int>(si(one(inputs, "most"))) : 1;
    const Result<SeveralOutliers> found = severalOutliers(readings, most, level);
    if (!found) return atInput(found.error());
    Evaluation result = testEvaluation(entry, inputs, found->tests.front(),
                                       static_cast<double>(found->flagged.size()));
    for (const std::size_t reading : found->flagged)
      result.notes.push_back(
          fmt::format("Reading {} is flagged; it stays in every figure.", reading + 1));
    return result;
  }
  const Result<OutlierTest> test = by == "dixon" ? dixon(readings, level) : grubbs(readings, level);
  if (!test) return atInput(test.error());
  Evaluation result = testEvaluation(entry, inputs, *test, test->flagged() ? 1 : 0);
  result.notes = {flagNote(*test)};
  return result;
}

Entry outliersEntry() {
  Entry entry;
  entry.id = "statistics.outliers";
  entry.version = outlier_version;
  entry.title = "Readings far off";
  entry.words = "Flags readings that stand far off the others. It never takes one out.";
  entry.formula =
      "Grubbs G = max|x − x̄|/s; Rosner the same, one after the other set aside; Dixon gap over "
      "range";
  entry.inputs = {
      listOf(value("readings", "x", "readings as plain numbers in one unit", Kind::number, "1")),
      value("level", "α", "level, two-sided", Kind::number, "%", 0, 50),
      ifKnown(value("most", "k", "most outliers looked for, by Rosner", Kind::number, "1", 1))};
  entry.choices = {{"test",
                    "Grubbs for one, Dixon for one among few, Rosner for several",
                    {"grubbs", "dixon", "several"},
                    "grubbs"}};
  entry.outputs = {{"statistic", "", "statistic of the farthest reading", Kind::number, "1", 4},
                   {"critical", "", "critical value", Kind::number, "1", 4},
                   {"reading", "", "place of the farthest reading", Kind::number, "1", 0},
                   {"flagged", "", "readings flagged", Kind::number, "1", 0}};
  entry.validity =
      "One normal population but for the flagged. Two outliers hide one another from Grubbs and "
      "Dixon. A flag is a question to the person who measured.";
  entry.uncertainty = "Does not apply.";
  entry.source =
      "NIST/SEMATECH e-Handbook 1.3.5.17, examples through copies of the pages; Dixon's "
      "critical values by exact quadrature";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/outlier.csv";
  entry.example.numbers = {
      {"readings", typedList({"17.02", "17.03", "17.01", "17.02", "17.12"}, "1")},
      {"level", {typed("5", "%")}}};
  entry.example.choices = {{"test", "grubbs"}};
  entry.evaluate = evaluateOutliers;
  return entry;
}

Result<Evaluation> evaluatePolynomial(const Entry& entry, const Inputs& inputs) {
  const double degree = si(one(inputs, "degree"));
  const bool through_origin = inputs.choices.at("through_origin") == "yes";
  const Result<LeastSquares> fit =
      polynomial(siList(inputs, "x"), siList(inputs, "y"),
                 degree == static_cast<int>(degree) ? static_cast<int>(degree) : 0, through_origin);
  if (!fit) return atInput(fit.error());
  Evaluation result;
  std::string terms = "y =";
  for (std::size_t i = 0; i < fit->coefficients.size(); ++i) {
    const Coefficient& b = fit->coefficients[i];
    const std::size_t power = i + (through_origin ? 1 : 0);
    result.outputs.push_back(
        {fmt::format("b{}", power), fromSi(b.value, "1"), fromSi(b.standard_error, "1"), true, ""});
    terms += fmt::format(" {:+.6g}·x^{}", b.value, power);
  }
  result.outputs.push_back(output(entry, "s", fit->s));
  result.outputs.push_back(output(entry, "r_squared", fit->r_squared));
  result.substituted_formula = terms;
  for (const Measure& y : inputs.numbers.at("y")) result.working.push_back(line("y", "reading", y));
  return result;
}

Entry polynomialEntry() {
  Entry entry;
  entry.id = "statistics.polynomial";
  entry.version = least_squares_version;
  entry.title = "Line or polynomial by least squares";
  entry.words =
      "The line or curve of a calibration, with the errors of its coefficients. Besides "
      "the outputs named here it gives b0, b1, … in the order of the powers.";
  entry.formula = "Σ(y_i − Σ_j b_j·x_i^j)² least; s² = residual squares/(n − k)";
  entry.inputs = {listOf(value("x", "x", "set values, plain numbers", Kind::number, "1")),
                  listOf(value("y", "y", "readings, in the same order", Kind::number, "1")),
                  value("degree", "", "highest power", Kind::number, "1", 1, 10)};
  entry.choices = {
      {"through_origin", "whether the curve goes through the origin", {"no", "yes"}, "no"}};
  entry.outputs = {
      {"s", "s", "spread about the curve", Kind::number, "1", 6},
      {"r_squared", "R²", "share of the spread that the curve explains", Kind::number, "%", 3}};
  entry.validity =
      "More readings than coefficients; equal spread. A high degree follows the noise and says "
      "nothing between and beyond the readings.";
  entry.uncertainty = "Standard errors of the coefficients, from the residuals.";
  entry.source =
      "G. H. Golub, Numerische Mathematik 7 (1965) 206; checked with NIST reference data";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/nist_linear.csv";
  entry.example.numbers = {{"x", typedList({"0", "10", "20", "30"}, "1")},
                           {"y", typedList({"0.1", "10.0", "20.2", "30.1"}, "1")},
                           {"degree", {typed("1", "1")}}};
  entry.evaluate = evaluatePolynomial;
  return entry;
}

}  // namespace

std::vector<Entry> decisionEntries() {
  return {decisionEntry(), outliersEntry(), polynomialEntry()};
}

}  // namespace platemark::catalogue
