/// Reading a cure chart: method cure.chart, version 1.
///
/// T is linear between neighbouring usable readings at most `bridge_minutes`
/// apart; further apart nothing is known between them. A crossing of T* lies at
///     t = t_i + (T* - T_i)/(T_{i+1} - T_i) (t_{i+1} - t_i).
///
/// soak start   when the coldest evidence channel reaches set point - tolerance
/// soak end     when any evidence channel falls below set point - tolerance
/// soak         reset: the longest unbroken stretch; sum: all stretches together
/// overshoot    max(T - set point) over evidence channels, from the first entry
///              of any of them into the band to the soak end
/// ramp, chord  (T2 - T1)/(t2 - t1): t2 first crossing of T2, t1 last of T1 before
/// ramp, fit    least-squares slope of T at the whole minutes between t1 and t2
/// ramp, fastest  largest rise over a sliding window of stated length
///
/// Readings from a stuck sensor or from a jump until its return count as empty.
/// What cannot be known is bounded and marked undetermined; it is never a pass.
/// Source: definitions of this project after trade practice in oven pyrometry
/// (the clock starts when the part, not the air, is at temperature).
/// Pure; times enter only as differences. O(n log n) in the readings.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "platemark/method/cure/fault.h"
#include "platemark/method/cure/programme.h"
#include "platemark/method/cure/recording.h"
#include "platemark/quantity/result.h"

namespace platemark::method::cure {

/// What a dip below the band does to the soak clock.
enum class SoakPolicy { reset, sum };
/// Which channels must be in the band. Over-temperature channels never count.
enum class Evidence { control_record_and_load, record_and_load, load_only };

/// From the process card; none has a default that would pass for a plant's own.
struct Limits {
  double soak_celsius = 0;    ///< set point
  double below_k = 0;         ///< band below the set point, >= 0
  double soak_minutes = 0;    ///< wanted
  double bridge_minutes = 0;  ///< longest gap over which T is taken as linear, > 0
  std::optional<double> heating_k_per_min{};
  std::optional<double> overshoot_k{};
  std::optional<double> difference_k{};       ///< between evidence channels in the soak
  std::optional<double> load_in_celsius{};    ///< air at load in, at most
  std::optional<double> minimum_minutes{};    ///< load in to door open
  std::optional<double> door_open_celsius{};  ///< hottest evidence channel, at most
};

/// How figures are defined; printed with them.
struct Rules {
  SoakPolicy policy = SoakPolicy::reset;          ///< the stricter of the two
  Evidence evidence = Evidence::record_and_load;  ///< the control sensor proves only itself
  double chord_from_celsius = 60;                 ///< above the slow start of a cold load
  double chord_to_celsius = 140;   ///< below the bend into a soak at 150 °C and more
  double rate_window_minutes = 5;  ///< long against noise, short against a ramp
};

/// When a reading is not believed. Each default with its reason.
struct Screening {
  double plausible_from_celsius = -50;  ///< colder than any yard in winter
  double plausible_to_celsius = 500;    ///< no cure oven goes there; open circuits read higher
  double gap_steps = 3;        ///< a gap is named from three usual steps: one lost reading is none
  double jump_least_k = 5;     ///< noise and rounding stay below
  double air_k_per_min = 60;   ///< air at an opening door; faster is not air
  double load_k_per_min = 20;  ///< steel and pad in air; faster is not the load
  double stuck_air_minutes = 10;   ///< moving air never stands still so long
  double stuck_load_minutes = 25;  ///< the core of a stack lags behind the air
  double stuck_witness_k = 8;      ///< so far must another channel or the programme have moved
  double parted_k = 15;            ///< like channels of one oven stay closer even on a ramp
  double parted_minutes = 5;       ///< a draught passes sooner
};

struct ChartInput {
  std::vector<Channel> channels{};
  Programme programme{};
  Limits limits{};
  Rules rules{};
  Screening screening{};
  std::optional<std::int64_t> load_in_ms{};    ///< without it: the first reading
  std::optional<std::int64_t> door_open_ms{};  ///< without it the door figures stay undetermined
};

/// A number with what it is worth.
struct Figure {
  std::optional<double> value{};  ///< when undetermined: what the usable evidence shows
  bool determined = false;
  std::string reason{};              ///< why not determined
  std::optional<double> at_least{};  ///< bounds, where some are known
  std::optional<double> at_most{};
  /// The furthest the value moves when every sensor is off by its tolerance in the
  /// worst direction; a half-width, not a standard uncertainty.
  std::optional<double> sensor_contribution{};

  friend bool operator==(const Figure&, const Figure&) = default;
};

struct ChannelFigures {
  std::string name{};
  ChannelRole role = ChannelRole::record;
  bool evidence = false;
  Figure peak_celsius{};
  Figure peak_minute{};             ///< since load in
  Figure ramp_chord_k_per_min{};    ///< between Rules::chord_from and chord_to
  Figure ramp_fit_k_per_min{};      ///< between the same crossings
  Figure ramp_fastest_k_per_min{};  ///< over Rules::rate_window_minutes
  double noise_k = 0;       ///< learned: scatter of neighbours about a straight line, at most 2 K
  double resolution_k = 0;  ///< learned: smallest change that occurs
};

struct ChartReading {
  std::int64_t load_in_ms = 0;
  bool load_in_given = false;  ///< false: taken from the first reading
  Rules rules{};               ///< as applied
  Figure soak_start_minute{};  ///< since load in
  Figure soak_end_minute{};
  Figure soak_minutes{};  ///< by Rules::policy
  Figure overshoot_k{};
  Figure difference_k{};  ///< largest between evidence channels in the soak
  Figure longest_gap_in_soak_minutes{};
  Figure air_at_load_in_celsius{};         ///< hottest air channel
  Figure minutes_in_oven{};                ///< load in to door open
  Figure door_open_celsius{};              ///< hottest evidence channel
  std::vector<ChannelFigures> channels{};  ///< in the order of the input
  std::vector<ChartFault> faults{};        ///< by time, then kind, then channel
};

/// Errors: cure.no_channels, cure.no_evidence, cure.no_readings, cure.channel_twice,
/// cure.lengths_differ, cure.clock_backwards (column: channel, line: 1-based reading),
/// cure.load_in_outside, cure.door_open_outside, cure.limits_range, cure.rules_range,
/// cure.screening_range, cure.tolerance_range, cure.time_range, cure.programme_*.
[[nodiscard]] Result<ChartReading> readChart(const ChartInput& input);

}  // namespace platemark::method::cure
