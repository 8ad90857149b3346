#include "platemark/method/plate/flatness.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "../bad_input.h"
#include "zone.h"

namespace platemark::method::plate {
namespace {

Result<void> checkPoints(std::span<const SurfacePoint> points) {
  if (points.size() < 3)
    return badInput("flatness.few_points", "points", fmt::format("{} points.", points.size()),
                    "3 points or more", "Measure more points.");
  for (std::size_t i = 0; i < points.size(); ++i) {
    const SurfacePoint& p = points[i];
    if (!std::isfinite(p.x_mm + p.y_mm + p.z_mm))
      return badInput("flatness.not_finite", fmt::format("points[{}]", i),
                      fmt::format("A coordinate of point {} is no number.", i + 1), "numbers");
  }
  return {};
}

Error oneLine() {
  return badInput("flatness.one_line", "points", "All points lie on one line.",
                  "points spread over the face", "Measure points to both sides of the line.");
}

Error noConvergence() {
  return badInput("flatness.no_convergence", "points", "The zone was not found.",
                  "points of one face, z roughly square to it",
                  "Look at the points: are there some of another face?");
}

Vector normalised(const Vector& v) {
  const double length = std::sqrt(dot(v, v));
  return {v[0] / length, v[1] / length, v[2] / length};
}

constexpr Frame upright{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};

/// `up` and two directions square to it.
Frame frameOf(const Vector& up) {
  const Vector along = normalised({up[2], 0, -up[0]});
  return {along,
          {up[1] * along[2] - up[2] * along[1], up[2] * along[0] - up[0] * along[2],
           up[0] * along[1] - up[1] * along[0]},
          up};
}

/// Three corners seen from one another in a circle: steps that balance out.
std::array<Pair, 3> around(const std::array<std::size_t, 3>& corners) {
  const auto& [a, b, c] = corners;
  return {Pair{b, a}, Pair{c, b}, Pair{a, c}};
}

/// Every so manyth point: enough to come near the zone before all points are looked at.
struct Sample {
  std::vector<SurfacePoint> points;
  std::size_t stride = 1;
};

Sample sampleOf(std::span<const SurfacePoint> points) {
  constexpr std::size_t enough = 1000;
  Sample sample;
  sample.stride = points.size() / enough + 1;
  for (std::size_t i = 0; i < points.size(); i += sample.stride) sample.points.push_back(points[i]);
  return sample;
}

/// Pairs to begin with: those of the zone of a sample, else the corners of the face; none for a
/// face that is one line.
std::optional<std::array<Pair, 3>> begin(std::span<const SurfacePoint> points, const Frame& frame) {
  const Sample sample = sampleOf(points);
  if (sample.stride > 1)
    if (const auto spanned = spanningPoints(sample.points, frame))
      if (const auto solved = solveZone(sample.points, frame, around(*spanned))) {
        std::array<Pair, 3> pairs = solved->pairs;
        for (Pair& pair : pairs) pair = {pair.upper * sample.stride, pair.lower * sample.stride};
        if (balances(points, frame, pairs)) return pairs;
      }
  const auto corners = spanningPoints(points, frame);
  if (!corners) return {};
  return around(*corners);
}

struct Turned {
  Frame frame;
  ZoneSolution solution;
};

Result<Turned> solvedUpright(std::span<const SurfacePoint> points) {
  if (Result<void> checked = checkPoints(points); !checked) return checked.error();
  const auto start = begin(points, upright);
  if (!start) return oneLine();
  const auto solved = solveZone(points, upright, *start);
  if (!solved) return noConvergence();
  return Turned{upright, *solved};
}

/// The frame turned so that its up stands square on the zone.
Frame turnedBy(const Turned& last) {
  Vector up = last.frame.up;
  for (std::size_t k = 0; k < 3; ++k)
    up[k] -= last.solution.along_slope * last.frame.along[k] +
             last.solution.across_slope * last.frame.across[k];
  return frameOf(normalised(up));
}

bool isSquare(const ZoneSolution& solution) {
  return std::hypot(solution.along_slope, solution.across_slope) < 1e-10;
}

Zone zoneOf(std::span<const SurfacePoint> points, const Turned& last) {
  const Frame frame = turnedBy(last);
  Zone zone;
  zone.width = Length::of(last.solution.width, unit::millimetre);
  for (std::size_t k = 0; k < 3; ++k) {
    if (last.solution.share[k] <= 1e-12) continue;
    zone.upper.push_back(last.solution.pairs[k].upper);
    zone.lower.push_back(last.solution.pairs[k].lower);
  }
  for (auto* side : {&zone.upper, &zone.lower}) {
    std::sort(side->begin(), side->end());
    side->erase(std::unique(side->begin(), side->end()), side->end());
  }
  zone.middle = {frame.up, (dot(frame.up, at(points[zone.upper.front()])) +
                            dot(frame.up, at(points[zone.lower.front()]))) /
                               2};
  return zone;
}

Vector meanOf(std::span<const SurfacePoint> points) {
  const double n = static_cast<double>(points.size());
  Vector sum{0, 0, 0};
  for (const SurfacePoint& p : points) {
    sum[0] += p.x_mm;
    sum[1] += p.y_mm;
    sum[2] += p.z_mm;
  }
  return {sum[0] / n, sum[1] / n, sum[2] / n};
}

/// Slopes of the plane of least squares through the mean.
Result<std::array<double, 2>> slopesAbout(std::span<const SurfacePoint> points,
                                          const Vector& mean) {
  double xx = 0, xy = 0, yy = 0, xz = 0, yz = 0;
  for (const SurfacePoint& p : points) {
    const double x = p.x_mm - mean[0], y = p.y_mm - mean[1], z = p.z_mm - mean[2];
    xx += x * x;
    xy += x * y;
    yy += y * y;
    xz += x * z;
    yz += y * z;
  }
  const double det = xx * yy - xy * xy;
  if (!(det > 1e-18 * (xx + yy) * (xx + yy))) return oneLine();
  return std::array{(xz * yy - yz * xy) / det, (yz * xx - xz * xy) / det};
}

}  // namespace

Result<LeastSquaresFlatness> leastSquaresFlatness(std::span<const SurfacePoint> points) {
  if (Result<void> checked = checkPoints(points); !checked) return checked.error();
  const Vector mean = meanOf(points);
  const Result<std::array<double, 2>> slopes = slopesAbout(points, mean);
  if (!slopes) return slopes.error();
  const Vector up = normalised({-(*slopes)[0], -(*slopes)[1], 1});
  double high = 0, low = 0, squares = 0;
  for (const SurfacePoint& p : points) {
    const double height = dot(up, {p.x_mm - mean[0], p.y_mm - mean[1], p.z_mm - mean[2]});
    high = std::max(high, height);
    low = std::min(low, height);
    squares += height * height;
  }
  const auto mm = unit::millimetre;
  return LeastSquaresFlatness{
      {up, dot(up, mean)},
      Length::of(high - low, mm),
      Length::of(high, mm),
      Length::of(-low, mm),
      Length::of(std::sqrt(squares / static_cast<double>(points.size())), mm)};
}

Result<LinearZone> linearZone(std::span<const SurfacePoint> points) {
  const Result<Turned> found = solvedUpright(points);
  if (!found) return found.error();
  return LinearZone{Length::of(found->solution.width, unit::millimetre),
                    found->solution.along_slope, found->solution.across_slope};
}

Result<Zone> minimumZone(std::span<const SurfacePoint> points) {
  Result<Turned> found = solvedUpright(points);
  if (!found) return found.error();
  constexpr int most_turns = 50;
  for (int turn = 0; turn < most_turns && !isSquare(found->solution); ++turn) {
    const Frame frame = turnedBy(*found);
    std::optional<std::array<Pair, 3>> start = found->solution.pairs;
    if (!balances(points, frame, *start)) start = begin(points, frame);
    if (!start) return oneLine();
    const auto solved = solveZone(points, frame, *start);
    if (!solved) return noConvergence();
    found = Turned{frame, *solved};
  }
  if (!isSquare(found->solution)) return noConvergence();
  return zoneOf(points, *found);
}

std::vector<Length> heights(std::span<const SurfacePoint> points, const Plane& plane) {
  std::vector<Length> list;
  list.reserve(points.size());
  for (const SurfacePoint& p : points)
    list.push_back(Length::of(dot(plane.normal, at(p)) - plane.offset_mm, unit::millimetre));
  return list;
}

}  // namespace platemark::method::plate
