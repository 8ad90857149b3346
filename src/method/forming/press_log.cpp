#include "platemark/method/forming/press_log.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "../bad_input.h"

namespace platemark::method {
namespace {

/// Sums of binary numbers: times that differ by less stand for equal ones.
constexpr double equal_within = 1e-9;

Result<void> checkRun(const LoggedRun& run) {
  if (!std::isfinite(run.start_s) || !std::isfinite(run.end_s) || run.end_s <= run.start_s)
    return badInput("press_log.times", "runs", "A run ends before it begins.",
                    "an end after the start");
  if (run.strokes < 1)
    return badInput("press_log.strokes", "runs", fmt::format("{} strokes.", run.strokes),
                    "1 or more");
  if (run.pads < 0)
    return badInput("press_log.pads", "runs", fmt::format("{} pads.", run.pads), "0 or more");
  if (!run.press_time) return {};
  const double p = run.press_time->in(unit::second);
  if (std::isfinite(p) && p > 0) return {};
  return badInput("press_log.press_time", "runs", fmt::format("A press time of {:g} s.", p),
                  "above 0 s");
}

/// How long at least so many stations run at once.
struct Running {
  double any = 0, both = 0;
};

/// From one start or end to the next the same stations run.
Running runningOf(const std::vector<LoggedRun>& runs) {
  std::vector<double> moments;
  for (const LoggedRun& run : runs) moments.insert(moments.end(), {run.start_s, run.end_s});
  std::sort(moments.begin(), moments.end());
  Running running;
  for (std::size_t i = 1; i < moments.size(); ++i) {
    std::map<std::string, bool> busy;
    for (const LoggedRun& run : runs)
      if (run.start_s <= moments[i - 1] && moments[i] <= run.end_s) busy[run.station] = true;
    const double length = moments[i] - moments[i - 1];
    if (!busy.empty()) running.any += length;
    if (busy.size() > 1) running.both += length;
  }
  return running;
}

Result<std::optional<Share>> waitingOf(const std::vector<LoggedRun>& runs, double running) {
  double closed = 0;
  for (const LoggedRun& run : runs) {
    if (!run.press_time) return std::optional<Share>();
    closed += run.strokes * run.press_time->in(unit::second);
  }
  if (closed > running * (1 + equal_within))
    return badInput("press_log.press_time", "runs",
                    fmt::format("The strokes take {:g} s, the runs {:g} s.", closed, running),
                    "strokes that fit into their runs");
  return std::optional<Share>(Share::of(std::max(0.0, 1 - closed / running), unit::one));
}

}  // namespace

Result<PressLog> pressLog(const std::vector<LoggedRun>& runs) {
  if (runs.empty())
    return badInput("press_log.none", "runs", "No run is on record.", "at least one run");
  PressLog log;
  double first = runs.front().start_s, last = runs.front().end_s;
  for (const LoggedRun& run : runs) {
    if (Result<void> checked = checkRun(run); !checked) return checked.error();
    first = std::min(first, run.start_s);
    last = std::max(last, run.end_s);
    log.strokes += run.strokes;
    log.pads += run.pads;
  }
  const Running running = runningOf(runs);
  const Result<std::optional<Share>> waits = waitingOf(runs, running.any);
  if (!waits) return waits.error();
  constexpr double hour_s = 3600;
  log.stretch = Duration::of(last - first, unit::second);
  log.running = Duration::of(running.any, unit::second);
  log.both = Duration::of(running.both, unit::second);
  log.strokes_per_hour = log.strokes * hour_s / running.any;
  log.pads_per_hour = log.pads * hour_s / (last - first);
  log.stands = Share::of(std::max(0.0, 1 - running.any / (last - first)), unit::one);
  log.waits = *waits;
  return log;
}

}  // namespace platemark::method
