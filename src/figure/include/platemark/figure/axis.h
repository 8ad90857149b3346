/// Axes: where ticks stand and what they say.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "platemark/figure/scene.h"
#include "platemark/quantity/time.h"

namespace platemark::figure {

struct Tick {
  double value = 0.0;
  std::string words;
};

/// Ticks on multiples of 1, 2 or 5 times a power of ten inside [low, high], at
/// most `most` + 1 of them, with as many decimals as the step needs.
/// Empty unless low < high, both finite, most >= 1.
[[nodiscard]] std::vector<Tick> niceTicks(double low, double high, int most = 6);
/// 1, 2 and 5 of every decade inside [low, high]; empty unless 0 < low < high.
[[nodiscard]] std::vector<Tick> logTicks(double low, double high);
/// Ticks on whole local days, hours or minutes, worded ISO 8601: "2026-11-25" on
/// day steps, "07:40" on shorter ones; a shorter axis says the day at its first tick
/// and at each midnight. value: ms since 1970. Empty unless low < high, most >= 1.
[[nodiscard]] std::vector<Tick> timeTicks(Instant low, Instant high, std::string_view zone,
                                          int most = 8);

/// A scale from values to px. `to_px` may be less than `from_px` (upwards).
struct Scale {
  double low = 0.0;
  double high = 1.0;
  double from_px = 0.0;
  double to_px = 1.0;
  bool logarithmic = false;
  /// Values outside [low, high] land outside the px range; nothing is clipped.
  [[nodiscard]] double at(double value) const;
  [[nodiscard]] bool holds(double value) const { return value >= low && value <= high; }
};

/// The field of a chart with its two scales.
struct Plot {
  Box field;
  Scale x;
  Scale y;
  [[nodiscard]] Point at(double vx, double vy) const { return {x.at(vx), y.at(vy)}; }
  [[nodiscard]] std::vector<Point> at(const std::vector<Point>& values) const;
};
[[nodiscard]] Plot makePlot(Box field, double x_low, double x_high, double y_low, double y_high,
                            bool log_x = false);

/// "Temperature / °C": quantity over unit; the quantity alone without a unit.
[[nodiscard]] std::string axisTitle(std::string_view quantity, std::string_view unit);
/// Grid lines, tick words at the left, and the title above the field.
void addLeftAxis(Scene& scene, const Plot& plot, const std::vector<Tick>& ticks,
                 const std::string& title);
/// Axis line, ticks and their words below, and the title at the right end.
void addBottomAxis(Scene& scene, const Plot& plot, const std::vector<Tick>& ticks,
                   const std::string& title);

/// Base lines for labels that want to stand at `wanted` (any order): moved as little
/// as a downward and an upward sweep need for `spacing` between neighbours, within
/// [top, bottom] when there is room.
[[nodiscard]] std::vector<double> spread(const std::vector<double>& wanted, double spacing,
                                         double top, double bottom);

}  // namespace platemark::figure
