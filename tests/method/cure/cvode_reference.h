/// The same equations on the same cells, solved by SUNDIALS CVODE (BDF, banded direct solver,
/// analytic Jacobian). Shares nothing with the method but the load's description.
#pragma once

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_band.h>
#include <sunmatrix/sunmatrix_band.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <vector>

#include "platemark/method/cure/load.h"

namespace reference {

using namespace platemark;
namespace cure = platemark::method::cure;

struct Cell {
  double width, capacity, capacity_slope, conductivity, conductivity_slope, kelvin_at;
  double joint_to_next, side, height;
  double heat = 0, log_a1 = 0, e1 = 0, log_a2 = 0, e2 = 0, m = 0, n = 0, start = 0;
  double steepness = 0, critical = 0, critical_slope = 0;
  bool cures = false, plain = false, autocatalytic = false, diffusion = false;
};

struct Rate {
  double value, by_kelvin, by_degree;
};

inline Rate rateOf(const Cell& cell, double kelvin, double degree) {
  const double alpha = std::max(degree, 1e-14), rest = std::max(1 - degree, 1e-14);
  const double log_rest = cell.n * std::log(rest);
  const double p = cell.plain ? std::exp(cell.log_a1 - cell.e1 / kelvin + log_rest) : 0;
  const double q =
      cell.autocatalytic
          ? std::exp(cell.log_a2 - cell.e2 / kelvin + cell.m * std::log(alpha) + log_rest)
          : 0;
  double open = 1;
  if (cell.diffusion)
    open =
        1 / (1 + std::exp(cell.steepness * (alpha - cell.critical - cell.critical_slope * kelvin)));
  const double value = (p + q) * open;
  return {value,
          (p * cell.e1 + q * cell.e2) / (kelvin * kelvin) * open +
              value * (1 - open) * cell.steepness * cell.critical_slope,
          -cell.n * value / rest + q * open * cell.m / alpha - value * cell.steepness * (1 - open)};
}

class CvodeStack {
 public:
  struct State {
    std::vector<double> kelvin, degree;
  };

  CvodeStack(const cure::Load& load, std::size_t stack) : load_(load), stack_(load.stacks[stack]) {
    double total = 0, bottom = 0;
    for (const cure::Layer& layer : stack_.layers) total += layer.thickness.in(unit::metre);
    for (const cure::Layer& layer : stack_.layers) {
      addLayer(layer, bottom / total, layer.thickness.in(unit::metre) / total);
      bottom += layer.thickness.in(unit::metre);
    }
    first_end_ = stack_.first_end.in(unit::watt_per_square_metre_kelvin);
    last_end_ = stack_.last_end.in(unit::watt_per_square_metre_kelvin);
  }

  /// States at `times` (s). Throws when CVODE gives up.
  std::vector<State> run(const std::vector<double>& times, double relative, double kelvin,
                         double degree, bool stop_at_points = false) {
    SUNContext context = nullptr;
    SUNContext_Create(nullptr, &context);
    const auto n = static_cast<sunindextype>(2 * cells_.size());
    N_Vector y = N_VNew_Serial(n, context), tolerance = N_VNew_Serial(n, context);
    double *at = N_VGetArrayPointer(y), *allowed = N_VGetArrayPointer(tolerance);
    for (std::size_t i = 0; i < cells_.size(); ++i) {
      at[2 * i] = stack_.start.in(scale::kelvin);
      at[2 * i + 1] = cells_[i].start;
      allowed[2 * i] = kelvin;
      allowed[2 * i + 1] = degree;
    }
    void* cvode = CVodeCreate(CV_BDF, context);
    SUNMatrix matrix = SUNBandMatrix(n, 2, 3, context);
    SUNLinearSolver solver = SUNLinSol_Band(y, matrix, context);
    const double from = load_.from.in(unit::second);
    CVodeInit(cvode, right, from, y);
    CVodeSVtolerances(cvode, relative, tolerance);
    CVodeSetUserData(cvode, this);
    CVodeSetMaxNumSteps(cvode, 1000000);
    CVodeSetLinearSolver(cvode, solver, matrix);
    CVodeSetJacFn(cvode, jacobian);
    std::vector<State> states;
    bool failed = false;
    double now = from;
    for (const double time : times) {
      while (!failed && now < time) failed = !advance(cvode, y, time, stop_at_points, now);
      State state;
      for (std::size_t i = 0; i < cells_.size(); ++i) {
        state.kelvin.push_back(at[2 * i]);
        state.degree.push_back(at[2 * i + 1]);
      }
      states.push_back(std::move(state));
    }
    CVodeGetNumSteps(cvode, &steps);
    CVodeGetNumRhsEvals(cvode, &evaluations);
    CVodeFree(&cvode);
    SUNLinSolFree(solver);
    SUNMatDestroy(matrix);
    N_VDestroy(y);
    N_VDestroy(tolerance);
    SUNContext_Free(&context);
    if (failed) throw std::runtime_error("CVODE gave up");
    return states;
  }

