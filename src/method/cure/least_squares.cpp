#include "least_squares.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace platemark::method::cure {
namespace {

using Vector = std::vector<double>;
using Matrix = std::vector<Vector>;

constexpr int most_iterations = 200;

double sumOfSquares(const Vector& r) {
  double sum = 0;
  for (const double x : r) sum += x * x;
  return sum;
}

/// Solves a x = b for a symmetric positive definite a by Cholesky; nothing when it is not.
std::optional<Vector> solved(Matrix a, Vector b) {
  const std::size_t n = b.size();
  for (std::size_t j = 0; j < n; ++j) {
    for (std::size_t k = 0; k < j; ++k) a[j][j] -= a[j][k] * a[j][k];
    if (!(a[j][j] > 1e-14)) return std::nullopt;  // the diagonal was one
    a[j][j] = std::sqrt(a[j][j]);
    for (std::size_t i = j + 1; i < n; ++i) {
      for (std::size_t k = 0; k < j; ++k) a[i][j] -= a[i][k] * a[j][k];
      a[i][j] /= a[j][j];
    }
  }
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t k = 0; k < i; ++k) b[i] -= a[i][k] * b[k];
    b[i] /= a[i][i];
  }
  for (std::size_t i = n; i-- > 0;) {
    for (std::size_t k = i + 1; k < n; ++k) b[i] -= a[k][i] * b[k];
    b[i] /= a[i][i];
  }
  return b;
}

/// Where the search stands: residuals, Jacobian by columns, what follows from them.
struct Place {
  Vector p, r;
  Matrix columns;  ///< of the free parameters, each scaled to length one
  Vector length;   ///< their lengths before
  std::vector<std::size_t> free;
  Matrix normal;    ///< scaled JᵀJ, ones on the diagonal
  Vector gradient;  ///< scaled −Jᵀr
};

double widthFor(double value) { return 1e-5 * std::max(std::abs(value), 1e-3); }

/// Central difference; one-sided at a bound.
std::optional<Vector> columnOf(const Squares& problem, const Vector& p, std::size_t j) {
  Vector low = p, high = p;
  low[j] = std::max(p[j] - widthFor(p[j]), problem.lower[j]);
  high[j] = std::min(p[j] + widthFor(p[j]), problem.upper[j]);
  const auto below = problem.residuals(low), above = problem.residuals(high);
  if (!below || !above || !(high[j] > low[j])) return std::nullopt;
  Vector column(below->size());
  for (std::size_t i = 0; i < column.size(); ++i)
    column[i] = ((*above)[i] - (*below)[i]) / (high[j] - low[j]);
  return column;
}

double dot(const Vector& a, const Vector& b) {
  double sum = 0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
  return sum;
}

/// A parameter on a bound that the descent would push further out is not free.
bool pushedOut(const Squares& problem, const Vector& p, std::size_t j, double descent) {
  return (p[j] <= problem.lower[j] && descent <= 0) || (p[j] >= problem.upper[j] && descent >= 0);
}

bool addColumn(const Squares& problem, Place& place, std::size_t j) {
  std::optional<Vector> column = columnOf(problem, place.p, j);
  if (!column) return false;
  const double length = std::sqrt(sumOfSquares(*column));
  if (!std::isfinite(length)) return false;
  if (length == 0 || pushedOut(problem, place.p, j, -dot(*column, place.r))) return length > 0;
  for (double& x : *column) x /= length;
  place.free.push_back(j);
  place.length.push_back(length);
  place.gradient.push_back(-dot(*column, place.r));
  place.columns.push_back(std::move(*column));
  return true;
}

/// The model in a straight line around p; false when it has none.
bool linearise(const Squares& problem, Place& place) {
  place.columns.clear();
  place.length.clear();
  place.free.clear();
  place.gradient.clear();
  for (std::size_t j = 0; j < place.p.size(); ++j)
    if (!addColumn(problem, place, j)) return false;
  const std::size_t n = place.free.size();
  place.normal.assign(n, Vector(n));
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = 0; j < n; ++j)
      place.normal[i][j] = dot(place.columns[i], place.columns[j]);
  return true;
}

