#include "platemark/method/statistics/curve_fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "../bad_input.h"

namespace platemark::method::statistics {
namespace {

using Numbers = std::vector<double>;
using Columns = std::vector<Numbers>;

Error noEnd() {
  return badInput("curve.no_end", "start", "The fit came to no end.",
                  "readings that follow the curve and a start near them",
                  "Look at the readings beside the curve and give a better start.");
}

Numbers residuals(const Curve& curve, std::span<const double> y, const Numbers& b) {
  Numbers left;
  for (std::size_t i = 0; i < y.size(); ++i) left.push_back(y[i] - curve(b, i));
  return left;
}

double squaresOf(const Numbers& list) {
  double sum = 0;
  for (const double x : list) sum += x * x;
  return sum;
}

/// df/db_j at each reading, by differences over five points.
Numbers slopes(const Curve& curve, std::size_t readings, Numbers b, std::size_t j) {
  const double centre = b[j], step = centre == 0 ? 1e-6 : 1e-4 * std::abs(centre);
  const auto at = [&](double steps, std::size_t i) {
    b[j] = centre + steps * step;
    return curve(b, i);
  };
  Numbers column;
  for (std::size_t i = 0; i < readings; ++i)
    column.push_back((8 * (at(1, i) - at(-1, i)) - (at(2, i) - at(-2, i))) / (12 * step));
  return column;
}

Columns slopesAt(const Curve& curve, std::size_t readings, const Numbers& b) {
  Columns columns;
  for (std::size_t j = 0; j < b.size(); ++j) columns.push_back(slopes(curve, readings, b, j));
  return columns;
}

/// The step of the linearised curve, held back by `damping` in units of each column's length.
Result<Numbers> stepOf(Columns columns, Numbers left, double damping) {
  const std::size_t k = columns.size();
  for (std::size_t j = 0; j < k; ++j) {
    const double length = std::sqrt(squaresOf(columns[j]));
    for (std::size_t row = 0; row < k; ++row)
      columns[j].push_back(row == j ? std::sqrt(damping) * length : 0);
  }
  left.resize(left.size() + k, 0);
  const Result<LeastSquares> found = leastSquares(columns, left, false);
  if (!found) return found.error();
  Numbers step;
  for (const Coefficient& coefficient : found->coefficients) step.push_back(coefficient.value);
  return step;
}

double largestChange(const Numbers& b, const Numbers& step) {
  double largest = 0;
  for (std::size_t j = 0; j < b.size(); ++j)
    largest = std::max(largest, std::abs(step[j]) / std::max(std::abs(b[j]), 1e-300));
  return largest;
}

Numbers moved(Numbers b, const Numbers& step) {
  for (std::size_t j = 0; j < b.size(); ++j) b[j] += step[j];
  return b;
}

double lengthOf(std::span<const double> list) {
  return std::sqrt(squaresOf({list.begin(), list.end()}));
}

/// Whether no small step can help: what is left is rounding, or stands square on every slope.
bool isStationary(const Columns& columns, const Numbers& left, double reading_length) {
  const double length = lengthOf(left);
  if (length <= 1e-13 * reading_length) return true;
  return std::all_of(columns.begin(), columns.end(), [&](const Numbers& column) {
    double product = 0;
    for (std::size_t i = 0; i < left.size(); ++i) product += column[i] * left[i];
    return std::abs(product) <= 1e-6 * length * lengthOf(column);
  });
}

Result<Numbers> descended(const Curve& curve, std::span<const double> y, Numbers b) {
  constexpr double smallest_change = 1e-12, most_damping = 1e16;
  const double reading_length = lengthOf(y);
  Numbers left = residuals(curve, y, b);
  double damping = 1;
  Columns columns = slopesAt(curve, y.size(), b);
  for (int round = 0; round < 2000; ++round) {
    const Result<Numbers> step = stepOf(columns, left, damping);
    if (!step) return noEnd();
    const Numbers next = moved(b, *step), then = residuals(curve, y, next);
    const double before = squaresOf(left), after = squaresOf(then);
    // A sum that is no number is no improvement.
    if (after <= before) {
      const bool done = largestChange(b, *step) < smallest_change;
      b = next;
      left = then;
      if (after == 0) return b;
      columns = slopesAt(curve, y.size(), b);
      if (done && isStationary(columns, left, reading_length)) return b;
      damping = std::max(damping / 10, 1e-15);
    } else {
      if (largestChange(b, *step) < smallest_change || damping > most_damping) {
        if (isStationary(columns, left, reading_length)) return b;
        return noEnd();
      }
      damping *= 10;
    }
  }
  return noEnd();
}

Result<void> checkFit(const Curve& curve, std::span<const double> y, const Numbers& start) {
  if (start.empty() || y.size() < start.size())
    return badInput("curve.few", "y",
                    fmt::format("{} readings for {} coefficients.", y.size(), start.size()),
                    "at least as many readings as coefficients");
  if (std::isfinite(squaresOf(residuals(curve, y, start)))) return {};
  return badInput("curve.not_finite", "start", "The curve has no number at the start.",
                  "readings and a start with numbers");
}

}  // namespace

Result<CurveFit> fitCurve(const Curve& curve, std::span<const double> y,
                          std::span<const double> start) {
  const Numbers from(start.begin(), start.end());
  if (Result<void> checked = checkFit(curve, y, from); !checked) return checked.error();
  const Result<Numbers> b = descended(curve, y, from);
  if (!b) return b.error();
  CurveFit fit;
  const Numbers left = residuals(curve, y, *b);
  fit.residual_squares = squaresOf(left);
  fit.degrees = static_cast<int>(y.size() - b->size());
  for (const double value : *b) fit.coefficients.push_back({value, 0});
  if (fit.degrees == 0) return fit;
  fit.s = std::sqrt(fit.residual_squares / fit.degrees);
  // The errors of a step from here have the spread of what is left beside that step: that of s.
  const Result<LeastSquares> last = leastSquares(slopesAt(curve, y.size(), *b), left, false);
  if (!last) return noEnd();
  for (std::size_t j = 0; j < b->size(); ++j)
    fit.coefficients[j].standard_error =
        last->s > 0 ? last->coefficients[j].standard_error * fit.s / last->s : 0;
  return fit;
}

}  // namespace platemark::method::statistics
