/// What a verdict says of the batch itself: route, counts, lots, mixes, cover and cure gate.
#include <doctest/doctest.h>

#include "files.h"
#include "platemark/gate/counts.h"

namespace platemark::test {
namespace {

using gate::BatchFile;
using Words = std::vector<std::string>;

/// Sentences of one kind of finding, each with the word it says when that is not 'inside'.
Words said(Gate gate, const BatchFile& file, std::string_view characteristic) {
  Words words;
  for (const Finding& f : gate::judgeBatch(gate, file).findings)
    if (f.characteristic == characteristic)
      words.push_back((f.word == FindingWord::inside ? "" : std::string(word(f.word)) + ": ") +
                      f.sentence);
  return words;
}

/// The good batch after its cure gate, ground, and covered to the last day by an approval.
BatchFile finishedBatch() {
  BatchFile file = goodBatch();
  file.part.route.push_back({Step::finish, {}, {"grind"}, {}});
  file.part.route.push_back({Step::pack, {}, {}, {}});
  file.batch.steps.push_back(counted(16, Step::finish, 36));
  file.batch.steps.back().what = "grind";
  file.batch.cure.release = 50;
  Approval approval;
  approval.code = "A-1";
  approval.kind = ApprovalKind::customer_approval;
  approval.parts = {"P-1"};
  approval.compounds = {{"C-1", 1, 1}};
  approval.plates = {"plate-1"};
  approval.valid_from = file.today;
  approval.valid_until = file.today;
  file.cover = {gate::madeOf(file.batch, file.part, file.lots, "here"), {{approval, 1, {}, ""}}};
  return file;
}

MixState mixOf(const std::string& name, std::vector<WeighingDone> weighings) {
  MixState mix;
  mix.opened.mix = name;
  mix.weighings = std::move(weighings);
  mix.finished = MixFinished{name, 9, {}};
  return mix;
}

WeighingDone of(WeighingDone weighing, const std::string& material) {
  weighing.material = material;
  return weighing;
}

Rework reworked(Sequence fact, Counts counts) {
  Rework rework;
  rework.order_fact = fact - 1;
  rework.done_fact = fact;
  rework.done = ReworkDone{"W-0001", "grinder", std::move(counts), {}, {}, {}};
  return rework;
}

}  // namespace

TEST_CASE("the route up to the gate is on record, each step that is missing by its name") {
  BatchFile file = finishedBatch();
  CHECK(said(Gate::cure, file, "route") == Words{"All 6 steps of the route are on record."});
  CHECK(said(Gate::final, file, "route") == Words{"The step of the route is on record."});
  file.batch.steps[1].corrected_by = 90;
  file.batch.steps[3].corrected_by = 91;
  CHECK(said(Gate::cure, file, "route") ==
        Words{"missing: The step 'mix' of the route is not on record.",
              "missing: The step 'clamp' of the route is not on record."});
  CHECK(said(Gate::final, file, "route") == Words{"The step of the route is on record."});
  file.batch.steps.pop_back();
  CHECK(said(Gate::final, file, "route") ==
        Words{"missing: The step 'finish' of the route is not on record."});
  CHECK(said(Gate::final, file, "finishing") == Words{"missing: 'grind' is not on record."});
}

TEST_CASE("operations are asked of the finishing alone") {
  BatchFile file = finishedBatch();
  CHECK(said(Gate::final, file, "finishing").empty());
  file.part.route.front().operations = {"blast"};
  CHECK(said(Gate::final, file, "finishing").empty());
}

TEST_CASE("lots: all cleared, none on record, or those that speak and nothing else") {
  BatchFile file = goodBatch();
  CHECK(said(Gate::cure, file, "lots") == Words{"All 1 lots used are cleared."});
  file.lots.front().disposition = LotDisposition::hold;
  CHECK(said(Gate::cure, file, "lots") == Words{"missing: Lot R-1 was used and is not cleared."});
  file.lots.clear();
  CHECK(said(Gate::cure, file, "lots") == Words{"missing: No lot is on record for this batch."});
}

TEST_CASE("weighings are added up by material, in any unit, without those that were mended") {
  BatchFile file = goodBatch();
  const auto weighed = [&](std::vector<WeighingDone> weighings) {
    file.mixes = {mixOf("M-1", std::move(weighings))};
    return said(Gate::cure, file, "weighing");
  };
  WeighingDone iron = of(weighing(21, "36.000"), "iron");
  CHECK(weighed({iron, weighing(20, "8.960")}) ==
        Words{"All 2 weighings of 1 mix are inside their tolerance."});
  CHECK(weighed({iron}) == Words{"missing: Mix M-1, resin: no weighing is on record."});
  WeighingDone mended = weighing(20, "8.960");
  mended.corrected_by = 22;
  CHECK(weighed({mended}) == Words{"missing: Mix M-1, resin: no weighing is on record."});
  // 8960 g are wanted within 0.05 kg.
  WeighingDone grams = weighing(20, "8.960");
  grams.wanted = mea("8960", "g");
  CHECK(weighed({grams}) == Words{"All 1 weighings of 1 mix are inside their tolerance."});
  grams.mass = mea("9.010", "kg");
  CHECK(weighed({grams}) == Words{"All 1 weighings of 1 mix are inside their tolerance."});
  grams.mass = mea("9.011", "kg");
  CHECK(weighed({grams}).size() == 1);
  CHECK(weighed({grams}).front().starts_with("not met: Mix M-1, resin: 9"));
  // 8.960 kg are wanted within 50 g.
  WeighingDone kilograms = weighing(20, "9.010");
  kilograms.tolerance = mea("50", "g");
  CHECK(weighed({kilograms}) == Words{"All 1 weighings of 1 mix are inside their tolerance."});
  kilograms.mass = mea("9.011", "kg");
  CHECK(weighed({kilograms}).front().starts_with("not met: Mix M-1, resin: 9"));
}

TEST_CASE("mixes: counted together, each finished; a batch without any says nothing of them") {
  BatchFile file = goodBatch();
  file.mixes.push_back(mixOf("M-2", {weighing(21, "8.960")}));
  CHECK(said(Gate::cure, file, "weighing") ==
        Words{"All 2 weighings of 2 mixes are inside their tolerance."});
  file.mixes.back().finished.reset();
  CHECK(said(Gate::cure, file, "mix") == Words{"missing: Mix M-2 is not finished on record."});
  CHECK(said(Gate::cure, file, "weighing").empty());
  file.mixes.clear();
  CHECK(said(Gate::cure, file, "weighing").empty());
}

TEST_CASE("approval cover and the cure gate are said, whether they stand or not") {
  BatchFile file = finishedBatch();
  CHECK(said(Gate::final, file, "approval").size() == 1);
  CHECK(said(Gate::final, file, "approval").front().find("missing: ") == std::string::npos);
  CHECK(said(Gate::final, file, "cure gate") ==
        Words{"The cure gate is released and nothing has come since."});
  file.batch.cure.release.reset();
  file.batch.cure.verdict = 49;
  file.batch.cure.concession = "N-0001";
  CHECK(said(Gate::final, file, "cure gate") ==
        Words{"The cure gate is open by concession N-0001."});
  file.batch.cure.concession.reset();
  CHECK(said(Gate::final, file, "cure gate").size() == 1);
  CHECK(said(Gate::final, file, "cure gate").front().starts_with("missing: Batch K7M4J-7 stays"));
  file.cover.approvals.clear();
  CHECK(said(Gate::final, file, "approval").size() == 1);
  CHECK(said(Gate::final, file, "approval").front().starts_with("missing: "));
  CHECK(said(Gate::cure, file, "approval").empty());
}

TEST_CASE("a hold on a lot keeps the lot's verdict open") {
  gate::LotFile file =
      lotWith(shearLine(limit(mea("250", "N/cm2"), {})), {shear(1, mea("300", "N/cm2"))});
  CHECK(gate::judgeLot(file).outcome == Outcome::conforms);
  file.lot.holds = {{60, "a torn bag", {}}};
  CHECK(gate::judgeLot(file).outcome == Outcome::cannot_decide);
  CHECK(gate::judgeLot(file).findings.back().sentence == "On hold: a torn bag");
}

TEST_CASE("a first piece is judged by the lines of its operation alone") {
  gate::SetUpFile file;
  PlanLine line = shearLine(limit(mea("250", "N/cm2"), {}));
  line.gate = Gate::set_up;
  line.operation = "press";
  file.plan.lines = {line, line};
  file.plan.lines.back().operation = "grind";
  file.plan.lines.back().characteristic = "thickness";
  file.set_up.made.operation = "press";
  file.set_up.evidence = {shear(1, mea("300", "N/cm2"))};
  const VerdictGiven verdict = gate::judgeSetUp(file);
  REQUIRE(verdict.findings.size() == 1);
  CHECK(verdict.findings.front().characteristic == "shear");
  CHECK(verdict.outcome == Outcome::conforms);
}

TEST_CASE("good, samples and what is set aside for rework all account for what went in") {
  BatchFile file = goodBatch();
  StepDone press = counted(12, Step::press, 35, 2, 1);
  press.counts.rework = 2;
  file.batch.steps[2] = press;
  file.batch.steps[4] = counted(14, Step::cure, 35);
  file.batch.steps[5] = counted(15, Step::sample, 33, 0, 2);
  CHECK(said(Gate::cure, file, "counts") ==
        Words{"The counts balance at every step; 33 pads are good."});
}

TEST_CASE("what was decided between two steps is lost to those after it, and to none before") {
  BatchState batch = goodBatch().batch;
  DispositionState so_far;
  so_far.scraps = {{13, {"K7M4J-7", 3, "dropped"}}};
  so_far.reworks = {reworked(11, {37, {{"cracked", 1}}, 0, 0})};
  Rework open;
  open.order_fact = 17;
  so_far.reworks.push_back(open);
  std::vector<std::int64_t> in;
  for (const gate::StepTotal& total : gate::stepTotals(batch, so_far)) in.push_back(total.in);
  // plates 40; 40 less the 1 of the rework; press 38 less the 3 dropped; cure 38.
  CHECK(in == std::vector<std::int64_t>{40, 39, 35, 38});
  batch.steps.clear();
  CHECK(gate::goodPads(batch, {}) == 40);
  CHECK(gate::goodPads(batch, so_far) == 36);
  batch.boxed = 40;
  CHECK_FALSE(gate::allScrapped(batch, {}));
}

}  // namespace platemark::test
