/// Checks that hold for every series of readings.
#pragma once

#include <string>

#include "platemark/method/cure/recording.h"
#include "platemark/quantity/result.h"

namespace platemark::method::cure {

/// Within some three centuries of 1970, so that differences cannot overflow.
[[nodiscard]] constexpr bool isMoment(std::int64_t ms) {
  constexpr std::int64_t three_centuries_ms = 10'000'000'000'000;
  return ms >= -three_centuries_ms && ms <= three_centuries_ms;
}

/// Errors: cure.lengths_differ, cure.clock_backwards, cure.time_range.
[[nodiscard]] Result<void> checkSeries(const Series& series, const std::string& name);

}  // namespace platemark::method::cure
