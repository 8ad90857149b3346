#include "zone.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace platemark::method::plate {
namespace {

// The zone's width over the slopes (a, b) is the largest of h = dz − a·dx − b·dy over all pairs of
// points with difference (dx, dy, dz). Its least value is the height at which the hull of all those
// differences meets the axis over the origin: a linear programme in three rows, solved by the
// simplex method with three pairs as basis. The pair to enter is the point farthest up and the
// point farthest down from the present plane: one look at all points.

using Matrix = std::array<Vector, 3>;

Vector cross(const Vector& a, const Vector& b) {
  return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}

Vector scaled(const Vector& a, double k) { return {a[0] * k, a[1] * k, a[2] * k}; }

Vector difference(const SurfacePoint& a, const SurfacePoint& b) {
  return {a.x_mm - b.x_mm, a.y_mm - b.y_mm, a.z_mm - b.z_mm};
}

/// A pair as a column of the programme: 1, its step along, its step across; and its rise.
struct Column {
  Vector row;
  double rise;
};

class Programme {
 public:
  Programme(std::span<const SurfacePoint> points, const Frame& frame)
      : points_(points), frame_(frame) {}

  [[nodiscard]] Column column(Pair pair) const {
    const Vector d = difference(points_[pair.upper], points_[pair.lower]);
    return {{1, dot(frame_.along, d), dot(frame_.across, d)}, dot(frame_.up, d)};
  }

  /// Rows of the inverse of the matrix that has the pairs' columns.
  [[nodiscard]] Matrix inverse(const std::array<Pair, 3>& pairs) const {
    const Vector a = column(pairs[0]).row, b = column(pairs[1]).row, c = column(pairs[2]).row;
    const double det = dot(a, cross(b, c));
    return {scaled(cross(b, c), 1 / det), scaled(cross(c, a), 1 / det),
            scaled(cross(a, b), 1 / det)};
  }

  /// The points farthest up and down along `direction`, with their distance.
  struct Farthest {
    Pair pair{0, 0};
    double apart = 0;
  };
  [[nodiscard]] Farthest farthest(const Vector& direction) const {
    double low = std::numeric_limits<double>::infinity(), high = -low;
    Farthest found;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      const SurfacePoint& p = points_[i];
      const double height = direction[0] * p.x_mm + direction[1] * p.y_mm + direction[2] * p.z_mm;
      if (height > high) {
        high = height;
        found.pair.upper = i;
      }
      if (height < low) {
        low = height;
        found.pair.lower = i;
      }
    }
    found.apart = high - low;
    return found;
  }

  [[nodiscard]] Vector direction(double along_slope, double across_slope) const {
    Vector d = frame_.up;
    for (std::size_t k = 0; k < 3; ++k)
      d[k] -= along_slope * frame_.along[k] + across_slope * frame_.across[k];
    return d;
  }

 private:
  std::span<const SurfacePoint> points_;
  const Frame& frame_;
};

/// Multipliers of the three rows: height of the zone and its two slopes.
Vector multipliers(const Programme& programme, const std::array<Pair, 3>& pairs,
                   const Matrix& inverse) {
  Vector y{0, 0, 0};
  for (std::size_t k = 0; k < 3; ++k)
    for (std::size_t j = 0; j < 3; ++j) y[j] += programme.column(pairs[k]).rise * inverse[k][j];
  return y;
}

/// Whether row `a` over `wa` comes before row `b` over `wb`, place by place: so ties never make the
/// method go round in a circle.
bool before(const Vector& a, double wa, const Vector& b, double wb) {
  for (std::size_t j = 0; j < 3; ++j) {
    const double left = a[j] / wa, right = b[j] / wb;
    if (std::abs(left - right) > 1e-12 * (std::abs(left) + std::abs(right))) return left < right;
  }
  return false;
}

/// The pair that leaves when one with `column` enters.
std::size_t leaving(const Matrix& inverse, const Vector& column) {
  std::size_t out = 3;
  double out_weight = 0;
  for (std::size_t k = 0; k < 3; ++k) {
    const double weight = dot(inverse[k], column);
    if (weight <= 1e-14) continue;
    if (out == 3 || before(inverse[k], weight, inverse[out], out_weight)) {
      out = k;
      out_weight = weight;
    }
  }
  return out;
}

double magnitude(const SurfacePoint& p) {
  return std::abs(p.x_mm) + std::abs(p.y_mm) + std::abs(p.z_mm);
}

}  // namespace

std::optional<std::array<std::size_t, 3>> spanningPoints(std::span<const SurfacePoint> points,
                                                         const Frame& frame) {
  const auto farthest = [&](auto measure) {
    std::size_t best = 0;
    double most = -1;
    for (std::size_t i = 0; i < points.size(); ++i)
      if (const double m = measure(at(points[i])); m > most) {
        most = m;
        best = i;
      }
    return std::pair{best, most};
  };
  const auto step = [&](const Vector& from, const Vector& p) {
    const Vector d{p[0] - from[0], p[1] - from[1], p[2] - from[2]};
    return std::pair{dot(frame.along, d), dot(frame.across, d)};
  };
  const Vector origin = at(points.front());
  const auto [a, unused] = farthest([&](const Vector& p) {
    const auto [u, v] = step(origin, p);
    return u * u + v * v;
  });
  const Vector first = at(points[a]);
  const auto [b, length] = farthest([&](const Vector& p) {
    const auto [u, v] = step(first, p);
    return u * u + v * v;
  });
  const auto [u, v] = step(first, at(points[b]));
  const auto [c, area] = farthest([&, u = u, v = v](const Vector& p) {
    const auto [pu, pv] = step(first, p);
    return std::abs(u * pv - v * pu);
  });
  if (!(length > 0) || !(area > 1e-9 * length)) return {};
  return std::array<std::size_t, 3>{a, b, c};
}

bool balances(std::span<const SurfacePoint> points, const Frame& frame,
              const std::array<Pair, 3>& pairs) {
  const Matrix inverse = Programme(points, frame).inverse(pairs);
  return std::all_of(inverse.begin(), inverse.end(),
                     [](const Vector& row) { return row[0] > 1e-12; });
}

std::optional<ZoneSolution> solveZone(std::span<const SurfacePoint> points, const Frame& frame,
                                      std::array<Pair, 3> pairs) {
  constexpr int most_steps = 500;
  constexpr double rounding = 1e-14;  // of the coordinates: less than that is no gain
  const Programme programme(points, frame);
  double size = 0;
  for (const Pair& pair : pairs) size = std::max(size, magnitude(points[pair.upper]));
  for (int step = 0; step < most_steps; ++step) {
    const Matrix inverse = programme.inverse(pairs);
    const Vector y = multipliers(programme, pairs, inverse);
    const auto [enters, apart] = programme.farthest(programme.direction(y[1], y[2]));
    const double gain = apart - y[0];
    const std::size_t out = leaving(inverse, programme.column(enters).row);
    const bool known = std::any_of(pairs.begin(), pairs.end(), [&, in = enters](const Pair& pair) {
      return pair.upper == in.upper && pair.lower == in.lower;
    });
    size = std::max({size, magnitude(points[enters.upper]), magnitude(points[enters.lower])});
    if (!std::isfinite(apart)) return {};
    if (gain <= rounding * size || known || out == 3)
      return ZoneSolution{y[1], y[2], apart, pairs, {inverse[0][0], inverse[1][0], inverse[2][0]}};
    pairs[out] = enters;
  }
  return {};
}

}  // namespace platemark::method::plate
