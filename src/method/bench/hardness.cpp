#include "platemark/method/bench/hardness.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <vector>

#include "../bad_input.h"
#include "platemark/method/statistics/summary.h"

namespace platemark::method::bench {
namespace {

constexpr double hardest = 130;
constexpr Length depth_of_one = Length::of(0.002, unit::millimetre);
// 0.26 mm divided by 0.002 mm must be 130 although neither is exact in binary.
constexpr double rounding = 1e-9;

constexpr RockwellBall ball(RockwellScale scale, std::string_view symbol, double millimetres,
                            double total_kgf, bool verified) {
  return {scale,
          symbol,
          Length::of(millimetres, unit::millimetre),
          Force::of(10, unit::kilogram_force),
          Force::of(total_kgf, unit::kilogram_force),
          verified};
}

constexpr std::array balls{ball(RockwellScale::r, "HRR", 12.700, 60, true),
                           ball(RockwellScale::l, "HRL", 6.350, 60, true),
                           ball(RockwellScale::m, "HRM", 6.350, 100, true),
                           ball(RockwellScale::e, "HRE", 3.175, 100, true),
                           ball(RockwellScale::k, "HRK", 3.175, 150, true),
                           ball(RockwellScale::s, "HRS", 12.700, 100, false),
                           ball(RockwellScale::v, "HRV", 12.700, 150, false),
                           ball(RockwellScale::p, "HRP", 6.350, 150, false),
                           ball(RockwellScale::h, "HRH", 3.175, 60, false)};

Result<void> checkReading(const Rockwell& reading, const Rockwell& first, std::size_t index) {
  const std::string field = fmt::format("readings[{}]", index);
  if (reading.scale != first.scale)
    return badInput(
        "hardness.mixed_scales", field,
        fmt::format("Reading {} is in {}, the first is in {}.", index + 1,
                    rockwellBall(reading.scale).symbol, rockwellBall(first.scale).symbol),
        "readings of one scale",
        "Scales cannot be converted: enter each scale as a test of its own.");
  if (!(reading.number >= 0 && reading.number <= hardest))
    return badInput("hardness.out_of_range", field,
                    fmt::format("Reading {} is {:g} {}.", index + 1, reading.number,
                                rockwellBall(reading.scale).symbol),
                    "0 to 130", "Take a softer or a harder scale, or read the instrument again.");
  return {};
}

}  // namespace

std::span<const RockwellBall> rockwellBalls() { return balls; }

const RockwellBall& rockwellBall(RockwellScale scale) {
  return balls[static_cast<std::size_t>(scale)];
}

Result<RockwellScale> rockwellScale(std::string_view symbol) {
  if (symbol.starts_with('{') && symbol.ends_with('}'))
    symbol = symbol.substr(1, symbol.size() - 2);
  for (const RockwellBall& row : balls)
    if (row.symbol == symbol) return row.scale;
  return badInput("hardness.unknown_scale", "scale",
                  fmt::format("The hardness scale '{}' is not known.", symbol.substr(0, 30)),
                  "HRR, HRL, HRM, HRE, HRK, HRS, HRV, HRP or HRH",
                  "Write the scale the instrument was set to; a number alone says nothing.");
}

Result<Rockwell> rockwellFromDepth(Length depth, RockwellScale scale) {
  const double h = depth.in(unit::millimetre);
  if (!(h >= 0))
    return badInput("hardness.depth_negative", "depth", fmt::format("The depth is {:g} mm.", h),
                    "0 to 0.26 mm", "Set the zero at the preliminary force and measure again.");
  const double number = hardest - depth / depth_of_one;
  if (number < -rounding)
    return badInput("hardness.below_scale", "depth",
                    fmt::format("A depth of {:g} mm would be {:.1f} {}: below the scale.", h,
                                number, rockwellBall(scale).symbol),
                    "0 to 0.26 mm",
                    "Take a scale with a bigger ball or a smaller force; check mm against µm.");
  return Rockwell{std::max(number, 0.0), scale};
}

Result<RockwellSummary> summariseRockwell(std::span<const Rockwell> readings) {
  if (readings.empty())
    return badInput("hardness.no_reading", "readings", "There is no hardness reading.",
                    "one reading or more", "Enter the readings.");
  std::vector<double> numbers;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (Result<void> checked = checkReading(readings[i], readings[0], i); !checked)
      return checked.error();
    numbers.push_back(readings[i].number);
  }
  const Result<statistics::Summary> summary = statistics::summary(numbers);
  if (!summary) return summary.error();
  return RockwellSummary{readings[0].scale, summary->mean, summary->min, summary->max, summary->s};
}

}  // namespace platemark::method::bench
