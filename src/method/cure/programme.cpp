#include "platemark/method/cure/programme.h"

#include <cmath>
#include <string>

#include "wrong_input.h"

namespace platemark::method::cure {
namespace {

Error wrongSegment(std::size_t index, std::string code, std::string what, std::string expected) {
  return wrongInput(std::move(code), std::move(what), "segments[" + std::to_string(index) + "]",
                    std::move(expected), "correct the oven programme");
}

bool notNegative(double value) { return std::isfinite(value) && value >= 0; }

bool hasOneRamp(const Segment& segment) {
  if (segment.ramp_k_per_min.has_value() == segment.ramp_minutes.has_value()) return false;
  if (segment.ramp_minutes) return notNegative(*segment.ramp_minutes);
  return std::isfinite(*segment.ramp_k_per_min) && *segment.ramp_k_per_min > 0;
}

bool isInRange(const Segment& segment) {
  return std::isfinite(segment.target_celsius) && notNegative(segment.below_k) &&
         notNegative(segment.above_k) && notNegative(segment.soak_minutes);
}

double rampMinutes(const Segment& segment, double from_celsius) {
  if (segment.ramp_minutes) return *segment.ramp_minutes;
  return std::abs(segment.target_celsius - from_celsius) / *segment.ramp_k_per_min;
}

Bounds boundsOf(const Segment& segment) {
  return {segment.target_celsius - segment.below_k, segment.target_celsius,
          segment.target_celsius + segment.above_k};
}

Bounds between(const Bounds& a, const Bounds& b, double share) {
  const auto mix = [share](double x, double y) { return x + (y - x) * share; };
  return {mix(a.lower_celsius, b.lower_celsius), mix(a.target_celsius, b.target_celsius),
          mix(a.upper_celsius, b.upper_celsius)};
}

Bounds boundsAtStart(const Programme& programme) {
  Segment start = programme.segments.front();
  start.target_celsius = programme.start_celsius;
  return boundsOf(start);
}

}  // namespace

Result<void> checkProgramme(const Programme& programme) {
  if (programme.segments.empty())
    return wrongSegment(0, "cure.programme_empty", "the programme has no segment",
                        "at least one segment with a target");
  if (!std::isfinite(programme.start_celsius))
    return wrongSegment(0, "cure.programme_range", "the start temperature is not a number",
                        "a temperature");
  for (std::size_t i = 0; i < programme.segments.size(); ++i) {
    if (!hasOneRamp(programme.segments[i]))
      return wrongSegment(i, "cure.programme_ramp", "the ramp is missing, doubled or not positive",
                          "either a rate above 0 K/min or a duration in minutes");
    if (!isInRange(programme.segments[i]))
      return wrongSegment(i, "cure.programme_range", "a value is negative or not a number",
                          "tolerances and soak minutes of 0 or more");
  }
  return {};
}

std::optional<Bounds> windowAt(const Programme& programme, double minutes) {
  if (!(minutes >= 0)) return std::nullopt;
  Bounds from = boundsAtStart(programme);
  for (const Segment& segment : programme.segments) {
    const Bounds to = boundsOf(segment);
    const double ramp = rampMinutes(segment, from.target_celsius);
    if (minutes < ramp) return between(from, to, minutes / ramp);
    minutes -= ramp;
    if (minutes <= segment.soak_minutes) return to;
    minutes -= segment.soak_minutes;
    from = to;
  }
  return std::nullopt;
}

double programmeMinutes(const Programme& programme) {
  double minutes = 0;
  double from = programme.start_celsius;
  for (const Segment& segment : programme.segments) {
    minutes += rampMinutes(segment, from) + segment.soak_minutes;
    from = segment.target_celsius;
  }
  return minutes;
}

}  // namespace platemark::method::cure