  long steps = 0, evaluations = 0;

 private:
  void addLayer(const cure::Layer& layer, double bottom, double share) {
    const cure::Material& material = load_.materials[layer.material];
    const double rho = material.density.in(unit::kilogram_per_cubic_metre);
    Cell cell{};
    cell.width = layer.thickness.in(unit::metre) / layer.cells;
    cell.capacity = rho * material.capacity.in(unit::joule_per_kilogram_kelvin);
    cell.capacity_slope = material.capacity_slope.in(unit::per_kelvin);
    cell.conductivity = material.conductivity.in(unit::watt_per_metre_kelvin);
    cell.conductivity_slope = material.conductivity_slope.in(unit::per_kelvin);
    cell.kelvin_at = material.reference.in(scale::kelvin);
    const double sides = stack_.sides.in(unit::watt_per_square_metre_kelvin);
    cell.side = sides > 0 ? sides * cell.width / stack_.area_over_girth.in(unit::metre) : 0;
    if (material.binder) addBinder(cell, *material.binder, rho);
    for (int i = 0; i < layer.cells; ++i) {
      cell.height = bottom + share * (i + 0.5) / layer.cells;
      cell.joint_to_next = 0;
      if (i + 1 == layer.cells && layer.joint_to_next)
        cell.joint_to_next = 1 / layer.joint_to_next->in(unit::watt_per_square_metre_kelvin);
      cells_.push_back(cell);
    }
  }

  static void addBinder(Cell& cell, const cure::Binder& binder, double rho) {
    const cure::KamalLaw& law = binder.law;
    cell.cures = true;
    cell.start = binder.start;
    cell.heat = rho * binder.share.in(unit::one)*binder.heat.in(unit::kilojoule_per_kilogram)*1000;
    cell.m = law.m;
    cell.n = law.n;
    if (law.plain) {
      cell.plain = true;
      cell.log_a1 = std::log(law.plain->factor.in(unit::per_second));
      cell.e1 = law.plain->energy.in(unit::joule_per_mole) / cure::gas_constant;
    }
    if (law.autocatalytic) {
      cell.autocatalytic = true;
      cell.log_a2 = std::log(law.autocatalytic->factor.in(unit::per_second));
      cell.e2 = law.autocatalytic->energy.in(unit::joule_per_mole) / cure::gas_constant;
    }
    if (!law.diffusion) return;
    cell.diffusion = true;
    cell.steepness = law.diffusion->steepness;
    cell.critical = law.diffusion->critical_at_zero;
    cell.critical_slope = law.diffusion->critical_per_kelvin.in(unit::per_kelvin);
  }

  double nextPoint(double t) const {
    double next = 1e300;
    for (const auto& channel : load_.air)
      for (const cure::CoursePoint& point : channel)
        if (point.at.in(unit::second) > t + 1e-6) next = std::min(next, point.at.in(unit::second));
    return next;
  }

  /// To `time`, or only to the air's next point, where the integration begins anew.
  bool advance(void* cvode, N_Vector y, double time, bool stop_at_points, double& now) const {
    const double point = stop_at_points ? nextPoint(now) : 1e300, end = std::min(time, point);
    if (stop_at_points) CVodeSetStopTime(cvode, end);
    double reached = now;
    if (CVode(cvode, end, y, &reached, CV_NORMAL) < 0) return false;
    now = end;
    return end < point || CVodeReInit(cvode, end, y) == 0;
  }

  double airAt(const cure::AirPlace& place, double t) const {
    double sum = place.offset.in(unit::kelvin);
    for (std::size_t c = 0; c < load_.air.size(); ++c) {
      const auto& points = load_.air[c];
      const auto after = std::upper_bound(
          points.begin() + 1, points.end() - 1, t,
          [](double x, const cure::CoursePoint& p) { return x < p.at.in(unit::second); });
      const cure::CoursePoint &a = *(after - 1), &b = *after;
      const double share =
          (t - a.at.in(unit::second)) / (b.at.in(unit::second)-a.at.in(unit::second));
      const double low = a.temperature.in(scale::kelvin), high = b.temperature.in(scale::kelvin);
      sum += place.weights[c] * (low + share * (high - low));
    }
    return sum;
  }

