/// The simplex method on the linear programme of a zone, for points seen from one frame.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "platemark/method/plate/flatness.h"

namespace platemark::method::plate {

using Vector = std::array<double, 3>;

inline double dot(const Vector& a, const Vector& b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

inline Vector at(const SurfacePoint& p) { return {p.x_mm, p.y_mm, p.z_mm}; }

/// Two directions along the face and one square to it.
struct Frame {
  Vector along, across, up;
};

/// Point `upper` seen from point `lower`.
struct Pair {
  std::size_t upper, lower;
};

struct ZoneSolution {
  double along_slope = 0, across_slope = 0;
  double width = 0;               ///< of all points, along `up`
  std::array<Pair, 3> pairs{};    ///< the optimal basis
  std::array<double, 3> share{};  ///< with which each pair carries the zone
};

/// Three points that span the face, or none when all lie on one line.
[[nodiscard]] std::optional<std::array<std::size_t, 3>> spanningPoints(
    std::span<const SurfacePoint> points, const Frame& frame);

/// From `start`, three pairs whose steps along the face balance out; none after too many steps.
[[nodiscard]] std::optional<ZoneSolution> solveZone(std::span<const SurfacePoint> points,
                                                    const Frame& frame, std::array<Pair, 3> start);
/// Whether the steps of three pairs still balance out in another frame.
[[nodiscard]] bool balances(std::span<const SurfacePoint> points, const Frame& frame,
                            const std::array<Pair, 3>& pairs);

}  // namespace platemark::method::plate
