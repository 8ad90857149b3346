#include "platemark/gate/oven.h"

#include <fmt/format.h>

namespace platemark::gate {

std::vector<std::string> sensorDoubts(const Machine& oven, Day cured) {
  std::vector<std::string> doubts;
  for (const Channel& channel : oven.channels)
    if (channel.role != ChannelRole::over_temperature && channel.calibration_due &&
        *channel.calibration_due < cured)
      doubts.push_back(fmt::format("the sensor of {} in {} was due for calibration on {}",
                                   channel.name, oven.code, formatDay(*channel.calibration_due)));
  return doubts;
}

std::vector<std::string> surveyDoubts(const Survey& survey, Day cured) {
  if (cured < survey.surveyed)
    return {fmt::format("the survey of {} was made on {}, after the cure", survey.oven,
                        formatDay(survey.surveyed))};
  const Day last = addDays(survey.surveyed, static_cast<int>(survey.age_limit_days));
  if (!(last < cured)) return {};
  return {fmt::format("the survey of {} was made on {} and held until {}", survey.oven,
                      formatDay(survey.surveyed), formatDay(last))};
}

}  // namespace platemark::gate
