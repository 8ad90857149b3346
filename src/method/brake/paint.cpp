#include "platemark/method/brake/paint.h"

#include <algorithm>
#include <string>

#include "../bad_input.h"

namespace platemark::method::brake {
namespace {

Result<void> checkSpots(std::span<const PaintSpot> spots) {
  if (spots.empty())
    return badInput("brake.paint_none", "thresholds", "There is no spot to read.",
                    "at least one spot");
  for (std::size_t i = 0; i < spots.size(); ++i)
    if (!(spots[i].tolerance >= TemperatureDifference{}) ||
        !(spots[i].threshold.in(scale::kelvin) > 0))
      return badInput("brake.paint_range", "tolerances[" + std::to_string(i) + "]",
                      "A threshold or its tolerance is out of range.",
                      "a temperature, and a tolerance of 0 K or more");
  return {};
}

}  // namespace

Result<PaintReading> readSpots(std::span<const PaintSpot> spots) {
  if (Result<void> sound = checkSpots(spots); !sound) return sound.error();
  PaintReading reading;
  for (const PaintSpot& spot : spots) {
    const TemperaturePoint low = spot.threshold - spot.tolerance,
                           high = spot.threshold + spot.tolerance;
    if (spot.changed && (!reading.at_least || low > *reading.at_least)) reading.at_least = low;
    if (!spot.changed && (!reading.at_most || high < *reading.at_most)) reading.at_most = high;
  }
  if (reading.at_least && reading.at_most && *reading.at_most < *reading.at_least)
    return badInput("brake.paint_contradiction", "changed",
                    "A spot changed, and another that changes far below it did not.",
                    "spots of one place that agree",
                    "Look at the spots again; they may lie at different places, or one has been "
                    "rubbed off.");
  return reading;
}

}  // namespace platemark::method::brake
