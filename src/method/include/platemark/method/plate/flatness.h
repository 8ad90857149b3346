/// Flatness of a face from points: by the plane of least squares and by the minimum zone.
///
/// Formula      least squares: Σ(z − a·x − b·y − c)² least; flatness = peak + valley, peak and
/// valley
///              the largest distances above and below that plane, square to it
///              minimum zone: the least distance of two parallel planes with all points between
///              linear zone: the least difference of z over a plane's slopes; minimum of t with
///              −t ≤ z − a·x − b·y − c ≤ t, zone 2·t
/// Symbols      x, y, z coordinates, mm, finite; z roughly square to the face
/// Valid        3 to some millions of points, not all on one line. The minimum zone is found by the
///              simplex method and turned until its planes are square to what is measured; it is
///              the least of all zones for a face whose zone is thin against its width, as of a
///              plate: planes that stand on end are not looked at. It is never more than the least
///              squares flatness, so a part can pass by one and fail by the other: the way belongs
///              to the result. Points taken apart miss what lies between them.
/// Uncertainty  of each coordinate about once, since single points touch the zone; a speck of dirt
///              counts in full
/// Source       ISO 1101 and ISO 12781-1 (zone, peak, valley, root mean square), remembered, not
///              verified; the simplex method is textbook, the form of it this project's
/// Errors       flatness.few_points, flatness.not_finite, flatness.one_line,
///              flatness.no_convergence
/// Pure.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::plate {

inline constexpr int flatness_version = 1;

struct SurfacePoint {
  double x_mm, y_mm, z_mm;
};

/// Points with n·p = offset; n is one long and points up.
struct Plane {
  std::array<double, 3> normal{0, 0, 1};
  double offset_mm = 0;
};

struct LeastSquaresFlatness {
  Plane plane;
  Length flatness;
  Length peak;    ///< 0 or more
  Length valley;  ///< 0 or more
  Length rms;     ///< divisor n
};
[[nodiscard]] Result<LeastSquaresFlatness> leastSquaresFlatness(
    std::span<const SurfacePoint> points);

struct Zone {
  Plane middle;
  Length width;
  std::vector<std::size_t> upper, lower;  ///< points that touch the two planes
};
[[nodiscard]] Result<Zone> minimumZone(std::span<const SurfacePoint> points);

/// The zone measured along z. `slope_x`, `slope_y` of its planes.
struct LinearZone {
  Length width;
  double slope_x = 0;
  double slope_y = 0;
};
[[nodiscard]] Result<LinearZone> linearZone(std::span<const SurfacePoint> points);

/// Height of each point over a plane, for a map.
[[nodiscard]] std::vector<Length> heights(std::span<const SurfacePoint> points, const Plane& plane);

}  // namespace platemark::method::plate
