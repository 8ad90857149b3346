#include "platemark/method/forming/two_station.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "../bad_input.h"

namespace platemark::method {
namespace {

/// Sums of binary numbers: times that differ by less stand for equal ones.
constexpr double equal_within = 1e-12;

Result<void> checkTime(Duration time, double least, bool or_equal, const char* code,
                       const char* field, const char* what) {
  const double s = time.in(unit::second);
  if (std::isfinite(s) && (s > least || (or_equal && s == least))) return {};
  return badInput(code, field, fmt::format("{} is {:g} s.", what, s),
                  or_equal ? "0 s or more" : "above 0 s");
}

Result<void> checkTimes(const StationTimes& times) {
  if (Result<void> p = checkTime(times.press, 0, false, "two_station.press_time", "press_time",
                                 "The press time");
      !p)
    return p;
  if (Result<void> c = checkTime(times.change_over, 0, true, "two_station.change_over",
                                 "change_over", "The change-over");
      !c)
    return c;
  if (Result<void> l = checkTime(times.load, 0, false, "two_station.load_time", "load_time",
                                 "The time to unload and load");
      !l)
    return l;
  if (times.pads >= 1) return {};
  return badInput("two_station.pads", "pads", fmt::format("{} pads per stroke.", times.pads),
                  "1 or more");
}

Waits whoWaits(double press, double crew) {
  if (std::abs(press - crew) <= equal_within * std::max(press, crew)) return Waits::nobody;
  return crew > press ? Waits::press_for_crew : Waits::crew_for_press;
}

/// Shares near 0 may come out a rounding below it.
Share waiting(double busy, double of) { return Share::of(std::max(0.0, 1 - busy / of), unit::one); }

}  // namespace

Result<StrokeRhythm> twoStationRhythm(const StationTimes& times) {
  if (Result<void> checked = checkTimes(times); !checked) return checked.error();
  const double p = times.press.in(unit::second), load = times.load.in(unit::second);
  const double by_press = p + times.change_over.in(unit::second);
  const double crews = times.crews == Crews::one ? 1 : 2;
  const double by_crew = times.crews == Crews::one ? load : (p + load) / 2;
  const double stroke = std::max(by_press, by_crew);
  return StrokeRhythm{Duration::of(stroke, unit::second), times.pads * 3600 / stroke,
                      waiting(by_press, stroke), waiting(load, crews * stroke),
                      whoWaits(by_press, by_crew)};
}

}  // namespace platemark::method
