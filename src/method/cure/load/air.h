/// The air of a load: channels, and the straight line that stands for each of them inside a step.
#pragma once

#include <span>
#include <vector>

#include "platemark/method/cure/course.h"

namespace platemark::method::cure {

/// Value at the start of a step in K, slope in K/s.
struct AirLine {
  double value = 0, slope = 0;
};

class Air {
 public:
  explicit Air(std::span<const std::vector<CoursePoint>> channels);

  /// The first point of any channel after t; infinity when there is none.
  [[nodiscard]] double nextPoint(double t) const;
  /// Lines over [from, to] that keep each channel's mean and first moment.
  void fit(double from, double to);
  [[nodiscard]] std::span<const AirLine> lines() const { return lines_; }
  /// Largest |∫(channel − line) dt| up to any moment of the step, K·s.
  [[nodiscard]] double deviation() const { return deviation_; }

 private:
  struct Point {
    double at, kelvin;
  };
  struct Piece {
    double begin, end, at_begin, at_end;
  };
  void collectPieces(const std::vector<Point>& channel, double from, double to);
  [[nodiscard]] AirLine momentLine(double from, double to) const;
  void addDeviation(const AirLine& line, double from);

  std::vector<std::vector<Point>> channels_;
  std::vector<AirLine> lines_;
  std::vector<Piece> pieces_;
  double deviation_ = 0;
};

}  // namespace platemark::method::cure