  static double halfResistance(const Cell& cell, double kelvin) {
    return cell.width / 2 /
           (cell.conductivity * (1 + cell.conductivity_slope * (kelvin - cell.kelvin_at)));
  }
  static double perCapacity(const Cell& cell, double kelvin) {
    return 1 / (cell.width * cell.capacity * (1 + cell.capacity_slope * (kelvin - cell.kelvin_at)));
  }
  static double endConductance(double film, const Cell& cell, double kelvin) {
    return film > 0 ? 1 / (1 / film + halfResistance(cell, kelvin)) : 0;
  }

  static int right(double t, N_Vector y_vector, N_Vector rate_vector, void* self_pointer) {
    const auto& self = *static_cast<const CvodeStack*>(self_pointer);
    const std::vector<Cell>& cells = self.cells_;
    const double* y = N_VGetArrayPointer(y_vector);
    double* rate = N_VGetArrayPointer(rate_vector);
    const double first = self.airAt(self.stack_.first_air, t),
                 last = self.airAt(self.stack_.last_air, t);
    const std::size_t n = cells.size();
    double from_below = endConductance(self.first_end_, cells[0], y[0]) * (first - y[0]);
    double half = halfResistance(cells[0], y[0]);
    for (std::size_t i = 0; i < n; ++i) {
      const Cell& cell = cells[i];
      const double kelvin = y[2 * i];
      double to_above;
      if (i + 1 < n) {
        const double next = halfResistance(cells[i + 1], y[2 * i + 2]);
        to_above = (kelvin - y[2 * i + 2]) / (half + cell.joint_to_next + next);
        half = next;
      } else {
        to_above = endConductance(self.last_end_, cell, kelvin) * (kelvin - last);
      }
      double flux = from_below - to_above;
      flux += cell.side * (first + cell.height * (last - first) - kelvin);
      from_below = to_above;
      rate[2 * i + 1] = 0;
      if (cell.cures) {
        rate[2 * i + 1] = rateOf(cell, kelvin, y[2 * i + 1]).value;
        flux += cell.heat * cell.width * rate[2 * i + 1];
      }
      rate[2 * i] = flux * perCapacity(cell, kelvin);
    }
    return 0;
  }

  /// Slopes of k and c with T are left out; Newton does not need them.
  static int jacobian(double, N_Vector y_vector, N_Vector, SUNMatrix matrix, void* self_pointer,
                      N_Vector, N_Vector, N_Vector) {
    const auto& self = *static_cast<const CvodeStack*>(self_pointer);
    const std::vector<Cell>& cells = self.cells_;
    const double* y = N_VGetArrayPointer(y_vector);
    const std::size_t n = cells.size();
    double below = endConductance(self.first_end_, cells[0], y[0]);
    const auto at = [&](std::size_t row, std::size_t column) -> double& {
      return SM_ELEMENT_B(matrix, row, column);
    };
    for (std::size_t i = 0; i < n; ++i) {
      const Cell& cell = cells[i];
      const double kelvin = y[2 * i], per = perCapacity(cell, kelvin);
      const double above = i + 1 < n ? 1 / (halfResistance(cell, kelvin) + cell.joint_to_next +
                                            halfResistance(cells[i + 1], y[2 * i + 2]))
                                     : endConductance(self.last_end_, cell, kelvin);
      at(2 * i, 2 * i) = -(below + above + cell.side) * per;
      if (i > 0) at(2 * i, 2 * i - 2) = below * per;
      if (i + 1 < n) at(2 * i, 2 * i + 2) = above * per;
      below = above;
      if (!cell.cures) continue;
      const Rate rate = rateOf(cell, kelvin, y[2 * i + 1]);
      const double heating = cell.heat * cell.width * per;
      at(2 * i, 2 * i) += heating * rate.by_kelvin;
      at(2 * i, 2 * i + 1) = heating * rate.by_degree;
      at(2 * i + 1, 2 * i) = rate.by_kelvin;
      at(2 * i + 1, 2 * i + 1) = rate.by_degree;
    }
    return 0;
  }

  const cure::Load& load_;
  const cure::Stack& stack_;
  std::vector<Cell> cells_;
  double first_end_ = 0, last_end_ = 0;
};

}  // namespace reference
