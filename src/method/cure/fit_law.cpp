#include <algorithm>
#include <cmath>
#include <optional>

#include "least_squares.h"
#include "platemark/method/cure/calorimeter.h"
#include "rate_law.h"
#include "wrong_input.h"

namespace platemark::method::cure {
namespace {

constexpr double course_tolerance = 1e-8;
constexpr double log_rate_reach = 25;  ///< ln k may move so far from the guess

/// The law's numbers as a list: ln k at the middle temperature and Ea in kJ/mol of each constant,
/// then m (only with k2) and n. ln A itself would move with Ea along a narrow valley.
class Layout {
 public:
  Layout(const FitRequest& request, double middle_kelvin)
      : request_(request), middle_(middle_kelvin) {}

  [[nodiscard]] std::vector<double> listOf(const KamalLaw& law) const;
  [[nodiscard]] KamalLaw lawOf(const std::vector<double>& p) const;
  void addBounds(Squares& problem) const;
  [[nodiscard]] std::vector<FittedParameter> described(const SquaresFit& fit) const;

 private:
  [[nodiscard]] double perKilojoule() const { return 1000 / (gas_constant * middle_); }
  void addConstant(std::vector<double>& p, const std::optional<Arrhenius>& k) const;
  [[nodiscard]] Arrhenius constantOf(const std::vector<double>& p, std::size_t at) const;
  void describeConstant(const SquaresFit& fit, std::size_t at, const char* number,
                        std::vector<FittedParameter>& list) const;

