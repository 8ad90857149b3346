/// Cure windows of coats and adhesives, metal temperature against time: method cure.window,
/// version 1.
///
/// Formula      ln t_needed = c + E/(R·T), fitted by least squares through the card's pairs;
///              index = ∫ dt/t_needed(T(t)), 1 = just cured; fractions add up
/// Valid        between the card's temperatures; the clock runs on the metal, not on the air. An
///              upper limit on the index, for scorch, is the card's own.
/// Uncertainty  the card's rounding to whole minutes is the largest part: see the residuals.
/// Source       definition of this project, after the trade's card of equal cures (e.g. 12, 10 and
///              8 min at 190, 200 and 210 °C) and the practice that the part's own temperature
///              counts
/// Errors       cure.window_pairs, cure.window_range, those of checkCourse
/// Pure.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "platemark/method/cure/course.h"

namespace platemark::method::cure {

inline constexpr int window_version = 1;

/// Time at one temperature that just cures.
struct CurePair {
  TemperaturePoint at{};
  Duration needed{};
};

struct CureWindow {
  MolarEnergy energy{};
  TemperaturePoint reference{};     ///< the middle of the pairs in 1/T
  Duration at_reference{};          ///< needed there
  std::vector<double> residuals{};  ///< of each pair: ln(card/fitted)
};

/// Two pairs or more at different temperatures.
[[nodiscard]] Result<CureWindow> windowThrough(std::span<const CurePair> pairs);
[[nodiscard]] Duration neededAt(const CureWindow& window, TemperaturePoint at);
/// Share of a just sufficient cure; only where T is at least `above`, when it is given.
[[nodiscard]] Result<double> cureIndex(const CureWindow& window,
                                       std::span<const CoursePoint> course,
                                       std::optional<TemperaturePoint> above = {});

}  // namespace platemark::method::cure
