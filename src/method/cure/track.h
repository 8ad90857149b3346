/// One channel's readings as a line through points.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "stretch.h"

namespace platemark::method::cure {

/// Finite readings at strictly increasing times, in ms since the load went in.
struct Track {
  std::vector<double> at;
  std::vector<double> celsius;

  [[nodiscard]] std::size_t size() const { return at.size(); }
  [[nodiscard]] bool empty() const { return at.empty(); }
  void add(double t, double c) {
    at.push_back(t);
    celsius.push_back(c);
  }
};

/// A run of readings, both ends included.
struct Run {
  std::size_t first;
  std::size_t last;
};

/// Where neighbours are at most `bridge` apart.
[[nodiscard]] Stretches knownOf(const Track& track, double bridge);
/// Where the line is at or above `threshold`, within what is known.
[[nodiscard]] Stretches aboveOf(const Track& track, double threshold, double bridge);
/// The readings outside `stretches`.
[[nodiscard]] Track without(const Track& track, const Stretches& stretches);
/// The readings in `within`, with its two ends interpolated where they are known.
[[nodiscard]] Track clipped(const Track& track, Stretch within, double bridge);
/// Unbroken runs of readings.
[[nodiscard]] std::vector<Run> blocksOf(const Track& track, double bridge);

/// When the line through readings i and i+1 is at `celsius`.
[[nodiscard]] double crossing(const Track& track, std::size_t i, double celsius);

/// Reads a track at times that never decrease; O(1) each, amortised.
class Reader {
 public:
  Reader(const Track& track, double bridge) : track_(track), bridge_(bridge) {}
  /// Nothing outside the readings and in a gap longer than the bridge.
  [[nodiscard]] std::optional<double> at(double t);

 private:
  const Track& track_;
  double bridge_;
  std::size_t next_ = 0;  // first reading not before the last time asked for
};

/// Median step in ms; 0 below two readings.
[[nodiscard]] double usualStep(const Track& track);
/// Scatter about a straight line through neighbours: 1.4826 median|second difference|/sqrt(6), at
/// most 2 K.
[[nodiscard]] double noiseOf(const Track& track);
/// Smallest change between neighbours that occurs; 0 when nothing changes.
[[nodiscard]] double resolutionOf(const Track& track);

}  // namespace platemark::method::cure
