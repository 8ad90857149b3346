/// Checks that hold for every series of readings.
#pragma once

#include <string>

#include "platemark/method/cure/recording.h"
#include "platemark/quantity/result.h"

namespace platemark::method::cure {

/// Errors: cure.lengths_differ, cure.clock_backwards.
[[nodiscard]] Result<void> checkSeries(const Series& series, const std::string& name);

}  // namespace platemark::method::cure
