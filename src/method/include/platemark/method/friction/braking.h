/// Brakings found in the recording of a friction machine or dynamometer, and µ of each.
///
/// Formula      µ = M/(2·A·r·η·(p − p0));  over time µ̄ = Σµ/n;  over distance µ̄ = Σµ·v/Σv;
///              rise = mean µ of the last third of the braking's time − that of the first third
/// Symbols      M torque, N·m; p pressure, p0 threshold pressure, kPa; v speed of the friction face
///              at the effective radius r, m/s; A area of all pistons of one side; η efficiency,
///              above 0 and at most 1; n samples taken. A braking begins with the sample at which
///              the pressure reaches `on` and ends before the one at which it falls below `off`.
/// Valid        1 to 1,000 samples a second at an even rate. A braking's first `settle` is left out
///              of µ: the pressure is still building. What is shorter than `shortest` is counted
///              and not evaluated. A braking cut off by the end of the recording is left out and
///              said. Values while no brake is on are not looked at, but for the pressure.
/// Uncertainty  of µ: (u(M)/M)² + (u(p)/(p − p0))² + (u(r)/r)² + (u(A)/A)², the last two common to
///              all brakings of a set-up
/// Source       µ from torque of a disc brake: remembered, not verified; on and off, thirds and
///              means over time and distance: definitions of this project
/// Errors       braking.rate, braking.rule, braking.geometry, braking.not_finite
/// Pure: fed with samples in order, it keeps the braking that is on and what was found, no more.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::friction {

inline constexpr int braking_version = 1;

/// One instant of the recording.
struct FrictionSample {
  float torque_nm;
  float pressure_kpa;
  float speed_m_s;
  float temperature_c;
};

struct BrakeGeometry {
  Area pistons;  ///< of one side
  Length effective_radius;
  Pressure threshold;
  double efficiency = 1;
};

struct BrakingRule {
  Pressure on;
  Pressure off;       ///< above 0, at most `on`
  Duration shortest;  ///< 0 or more
  Duration settle;    ///< 0 or more, below `shortest` unless both are 0
};

struct Braking {
  int number = 0;  ///< 1-based
  Duration begin;  ///< after the first sample
  Duration length;
  Share over_time, over_distance;
  Share lowest, highest;
  Share rise;
  std::optional<Share> after_one_second;  ///< none for a braking that was over
  Pressure mean_pressure;                 ///< of the samples of µ
  double first_speed_m_s = 0;
  double last_speed_m_s = 0;
  Length distance;  ///< of the friction face, from begin to end
  TemperaturePoint begin_temperature, highest_temperature;
};

struct Brakings {
  std::vector<Braking> brakings;
  int too_short = 0;
  bool cut_off = false;  ///< the brake was on at the end
  std::int64_t samples = 0;
};

class BrakingFinder {
 public:
  /// Errors: braking.rate, braking.rule, braking.geometry.
  [[nodiscard]] static Result<BrakingFinder> make(const BrakingRule& rule,
                                                  const BrakeGeometry& geometry,
                                                  double samples_per_second);
  /// Errors: braking.not_finite, with the sample's place in the recording; said when its braking
  /// ends.
  [[nodiscard]] Result<void> take(std::span<const FrictionSample> samples);
  [[nodiscard]] Brakings finish();

 private:
  BrakingFinder() = default;
  [[nodiscard]] Error notFinite(std::int64_t place) const;
  struct Parts;
  [[nodiscard]] Result<void> close();
  [[nodiscard]] Parts partsOf() const;
  [[nodiscard]] Braking evaluated(const Parts& parts) const;

  float on_kpa_ = 0, off_kpa_ = 0, threshold_kpa_ = 0;
  double torque_factor_ = 0;  ///< µ = torque in N·m · factor / (p − p0) in kPa
  double rate_ = 1;
  std::size_t shortest_ = 0, settle_ = 0;
  std::vector<FrictionSample> open_;  ///< the braking that is on
  std::int64_t open_at_ = 0;
  Brakings found_;
};

}  // namespace platemark::method::friction
