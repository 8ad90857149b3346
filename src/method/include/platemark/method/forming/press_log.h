/// What a press made in a stretch of time, and how long it stood, by the times of its own runs.
///
/// Formula      τ = max(end) − min(start);  R = length of the union of all runs;
///              B = time in which runs of two stations or more go on at once;
///              strokes per hour of running time Σk/R;  pads per hour of all time Σn/τ;
///              stands 1 − R/τ;  waits while running 1 − Σ(k·p)/R
/// Symbols      start, end of each run, s, end after start; k its strokes, 1 or more; p press time
///              of one of its strokes, from closing until the press is open again, s, above 0; n
///              good pads, 0 or more; τ the stretch, R running time, B time of both stations, s
/// Valid        a press closes on one station at a time: Σ(k·p) is not above R. It waits while its
///              runs go on when nobody has loaded the other station in time; it stands when no run
///              is on record. The waiting is known only when every run gives its press time.
/// Uncertainty  not propagated; that of the clock that gave the times
/// Source       counting of this project: intervals and their union
/// Errors       press_log.none, press_log.times, press_log.strokes, press_log.pads,
///              press_log.press_time
/// Pure.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method {

inline constexpr int press_log_version = 1;

struct LoggedRun {
  std::string station;  ///< "" on a press that has none
  double start_s = 0;   ///< on any common clock
  double end_s = 0;
  int strokes = 0;
  int pads = 0;
  std::optional<Duration> press_time;
};

struct PressLog {
  Duration stretch;
  Duration running;
  Duration both;
  int strokes = 0;
  int pads = 0;
  double strokes_per_hour = 0;  ///< of running time
  double pads_per_hour = 0;     ///< of the stretch
  Share stands;                 ///< of the stretch
  std::optional<Share> waits;   ///< of the running time
};

[[nodiscard]] Result<PressLog> pressLog(const std::vector<LoggedRun>& runs);

}  // namespace platemark::method
