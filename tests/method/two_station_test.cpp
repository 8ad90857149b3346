/// The rhythm of a press with two stations, against a walk through its events.
#include "platemark/method/forming/two_station.h"

#include <array>
#include <deque>
#include <set>

#include "support/catalogue_cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method;
using platemark::test::near;

namespace {

/// Whole ticks, so that the walk adds without rounding.
struct Ticks {
  long press, change_over, load;
  int crews;
};

/// One press, two stations, one or two crews, told tick by tick: who is busy with what, until when.
class Floor {
 public:
  explicit Floor(Ticks ticks) : ticks_(ticks) { waiting_for_crew_ = {0, 1}; }

  /// The tick at which a number of strokes have ended.
  long walkTo(long strokes) {
    while (strokes_ < strokes) {
      letPeopleAndPressBegin();
      step();
    }
    return now_;
  }
  [[nodiscard]] long pressBusy() const { return press_busy_; }
  [[nodiscard]] long crewBusy() const { return crew_busy_; }

 private:
  enum class Press { free, closed, moving };

  void letPeopleAndPressBegin() {
    for (int crew = 0; crew < ticks_.crews; ++crew) takeStation(crew);
    if (press_ == Press::free && loaded_.contains(under_press_)) {
      loaded_.erase(under_press_);
      press_ = Press::closed;
      press_left_ = ticks_.press;
    }
  }
  void takeStation(int crew) {
    if (crew_left_[crew] > 0) return;
    const auto next =
        std::find_if(waiting_for_crew_.begin(), waiting_for_crew_.end(),
                     [&](int station) { return ticks_.crews == 1 || station == crew; });
    if (next == waiting_for_crew_.end()) return;
    crew_at_[crew] = *next;
    crew_left_[crew] = ticks_.load;
    waiting_for_crew_.erase(next);
  }
  void step() {
    ++now_;
    if (press_ != Press::free) {
      ++press_busy_;
      if (--press_left_ == 0) pressDone();
    }
    for (int crew = 0; crew < ticks_.crews; ++crew) {
      if (crew_left_[crew] == 0) continue;
      ++crew_busy_;
      if (--crew_left_[crew] == 0) loaded_.insert(crew_at_[crew]);
    }
  }
  void pressDone() {
    if (press_ == Press::closed) {
      ++strokes_;
      waiting_for_crew_.push_back(under_press_);
      press_ = Press::moving;
      press_left_ = ticks_.change_over;
      if (press_left_ > 0) return;
    }
    under_press_ = 1 - under_press_;
    press_ = Press::free;
  }

  Ticks ticks_;
  std::deque<int> waiting_for_crew_;
  std::set<int> loaded_;
  std::array<int, 2> crew_at_{};
  std::array<long, 2> crew_left_{};
  Press press_ = Press::free;
  int under_press_ = 0;
  long press_left_ = 0, now_ = 0, strokes_ = 0, press_busy_ = 0, crew_busy_ = 0;
};

Result<StrokeRhythm> rhythmOf(Ticks ticks, int pads = 4) {
  const auto seconds = [](long t) { return Duration::of(static_cast<double>(t), unit::second); };
  return twoStationRhythm({seconds(ticks.press), seconds(ticks.change_over), seconds(ticks.load),
                           pads, ticks.crews == 1 ? Crews::one : Crews::two});
}

double strokeOf(Ticks ticks) { return rhythmOf(ticks)->stroke.in(unit::second); }

void checkAgainstWalk(Ticks ticks) {
  INFO(ticks.press << " + " << ticks.change_over << ", " << ticks.load << ", " << ticks.crews);
  constexpr long settled = 100, watched = 60;  // even: with two crews the stations differ
  Floor floor(ticks);
  const long from = floor.walkTo(settled), press = floor.pressBusy(), crew = floor.crewBusy();
  const double passed = static_cast<double>(floor.walkTo(settled + watched) - from);
  const auto rhythm = rhythmOf(ticks);
  REQUIRE(bool(rhythm));
  CHECK(near(rhythm->stroke.in(unit::second), passed / watched));
  const double press_waits = 1 - static_cast<double>(floor.pressBusy() - press) / passed;
  const double crew_waits =
      1 - static_cast<double>(floor.crewBusy() - crew) / (passed * ticks.crews);
  CHECK(std::abs(rhythm->press_waits.in(unit::one)-press_waits) < 1e-12);
  CHECK(std::abs(rhythm->crew_waits.in(unit::one)-crew_waits) < 1e-12);
  CHECK((rhythm->waits == Waits::press_for_crew) == (press_waits > 1e-12));
}

}  // namespace

