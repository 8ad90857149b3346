#include "platemark/quantity/time.h"

#include <doctest/doctest.h>

using namespace platemark;

TEST_CASE("Instants are read with offset and written in UTC") {
  CHECK(formatInstant(*parseInstant("2026-11-25T07:40:00+01:00")) == "2026-11-25T06:40:00Z");
  CHECK(formatInstant(*parseInstant("2026-11-25T06:40:00.250Z")) == "2026-11-25T06:40:00.250Z");
  CHECK(parseInstant("2026-11-25T07:40:00").error().code == "time.no_offset");
  CHECK_FALSE(parseInstant("2026-02-30T07:40:00Z"));
  CHECK_FALSE(parseInstant("2026-11-25T24:00:00Z"));
}

// source: IANA time zone data, Europe/Berlin; the pair 00:30Z / 01:30Z for the repeated hour of 2026-10-25
TEST_CASE("The hour that occurs twice is refused unless it is said which") {
  const LocalTime half_past_two{2026, 10, 25, 2, 30, 0, 0};
  CHECK(instantOf(half_past_two, "Europe/Berlin", Fold::refuse).error().code == "time.twice");
  CHECK(formatInstant(*instantOf(half_past_two, "Europe/Berlin", Fold::earlier)) == "2026-10-25T00:30:00Z");
  CHECK(formatInstant(*instantOf(half_past_two, "Europe/Berlin", Fold::later)) == "2026-10-25T01:30:00Z");
}

TEST_CASE("The hour that spring skips does not exist") {
  CHECK(instantOf({2026, 3, 29, 2, 30, 0, 0}, "Europe/Berlin", Fold::refuse).error().code == "time.skipped");
  CHECK(instantOf({2026, 3, 29, 2, 30, 0, 0}, "Nowhere/Town", Fold::refuse).error().code == "time.zone_unknown");
}

TEST_CASE("Local time and day follow the zone") {
  const Instant late = *parseInstant("2026-11-24T23:30:00Z");
  CHECK(formatLocal(late, "Europe/Berlin") == "2026-11-25 00:30");
  CHECK(formatDay(dayIn(late, "Europe/Berlin")) == "2026-11-25");
  CHECK(formatDay(addDays({2026, 2, 27}, 2)) == "2026-03-01");
}
