#include <cmath>
#include <map>
#include <numbers>

#include "platemark/method/statistics/curve_fit.h"
#include "support/cases.h"

using namespace platemark;
using namespace platemark::method::statistics;

namespace {

using B = std::span<const double>;
using Model = double (*)(B b, double x);

double polynomialAt(B b, double x) {
  double sum = 0;
  for (std::size_t j = b.size(); j-- > 0;) sum = sum * x + b[j];
  return sum;
}

double gauss(double height, double centre, double width, double x) {
  return height * std::exp(-(x - centre) * (x - centre) / (width * width));
}

double cubics(B b, double x) {
  return polynomialAt(b.first(4), x) / (1 + x * polynomialAt(b.subspan(4), x));
}

double cycle(double c, double s, double period, double x) {
  const double angle = 2 * std::numbers::pi * x / period;
  return c * std::cos(angle) + s * std::sin(angle);
}

/// The models as the data sets name them.
const std::map<std::string, Model> models{
    {"Misra1a", [](B b, double x) { return b[0] * (1 - std::exp(-b[1] * x)); }},
    {"Misra1b", [](B b, double x) { return b[0] * (1 - std::pow(1 + b[1] * x / 2, -2)); }},
    {"Misra1c", [](B b, double x) { return b[0] * (1 - std::pow(1 + 2 * b[1] * x, -0.5)); }},
    {"Misra1d", [](B b, double x) { return b[0] * b[1] * x / (1 + b[1] * x); }},
    {"Chwirut2", [](B b, double x) { return std::exp(-b[0] * x) / (b[1] + b[2] * x); }},
    {"DanWood", [](B b, double x) { return b[0] * std::pow(x, b[1]); }},
    {"Lanczos3",
     [](B b, double x) {
       return b[0] * std::exp(-b[1] * x) + b[2] * std::exp(-b[3] * x) + b[4] * std::exp(-b[5] * x);
     }},
    {"Gauss1",
     [](B b, double x) {
       return b[0] * std::exp(-b[1] * x) + gauss(b[2], b[3], b[4], x) + gauss(b[5], b[6], b[7], x);
     }},
    {"Kirby2",
     [](B b, double x) {
       return polynomialAt(b.first(3), x) / (1 + x * polynomialAt(b.subspan(3), x));
     }},
    {"Hahn1", cubics},
    {"MGH17",
     [](B b, double x) { return b[0] + b[1] * std::exp(-x * b[3]) + b[2] * std::exp(-x * b[4]); }},
    {"MGH09", [](B b, double x) { return b[0] * (x * x + x * b[1]) / (x * x + x * b[2] + b[3]); }},
    {"MGH10", [](B b, double x) { return b[0] * std::exp(b[1] / (x + b[2])); }},
    {"Roszman1",
     [](B b, double x) {
       return b[0] - b[1] * x - std::atan(b[2] / (x - b[3])) / std::numbers::pi;
     }},
    {"ENSO",
     [](B b, double x) {
       return b[0] + cycle(b[1], b[2], 12, x) + cycle(b[4], b[5], b[3], x) +
              cycle(b[7], b[8], b[6], x);
     }},
    {"Thurber", cubics},
    {"BoxBOD", [](B b, double x) { return b[0] * (1 - std::exp(-b[1] * x)); }},
    {"Rat42", [](B b, double x) { return b[0] / (1 + std::exp(b[1] - b[2] * x)); }},
    {"Rat43",
     [](B b, double x) { return b[0] / std::pow(1 + std::exp(b[1] - b[2] * x), 1 / b[3]); }},
    {"Eckerle4",
     [](B b, double x) {
       return b[0] / b[1] * std::exp(-0.5 * (x - b[2]) * (x - b[2]) / (b[1] * b[1]));
     }},
    {"Bennett5", [](B b, double x) { return b[0] * std::pow(b[1] + x, -1 / b[2]); }}};

Curve curveOf(const test::Case& row, const std::vector<double>& x, std::size_t readings) {
  if (row.text("id") == "Nelson")
    return [x, readings](B b, std::size_t i) {
      return b[0] - b[1] * x[i] * std::exp(-b[2] * x[readings + i]);
    };
  const Model model = models.at(row.text("id"));
  return [x, model](B b, std::size_t i) { return model(b, x[i]); };
}

double digits(double computed, double certified) {
  const double off = std::abs(computed - certified) / std::abs(certified);
  return off == 0 ? 11 : std::min(11.0, -std::log10(off));
}

/// The fewest digits that agree over coefficients, their errors and the sum of squares; 0 for a fit
/// that says it found no end.
double agreement(const Result<CurveFit>& fit, const test::Case& row) {
  if (!fit) return 0;
  const std::vector<double> estimates = row.numbers("estimates"), errors = row.numbers("errors");
  double least = digits(fit->residual_squares, row.number("rss"));
  for (std::size_t j = 0; j < estimates.size(); ++j) {
    least = std::min(least, digits(fit->coefficients[j].value, estimates[j]));
    least = std::min(least, digits(fit->coefficients[j].standard_error, errors[j]));
  }
  return least;
}

}  // namespace

TEST_CASE("Fitted curves keep six certified digits from the near start, four from the far one") {
  test::eachCase("method/cases/nist_nonlinear.csv", [](const test::Case& row) {
    const std::vector<double> y = row.numbers("y");
    const Curve curve = curveOf(row, row.numbers("x"), y.size());
    const Result<CurveFit> near = fitCurve(curve, y, row.numbers("start2"));
    const Result<CurveFit> far = fitCurve(curve, y, row.numbers("start1"));
    const std::string id = row.text("id");
    MESSAGE(id, ": ", agreement(near, row), " digits from the near start, ", agreement(far, row),
            " from the far one");
    CHECK(agreement(near, row) >= 6);
    // From far off these three find no end, and say so.
    const bool hard = id == "MGH10" || id == "MGH17" || id == "BoxBOD";
    if (!hard) CHECK(agreement(far, row) >= 4);
    if (hard && !far) CHECK(far.error().code == "curve.no_end");
    if (hard && far) CHECK(agreement(far, row) >= 4);
  });
}

TEST_CASE("A curve without enough readings or without a number is refused") {
  const Curve line = [](B b, std::size_t i) { return b[0] + b[1] * static_cast<double>(i); };
  CHECK(fitCurve(line, std::vector{1.0}, std::vector{0.0, 0.0}).error().code == "curve.few");
  CHECK(fitCurve(line, std::vector{1.0, std::nan("")}, std::vector{0.0, 0.0}).error().code ==
        "curve.not_finite");
  const auto exact = fitCurve(line, std::vector{1.0, 3.0}, std::vector{0.5, 0.5});
  REQUIRE(exact);
  CHECK(exact->degrees == 0);
  CHECK(std::abs(exact->coefficients[1].value - 2) < 1e-9);
}
