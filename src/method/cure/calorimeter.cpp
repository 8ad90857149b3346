#include "platemark/method/cure/calorimeter.h"

#include <algorithm>
#include <cmath>

#include "least_squares.h"
#include "wrong_input.h"

namespace platemark::method::cure {
namespace {

Error runError(std::string code, std::string what, std::string field, std::string expected) {
  return wrongInput(std::move(code), std::move(what), std::move(field), std::move(expected),
                    "Check the calorimeter's file and the part of it that was taken.");
}

std::vector<CoursePoint> courseOf(const CalorimeterRun& run) {
  std::vector<CoursePoint> course;
  for (const CalorimeterPoint& point : run) course.push_back({point.at, point.temperature});
  return course;
}

Result<void> checkRun(const CalorimeterRun& run) {
  if (run.size() < 3)
    return runError("cure.run_short", "A calorimeter run needs three points or more.", "run",
                    "three points or more");
  if (Result<void> course = checkCourse(courseOf(run)); !course) return course;
  for (std::size_t i = 0; i < run.size(); ++i)
    if (!std::isfinite(run[i].flow.in(unit::watt_per_kilogram)) ||
        (i > 0 && !(run[i].at > run[i - 1].at)))
      return runError("cure.run_range", "A point of the run cannot be used.",
                      "run[" + std::to_string(i) + "]", "rising times and a heat flow");
  return {};
}

/// Heat flow above the straight line from the first to the last point.
std::vector<double> aboveBaseline(const CalorimeterRun& run) {
  const auto flow = [&](std::size_t i) { return run[i].flow.in(unit::watt_per_kilogram); };
  const Duration whole = run.back().at - run.front().at;
  std::vector<double> above;
  for (std::size_t i = 0; i < run.size(); ++i) {
    const double share = (run[i].at - run.front().at) / whole;
    above.push_back(flow(i) - flow(0) - share * (flow(run.size() - 1) - flow(0)));
  }
  return above;
}

/// Σ by trapezoids up to each point.
std::vector<double> runningHeat(const CalorimeterRun& run, const std::vector<double>& above) {
  std::vector<double> heat{0};
  for (std::size_t i = 1; i < run.size(); ++i)
    heat.push_back(heat.back() +
                   (above[i] + above[i - 1]) / 2 * (run[i].at - run[i - 1].at).in(unit::second));
  return heat;
}

TemperaturePoint peakOf(const std::vector<ReducedPoint>& points) {
  const auto less = [](const ReducedPoint& a, const ReducedPoint& b) { return a.rate < b.rate; };
  const auto top = std::max_element(points.begin(), points.end(), less);
  if (top == points.begin() || top + 1 == points.end()) return top->course.temperature;
  const double left = (top - 1)->rate.in(unit::per_second), mid = top->rate.in(unit::per_second),
               right = (top + 1)->rate.in(unit::per_second);
  const TemperatureDifference width =
      ((top + 1)->course.temperature - (top - 1)->course.temperature) / 2;
  return top->course.temperature + width * ((right - left) / (2 * (2 * mid - left - right)));
}

Estimate estimate(double value, double standard_error, int freedom) {
  const double half = standard_error * studentQuantile(freedom);
  return {value, value - half, value + half, standard_error};
}

struct Line {
  Estimate intercept, slope;
};

/// Straight line by least squares; the intercept at x = 0. Three points or more, x not all alike.
Line lineThrough(const std::vector<double>& x, const std::vector<double>& y) {
  const double n = static_cast<double>(x.size());
  double mean_x = 0, mean_y = 0, sxx = 0, sxy = 0, rest = 0;
  for (std::size_t i = 0; i < x.size(); ++i) mean_x += x[i] / n, mean_y += y[i] / n;
  for (std::size_t i = 0; i < x.size(); ++i) {
    sxx += (x[i] - mean_x) * (x[i] - mean_x);
    sxy += (x[i] - mean_x) * (y[i] - mean_y);
  }
  const double slope = sxy / sxx, intercept = mean_y - slope * mean_x;
  for (std::size_t i = 0; i < x.size(); ++i) rest += std::pow(y[i] - intercept - slope * x[i], 2);
  const int freedom = static_cast<int>(x.size()) - 2;
  const double s = std::sqrt(rest / freedom);
  return {estimate(intercept, s * std::sqrt(1 / n + mean_x * mean_x / sxx), freedom),
          estimate(slope, s / std::sqrt(sxx), freedom)};
}

Estimate energyFrom(const Estimate& slope) {
  const double factor = -gas_constant / 1000;
  return {slope.value * factor, slope.high * factor, slope.low * factor,
          slope.standard_error * -factor};
}

bool apart(const std::vector<double>& x) {
  const auto [low, high] = std::minmax_element(x.begin(), x.end());
  return *high - *low > 1e-9 * *high;
}

Error fewRuns(const std::string& what) {
  return runError("cure.runs_few", what, "runs", "three runs or more at different heating rates");
}

/// 1/T and ln(dα/dt) where the run passes `degree`, linear between points.
std::pair<double, double> crossing(const ReducedRun& run, double degree) {
  std::size_t i = 1;
  while (i + 1 < run.points.size() && run.points[i].degree < degree) ++i;
  const ReducedPoint &a = run.points[i - 1], &b = run.points[i];
  const double share = (degree - a.degree) / (b.degree - a.degree);
  const TemperaturePoint at =
      a.course.temperature + (b.course.temperature - a.course.temperature) * share;
  return {1 / at.in(scale::kelvin),
          std::log((a.rate + (b.rate - a.rate) * share).in(unit::per_second))};
}

}  // namespace

Result<ReducedRun> reduce(const CalorimeterRun& run) {
  if (Result<void> sound = checkRun(run); !sound) return sound.error();
  const std::vector<double> above = aboveBaseline(run), heat = runningHeat(run, above);
  if (!(heat.back() > 0))
    return runError("cure.run_no_heat", "The run shows no heat of reaction.", "run",
                    "an exothermal peak, heat flow counted above 0");
  ReducedRun reduced;
  for (std::size_t i = 0; i < run.size(); ++i)
    reduced.points.push_back({{run[i].at, run[i].temperature},
                              heat[i] / heat.back(),
                              Rate::of(above[i] / heat.back(), unit::per_second)});
  reduced.heat = SpecificEnergy::of(heat.back() / 1000, unit::kilojoule_per_kilogram);
  reduced.heating =
      (run.back().temperature - run.front().temperature) / (run.back().at - run.front().at);
  reduced.peak = peakOf(reduced.points);
  return reduced;
}

Result<LineEstimate> kissinger(std::span<const Peak> peaks) {
  std::vector<double> x, y;
  for (const Peak& peak : peaks) {
    const double kelvin = peak.at.in(scale::kelvin);
    const double rate = peak.heating.in(unit::kelvin_per_minute) / 60;
    if (!(rate > 0 && kelvin > 200 && kelvin < 1000))
      return runError("cure.peak_range", "A peak cannot be used.",
                      "peaks[" + std::to_string(x.size()) + "]",
                      "a heating rate above 0, a peak of -70 to 700 °C");
    x.push_back(1 / kelvin);
    y.push_back(std::log(rate / (kelvin * kelvin)));
  }
  if (x.size() < 3 || !apart(x)) return fewRuns("Kissinger's line needs more peaks.");
  const Line line = lineThrough(x, y);
  // At the peak β·Ea/(R·Tp²) = A·exp(−Ea/(R·Tp)): the intercept is ln(A·R/Ea).
  LineEstimate found{energyFrom(line.slope), line.intercept};
  const double shift = std::log(-line.slope.value);
  found.log_factor.value += shift;
  found.log_factor.low += shift;
  found.log_factor.high += shift;
  return found;
}

Result<LineEstimate> friedman(std::span<const ReducedRun> runs, double degree) {
  if (!(degree > 0 && degree < 1))
    return runError("cure.run_range", "The degree of cure is out of range.", "degree",
                    "above 0, below 1");
  std::vector<double> x, y;
  for (const ReducedRun& run : runs) {
    const auto [inverse, log_rate] = crossing(run, degree);
    if (!std::isfinite(inverse) || !std::isfinite(log_rate))
      return runError("cure.run_range", "A run has no rate at this degree of cure.",
                      "runs[" + std::to_string(x.size()) + "]", "a rate above 0");
    x.push_back(inverse);
    y.push_back(log_rate);
  }
  if (x.size() < 3 || !apart(x)) return fewRuns("Friedman's line needs more runs.");
  const Line line = lineThrough(x, y);
  return LineEstimate{energyFrom(line.slope), line.intercept};
}

Result<IsoconversionalLaw> friedmanLaw(std::span<const ReducedRun> runs,
                                       std::span<const double> degrees) {
  IsoconversionalLaw law;
  for (const double degree : degrees) {
    const Result<LineEstimate> line = friedman(runs, degree);
    if (!line) return line.error();
    law.rows.push_back({degree, line->log_factor.value,
                        MolarEnergy::of(line->energy_kj_per_mol.value, unit::kilojoule_per_mole)});
  }
  if (Result<void> sound = checkLaw(law); !sound) return sound.error();
  return law;
}

}  // namespace platemark::method::cure
