/// Thickness and parallelism of a plate or pad.
///
/// Formula      shop: parallelism = largest − smallest thickness read
///              to a datum: with n square to the datum plane of least squares, parallelism = max
///              n·p − min n·p over the points of the face; thickness = n·p − offset
/// Symbols      points of face and datum, mm; readings of thickness, above 0
/// Valid        both are different numbers when the plate is bent: the way belongs to the result.
///              Face and datum are measured in one set-up, their z in one direction.
/// Uncertainty  as of the flatness; the datum's plane adds little with many points
/// Source       ISO 1101, parallelism to a datum, remembered, not verified; largest minus smallest:
///              usage of the trade
/// Errors       flatness.*, thickness.no_reading, thickness.reading
/// Pure.
#pragma once

#include <span>

#include "platemark/method/plate/flatness.h"
#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::plate {

inline constexpr int parallelism_version = 1;

struct Thickness {
  Length mean, lowest, highest;
  Length apart;  ///< highest − lowest
};
/// Errors: thickness.no_reading, thickness.reading.
[[nodiscard]] Result<Thickness> thickness(std::span<const Length> readings);

struct Parallelism {
  Length parallelism;
  Thickness thickness;  ///< of the points over the datum
};
[[nodiscard]] Result<Parallelism> parallelism(std::span<const SurfacePoint> face,
                                              std::span<const SurfacePoint> datum);

}  // namespace platemark::method::plate
