#include "platemark/figure/axis.h"

#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <cmath>

#include "platemark/figure/words.h"

using namespace platemark;
using namespace platemark::figure;

namespace {

std::vector<std::string> wordsOf(const std::vector<Tick>& ticks) {
  std::vector<std::string> out;
  for (const Tick& tick : ticks) out.push_back(tick.words);
  return out;
}

using Words = std::vector<std::string>;

}  // namespace

TEST_CASE("ticks say what a person would write") {
  CHECK(wordsOf(niceTicks(0, 200, 4)) == Words{"0", "50", "100", "150", "200"});
  CHECK(wordsOf(niceTicks(0, 1, 5)) == Words{"0.0", "0.2", "0.4", "0.6", "0.8", "1.0"});
  CHECK(wordsOf(niceTicks(-0.02, 0.02, 4)) ==
        Words{"\u22120.02", "\u22120.01", "0.00", "0.01", "0.02"});
  CHECK(niceTicks(1, 1).empty());
  CHECK(niceTicks(2, 1).empty());
  CHECK(niceTicks(0, INFINITY).empty());
  CHECK(niceTicks(0, NAN).empty());
  CHECK(niceTicks(0, 1, 0).empty());
}

TEST_CASE("any axis gets evenly spaced ticks on 1, 2 or 5 times a power of ten, inside it") {
  const bool holds = rc::check([] {
    const double low = *rc::gen::inRange(-100000, 100000) / 1000.0;
    const double length = *rc::gen::inRange(1, 1000000) / 1000.0;
    const int most = *rc::gen::inRange(2, 12);
    const auto ticks = niceTicks(low, low + length, most);
    RC_ASSERT(!ticks.empty() || most < 3);
    RC_ASSERT(ticks.size() <= static_cast<std::size_t>(most) + 1);
    const double slack = 1e-9 * (std::abs(low) + length);
    for (const Tick& tick : ticks) {
      RC_ASSERT(tick.value >= low - slack);
      RC_ASSERT(tick.value <= low + length + slack);
    }
    if (ticks.size() < 2) return;
    const double step = ticks[1].value - ticks[0].value;
    const double lead = step / std::pow(10.0, std::floor(std::log10(step) + 1e-6));
    const bool nice =
        std::abs(lead - 1) < 1e-4 || std::abs(lead - 2) < 1e-4 || std::abs(lead - 5) < 1e-4;
    RC_ASSERT(nice);
    for (std::size_t i = 2; i < ticks.size(); ++i) {
      RC_ASSERT(std::abs(ticks[i].value - ticks[i - 1].value - step) < 1e-6 * step + slack);
      RC_ASSERT(ticks[i].words != ticks[i - 1].words);
    }
  });
  CHECK(holds);
}

TEST_CASE("a logarithmic axis has 1, 2 and 5 of every decade") {
  CHECK(wordsOf(logTicks(4, 200)) == Words{"5", "10", "20", "50", "100", "200"});
  CHECK(wordsOf(logTicks(0.1, 1)) == Words{"0.1", "0.2", "0.5", "1"});
  CHECK(logTicks(0, 10).empty());
  CHECK(logTicks(10, 10).empty());
}

TEST_CASE("time ticks stand on whole local hours, also across the clock change") {
  const Instant low = *parseInstant("2026-11-23T20:40:00Z");
  const Instant high = *parseInstant("2026-11-24T03:58:00Z");
  const auto ticks = timeTicks(low, high, "Europe/Berlin", 8);
  CHECK(wordsOf(ticks) ==
        Words{"2026-11-23 22:00", "23:00", "2026-11-24 00:00", "01:00", "02:00", "03:00", "04:00"});
  const auto change = timeTicks(*parseInstant("2026-10-24T12:00:00Z"),
                                *parseInstant("2026-10-27T12:00:00Z"), "Europe/Berlin", 4);
  CHECK(wordsOf(change) == Words{"2026-10-25", "2026-10-26", "2026-10-27"});
  CHECK(change[1].value - change[0].value ==
        25 * 3600e3);  // the day with the hour that comes twice
  CHECK(timeTicks(high, low, "Europe/Berlin").empty());
}

TEST_CASE("a scale meets both its ends, straight and logarithmic") {
  const Scale straight{10, 20, 100, 300};
  CHECK(straight.at(10) == 100);
  CHECK(straight.at(15) == 200);
  CHECK(straight.at(25) == 400);
  const Scale log{1, 100, 0, 50, true};
  CHECK(log.at(10) == doctest::Approx(25));
}

TEST_CASE("spread labels keep their distance and their order") {
  const bool holds = rc::check([] {
    const auto raw = *rc::gen::container<std::vector<int>>(rc::gen::inRange(0, 300));
    RC_PRE(raw.size() <= 18U);
    std::vector<double> wanted(raw.begin(), raw.end());
    const auto places = spread(wanted, 16, 0, 300);
    for (std::size_t i = 0; i < wanted.size(); ++i) {
      RC_ASSERT(places[i] <= 300);
      for (std::size_t j = 0; j < wanted.size(); ++j) {
        if (i != j) RC_ASSERT(std::abs(places[i] - places[j]) >= 16 - 1e-9);
        if (wanted[i] < wanted[j]) RC_ASSERT(places[i] < places[j]);
      }
    }
  });
  CHECK(holds);
  CHECK(spread({100, 200}, 16, 0, 300) == std::vector<double>{100, 200});
}

TEST_CASE("words are well-formed or made so") {
  CHECK(isWellFormed("2.188 ± 0.011 g/cm³\tok\n"));
  CHECK_FALSE(isWellFormed("a\x01"));
  CHECK_FALSE(isWellFormed("\xC3"));
  CHECK_FALSE(isWellFormed("\xC0\xAF"));          // overlong
  CHECK_FALSE(isWellFormed("\xED\xA0\x80"));      // half of a surrogate pair
  CHECK_FALSE(isWellFormed("\xF4\x90\x80\x80"));  // beyond U+10FFFF
  CHECK(wellFormed("a\xFFz") == "a\uFFFDz");
  CHECK(xmlEscaped("<a href=\"x\">&'") == "&lt;a href=&quot;x&quot;&gt;&amp;&#39;");
  CHECK(textWidth("", 12) == 0);
  CHECK(textWidth("00", 10) == doctest::Approx(11.44));
}
