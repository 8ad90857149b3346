/// What a press made and how long it stood: rows by hand, and what no order or station may change.
#include "platemark/method/forming/press_log.h"

#include <algorithm>
#include <sstream>

#include "support/cases.h"

namespace platemark::test {
namespace {

using method::LoggedRun;
using method::pressLog;

/// "A 0 60 30 90 20" in minutes, strokes, pads and seconds of one stroke; "-" where it is not
/// known.
std::vector<LoggedRun> runsIn(const std::string& text) {
  std::vector<LoggedRun> runs;
  std::istringstream all(text);
  for (std::string one; std::getline(all, one, ';');) {
    std::istringstream in(one);
    LoggedRun run;
    std::string press_s;
    in >> run.station >> run.start_s >> run.end_s >> run.strokes >> run.pads >> press_s;
    run.start_s *= 60;
    run.end_s *= 60;
    if (press_s != "-") run.press_time = Duration::of(std::stod(press_s), unit::second);
    runs.push_back(run);
  }
  return runs;
}

}  // namespace

TEST_CASE("press log: rows worked by hand") {
  eachCase("method/cases/press_log.csv", [](const Case& row) {
    std::vector<LoggedRun> runs = runsIn(row.text("runs"));
    std::reverse(runs.begin(), runs.end());  // the order in which they are told says nothing
    const auto log = pressLog(runs);
    REQUIRE(bool(log));
    CHECK(log->stretch.in(unit::second) / 60 == doctest::Approx(row.number("stretch_min")));
    CHECK(log->running.in(unit::second) / 60 == doctest::Approx(row.number("running_min")));
    CHECK(log->both.in(unit::second) / 60 == doctest::Approx(row.number("both_min")));
    CHECK(log->strokes_per_hour == doctest::Approx(row.number("strokes_per_hour")));
    CHECK(log->pads_per_hour == doctest::Approx(row.number("pads_per_hour")));
    CHECK(log->stands.in(unit::one) == doctest::Approx(row.number("stands")));
    const std::string waits = row.text("waits");
    REQUIRE(log->waits.has_value() == !waits.empty());
    if (log->waits) CHECK(log->waits->in(unit::one) == doctest::Approx(std::stod(waits)));
  });
}

TEST_CASE("press log: what cannot be is an error") {
  const auto code = [](const std::string& runs) {
    const auto log = pressLog(runsIn(runs));
    REQUIRE_FALSE(bool(log));
    return log.error().code;
  };
  CHECK(pressLog({}).error().code == "press_log.none");
  CHECK(code("A 10 10 5 5 -") == "press_log.times");
  CHECK(code("A 10 9 5 5 -") == "press_log.times");
  CHECK(code("A 0 10 0 5 -") == "press_log.strokes");
  CHECK(code("A 0 10 5 -1 -") == "press_log.pads");
  CHECK(code("A 0 10 5 5 0") == "press_log.press_time");
  CHECK(code("A 0 10 10 5 60.1") == "press_log.press_time");
  CHECK(bool(pressLog(runsIn("A 0 10 10 5 60"))));
  // One press closes on one station at a time.
  CHECK(code("A 0 10 10 5 40;B 0 10 10 5 40") == "press_log.press_time");
}

}  // namespace platemark::test
