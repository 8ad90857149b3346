/// Degree of cure along a course of temperature: method cure.degree, version 1.
///
/// Formula      dα/dt = rate law at T(t); T linear between the given points; two points at one
///              time are a jump
/// Valid        as the rate law; `outside` says for how long T left the range it was given.
/// Method       Runge–Kutta of order 5 with an embedded order 4 (Dormand, Prince, J. Comput. Appl.
///              Math. 6 (1980) 19, remembered, not verified; the order is tested), steps chosen by
///              error, each point of the course on a step's end.
/// Uncertainty  `error_bound` is numerical only: the largest difference so far between this run and
///              one with a tolerance 30 times wider, whose error it shows, plus the tolerance.
///              Parameters come on top.
/// Errors       cure.course_short, cure.course_backwards, cure.course_range, cure.tolerance_range,
///              cure.steps, those of checkLaw and checkStart
/// Pure.
#pragma once

#include <span>
#include <vector>

#include "platemark/method/cure/kinetics.h"

namespace platemark::method::cure {

inline constexpr int course_version = 1;

struct CoursePoint {
  Duration at{};
  TemperaturePoint temperature{};
};

struct CureState {
  Duration at{};
  double degree = 0;
  double error_bound = 0;
};

struct CureCourse {
  std::vector<CureState> states{};  ///< one for each point of the course
  Rate fastest{};                   ///< largest dα/dt at a step's end
  Duration fastest_at{};
  Duration outside{};  ///< T outside ParameterSet::valid; all of it when no range is stated
};

struct CourseOptions {
  double tolerance = 1e-9;  ///< of α, for each step of the rougher run; above 0, at most 0.01
};

/// At least two points within −200…1000 °C, times never falling.
[[nodiscard]] Result<void> checkCourse(std::span<const CoursePoint> course);

[[nodiscard]] Result<CureCourse> cureAlong(const ParameterSet& set,
                                           std::span<const CoursePoint> course,
                                           const CourseOptions& options = {});

/// How long at one temperature from one degree of cure to another: ∫ dα/(dα/dt); below 0 when `to`
/// lies below `from`. Simpson's rule on 2000 panels. Errors: cure.degree_range (outside 0…1, or a
/// rate of zero between them), those of checkLaw.
[[nodiscard]] Result<Duration> timeBetween(const RateLaw& law, double from, double to,
                                           TemperaturePoint at);

}  // namespace platemark::method::cure