TEST_CASE("Rhythms of a press with two stations agree with the examples") {
  test::checkCases("method/cases/two_station.csv");
}

TEST_CASE("The rhythm is that of a walk through the events of press and crews") {
  for (int crews : {1, 2})
    for (long press = 1; press <= 12; ++press)
      for (long change_over : {0L, 1L, 2L, 5L})
        for (long load = 1; load <= 24; ++load) checkAgainstWalk({press, change_over, load, crews});
}

TEST_CASE("Two stations do no worse than one, and no better than two presses with one crew") {
  test::holds("limits of the worker-machine chart", [] {
    const Ticks ticks{*rc::gen::inRange<long>(1, 600), *rc::gen::inRange<long>(0, 60),
                      *rc::gen::inRange<long>(1, 600), 1};
    const double press = static_cast<double>(ticks.press), load = static_cast<double>(ticks.load);
    const double two_presses = std::max((press + load) / 2, load);
    const double one_station = press + static_cast<double>(ticks.change_over) + load;
    RC_ASSERT(strokeOf(ticks) >= two_presses - 1e-9);
    RC_ASSERT(strokeOf(ticks) <= one_station + 1e-9);
    Ticks helped = ticks;
    helped.crews = 2;
    RC_ASSERT(strokeOf(helped) <= strokeOf(ticks) + 1e-9);
  });
}

TEST_CASE("One crew: what is longer sets the pace, and nobody waits where both are equal") {
  CHECK(rhythmOf({20, 4, 24, 1})->waits == Waits::nobody);
  CHECK(rhythmOf({20, 4, 25, 1})->waits == Waits::press_for_crew);
  CHECK(rhythmOf({20, 4, 23, 1})->waits == Waits::crew_for_press);
  // Two crews of which each also stands while its own station is pressed.
  CHECK(rhythmOf({20, 4, 28, 2})->waits == Waits::nobody);
  CHECK(rhythmOf({20, 4, 29, 2})->waits == Waits::press_for_crew);
  CHECK(rhythmOf({20, 4, 40, 2})->crew_waits.in(unit::one) > 0.3);
  // 0.1 + 0.2 s is not 0.3 s in binary; nobody waits all the same.
  const auto tenths = [](double s) { return Duration::of(s, unit::second); };
  const auto equal = twoStationRhythm({tenths(0.1), tenths(0.2), tenths(0.3), 1, Crews::one});
  CHECK(equal->waits == Waits::nobody);
}

TEST_CASE("Times and pads that cannot be are refused with their name") {
  const auto refused = [](Ticks ticks, int pads = 4) {
    const auto rhythm = rhythmOf(ticks, pads);
    return rhythm ? std::string() : rhythm.error().code + " " + rhythm.error().where.field;
  };
  CHECK(refused({0, 4, 24, 1}) == "two_station.press_time press_time");
  CHECK(refused({20, -1, 24, 1}) == "two_station.change_over change_over");
  CHECK(refused({20, 4, 0, 1}) == "two_station.load_time load_time");
  CHECK(refused({20, 4, 24, 1}, 0) == "two_station.pads pads");
  CHECK(refused({20, 0, 24, 1}).empty());
}
