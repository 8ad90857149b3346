/// What a recorder wrote: channels of temperatures over time.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace platemark::method::cure {

/// What the sensor of a channel is for.
enum class ChannelRole {
  control,          ///< air, drives the oven
  record,           ///< air, recorded independently of the control
  load,             ///< in the load, e.g. between two pads of a stack
  over_temperature  ///< safety cut-out; never evidence of cure
};

/// Readings of one sensor. Both spans are as long; the caller keeps them alive.
struct Series {
  std::span<const std::int64_t> at_ms{};  ///< ms since 1970-01-01T00:00:00Z, never decreasing
  std::span<const double> celsius{};      ///< NaN is an empty reading
};

struct Channel {
  std::string name{};
  ChannelRole role = ChannelRole::record;
  Series series{};
  /// Half-width in K within which the sensor may be off near the soak, e.g. from
  /// thermocoupleTolerance; without it no sensor contribution is stated.
  std::optional<double> tolerance_k{};
};

}  // namespace platemark::method::cure
