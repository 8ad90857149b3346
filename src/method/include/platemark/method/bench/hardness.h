/// Rockwell hardness on the ball scales used for friction material, in units of the scale.
///
/// Formula      HR = 130 − h / 0.002 mm
/// Symbols      h permanent increase of depth at the preliminary force, mm, 0 to 0.26
/// Valid        HR 0 to 130; below 0 (h above 0.26 mm) take a softer scale. There is no conversion
///              between scales: readings of two scales are never put into one mean. Compound under
///              5 mm thick lets the support through. The first two readings after a change of ball
///              are discarded. Hardness shows sameness; it does not predict friction.
/// Uncertainty  of one depth u(HR) = u(h)/0.002 mm; of a mean at least s/√n
/// Source       general formula: a national laboratory's guide to Rockwell hardness, read; balls
/// and
///              forces R, L, M, E, K: ASTM D785 as tabulated by material data bases, read; scales M
///              and R for linings, thickness, discarded readings: SAE J2654 (2015), read through
///              another text; scales S, V, P and H: remembered, not verified
///              (RockwellBall::verified is false). HRX is not offered: no definition of it is
///              known.
/// Errors       hardness.depth_negative, hardness.below_scale, hardness.unknown_scale,
///              hardness.no_reading, hardness.mixed_scales, hardness.out_of_range
/// Pure.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::bench {

inline constexpr int rockwell_version = 1;

enum class RockwellScale { r, l, m, e, k, s, v, p, h };

struct RockwellBall {
  RockwellScale scale;
  std::string_view symbol;  ///< "HRR"
  Length diameter;
  Force preliminary;
  Force total;
  bool verified;  ///< false: remembered only
};
[[nodiscard]] std::span<const RockwellBall> rockwellBalls();
[[nodiscard]] const RockwellBall& rockwellBall(RockwellScale scale);
/// From "HRR" or the unit code "{HRR}". Errors: hardness.unknown_scale.
[[nodiscard]] Result<RockwellScale> rockwellScale(std::string_view symbol);

/// A number that means nothing without its scale.
struct Rockwell {
  double number = 0;
  RockwellScale scale = RockwellScale::r;
};
[[nodiscard]] Result<Rockwell> rockwellFromDepth(Length depth, RockwellScale scale);

struct RockwellSummary {
  RockwellScale scale = RockwellScale::r;
  double mean = 0;
  double lowest = 0;
  double highest = 0;
  std::optional<double> s;  ///< sample standard deviation; none for one reading
};
/// Of direct readings in one scale, each 0 to 130.
[[nodiscard]] Result<RockwellSummary> summariseRockwell(std::span<const Rockwell> readings);

}  // namespace platemark::method::bench
