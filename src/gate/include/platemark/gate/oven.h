/// What an oven's sensors and survey support on the day of a cure. Pure.
#pragma once

#include <string>
#include <vector>

#include "platemark/plant/cure.h"
#include "platemark/plant/noun.h"

namespace platemark::gate {

/// Why what the channels read on this day cannot count; empty when it can. A channel without a day
/// of calibration on record says nothing, an over-temperature one is no evidence.
[[nodiscard]] std::vector<std::string> sensorDoubts(const Machine& oven, Day cured);
/// Why the survey cannot be relied on, on this day.
[[nodiscard]] std::vector<std::string> surveyDoubts(const Survey& survey, Day cured);

}  // namespace platemark::gate
