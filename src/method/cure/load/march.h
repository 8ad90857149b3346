/// Eight stacks through the whole span, step by step.
#pragma once

#include <functional>
#include <span>

#include "stepper.h"

namespace platemark::method::cure {

/// One accepted step; the stepper holds the states at both ends.
struct Stride {
  double from, h;
};

/// What a march has to keep to.
struct Course {
  double from = 0, to = 0;
  StepTolerance tolerance{};
  std::vector<double> stops{};  ///< times on a step's end, rising, within the span
};

struct MarchCount {
  long steps = 0, rejected = 0;
};

/// Calls `each` after every accepted step; nothing when the steps ran out.
[[nodiscard]] std::optional<MarchCount> march(Stepper& stepper, Air& air, const Course& course,
                                              const std::function<void(const Stride&)>& each);

/// The tolerance of a single step for the error wanted of the whole.
[[nodiscard]] StepTolerance stepTolerance(const LoadTolerance& wanted);

}  // namespace platemark::method::cure
