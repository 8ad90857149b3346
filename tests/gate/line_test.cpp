/// Machines between two parts, windows of time, and the first piece: each at its edges.
#include "platemark/gate/line.h"

#include <doctest/doctest.h>

#include "files.h"

namespace platemark::test {
namespace {

using gate::Obstacles;
using Words = std::vector<std::string>;

Words whatOf(const Obstacles& obstacles) {
  Words words;
  for (const Missing& missing : obstacles) words.push_back(missing.what);
  return words;
}

constexpr std::int64_t hour_ms = 3'600'000;

Instant at(std::int64_t ms) { return Instant::fromUnixMs(ms); }

BatchState batchOf(const std::string& part, const std::string& compound) {
  BatchState batch;
  batch.opened = {"K7M4J-7", part, 1, compound, 1, "CP-1", 1, 40, {}};
  return batch;
}

Obstacles start(MachineClass machine_class, const std::string& part, const std::string& compound) {
  Machine machine;
  machine.code = "M-1";
  machine.machine_class = machine_class;
  LineState last;
  last.batch = "OLD";
  last.part = "P-1";
  last.compound = "C-1";
  return gate::mayStartOn(machine, last, batchOf(part, compound), compound);
}

/// Long after the clock's zero, so that a time is no length of time.
constexpr std::int64_t begin_ms = 500'000 * hour_ms;

/// A step with one window, and a batch that passed each step before it at 3, 0 and 1 h from its own
/// beginning, an hour later for every step of the chain.
Words windowed(Since since, std::int64_t passed_ms, const std::string& at_most = "2",
               const std::string& unit = "h") {
  Part part;
  part.route = {{Step::pack, {}, {}, {{since, mea(at_most, unit)}}},
                {Step::ship, {}, {}, {{since, mea("0", "h")}}}};
  BatchState batch = batchOf("P-1", "C-1");
  batch.blasted_at = at(begin_ms);
  for (const auto& [step, later] :
       {std::pair{Step::cure, 5}, {Step::clamp, 4}, {Step::press, 3}, {Step::plates, 1}})
    for (const std::int64_t h : {3, 0, 1}) {
      batch.steps.push_back(done(1, step));
      batch.steps.back().happened = at(begin_ms + (later + h) * hour_ms);
    }
  MixState early, late, open;
  early.opened.compound = late.opened.compound = "C-1";
  early.finished_at = at(begin_ms + 2 * hour_ms);
  late.finished_at = at(begin_ms + 9 * hour_ms);
  const std::int64_t own = begin_ms + static_cast<std::int64_t>(since) * hour_ms;
  const auto after = [&](std::vector<MixState> mixes) {
    return whatOf(gate::withinWindows(part, Step::pack, batch, mixes, at(own + passed_ms)));
  };
  CHECK(after({early, late, open}) == after({open, late, early}));
  return after({late, open, early});
}

}  // namespace

TEST_CASE("a mixer is cleared between compounds, coaters, presses and finishing between parts") {
  CHECK(whatOf(start(MachineClass::mixer, "P-1", "C-2")) ==
        Words{"M-1 last ran C-1 (batch OLD); it has not been cleared for C-2."});
  CHECK(start(MachineClass::mixer, "P-2", "C-1").empty());
  for (const MachineClass of :
       {MachineClass::coater, MachineClass::press, MachineClass::finishing}) {
    CHECK(whatOf(start(of, "P-2", "C-1")) ==
          Words{"M-1 last ran P-1 (batch OLD); it has not been cleared for P-2."});
    CHECK(start(of, "P-1", "C-2").empty());
  }
  CHECK(start(MachineClass::oven, "P-2", "C-2").empty());
  Machine press;
  press.machine_class = MachineClass::press;
  CHECK(gate::mayStartOn(press, {}, batchOf("P-2", "C-2"), "C-2").empty());
  LineState cleared;
  cleared.cleared_fact = 7;
  CHECK(gate::mayStartOn(press, cleared, batchOf("P-2", "C-2"), "C-2").empty());
}

TEST_CASE("a window ends with its last millisecond, counted from the oldest work before it") {
  for (const Since since :
       {Since::blast, Since::coat, Since::mix, Since::press, Since::clamp, Since::cure}) {
    CHECK(windowed(since, 2 * hour_ms).empty());
    CHECK(windowed(since, 2 * hour_ms + 1).size() == 1);
    CHECK(windowed(since, 120 * 60'000, "120", "min").empty());
    CHECK(windowed(since, 120 * 60'000 + 1, "120", "min").size() == 1);
  }
  const std::string said = windowed(Since::press, 9 * hour_ms + 20 * 60'000).front();
  CHECK(said.find("'press' ended 9 h 20 min earlier; 'pack' must follow within 2") !=
        std::string::npos);
}

TEST_CASE("what a window runs from and is not on record stands in the way") {
  Part part;
  part.route = {{Step::press, {}, {}, {{Since::mix, mea("2", "h")}}}};
  BatchState batch = batchOf("P-1", "C-1");
  const auto of = [&] { return whatOf(gate::withinWindows(part, Step::press, batch, {}, at(0))); };
  REQUIRE(of().size() == 1);
  CHECK(of().front().find("'mix' is not on record, and 'press' must follow it within 2") !=
        std::string::npos);
  part.route.front().windows = {{Since::coat, mea("2", "h")}};
  batch.steps = {done(1, Step::plates)};
  batch.steps.front().happened = at(0);
  CHECK(of().empty());
  batch.steps.front().corrected_by = 2;
  CHECK(of().size() == 1);
}

TEST_CASE("a run begins after its first piece was judged and conforms, where the plan asks") {
  ControlPlan plan;
  PlanLine line = shearLine(limit(mea("250", "N/cm2"), {}));
  line.gate = Gate::set_up;
  line.operation = "press";
  plan.lines = {line};
  std::optional<SetUpState> newest;
  const auto of = [&](const std::string& operation = "press") {
    return whatOf(gate::mayRun(plan, operation, "PR-1", newest));
  };
  CHECK(of("grind").empty());
  CHECK(of() == Words{"No first piece of 'press' on PR-1 is on record."});
  newest.emplace();
  newest->made.set_up = "E-0001";
  CHECK(of() == Words{"Set-up E-0001 has not been judged."});
  newest->gate.verdict = 40;
  CHECK(of() == Words{"The verdict on set-up E-0001 is 'cannot decide'."});
  newest->gate.outcome = Outcome::conforms;
  CHECK(of().empty());
  newest->gate.overtaken_by = 41;
  newest->gate.overtaken_why = "a reading was corrected";
  CHECK(of() == Words{"The verdict on set-up E-0001 is overtaken: a reading was corrected."});
  plan.lines.front().gate = Gate::cure;
  CHECK(of().empty());
}

}  // namespace platemark::test
