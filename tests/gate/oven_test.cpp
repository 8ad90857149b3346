/// Sensors and surveys on the day of a cure, each at its edge.
#include "platemark/gate/oven.h"

#include <doctest/doctest.h>

namespace platemark::test {
namespace {

Day day(const std::string& text) { return *parseDay(text); }

Machine oven(ChannelRole role, const std::string& due) {
  Channel channel;
  channel.name = "upper";
  channel.role = role;
  channel.calibration_due = day(due);
  Machine machine;
  machine.code = "O-1";
  machine.machine_class = MachineClass::oven;
  machine.channels = {channel};
  return machine;
}

Survey survey() {
  Survey s;
  s.oven = "O-1";
  s.surveyed = day("2026-03-01");
  s.age_limit_days = 30;
  return s;
}

}  // namespace

TEST_CASE("a sensor counts through the day on which its calibration is due") {
  const Machine machine = oven(ChannelRole::record, "2026-03-10");
  CHECK(gate::sensorDoubts(machine, day("2026-03-10")).empty());
  const auto doubts = gate::sensorDoubts(machine, day("2026-03-11"));
  REQUIRE(doubts.size() == 1);
  CHECK(doubts.front().find("upper in O-1 was due for calibration on 2026-03-10") !=
        std::string::npos);
  CHECK(gate::sensorDoubts(oven(ChannelRole::over_temperature, "2026-03-10"), day("2026-03-11"))
            .empty());
  Machine silent = machine;
  silent.channels.front().calibration_due.reset();
  CHECK(gate::sensorDoubts(silent, day("2026-03-11")).empty());
}

TEST_CASE("a survey holds from the day it was made until its last day") {
  CHECK(gate::surveyDoubts(survey(), day("2026-03-01")).empty());
  CHECK(gate::surveyDoubts(survey(), day("2026-03-31")).empty());
  REQUIRE(gate::surveyDoubts(survey(), day("2026-04-01")).size() == 1);
  CHECK(gate::surveyDoubts(survey(), day("2026-04-01")).front().find("held until 2026-03-31") !=
        std::string::npos);
  REQUIRE(gate::surveyDoubts(survey(), day("2026-02-28")).size() == 1);
  CHECK(gate::surveyDoubts(survey(), day("2026-02-28")).front().find("after the cure") !=
        std::string::npos);
}

}  // namespace platemark::test
