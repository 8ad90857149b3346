/// What is wrong with, or worth marking on, a cure chart.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace platemark::method::cure {

enum class FaultKind {
  gap,             ///< no readings; figure: minutes; usable when short enough to bridge
  implausible,     ///< readings outside the plausible range; count; not used
  duplicate_time,  ///< several readings for one moment; count; differing ones are not used
  jump,            ///< a step faster than heat moves; figure: K; not used until it is back
  stuck,          ///< stood still while it should have moved; figure: minutes, level: °C; not used
  parted,         ///< two like channels part, either may be wrong; figure: K, other: the second
  apart_in_soak,  ///< evidence channels further apart in the soak than allowed; figure: K
  interrupted,    ///< out of the soak band between two stretches of 5 min or more in it; figure: K
                  ///< below
  heated_too_fast,  ///< sliding rate above the limit; figure: K/min
  overshot,         ///< above the set point by more than allowed; figure: K
  outside_window,   ///< outside the programme window; figure: K beyond it
  put_in_hot,       ///< the oven was still hot when the load went in; figure: °C
  opened_hot,       ///< the door was opened too hot; figure: °C
  short_time,       ///< less time in the oven than asked; figure: minutes
  truncated  ///< the recording ends before the soak is known to be over; figure: minutes of soak
};
[[nodiscard]] std::string_view faultName(
    FaultKind kind);  ///< "heated_too_fast": stable, for programs

struct ChartFault {
  FaultKind kind = FaultKind::gap;
  std::string channel{};  ///< empty when it concerns the whole recording
  std::string other{};    ///< the second channel of a pair
  std::int64_t from_ms = 0;
  std::int64_t to_ms = 0;
  std::optional<double> figure{};
  std::string_view unit{};        ///< UCUM code of figure and limit
  std::optional<double> limit{};  ///< what it was held against
  std::optional<double> level{};  ///< °C at which a channel stood, or before a jump
  std::size_t count = 0;          ///< readings concerned
  bool usable = true;             ///< may the channel's evidence in this stretch be used?
  bool in_soak = false;           ///< overlaps what is, or may be, the soak

  friend bool operator==(const ChartFault&, const ChartFault&) = default;
};

/// One short English sentence with the figures, without clock times.
[[nodiscard]] std::string sentence(const ChartFault& fault);

}  // namespace platemark::method::cure
