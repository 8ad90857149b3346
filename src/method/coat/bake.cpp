#include "platemark/method/coat/bake.h"

#include <fmt/format.h>

#include <algorithm>

#include "../bad_input.h"

namespace platemark::method::coat {
namespace {

constexpr double coldest = -50, hottest = 500;  // °C; no coat is baked outside
constexpr double longest = 10'000;              // min

std::string fieldOf(std::size_t i, const char* member) {
  return fmt::format("readings[{}].{}", i, member);
}

Result<void> checkReading(const MetalTime& reading, std::size_t i) {
  if (!(reading.metal_celsius >= coldest && reading.metal_celsius <= hottest))
    return badInput("bake.temperature", fieldOf(i, "metal"),
                    fmt::format("A metal temperature is {:g} °C.", reading.metal_celsius),
                    "-50 to 500 °C");
  if (!(reading.minutes >= 0 && reading.minutes <= longest))
    return badInput("bake.time", fieldOf(i, "time"),
                    fmt::format("A time is {:g} min.", reading.minutes), "0 to 10 000 min");
  return {};
}

/// Hotter for longer cannot be; nor can one temperature have two times.
Result<void> checkOrder(const std::vector<MetalTime>& readings, std::size_t i) {
  const MetalTime& later = readings[i];
  for (std::size_t k = 0; k < i; ++k) {
    const MetalTime& earlier = readings[k];
    const double hotter = later.metal_celsius - earlier.metal_celsius;
    const double longer = later.minutes - earlier.minutes;
    if (hotter == 0 ? longer == 0 : hotter * longer <= 0) continue;
    return badInput(
        "bake.contradiction", fieldOf(i, "time"),
        fmt::format("{:g} min at or above {:g} °C cannot be true beside {:g} min at or "
                    "above {:g} °C.",
                    later.minutes, later.metal_celsius, earlier.minutes, earlier.metal_celsius),
        "the hotter, the shorter");
  }
  return {};
}

}  // namespace

Result<BakeTime> timeAtOrAbove(double asked_celsius, const std::vector<MetalTime>& readings) {
  if (readings.empty())
    return badInput("bake.no_readings", "readings", "No reading of the metal is given.",
                    "a metal temperature and the time at or above it");
  BakeTime time;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (Result<void> c = checkReading(readings[i], i); !c) return c.error();
    if (Result<void> c = checkOrder(readings, i); !c) return c.error();
    const auto& [celsius, minutes] = readings[i];
    if (celsius >= asked_celsius) time.at_least = std::max(time.at_least.value_or(0), minutes);
    if (celsius <= asked_celsius) time.at_most = std::min(time.at_most.value_or(longest), minutes);
  }
  return time;
}

}  // namespace platemark::method::coat