/// p after a damped step, within bounds.
std::optional<Vector> stepped(const Squares& problem, const Place& place, double damping) {
  Matrix damped = place.normal;
  for (std::size_t i = 0; i < damped.size(); ++i) damped[i][i] += damping;
  const auto step = solved(damped, place.gradient);
  if (!step) return std::nullopt;
  Vector p = place.p;
  for (std::size_t i = 0; i < place.free.size(); ++i) {
    const std::size_t j = place.free[i];
    p[j] = std::clamp(p[j] + (*step)[i] / place.length[i], problem.lower[j], problem.upper[j]);
  }
  return p;
}

double largestChange(const Vector& a, const Vector& b) {
  double change = 0;
  for (std::size_t i = 0; i < a.size(); ++i)
    change = std::max(change, std::abs(a[i] - b[i]) / std::max(std::abs(a[i]), 1e-6));
  return change;
}

/// One improvement; false when no damped step improves any more.
bool improved(const Squares& problem, Place& place, double& damping, double& change) {
  for (; damping < 1e12; damping *= 4) {
    const auto p = stepped(problem, place, damping);
    const auto r = p ? problem.residuals(*p) : std::nullopt;
    if (!r || !(sumOfSquares(*r) < sumOfSquares(place.r))) continue;
    change = largestChange(place.p, *p);
    place.p = *p;
    place.r = *r;
    damping = std::max(damping / 9, 1e-12);
    return true;
  }
  return false;
}

/// Covariance of the free parameters, spread out to all.
bool addCovariance(const Place& place, SquaresFit& fit) {
  const std::size_t n = place.free.size(), all = place.p.size();
  fit.covariance.assign(all, Vector(all));
  fit.standard_error.assign(all, 0);
  fit.at_bound.assign(all, true);
  for (std::size_t i = 0; i < n; ++i) {
    Vector unit(n);
    unit[i] = 1;
    const auto column = solved(place.normal, unit);
    if (!column) return false;
    for (std::size_t k = 0; k < n; ++k)
      fit.covariance[place.free[k]][place.free[i]] =
          fit.residual * fit.residual * (*column)[k] / (place.length[k] * place.length[i]);
    const std::size_t j = place.free[i];
    fit.standard_error[j] = std::sqrt(fit.covariance[j][j]);
    fit.at_bound[j] = false;
  }
  return true;
}

std::optional<SquaresFit> described(const Squares& problem, Place& place, int iterations) {
  if (!linearise(problem, place)) return std::nullopt;
  SquaresFit fit;
  fit.p = place.p;
  fit.iterations = iterations;
  fit.sum = sumOfSquares(place.r);
  fit.freedom = static_cast<int>(place.r.size()) - static_cast<int>(place.free.size());
  if (fit.freedom < 1) return std::nullopt;
  fit.residual = std::sqrt(fit.sum / fit.freedom);
  if (!addCovariance(place, fit)) return std::nullopt;
  return fit;
}

/// P(|t| > x): finite sums in θ = atan(x/√f).
double beyond(double x, int freedom) {
  const double angle = std::atan(x / std::sqrt(freedom)), c = std::cos(angle);
  const bool odd = freedom % 2 == 1;
  double term = odd ? c : 1, sum = freedom > 1 ? term : 0;
  for (int k = odd ? 3 : 2; k < freedom - 1; k += 2) sum += term *= c * c * (k - 1) / k;
  const double inside =
      odd ? 2 / std::numbers::pi * (angle + std::sin(angle) * sum) : std::sin(angle) * sum;
  return 1 - inside;
}

}  // namespace

std::optional<SquaresFit> leastSquares(const Squares& problem) {
  Place place;
  place.p = problem.start;
  const auto r = problem.residuals(place.p);
  if (!r) return std::nullopt;
  place.r = *r;
  double damping = 1e-3, change = 1;
  for (int iteration = 1; iteration <= most_iterations; ++iteration) {
    if (!linearise(problem, place)) return std::nullopt;
    if (place.free.empty() || !improved(problem, place, damping, change) || change < 1e-10)
      return described(problem, place, iteration);
  }
  return std::nullopt;
}

double studentQuantile(int freedom) {
  if (freedom > 10000) return 1.959963984540054;
  double low = 1.9, high = 13;
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    (beyond(middle, freedom) > 0.05 ? low : high) = middle;
  }
  return low;
}

}  // namespace platemark::method::cure
