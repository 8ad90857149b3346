/// May I? Each question at its edges: every single thing that stands in the way, and nothing else.
#include "platemark/gate/permission.h"

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

const Day today{2026, 3, 2}, yesterday{2026, 3, 1}, tomorrow{2026, 3, 3};
const Hold held{98, "a rag was found", {}}, lifted{97, "a torn bag", 99};

GateState released() {
  GateState gate;
  gate.verdict = 40;
  gate.outcome = Outcome::conforms;
  gate.release = 41;
  return gate;
}

BatchState batchNamed() {
  BatchState batch;
  batch.opened = {"K7M4J-7", "P-1", 1, "C-1", 2, "CP-1", 1, 40, {}};
  batch.cure = batch.final = released();
  return batch;
}

Part partNamed() {
  Part part;
  part.code = "P-1";
  part.plate = "plate-1";
  part.adhesive = "glue-1";
  for (const Step step : {Step::plates, Step::mix, Step::press})
    part.route.push_back({step, {}, {}, {}});
  return part;
}

/// Covered by a customer's approval, today only.
gate::CoverFile covered() {
  Approval approval;
  approval.code = "A-1";
  approval.kind = ApprovalKind::customer_approval;
  approval.parts = {"P-1"};
  approval.compounds = {{"C-1", 2, 2}};
  approval.plates = {"plate-1"};
  approval.adhesives = {"glue-1"};
  approval.valid_from = today;
  approval.valid_until = today;
  Part part = partNamed();
  part.compound = "C-1";
  return {gate::madeAs(part, 2, "here"), {{approval, 1, {}, ""}}};
}

LotState lotOf(const std::string& material) {
  LotState lot = clearedLot("R-1", material);
  lot.decided_why = "it is wet";
  lot.gate.overtaken_why = "a later reading came";
  return lot;
}

Evidence again(Sequence figure) {
  Evidence evidence;
  evidence.figure = figure;
  evidence.repeat = true;
  return evidence;
}

/// A lot that was judged at 40 and whose use-by day was set at 10.
LotState testedAgain(std::vector<Evidence> evidence) {
  LotState lot = lotOf("resin");
  lot.received_fact = 10;
  lot.gate = released();
  lot.evidence = std::move(evidence);
  return lot;
}

}  // namespace

TEST_CASE("a lot may be used as its material, cleared, in date and not on hold") {
  const auto of = [](const LotState& lot) { return whatOf(gate::mayUseLot(lot, "resin", today)); };
  CHECK(of(lotOf("resin")).empty());
  CHECK(of(lotOf("iron")) == Words{"Lot R-1 is iron; resin is wanted here."});
  LotState lot = lotOf("resin");
  lot.disposition = LotDisposition::refuse;
  CHECK(of(lot) == Words{"Lot R-1 is refused: it is wet."});
  lot.disposition = LotDisposition::hold;
  CHECK(of(lot) == Words{"Lot R-1 is not cleared."});
  lot.disposition = LotDisposition::clear;
  lot.gate.overtaken_by = 55;
  CHECK(of(lot) == Words{"Lot R-1 was cleared, but a later reading came."});
  lot = lotOf("resin");
  lot.received.use_by = today;
  CHECK(of(lot).empty());
  lot.received.use_by = yesterday;
  CHECK(of(lot) == Words{"Lot R-1 expired on 2026-03-01."});
  lot = lotOf("resin");
  lot.holds = {held, lifted};
  CHECK(of(lot) == Words{"On hold: a rag was found"});
  CHECK(whatOf(gate::heldLots({lot, lotOf("iron")})) ==
        Words{"Lot R-1 in it is on hold: a rag was found"});
}

TEST_CASE("a step needs its place on the route and every step before it") {
  BatchState batch = batchNamed();
  batch.steps = {done(1, Step::plates)};
  const auto of = [&](Step step) { return whatOf(gate::mayDoStep(step, batch, partNamed())); };
  CHECK(of(Step::plates).empty());
  CHECK(of(Step::mix).empty());
  CHECK(of(Step::press) ==
        Words{"Batch K7M4J-7: 'mix' must come before 'press' and is not on record."});
  CHECK(of(Step::clamp) == Words{"'clamp' is not on the route of part P-1."});
  batch.steps.front().corrected_by = 5;
  CHECK(of(Step::mix) ==
        Words{"Batch K7M4J-7: 'plates' must come before 'mix' and is not on record."});
}

