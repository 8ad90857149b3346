/// Charts for the tests: recorders with faults, from an oven stepped through time.
/// Works from readings and steps only; shares nothing with the method.
#pragma once

#include <cmath>
#include <cstdint>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include "platemark/method/cure/chart.h"

namespace oven {

namespace cure = platemark::method::cure;

inline constexpr std::int64_t evening = 1795467600000;  // some evening, ms
inline constexpr double empty = std::numeric_limits<double>::quiet_NaN();

/// What one sensor wrote.
struct Tape {
  std::string name;
  cure::ChannelRole role = cure::ChannelRole::record;
  std::vector<std::int64_t> at{};
  std::vector<double> celsius{};
  double tolerance = -1;

  /// First reading at or after a minute.
  [[nodiscard]] std::size_t row(double minute) const {
    std::size_t i = 0;
    while (i < at.size() && static_cast<double>(at[i] - at.front()) < minute * 60000) ++i;
    return i;
  }
  template <class Change>
  void change(double from, double to, Change change) {
    for (std::size_t i = row(from); i < row(to); ++i) celsius[i] = change(celsius[i]);
  }
};

inline Tape tapeOf(std::string name, cure::ChannelRole role,
                   const std::vector<std::pair<double, double>>& points) {
  Tape tape{.name = std::move(name), .role = role};
  for (const auto& [minute, celsius] : points) {
    tape.at.push_back(evening + static_cast<std::int64_t>(minute * 60000));
    tape.celsius.push_back(celsius);
  }
  return tape;
}

/// The tapes as an input; the tapes must outlive it.
inline cure::ChartInput inputOf(const std::vector<Tape>& tapes) {
  cure::ChartInput input;
  for (const Tape& tape : tapes) {
    cure::Channel channel{.name = tape.name, .role = tape.role, .series = {tape.at, tape.celsius}};
    if (tape.tolerance >= 0) channel.tolerance_k = tape.tolerance;
    input.channels.push_back(channel);
  }
  input.programme = {.start_celsius = 25,
                     .segments = {{.target_celsius = 180,
                                   .below_k = 10,
                                   .above_k = 10,
                                   .ramp_k_per_min = 1.5,
                                   .soak_minutes = 120}}};
  input.limits.soak_celsius = 180;
  input.limits.below_k = 5;
  input.limits.soak_minutes = 90;
  input.limits.bridge_minutes = 10;
  return input;
}

/// An oven that climbs 1.5 K/min to 180 °C, holds for `hold` minutes and cools;
/// two air sensors and one in the load, which follows in small steps.
inline std::vector<Tape> bake(double step_s = 10, double hold = 150, unsigned seed = 1,
                              double noise = 0.15) {
  std::mt19937 random(seed);
  std::normal_distribution<double> scatter(0, noise);
  std::vector<Tape> tapes{{.name = "air 1", .role = cure::ChannelRole::record},
                          {.name = "air 2", .role = cure::ChannelRole::record},
                          {.name = "core", .role = cure::ChannelRole::load}};
  double air = 25, core = 25;
  const double step_min = step_s / 60;
  for (double minute = 0; minute < 104 + hold + 80; minute += step_min) {
    const double pull = minute < 104 + hold ? 1.5 : -1.8;
    air = std::min(180.0, air + pull * step_min);
    core += (air - core) * step_min / 14;
    const double truth[] = {air + 0.8, air - 0.7, core};
    for (std::size_t c = 0; c < 3; ++c) {
      tapes[c].at.push_back(evening + static_cast<std::int64_t>(std::llround(minute * 60000)));
      tapes[c].celsius.push_back(std::round((truth[c] + scatter(random)) * 10) / 10);
    }
  }
  return tapes;
}

inline const cure::ChartFault* find(const cure::ChartReading& reading, cure::FaultKind kind) {
  for (const auto& fault : reading.faults)
    if (fault.kind == kind) return &fault;
  return nullptr;
}

inline double minuteOf(std::int64_t ms) { return static_cast<double>(ms - evening) / 60000; }

}  // namespace oven