  const FitRequest& request_;
  double middle_;
};

void Layout::addConstant(std::vector<double>& p, const std::optional<Arrhenius>& k) const {
  if (!k) return;
  const double kilojoules = k->energy.in(unit::kilojoule_per_mole);
  p.push_back(std::log(k->factor.in(unit::per_second)) - kilojoules * perKilojoule());
  p.push_back(kilojoules);
}

std::vector<double> Layout::listOf(const KamalLaw& law) const {
  std::vector<double> p;
  addConstant(p, law.plain);
  addConstant(p, law.autocatalytic);
  if (law.autocatalytic) p.push_back(law.m);
  p.push_back(law.n);
  return p;
}

Arrhenius Layout::constantOf(const std::vector<double>& p, std::size_t at) const {
  return {Rate::of(std::exp(p[at] + p[at + 1] * perKilojoule()), unit::per_second),
          MolarEnergy::of(p[at + 1], unit::kilojoule_per_mole)};
}

KamalLaw Layout::lawOf(const std::vector<double>& p) const {
  KamalLaw law = request_.guess;
  std::size_t at = 0;
  if (law.plain) law.plain = constantOf(p, at), at += 2;
  if (law.autocatalytic) law.autocatalytic = constantOf(p, at), at += 2;
  if (law.autocatalytic) law.m = p[at++];
  law.n = p[at];
  return law;
}

void Layout::addBounds(Squares& problem) const {
  const FitBounds& bounds = request_.bounds;
  const std::size_t energies =
      (request_.guess.plain ? 2u : 0u) + (request_.guess.autocatalytic ? 2u : 0u);
  for (std::size_t i = 0; i < problem.start.size(); ++i) {
    const bool exponent = i >= energies, energy = !exponent && i % 2 == 1;
    const double from = exponent ? bounds.exponent_from
                        : energy ? bounds.energy_from_kj_per_mol
                                 : problem.start[i] - log_rate_reach;
    const double to = exponent ? bounds.exponent_to
                      : energy ? bounds.energy_to_kj_per_mol
                               : problem.start[i] + log_rate_reach;
    problem.lower.push_back(from);
    problem.upper.push_back(to);
    problem.start[i] = std::clamp(problem.start[i], from, to);
  }
}

Estimate estimated(double value, double standard_error, int freedom) {
  const double half = standard_error * studentQuantile(freedom);
  return {value, value - half, value + half, standard_error};
}

/// ln A = ln k + Ea/(R·T): its variance from those of both and their covariance.
void Layout::describeConstant(const SquaresFit& fit, std::size_t at, const char* number,
                              std::vector<FittedParameter>& list) const {
  const double g = perKilojoule();
  const double variance = fit.covariance[at][at] + 2 * g * fit.covariance[at][at + 1] +
                          g * g * fit.covariance[at + 1][at + 1];
  list.push_back(
      {std::string("ln(A") + number + "·s)",
       estimated(fit.p[at] + g * fit.p[at + 1], std::sqrt(std::max(0.0, variance)), fit.freedom),
       fit.at_bound[at] && fit.at_bound[at + 1]});
  list.push_back({std::string("E") + number + " (kJ/mol)",
                  estimated(fit.p[at + 1], fit.standard_error[at + 1], fit.freedom),
                  fit.at_bound[at + 1]});
}

std::vector<FittedParameter> Layout::described(const SquaresFit& fit) const {
  std::vector<FittedParameter> list;
  const auto single = [&](const char* name, std::size_t at) {
    list.push_back({name, estimated(fit.p[at], fit.standard_error[at], fit.freedom),
                    static_cast<bool>(fit.at_bound[at])});
  };
  std::size_t at = 0;
  if (request_.guess.plain) describeConstant(fit, at, "1", list), at += 2;
  if (request_.guess.autocatalytic) describeConstant(fit, at, "2", list), at += 2;
  if (request_.guess.autocatalytic) single("m", at++);
  single("n", at);
  return list;
}

double largestRate(const ReducedRun& run) {
  double largest = 0;
  for (const ReducedPoint& point : run.points)
    largest = std::max(largest, point.rate.in(unit::per_second));
  return largest;
}

/// Differences of one run, as shares of its largest rate.
bool addResiduals(const ReducedRun& run, const ParameterSet& set, std::vector<double>& residuals) {
  std::vector<CoursePoint> course;
  for (const ReducedPoint& point : run.points) course.push_back(point.course);
  const Result<CureCourse> cured = cureAlong(set, course, {course_tolerance});
  if (!cured) return false;
  const FlatLaw law = flatten(set.law);
  const double scale_of_run = largestRate(run);
  for (std::size_t i = 0; i < course.size(); ++i) {
    const double modelled =
        law.rate(cured->states[i].degree, course[i].temperature.in(scale::kelvin));
    residuals.push_back((modelled - run.points[i].rate.in(unit::per_second)) / scale_of_run);
  }
  return true;
}

/// Mean of the runs' peaks: there ln k and Ea are nearly independent.
double middleKelvin(std::span<const ReducedRun> runs) {
  double sum = 0;
  for (const ReducedRun& run : runs) sum += run.peak.in(scale::kelvin);
  return sum / static_cast<double>(runs.size());
}

Result<void> checkRequest(std::span<const ReducedRun> runs, const FitRequest& request) {
  if (Result<void> law = checkLaw(request.guess); !law) return law;
  if (Result<void> start = checkStart(request.guess, request.start); !start) return start;
  std::size_t points = 0;
  bool rates = true;
  for (const ReducedRun& run : runs) points += run.points.size();
  for (const ReducedRun& run : runs)
    rates = rates && run.points.size() >= 3 && largestRate(run) > 0;
  if (!rates || points < 10)
    return wrongInput("cure.fit_points", "The runs hold too little to fit a law to.", "runs",
                      "runs with a rate above 0, ten points or more together",
                      "Reduce the runs first, and take more points.");
  const FitBounds& b = request.bounds;
  if (b.energy_from_kj_per_mol >= 0 && b.energy_to_kj_per_mol > b.energy_from_kj_per_mol &&
      b.energy_to_kj_per_mol <= 1000 && b.exponent_from >= 0 && b.exponent_to > b.exponent_from &&
      b.exponent_to <= 20)
    return {};
  return wrongInput("cure.fit_bounds", "The bounds of the fit leave nothing between them.",
                    "bounds", "energies within 0 to 1000 kJ/mol, exponents within 0 to 20",
                    "Enter lower bounds below upper ones.");
}

}  // namespace

Result<FittedLaw> fitLaw(std::span<const ReducedRun> runs, const FitRequest& request) {
  if (Result<void> sound = checkRequest(runs, request); !sound) return sound.error();
  const Layout layout(request, middleKelvin(runs));
  Squares problem;
  problem.start = layout.listOf(request.guess);
  layout.addBounds(problem);
  problem.residuals = [&](const std::vector<double>& p) -> std::optional<std::vector<double>> {
    ParameterSet set;
    set.law = layout.lawOf(p);
    set.start = request.start;
    std::vector<double> residuals;
    for (const ReducedRun& run : runs)
      if (!addResiduals(run, set, residuals)) return std::nullopt;
    return residuals;
  };
  const std::optional<SquaresFit> fit = leastSquares(problem);
  if (!fit)
    return wrongInput("cure.fit_failed", "No best law was found.", "runs",
                      "runs at several heating rates that tell the parameters apart",
                      "Begin from another guess, or fit a law with fewer parameters.");
  return FittedLaw{layout.lawOf(fit->p), layout.described(*fit), fit->residual,
                   fit->freedom + static_cast<int>(std::count(fit->at_bound.begin(),
                                                              fit->at_bound.end(), false)),
                   fit->iterations};
}

}  // namespace platemark::method::cure
