/// A chart made ready to be read: checked, screened, cut to the time in the oven.
#pragma once

#include <cstdint>
#include <vector>

#include "platemark/method/cure/chart.h"
#include "track.h"

namespace platemark::method::cure {

inline constexpr double ms_per_minute = 60000.0;

struct Line {
  const Channel* channel = nullptr;
  bool evidence = false;
  Track read{};          ///< plausible readings, the whole recording
  Stretches unusable{};  ///< stuck, or from a jump until its return
  Track usable{};        ///< believed readings from load in to the end
  Stretches unknown{};   ///< between load in and the end
  double noise = 0;
  double resolution = 0;

  [[nodiscard]] bool isLoad() const { return channel->role == ChannelRole::load; }
  [[nodiscard]] const std::string& name() const { return channel->name; }
};

struct Chart {
  const ChartInput* input = nullptr;
  std::int64_t load_in_ms = 0;
  double end = 0;             ///< last reading of any evidence channel, ms since load in
  double bridge = 0;          ///< ms
  std::vector<Line> lines{};  ///< by name, so that the order of the input decides nothing
  std::vector<ChartFault> faults{};

  [[nodiscard]] const Limits& limits() const { return input->limits; }
  [[nodiscard]] const Screening& screening() const { return input->screening; }
  [[nodiscard]] double bandLower() const { return limits().soak_celsius - limits().below_k; }
  [[nodiscard]] Stretch whole() const { return {0, end}; }
  [[nodiscard]] std::int64_t clock(double at) const;
  [[nodiscard]] std::vector<const Line*> evidence() const;
  [[nodiscard]] bool evidenceKnown(Stretch within) const;
  /// Adds a fault over a stretch of a channel and returns it to be filled in.
  ChartFault& mark(FaultKind kind, Stretch where, const Line* line = nullptr);
};

/// Errors as readChart.
[[nodiscard]] Result<Chart> prepare(const ChartInput& input);

}  // namespace platemark::method::cure
