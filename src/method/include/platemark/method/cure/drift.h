/// Whether the channels of an oven part from each other over its loads: method cure.drift,
/// version 1.
///
/// Formula      offset of a channel in one load: mean over the soak of (its reading − mean of all
///              channels); trend: least-squares line through the offsets over time; drift = slope ·
///              (last − first), u = standard error of the slope · (last − first). Left out are
///              offsets further off the line of the median slope between pairs than 1 K and than
///              five times 1.4826 · the median of these distances
/// Symbols      offsets in K, time in days
/// Valid        channels on air of one oven. Two channels part alike: which of them drifts is not
///              told without a third one.
/// Uncertainty  that of the line through scattered offsets; a drift below twice it is none
/// Source       definition of this project; the median slope after H. Theil (1950) and P. K. Sen
///              (1968), remembered, not verified
/// Errors       cure.drift_few (under 5 loads, or all at one time)
/// Pure.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "platemark/method/cure/recording.h"
#include "platemark/quantity/result.h"

namespace platemark::method::cure {

inline constexpr int drift_version = 1;
inline constexpr std::size_t drift_least_loads = 5;

/// For each channel, over the readings between the two times at which all have one; nothing with
/// fewer than two channels or without such a reading.
[[nodiscard]] std::optional<std::vector<double>> offsetsBetween(std::span<const Channel> channels,
                                                                std::int64_t from_ms,
                                                                std::int64_t to_ms);

struct OffsetPoint {
  double days = 0;
  double offset_k = 0;
};
struct Drift {
  double drift_k = 0;  ///< from the first to the last point
  double u_k = 0;
  double first_k = 0;                               ///< the line at the first point
  [[nodiscard]] bool passes(double limit_k) const;  ///< beyond the limit, and beyond twice u
};
[[nodiscard]] Result<Drift> driftOf(std::span<const OffsetPoint> points);

}  // namespace platemark::method::cure
