/// What spots of thermal paint say about the highest temperature of their place: method
/// brake.paint, version 1.
///
/// Formula      at least: highest changed threshold − its tolerance; at most: lowest threshold that
///              did not change + its tolerance
/// Symbols      thresholds and tolerances as the paint's sheet gives them
/// Valid        for the place of the spots, and for exposures near the time for which the threshold
///              is rated: longer ones change a paint below it, shorter ones above. It says nothing
///              about when, or for how long.
/// Uncertainty  the answer is a range, not a value with an uncertainty
/// Source       definition of this project; BS 1041-7:1988 names thresholds as a function of time,
///              contents read only
/// Errors       brake.paint_none, brake.paint_range, brake.paint_contradiction (one changed,
/// another
///              did not that lies lower by more than both tolerances)
/// Pure.
#pragma once

#include <optional>
#include <span>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::brake {

inline constexpr int paint_version = 1;

struct PaintSpot {
  TemperaturePoint threshold{};
  TemperatureDifference tolerance{};  ///< >= 0
  bool changed = false;
};
struct PaintReading {
  std::optional<TemperaturePoint> at_least{};  ///< none: no spot changed
  std::optional<TemperaturePoint> at_most{};   ///< none: every spot changed
};
[[nodiscard]] Result<PaintReading> readSpots(std::span<const PaintSpot> spots);

}  // namespace platemark::method::brake
