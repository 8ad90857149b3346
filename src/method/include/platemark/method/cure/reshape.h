/// Another programme in the same oven: a recorded course of air with a longer or shorter soak, or
/// another set point. Pure; for questions of the form 'what if'.
///
/// Formula      longer: from `at` on everything comes `by` later, the temperature at `at` holds;
///              shorter: what lies within `by` before `at` is left out
///              set point: T' = T + ΔT·(T − T_low)/(T_set − T_low), the share kept within 0…1
/// Valid        an oven that follows another programme as it followed this one
/// Source       definition of this project
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "platemark/method/cure/course.h"

namespace platemark::method::cure {

/// `by` below 0 shortens, at most to the course's beginning.
[[nodiscard]] std::vector<CoursePoint> soakedLonger(std::span<const CoursePoint> course,
                                                    Duration at, Duration by);
/// Lifts the course by `by` at `set_point` and above, by nothing at `low` and below.
[[nodiscard]] std::vector<CoursePoint> lifted(std::span<const CoursePoint> course,
                                              TemperaturePoint low, TemperaturePoint set_point,
                                              TemperatureDifference by);
/// The last moment at which the course is at or above `edge`; nothing when it never is.
[[nodiscard]] std::optional<Duration> lastAt(std::span<const CoursePoint> course,
                                             TemperaturePoint edge);
/// The first such moment.
[[nodiscard]] std::optional<Duration> firstAt(std::span<const CoursePoint> course,
                                              TemperaturePoint edge);

}  // namespace platemark::method::cure
