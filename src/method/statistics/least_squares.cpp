#include "platemark/method/statistics/least_squares.h"

#include <fmt/format.h>

#include <cmath>

#include "../bad_input.h"

namespace platemark::method::statistics {
namespace {

using Columns = std::vector<std::vector<double>>;

Result<void> checkList(std::span<const double> list, const std::string& field) {
  for (std::size_t i = 0; i < list.size(); ++i)
    if (!std::isfinite(list[i]))
      return badInput("squares.not_finite", fmt::format("{}[{}]", field, i),
                      fmt::format("Value {} is no number.", i + 1), "a number");
  return {};
}

Result<void> checkColumns(const Columns& columns, std::span<const double> y) {
  for (const std::vector<double>& column : columns) {
    if (column.size() != y.size())
      return badInput("squares.count", "x",
                      fmt::format("{} values beside {} readings.", column.size(), y.size()),
                      "as many as there are readings");
    if (Result<void> finite = checkList(column, "x"); !finite) return finite;
  }
  if (columns.empty() || y.size() <= columns.size())
    return badInput("squares.few", "y",
                    fmt::format("{} readings for {} coefficients.", y.size(), columns.size()),
                    "more readings than coefficients");
  return checkList(y, "y");
}

double dotFrom(const std::vector<double>& a, const std::vector<double>& b, std::size_t from) {
  double sum = 0;
  for (std::size_t i = from; i < a.size(); ++i) sum += a[i] * b[i];
  return sum;
}

/// b made the mirror image of itself in the plane square to v, from a place on.
void mirror(std::vector<double>& b, const std::vector<double>& v, std::size_t from, double square) {
  const double k = 2 * dotFrom(v, b, from) / square;
  for (std::size_t i = from; i < b.size(); ++i) b[i] -= k * v[i];
}

/// The columns turned to an upper triangle, and y with them. Columns are brought to about one
/// length first; `length` keeps theirs.
struct Triangle {
  Columns columns;
  std::vector<double> y, length;
  bool dependent = false;
};

Triangle triangleOf(const Columns& columns, std::span<const double> y) {
  Triangle t{columns, {y.begin(), y.end()}, {}, false};
  for (std::vector<double>& column : t.columns) {
    // To a power of two, so that bringing columns to one length rounds nothing.
    const double square = dotFrom(column, column, 0);
    t.length.push_back(square > 0 ? std::ldexp(1, std::ilogb(square) / 2) : 1);
    for (double& x : column) x /= t.length.back();
  }
  for (std::size_t j = 0; j < columns.size(); ++j) {
    const double norm = std::sqrt(dotFrom(t.columns[j], t.columns[j], j));
    if (!(norm > 1e-15)) {
      t.dependent = true;
      return t;
    }
    std::vector<double> v = t.columns[j];
    v[j] += v[j] >= 0 ? norm : -norm;
    const double square = dotFrom(v, v, j);
    for (std::size_t k = j; k < columns.size(); ++k) mirror(t.columns[k], v, j, square);
    mirror(t.y, v, j, square);
  }
  return t;
}

/// x of R·x = b.
std::vector<double> solvedBack(const Columns& r, std::vector<double> b) {
  for (std::size_t j = r.size(); j-- > 0;) {
    b[j] /= r[j][j];
    for (std::size_t i = 0; i < j; ++i) b[i] -= r[j][i] * b[j];
  }
  return b;
}

/// Length of row j of R⁻¹: the error of coefficient j in units of s.
std::vector<double> errorsOf(const Columns& r) {
  std::vector<double> squares(r.size(), 0);
  for (std::size_t k = 0; k < r.size(); ++k) {
    std::vector<double> unit(r.size(), 0);
    unit[k] = 1;
    const std::vector<double> column = solvedBack(r, unit);
    for (std::size_t j = 0; j < r.size(); ++j) squares[j] += column[j] * column[j];
  }
  for (double& square : squares) square = std::sqrt(square);
  return squares;
}

double squaresAbout(std::span<const double> y, bool about_mean) {
  double mean = 0, sum = 0;
  if (about_mean)
    for (const double value : y) mean += value / static_cast<double>(y.size());
  for (const double value : y) sum += (value - mean) * (value - mean);
  return sum;
}

}  // namespace

Result<LeastSquares> leastSquares(const Columns& columns, std::span<const double> y,
                                  bool about_mean) {
  if (Result<void> checked = checkColumns(columns, y); !checked) return checked.error();
  const Triangle t = triangleOf(columns, y);
  if (t.dependent)
    return badInput("squares.dependent", "x", "A column is made up of the others.",
                    "columns that differ", "Take a smaller degree or more different sizes.");
  const std::size_t k = columns.size();
  const double left = dotFrom(t.y, t.y, k);
  LeastSquares found;
  found.degrees = static_cast<int>(y.size() - k);
  found.s = std::sqrt(left / found.degrees);
  const double all = squaresAbout(y, about_mean);
  found.r_squared = all > 0 ? 1 - left / all : 1;
  const std::vector<double> values =
      solvedBack(t.columns, {t.y.begin(), t.y.begin() + std::ssize(columns)});
  const std::vector<double> errors = errorsOf(t.columns);
  for (std::size_t j = 0; j < k; ++j)
    found.coefficients.push_back({values[j] / t.length[j], found.s * errors[j] / t.length[j]});
  return found;
}

Result<LeastSquares> polynomial(std::span<const double> x, std::span<const double> y, int degree,
                                bool through_origin) {
  if (degree < 1 || degree > 10)
    return badInput("squares.degree", "degree", fmt::format("A polynomial of degree {}.", degree),
                    "1 to 10");
  Columns columns;
  for (int j = through_origin ? 1 : 0; j <= degree; ++j) {
    columns.emplace_back();
    for (const double value : x) columns.back().push_back(std::pow(value, j));
  }
  return leastSquares(columns, y, !through_origin);
}

}  // namespace platemark::method::statistics