TEST_CASE("a batch is finished after its cure gate, and leaves after both, if nothing holds it") {
  BatchState batch = batchNamed();
  const auto finish = [&] { return whatOf(gate::mayFinish(batch)); };
  const auto leave = [&] { return whatOf(gate::mayLeave(batch, partNamed(), covered(), today)); };
  CHECK(finish().empty());
  CHECK(leave().empty());
  batch.holds = {held, lifted};
  CHECK(finish() == Words{"On hold: a rag was found"});
  CHECK(leave() == Words{"On hold: a rag was found"});
  batch.holds.clear();
  batch.cure = {};
  CHECK(finish() == Words{"Batch K7M4J-7 stays on hold: the cure gate has not been judged."});
  CHECK(leave() == finish());
  batch.cure.verdict = 40;
  CHECK(finish() == Words{"Batch K7M4J-7 stays on hold: the cure gate says 'cannot decide' and is "
                          "not signed."});
  for (const bool by_concession : {false, true}) {
    batch.cure = released();
    if (by_concession) batch.cure.release.reset();
    if (by_concession) batch.cure.concession = "N-0001";
    CHECK(finish().empty());
    batch.cure.overtaken_by = 60;
    batch.cure.overtaken_why = "a reading was corrected";
    CHECK(finish() == Words{"Batch K7M4J-7 is on hold again: a reading was corrected."});
  }
  batch.cure = released();
  batch.final.release.reset();
  CHECK(finish().empty());
  CHECK(leave() ==
        Words{"Batch K7M4J-7 stays on hold: the final gate says 'conforms' and is not signed."});
  batch.final = released();
  CHECK(gate::mayLeave(batch, partNamed(), covered(), tomorrow).size() == 1);
}

TEST_CASE("a recording ends after its load was built, and five minutes from now at the latest") {
  LoadState load;
  load.built.load = "O-0001";
  load.built_at = Instant::fromUnixMs(1'000'000);
  const Instant now = Instant::fromUnixMs(9'000'000);
  const auto allowed = [&](std::int64_t to_ms) {
    CureRecorded recorded;
    recorded.to = Instant::fromUnixMs(to_ms);
    return gate::mayBeOf(load, recorded, now, "Europe/Berlin").empty();
  };
  CHECK_FALSE(allowed(1'000'000));
  CHECK(allowed(1'000'001));
  CHECK(allowed(9'300'000));
  CHECK_FALSE(allowed(9'300'001));
}

TEST_CASE("a person may do what a permit names, up to its last day") {
  const Person person{
      7, "press setter", "", {{Operation::pressing, yesterday}, {Operation::mixing, today}}};
  const auto of = [&](Operation operation) {
    return whatOf(gate::mayOperate(person, operation, today));
  };
  CHECK(of(Operation::mixing).empty());
  CHECK(of(Operation::pressing) == Words{"'pressing' may not be done by number 7: press setter had "
                                         "a permit until 2026-03-01."});
  CHECK(of(Operation::oven) ==
        Words{"'oven' may not be done by number 7: press setter has no permit for it."});
}

TEST_CASE("a gauge counts when it is in calibration and its daily check passed") {
  Gauge gauge;
  gauge.code = "FM-1";
  gauge.calibration_due = today;
  const auto doubts = [&](const std::optional<GaugeCheckState>& check, Day taken = today) {
    return gate::gaugeDoubts(gauge, check, taken);
  };
  GaugeCheckState check;
  check.fact = 12;
  CHECK(doubts({}).empty());
  CHECK(doubts(check).empty());  // a check that nobody asks for says nothing
  CHECK(doubts({}, tomorrow) == Words{"gauge FM-1 was out of calibration since 2026-03-02"});
  gauge.daily_check = DailyCheck{"block 5", mea("5", "mm"), mea("0.1", "mm")};
  CHECK(doubts({}) == Words{"gauge FM-1 was not checked with its block 5 on 2026-03-02"});
  CHECK(doubts(check) == Words{"gauge FM-1 failed its check on 2026-03-02 (fact 12)"});
  check.checked.passed = true;
  CHECK(doubts(check).empty());
}

TEST_CASE("a use-by day is moved after results taken again since, within the shelf life") {
  Material material;
  material.code = "resin";
  material.shelf_life_days = 2;
  const Day last{2026, 3, 4};
  const auto of = [&](const LotState& lot, Day use_by) {
    return whatOf(gate::mayExtend(lot, material, use_by, today));
  };
  const Words not_again{"Lot R-1 has not been tested again since its use-by day was set."};
  const Words no_verdict{"Lot R-1 has no verdict that conforms and has seen everything."};
  const LotState good = testedAgain({again(20)});
  CHECK(of(good, last).empty());
  CHECK(of(good, {2026, 3, 5}) == Words{"resin may be kept 2 days: until 2026-03-04 from today."});
  CHECK(of(testedAgain({}), last) == not_again);
  CHECK(of(testedAgain({again(10)}), last) == not_again);
  CHECK(of(testedAgain({again(11)}), last).empty());
  CHECK(of(testedAgain({again(39)}), last).empty());
  CHECK(of(testedAgain({again(40)}), last) == not_again);
  Evidence first = again(20), mended = again(20);
  first.repeat = false;
  mended.corrected_by = 21;
  CHECK(of(testedAgain({first}), last) == not_again);
  CHECK(of(testedAgain({mended}), last) == not_again);
  LotState moved = good;
  moved.extended_by = 30;
  CHECK(of(moved, last) == not_again);
  LotState other = good;
  other.gate.verdict.reset();
  CHECK(of(other, last) == no_verdict);
  other = good;
  other.gate.overtaken_by = 41;
  CHECK(of(other, last) == no_verdict);
  other = good;
  other.gate.outcome = Outcome::cannot_decide;
  CHECK(of(other, last) == no_verdict);
  material.shelf_life_days.reset();
  CHECK(of(good, last) == Words{"resin has no shelf life on file."});
}

}  // namespace platemark::test
