/// Rate laws from calorimeter runs: method cure.calorimeter, version 1.
///
/// Formula      reduction: heat flow above the straight line from the first to the last point;
///              α = ∫q dt/∫q dt over all, dα/dt = q/∫q dt, trapezoids between points
///              fit: Σ over runs and points of [(dα/dt of the law along the run's own T − dα/dt
///              measured)/largest dα/dt of the run]² is smallest, within bounds; interval = value ±
///              t(95 %, points − parameters)·standard error, from s²(JᵀJ)⁻¹ at the solution
///              Kissinger: slope of ln(β/Tp²) against 1/Tp = −Ea/R
///              Friedman: at one α, slope of ln(dα/dt) against 1/T over the runs = −E(α)/R
/// Symbols      q W/kg of binder; β heating rate; Tp absolute temperature of the peak
/// Valid        runs of one compound to full cure, three points or more; several heating rates, or
///              A and Ea cannot be told apart. Intervals take the law for true and the points'
///              errors for independent, of one size, and a parameter at a bound for known.
/// Method       Levenberg–Marquardt on ln k at the runs' mean temperature, Ea, m and n; central
///              differences.
/// Source       H. E. Kissinger, Anal. Chem. 29 (1957) 1702; H. L. Friedman, J. Polym. Sci. C 6
///              (1964) 183; both remembered, not verified
/// Errors       cure.run_short, cure.run_range, cure.run_no_heat, cure.runs_few, cure.peak_range,
///              cure.fit_points, cure.fit_bounds, cure.fit_failed, those of checkLaw, checkStart
/// Pure.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "platemark/method/cure/course.h"

namespace platemark::method::cure {

inline constexpr int calorimeter_version = 1;

struct CalorimeterPoint {
  Duration at{};
  TemperaturePoint temperature{};
  SpecificPower flow{};  ///< exothermal above 0
};
using CalorimeterRun = std::vector<CalorimeterPoint>;

struct ReducedPoint {
  CoursePoint course{};
  double degree = 0;
  Rate rate{};
};
struct ReducedRun {
  std::vector<ReducedPoint> points{};
  SpecificEnergy heat{};      ///< of reaction
  TemperatureRate heating{};  ///< mean over the run
  TemperaturePoint peak{};  ///< of the rate; parabola through the highest point and its neighbours
};
[[nodiscard]] Result<ReducedRun> reduce(const CalorimeterRun& run);

/// A value with its 95 % interval.
struct Estimate {
  double value = 0;
  double low = 0, high = 0;
  double standard_error = 0;
};

struct LineEstimate {
  Estimate energy_kj_per_mol{};
  Estimate log_factor{};  ///< ln(A·s), or for Friedman ln(A·f(α)·s)
};
struct Peak {
  TemperatureRate heating{};
  TemperaturePoint at{};
};
/// Three peaks or more.
[[nodiscard]] Result<LineEstimate> kissinger(std::span<const Peak> peaks);
/// At one degree of cure, 0 < degree < 1; three runs or more.
[[nodiscard]] Result<LineEstimate> friedman(std::span<const ReducedRun> runs, double degree);
/// friedman at each degree, as a law.
[[nodiscard]] Result<IsoconversionalLaw> friedmanLaw(std::span<const ReducedRun> runs,
                                                     std::span<const double> degrees);

struct FitBounds {
  double energy_from_kj_per_mol = 10, energy_to_kj_per_mol = 400;
  double exponent_from = 0, exponent_to = 5;
};
struct FitRequest {
  KamalLaw guess{};  ///< its present terms are fitted; a diffusion limit stays as it is
  double start = 0;  ///< α0, stays as it is
  FitBounds bounds{};
};
struct FittedParameter {
  std::string name{};  ///< "ln(A1·s)", "E1 (kJ/mol)", "ln(A2·s)", "E2 (kJ/mol)", "m", "n"
  Estimate estimate{};
  bool at_bound = false;
};
struct FittedLaw {
  KamalLaw law{};
  std::vector<FittedParameter> parameters{};
  double residual = 0;  ///< standard deviation, as a share of each run's largest rate
  int points = 0;
  int iterations = 0;
};
[[nodiscard]] Result<FittedLaw> fitLaw(std::span<const ReducedRun> runs, const FitRequest& request);

}  // namespace platemark::method::cure
