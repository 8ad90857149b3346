/// Instants and durations; ISO 8601 in and out; the zone of the plant.
#pragma once

#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

#include "platemark/quantity/result.h"

namespace platemark {

/// A moment, counted in milliseconds since 1970-01-01T00:00:00Z. A point, not a length.
class Instant {
 public:
  constexpr Instant() = default;
  static constexpr Instant fromUnixMs(std::int64_t ms) { return Instant(ms); }
  [[nodiscard]] constexpr std::int64_t unixMs() const { return ms_; }

  friend constexpr auto operator<=>(Instant, Instant) = default;
  friend constexpr bool operator==(Instant, Instant) = default;

 private:
  constexpr explicit Instant(std::int64_t ms) : ms_(ms) {}
  std::int64_t ms_ = 0;
};

/// A calendar day without a zone, e.g. a use-by date.
struct Day {
  int year = 1970;
  int month = 1;  ///< 1…12
  int day = 1;    ///< 1…31
  friend constexpr auto operator<=>(const Day&, const Day&) = default;
};

/// "2026-11-25T06:40:00Z" or with an offset "+01:00"; fraction up to ms. Years 1900…2200.
/// A local time without offset is refused (time.no_offset).
[[nodiscard]] Result<Instant> parseInstant(std::string_view text);
/// Always UTC: "2026-11-25T06:40:00Z"; ".250" only when the milliseconds are not zero.
[[nodiscard]] std::string formatInstant(Instant instant);

[[nodiscard]] Result<Day> parseDay(std::string_view text);  ///< "2026-11-25"
[[nodiscard]] std::string formatDay(const Day& day);
/// `days` later (earlier when negative).
[[nodiscard]] Day addDays(const Day& day, int days);

/// What a wall clock in `zone` (IANA name) showed.
struct LocalTime {
  int year = 1970, month = 1, day = 1, hour = 0, minute = 0, second = 0, millisecond = 0;
  friend constexpr auto operator<=>(const LocalTime&, const LocalTime&) = default;
};

/// What to do with the hour that an autumn clock change shows twice.
enum class Fold { refuse, earlier, later };

/// Errors: time.zone_unknown; time.skipped (the spring gap: no such moment);
/// time.twice (the autumn hour, with Fold::refuse).
[[nodiscard]] Result<Instant> instantOf(const LocalTime& local, std::string_view zone, Fold fold);
[[nodiscard]] Result<LocalTime> localTime(Instant instant, std::string_view zone);
/// "2026-11-25 07:40" in `zone`; UTC with a Z when the zone is unknown.
[[nodiscard]] std::string formatLocal(Instant instant, std::string_view zone, bool seconds = false);
/// The calendar day in `zone`; in UTC when the zone is unknown.
[[nodiscard]] Day dayIn(Instant instant, std::string_view zone);

}  // namespace platemark
