/// Rework, concession and deviation at their edges.
#include "platemark/gate/disposition.h"

#include <doctest/doctest.h>

#include "files.h"

namespace platemark::test {
namespace {

using gate::Obstacles;
using Words = std::vector<std::string>;

const Day today{2026, 3, 2}, yesterday{2026, 3, 1}, tomorrow{2026, 3, 3};

Words whatOf(const Obstacles& obstacles) {
  Words words;
  for (const Missing& missing : obstacles) words.push_back(missing.what);
  return words;
}

Finding finding(std::string characteristic, FindingWord word) {
  Finding f;
  f.characteristic = std::move(characteristic);
  f.word = word;
  f.sentence = "It was not measured.";
  return f;
}

PlanLine lineFor(std::string characteristic, std::vector<Reaction> reactions) {
  PlanLine line;
  line.characteristic = std::move(characteristic);
  line.reactions = std::move(reactions);
  return line;
}

/// Flatness is outside and may be reworked once or conceded; shear is inside.
gate::DispositionFile flatnessOutside() {
  gate::DispositionFile file;
  file.batch = "K7M4J-7";
  file.state.verdict = file.verdict_named = 40;
  file.verdict.findings = {finding("flatness", FindingWord::outside_above),
                           finding("shear", FindingWord::inside)};
  file.plan.code = "CP-1";
  file.plan.rework_loops = 1;
  file.plan.lines = {lineFor("shear", {Reaction::rework, Reaction::concession}),
                     lineFor("flatness", {Reaction::rework, Reaction::concession})};
  file.characteristics = {"flatness"};
  file.today = today;
  return file;
}

Rework ordered(std::string number, bool is_done) {
  Rework rework;
  rework.order_fact = 50;
  rework.ordered.rework = std::move(number);
  rework.ordered.instruction = "grind once more";
  rework.ordered.characteristics = {"flatness"};
  if (is_done) rework.done = ReworkDone{};
  return rework;
}

Words rework(const gate::DispositionFile& file) { return whatOf(gate::mayRework(file)); }
Words concede(const gate::DispositionFile& file, Day until = today) {
  return whatOf(gate::mayConcede(file, until));
}

Concession granted(std::string number, std::int64_t pads, std::int64_t packed) {
  Concession concession;
  concession.granted.concession = std::move(number);
  concession.granted.reference = "Q 17";
  concession.granted.pads = pads;
  concession.granted.until = today;
  concession.packed = packed;
  return concession;
}

GateState openBy(const std::string& concession) {
  GateState gate;
  gate.concession = concession;
  return gate;
}

}  // namespace

TEST_CASE("a disposition rests on the newest verdict, which has seen everything") {
  gate::DispositionFile file = flatnessOutside();
  CHECK(rework(file).empty());
  CHECK(concede(file).empty());
  const auto both = [&](const std::string& what) {
    CHECK(rework(file) == Words{what});
    CHECK(concede(file) == Words{what});
  };
  file.verdict_named = 39;
  both("The newest verdict is fact 40, not 39.");
  file.verdict_named = 40;
  file.state.overtaken_by = 41;
  file.state.overtaken_why = "a reading was corrected";
  both("The verdict is overtaken: a reading was corrected.");
  file.state = {};
  file.characteristics = {};
  both("Batch K7M4J-7 has not been judged at the final gate.");
}

TEST_CASE("only what stands against the batch is named, and only where the plan lists it") {
  gate::DispositionFile file = flatnessOutside();
  file.characteristics = {"shear"};
  CHECK(rework(file) == Words{"'shear' does not stand against the batch."});
  file.characteristics = {};
  CHECK(rework(file) == Words{"No characteristic is named."});
  file = flatnessOutside();
  file.plan.lines.back().reactions = {Reaction::concession};
  CHECK(rework(file) == Words{"Control plan CP-1 does not allow rework for 'flatness'."});
  CHECK(concede(file).empty());
  file.plan.lines.back().reactions = {Reaction::rework};
  CHECK(concede(file) == Words{"Control plan CP-1 does not allow concession for 'flatness'."});
  file.characteristics = {"counts"};
  CHECK(rework(file) == Words{"'counts' does not stand against the batch.",
                              "Control plan CP-1 does not allow rework for 'counts'."});
}

TEST_CASE("loops are counted, and none is ordered while another is open") {
  gate::DispositionFile file = flatnessOutside();
  file.so_far.reworks = {ordered("W-0001", true)};
  CHECK(rework(file) ==
        Words{"Control plan CP-1 allows 1 rework loop for one batch; 1 was ordered already."});
  file.plan.rework_loops = 2;
  CHECK(rework(file).empty());
  file.so_far.reworks.push_back(ordered("W-0002", true));
  CHECK(rework(file) ==
        Words{"Control plan CP-1 allows 2 rework loops for one batch; 2 were ordered already."});
  file.plan.rework_loops = 3;
  file.so_far.reworks.back().done.reset();
  CHECK(rework(file) == Words{"Rework W-0002 is ordered and not reported done."});
  file.so_far = {};
  file.plan.rework_loops.reset();
  CHECK(rework(file).size() == 1);
}

TEST_CASE("a concession names everything outside, nothing unknown, and has not ended") {
  gate::DispositionFile file = flatnessOutside();
  CHECK(concede(file, yesterday) == Words{"The concession ended on 2026-03-01."});
  file.verdict.findings.push_back(finding("thickness", FindingWord::outside_below));
  CHECK(concede(file) == Words{"'thickness' stands against the batch too and is not named."});
  file.verdict.findings.back() = finding("hardness", FindingWord::missing);
  CHECK(concede(file) == Words{"Not known, so not to be conceded: It was not measured."});
}

TEST_CASE("pads are boxed under the concession of each open gate, to its last pad and day") {
  BatchState batch;
  batch.cure = openBy("N-0001");
  DispositionState so_far;
  so_far.concessions = {granted("N-0002", 1, 0), granted("N-0001", 20, 12)};
  const auto covers = [&](std::int64_t pads, Day day = today) {
    return whatOf(gate::concessionCovers(batch, so_far, pads, day));
  };
  CHECK(covers(8).empty());
  CHECK(covers(9) == Words{"Concession N-0001 (Q 17) covers 20 pads; 12 are boxed under it, 9 more "
                           "are too many."});
  CHECK(covers(8, tomorrow) == Words{"Concession N-0001 (Q 17) ended on 2026-03-02."});
  CHECK(gate::concessionInForce(batch, so_far) == &so_far.concessions[1]);
  batch.final = openBy("N-0002");
  CHECK(gate::concessionInForce(batch, so_far) == &so_far.concessions[0]);
  CHECK(covers(8).size() == 1);
  batch.cure.overtaken_by = 60;
  batch.final = {};
  CHECK(covers(9).empty());
  CHECK(gate::concessionInForce(batch, so_far) == nullptr);
  batch.cure = {};
  batch.cure.release = 41;
  CHECK(covers(9).empty());
  CHECK(gate::concessionInForce(batch, so_far) == nullptr);
}

TEST_CASE("a deviation is of one part, step and pair of codes, for its days and batches") {
  DeviationState deviation;
  deviation.allowed = {"V-0001", "P-1", Step::cure, "P-180", "P-200", "the heater failed",
                       1,        today, today};
  const auto of = [&](const std::string& part, Step step, const std::string& instead_of,
                      const std::string& use, Day day) {
    return whatOf(gate::deviationCovers(deviation, part, "K7M4J-7", step, instead_of, use, day));
  };
  CHECK(of("P-1", Step::cure, "P-180", "P-200", today).empty());
  const Words not_this{
      "Deviation V-0001 allows P-200 instead of P-180 for part P-1 at 'cure', not this."};
  CHECK(of("P-2", Step::cure, "P-180", "P-200", today) == not_this);
  CHECK(of("P-1", Step::press, "P-180", "P-200", today) == not_this);
  CHECK(of("P-1", Step::cure, "P-190", "P-200", today) == not_this);
  CHECK(of("P-1", Step::cure, "P-180", "P-210", today) == not_this);
  const Words not_then{"Deviation V-0001 holds from 2026-03-02 to 2026-03-02."};
  CHECK(of("P-1", Step::cure, "P-180", "P-200", yesterday) == not_then);
  CHECK(of("P-1", Step::cure, "P-180", "P-200", tomorrow) == not_then);
  deviation.used_by = {"K7M4J-7"};
  CHECK(of("P-1", Step::cure, "P-180", "P-200", today).empty());
  deviation.used_by = {"ANOTHER"};
  CHECK(of("P-1", Step::cure, "P-180", "P-200", today) ==
        Words{"Deviation V-0001 was for 1 batch, which are used up."});
  deviation.allowed.batches = 2;
  CHECK(of("P-1", Step::cure, "P-180", "P-200", today).empty());
  deviation.used_by = {"ANOTHER", "A THIRD"};
  CHECK(of("P-1", Step::cure, "P-180", "P-200", today) ==
        Words{"Deviation V-0001 was for 2 batches, which are used up."});
}

TEST_CASE("an open rework keeps its gate's verdict open; results before the order are old") {
  gate::BatchFile file = goodBatch();
  Rework open = ordered("W-0001", false);
  open.ordered.gate = Gate::cure;
  open.ordered.characteristics = {"shear"};
  open.order_fact = 25;
  file.dispositions.reworks = {open};
  VerdictGiven verdict = gate::judgeBatch(Gate::cure, file);
  CHECK(verdict.outcome == Outcome::cannot_decide);
  REQUIRE(verdict.findings.size() > 1);
  CHECK(verdict.findings[0].word == FindingWord::inside);
  CHECK(verdict.findings[1].sentence ==
        "Rework W-0001 is ordered and not reported done: grind once more.");
  CHECK(gate::reworkFindings(Gate::final, file.dispositions).empty());
  Rework& only = file.dispositions.reworks.front();
  only.done = ReworkDone{};
  only.done_fact = 26;
  CHECK(gate::reworkFindings(Gate::cure, file.dispositions).empty());
  CHECK(gate::judgeBatch(Gate::cure, file).outcome == Outcome::conforms);
  only.order_fact = 31;
  only.done_fact = 32;
  verdict = gate::judgeBatch(Gate::cure, file);
  CHECK(verdict.findings[0].sentence ==
        "Shear strength: 0 of 1 result. Sample 1 is from before rework W-0001.");
  only.ordered.characteristics = {"flatness"};
  CHECK(gate::judgeBatch(Gate::cure, file).outcome == Outcome::conforms);
}

}  // namespace platemark::test
