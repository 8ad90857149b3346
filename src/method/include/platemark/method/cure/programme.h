/// The oven programme as a window of temperatures over time.
#pragma once

#include <optional>
#include <vector>

#include "platemark/quantity/result.h"

namespace platemark::method::cure {

/// Go to a temperature, then hold it. Exactly one of the two ramp members is set.
struct Segment {
  double target_celsius = 0;
  double below_k = 0;                      ///< allowed below the target, >= 0
  double above_k = 0;                      ///< allowed above the target, >= 0
  std::optional<double> ramp_k_per_min{};  ///< > 0 also when the target is lower
  std::optional<double> ramp_minutes{};    ///< >= 0
  double soak_minutes = 0;                 ///< >= 0
};

struct Programme {
  double start_celsius = 20;  ///< where the first ramp begins
  std::vector<Segment> segments{};
};

struct Bounds {
  double lower_celsius;
  double target_celsius;
  double upper_celsius;
};

/// Errors: cure.programme_empty, cure.programme_ramp, cure.programme_range; the field names the
/// segment.
[[nodiscard]] Result<void> checkProgramme(const Programme& programme);

/// The window `minutes` after the load went in. On a ramp target and tolerance
/// run in a straight line from those of the segment before; the first ramp has
/// the tolerance of its own segment. Nothing before 0 and after the last soak.
/// `programme` must pass checkProgramme. O(segments).
[[nodiscard]] std::optional<Bounds> windowAt(const Programme& programme, double minutes);

/// Minutes from load in to the end of the last soak.
[[nodiscard]] double programmeMinutes(const Programme& programme);

}  // namespace platemark::method::cure
