/// Counts of a batch, step by step, against hand-worked ones and against any that are drawn.
#include "platemark/gate/balance.h"

#include <doctest/doctest.h>

#include "support/property.h"

namespace platemark::test {
namespace {

using gate::Balance;
using gate::balanceOf;

StepDone step(Sequence fact, Step of, Counts counts, std::string what = "") {
  StepDone done;
  done.fact = fact;
  done.step = of;
  done.what = std::move(what);
  done.counts = std::move(counts);
  done.counted = true;
  return done;
}

BatchState batchOf(std::int64_t plates, std::vector<StepDone> steps) {
  BatchState batch;
  batch.opened.plates = plates;
  batch.steps = std::move(steps);
  return batch;
}

Rework reworked(Sequence fact, Counts counts) {
  Rework rework;
  rework.ordered.rework = "W-0001";
  rework.done_fact = fact;
  rework.done = ReworkDone{"W-0001", "grinder", std::move(counts), {}, {}, {}};
  return rework;
}

Scrapped scrapped(Sequence fact, std::int64_t pads, std::string reason) {
  Scrapped scrap;
  scrap.fact = fact;
  scrap.signed_off.pads = pads;
  scrap.signed_off.reason = std::move(reason);
  return scrap;
}

}  // namespace

TEST_CASE("a batch whose counts balance: 40 plates, one bent, two samples, one cracked") {
  const Balance balance =
      balanceOf(batchOf(40, {step(1, Step::plates, {39, {{"bent", 1}}, 0, 0}),
                             step(2, Step::press, {39, {}, 0, 0}, "T-1"),
                             step(3, Step::sample, {37, {}, 2, 0}),
                             step(4, Step::finish, {36, {{"cracked", 1}}, 0, 0}, "grind")}),
                {});
  CHECK(balance.balances());
  CHECK(balance.good == 36);
  CHECK(balance.samples == 2);
  CHECK(balance.scrapped() == 2);
  CHECK(balance.scrap.at("bent") == 1);
  REQUIRE(balance.lines.size() == 4);
  CHECK(balance.lines[1].step == "press, T-1");
  CHECK(balance.lines[3].in == 37);
  // Whatever went in is somewhere.
  CHECK(balance.plates == balance.good + balance.scrapped() + balance.samples + balance.rework);
}

TEST_CASE("missing and too many, each at its step, and the next starts from what was counted") {
  const Balance balance = balanceOf(
      batchOf(40, {step(1, Step::plates, {38, {}, 0, 0}), step(2, Step::press, {39, {}, 0, 0}),
                   step(3, Step::finish, {39, {}, 0, 0})}),
      {});
  CHECK_FALSE(balance.balances());
  CHECK(balance.lines[0].difference == 2);
  CHECK(balance.lines[1].difference == -1);
  CHECK(balance.lines[2].difference == 0);
}

TEST_CASE("a corrected report and a step without counts do not count") {
  BatchState batch = batchOf(40, {step(1, Step::plates, {30, {}, 0, 0}),
                                  step(2, Step::plates, {40, {}, 0, 0}), step(3, Step::mix, {})});
  batch.steps[0].corrected_by = 2;
  batch.steps[2].counted = false;
  CHECK(balanceOf(batch, {}).balances());
  CHECK(balanceOf(batch, {}).lines.size() == 1);
}

TEST_CASE("rework and signed scrap stand where they happened") {
  const BatchState batch = batchOf(40, {step(1, Step::finish, {40, {}, 0, 0}, "grind"),
                                        step(5, Step::finish, {37, {}, 0, 0}, "paint")});
  DispositionState so_far;
  so_far.reworks.push_back(reworked(3, {38, {{"cracked", 2}}, 0, 0}));
  so_far.scraps.push_back(scrapped(4, 1, "dropped"));
  const Balance balance = balanceOf(batch, so_far);
  REQUIRE(balance.lines.size() == 4);
  CHECK(balance.lines[1].step == "rework W-0001");
  CHECK(balance.lines[2].step == "scrap signed");
  CHECK(balance.lines[2].counts.good == 37);
  CHECK(balance.balances());
  CHECK(balance.scrap == std::map<std::string, std::int64_t>{{"cracked", 2}, {"dropped", 1}});
}

TEST_CASE("pads that wait to be boxed are no difference; more boxed than there are is one") {
  BatchState batch = batchOf(40, {step(1, Step::finish, {38, {}, 2, 0})});
  CHECK(balanceOf(batch, {}).lines.size() == 1);
  batch.boxed = 20;
  CHECK(balanceOf(batch, {}).balances());
  CHECK(balanceOf(batch, {}).lines.back().step == "pack");
  batch.boxed = 38;
  CHECK(balanceOf(batch, {}).balances());
  batch.boxed = 39;
  CHECK(balanceOf(batch, {}).lines.back().difference == -1);
}

TEST_CASE("what went in is good, scrap, samples, rework or a difference, whatever was counted") {
  holds("sum", [] {
    const auto count = [] { return static_cast<std::int64_t>(*rc::gen::inRange(0, 50)); };
    BatchState batch = batchOf(count(), {});
    const int steps = *rc::gen::inRange(0, 8);
    for (int i = 0; i < steps; ++i)
      batch.steps.push_back(step(2 * i + 1, Step::finish,
                                 {count(), {{"a", count()}, {"b", count()}}, count(), count()}));
    DispositionState so_far;
    if (*rc::gen::arbitrary<bool>())
      so_far.scraps.push_back(scrapped(2 * *rc::gen::inRange(0, 8), count(), "c"));
    const Balance balance = balanceOf(batch, so_far);
    std::int64_t difference = 0;
    for (const gate::BalanceLine& line : balance.lines) difference += line.difference;
    RC_ASSERT(balance.plates ==
              balance.good + balance.scrapped() + balance.samples + balance.rework + difference);
  });
}

TEST_CASE("runs of one step are added up, what is set aside for rework too") {
  const Balance balance =
      balanceOf(batchOf(40, {step(1, Step::press, {20, {}, 0, 2}),
                             step(2, Step::press, {15, {{"cracked", 1}}, 0, 2})}),
                {});
  CHECK(balance.balances());
  CHECK(balance.good == 35);
  CHECK(balance.rework == 4);
  CHECK(balance.scrapped() == 1);
}

}  // namespace platemark::test
