/// The gate: each word a finding can say, and what no order or unit of the evidence may change.
#include <doctest/doctest.h>

#include "files.h"
#include "platemark/gate/counts.h"
#include "support/property.h"

namespace platemark::test {
namespace {

using gate::judgeBatch;
using gate::judgeLot;

FindingWord wordOf(const gate::LotFile& file) { return judgeLot(file).findings.front().word; }
Outcome outcomeOf(const gate::LotFile& file) { return judgeLot(file).outcome; }

Limit atLeast(std::string_view n) { return limit(mea(n, "N/cm2"), {}); }
Limit between(std::string_view low, std::string_view high) {
  return limit(mea(low, "N/cm2"), mea(high, "N/cm2"));
}
Measure ncm2(std::string_view n) { return mea(n, "N/cm2"); }

const Finding* findingOf(const VerdictGiven& verdict, std::string_view characteristic) {
  for (const Finding& f : verdict.findings)
    if (f.characteristic == characteristic && f.word != FindingWord::inside) return &f;
  return nullptr;
}

}  // namespace

TEST_CASE("a single value lies inside or outside a limit, and at the limit is inside") {
  CHECK(wordOf(lotWith(shearLine(atLeast("250")), {shear(1, ncm2("250"))})) == FindingWord::inside);
  CHECK(wordOf(lotWith(shearLine(atLeast("250")), {shear(1, ncm2("249.9"))})) ==
        FindingWord::outside_below);
  CHECK(wordOf(lotWith(shearLine(limit({}, ncm2("600"))), {shear(1, ncm2("600.1"))})) ==
        FindingWord::outside_above);
  CHECK(wordOf(lotWith(shearLine(between("250", "600")), {shear(1, ncm2("600.0"))})) ==
        FindingWord::inside);
  CHECK(outcomeOf(lotWith(shearLine(between("250", "600")), {shear(1, ncm2("601"))})) ==
        Outcome::does_not_conform);
}

TEST_CASE("all limits of a line must hold") {
  PlanLine line = shearLine(atLeast("250"));
  line.limits.push_back(atLeast("400"));
  const VerdictGiven verdict = judgeLot(lotWith(line, {shear(1, ncm2("300"))}));
  CHECK(verdict.findings.size() == 2);
  CHECK(verdict.outcome == Outcome::does_not_conform);
}

TEST_CASE("the statistic says which result stands against the limit") {
  const std::vector<Evidence> three{shear(1, ncm2("300"), "1"), shear(2, ncm2("200"), "2"),
                                    shear(3, ncm2("280"), "3")};
  CHECK(wordOf(lotWith(shearLine(atLeast("250"), Statistic::each, 3), three)) ==
        FindingWord::outside_below);
  CHECK(wordOf(lotWith(shearLine(atLeast("250"), Statistic::mean, 3), three)) ==
        FindingWord::inside);
  CHECK(wordOf(lotWith(shearLine(atLeast("250"), Statistic::lowest, 3), three)) ==
        FindingWord::outside_below);
  CHECK(wordOf(lotWith(shearLine(atLeast("250"), Statistic::highest, 3), three)) ==
        FindingWord::inside);
  const Finding mean =
      judgeLot(lotWith(shearLine(atLeast("250"), Statistic::mean, 3), three)).findings.front();
  CHECK(mean.result->value == dec("260"));
  CHECK(mean.counted == 3);
}

TEST_CASE("the mean's standard uncertainty is the root of the summed squares over n") {
  const std::vector<Evidence> two{shear(1, ncm2("300"), "1", ncm2("3")),
                                  shear(2, ncm2("310"), "2", ncm2("4"))};
  const Finding mean =
      judgeLot(lotWith(shearLine(atLeast("250"), Statistic::mean, 2), two)).findings.front();
  CHECK(mean.u->value.value() == doctest::Approx(2.5));  // sqrt(9 + 16)/2
}

TEST_CASE("with a probability asked, the guard band of a normal distribution decides") {
  // One limit, 0.95: the guard band is 1.644 853 6 u (the 95 % point of the standard normal
  // distribution).
  PlanLine line = shearLine(atLeast("250"));
  line.probability = dec("0.95");
  CHECK(wordOf(lotWith(line, {shear(1, ncm2("266.449"), "", ncm2("10"))})) == FindingWord::inside);
  CHECK(wordOf(lotWith(line, {shear(1, ncm2("266.448"), "", ncm2("10"))})) ==
        FindingWord::too_close);
  CHECK(wordOf(lotWith(line, {shear(1, ncm2("233.552"), "", ncm2("10"))})) ==
        FindingWord::too_close);
  CHECK(wordOf(lotWith(line, {shear(1, ncm2("233.551"), "", ncm2("10"))})) ==
        FindingWord::outside_below);
  CHECK(outcomeOf(lotWith(line, {shear(1, ncm2("255"), "", ncm2("10"))})) ==
        Outcome::cannot_decide);
}

TEST_CASE("an uncertainty that reaches over the limit is said when the value alone decides") {
  const auto noteOf = [](const PlanLine& line, std::string_view value, std::string_view u) {
    return judgeLot(lotWith(line, {shear(1, ncm2(value), "", ncm2(u))})).findings.front().note;
  };
  PlanLine line = shearLine(atLeast("250"));
  const std::optional<std::string> inside = noteOf(line, "255", "5");
  REQUIRE(inside);
  CHECK(inside->starts_with("Inside the limit, but its uncertainty of ± 10"));
  CHECK_FALSE(noteOf(line, "260", "5"));  // reaches to the limit, not past it
  const std::optional<std::string> outside = noteOf(line, "245", "5");
  REQUIRE(outside);
  CHECK(outside->starts_with("Outside the limit"));
  CHECK_FALSE(noteOf(line, "200", "5"));
  line.probability = dec("0.95");
  CHECK_FALSE(noteOf(line, "255", "5"));
}

TEST_CASE("with a probability asked, an unknown uncertainty decides nothing") {
  PlanLine line = shearLine(atLeast("250"));
  line.probability = dec("0.95");
  CHECK(wordOf(lotWith(line, {shear(1, ncm2("900"))})) == FindingWord::too_close);
  CHECK(wordOf(lotWith(line, {shear(1, ncm2("900"), "", ncm2("0"))})) == FindingWord::inside);
  CHECK(wordOf(lotWith(line, {shear(1, ncm2("900"), "", ncm2("-1"))})) == FindingWord::too_close);
}

TEST_CASE(
    "an uncertainty wider than the limits is no pass, though the value lies in their middle") {
  PlanLine line = shearLine(between("299", "301"));
  line.probability = dec("0.95");
  CHECK(wordOf(lotWith(line, {shear(1, ncm2("300"), "", ncm2("50"))})) == FindingWord::too_close);
}

TEST_CASE("each result must have the probability, not only the one nearest to the limit") {
  PlanLine line = shearLine(atLeast("250"), Statistic::each, 2);
  line.probability = dec("0.95");
  CHECK(wordOf(lotWith(line, {shear(1, ncm2("300"), "1", ncm2("1")),
                              shear(2, ncm2("310"), "2")})) == FindingWord::too_close);
  CHECK(wordOf(lotWith(line, {shear(1, ncm2("300"), "1", ncm2("1")),
                              shear(2, ncm2("310"), "2", ncm2("90"))})) == FindingWord::too_close);
}

TEST_CASE("doubted, undetermined and corrected evidence is never counted") {
  Evidence doubted = shear(1, ncm2("100"));
  doubted.doubts = {"gauge FM-1 was out of calibration since 2026-01-01"};
  Evidence undetermined = shear(1, ncm2("900"));
  undetermined.values.front().determined = false;
  undetermined.values.front().why = "The pad did not fail.";
  Evidence corrected = shear(1, ncm2("100"));
  corrected.corrected_by = 9;
  for (const Evidence& e : {doubted, undetermined, corrected}) {
    const Finding finding = judgeLot(lotWith(shearLine(atLeast("250")), {e})).findings.front();
    CHECK(finding.word == FindingWord::missing);
    CHECK(finding.counted == 0);
  }
  CHECK(judgeLot(lotWith(shearLine(atLeast("250")), {doubted}))
            .findings.front()
            .sentence.find("out of calibration") != std::string::npos);
  CHECK(wordOf(lotWith(shearLine(atLeast("250")), {corrected, shear(2, ncm2("300"))})) ==
        FindingWord::inside);
}

TEST_CASE("a bound may speak against a figure that is not known, and never for it") {
  const auto bounded = [](std::string_view at_least, std::string_view at_most) {
    Evidence evidence = shear(1, ncm2("300"));
    FigureValue& value = evidence.values.front();
    value.determined = false;
    value.why = "The rig lost a channel.";
    if (!at_least.empty()) value.at_least = ncm2(at_least);
    if (!at_most.empty()) value.at_most = ncm2(at_most);
    return evidence;
  };
  const PlanLine line = shearLine(between("250", "600"));
  CHECK(wordOf(lotWith(line, {bounded("", "249")})) == FindingWord::outside_below);
  CHECK(wordOf(lotWith(line, {bounded("601", "")})) == FindingWord::outside_above);
  CHECK(wordOf(lotWith(line, {bounded("", "250")})) == FindingWord::missing);
  CHECK(wordOf(lotWith(line, {bounded("300", "400")})) == FindingWord::missing);
  const Finding known = judgeLot(lotWith(line, {bounded("300", "400")})).findings.front();
  CHECK_FALSE(known.result);
  REQUIRE(known.at_least);
  REQUIRE(known.at_most);
  CHECK(*known.at_least == ncm2("300"));
  CHECK(*known.at_most == ncm2("400"));
  const Finding below = judgeLot(lotWith(line, {bounded("", "249")})).findings.front();
  REQUIRE(below.at_most);
  CHECK(*below.at_most == ncm2("249"));
  CHECK_FALSE(below.at_least);
  // A bound of one result says nothing of another.
  const Finding two =
      judgeLot(lotWith(line, {bounded("300", "400"), bounded("310", "")})).findings.front();
  CHECK_FALSE(two.at_least);
  CHECK_FALSE(two.at_most);
  Limit unconfirmed = between("250", "600");
  unconfirmed.source.confirmed = false;
  CHECK(wordOf(lotWith(shearLine(unconfirmed), {bounded("", "249")})) == FindingWord::missing);
}

TEST_CASE("too few results are missing; one outside speaks all the same") {
  CHECK(wordOf(lotWith(shearLine(atLeast("250"), Statistic::each, 3),
                       {shear(1, ncm2("300"), "1")})) == FindingWord::missing);
  CHECK(wordOf(lotWith(shearLine(atLeast("250"), Statistic::each, 3),
                       {shear(1, ncm2("200"), "1")})) == FindingWord::outside_below);
  CHECK(outcomeOf(lotWith(shearLine(atLeast("250"), Statistic::each, 3),
                          {shear(1, ncm2("200"), "1")})) == Outcome::does_not_conform);
}

TEST_CASE("repeats on one sample do not stand for other samples, and count against it") {
  const std::vector<Evidence> repeats{shear(1, ncm2("300"), "1"), shear(2, ncm2("301"), "1"),
                                      shear(3, ncm2("302"), "1")};
  const Finding finding =
      judgeLot(lotWith(shearLine(atLeast("250"), Statistic::each, 3), repeats)).findings.front();
  CHECK(finding.word == FindingWord::missing);
  CHECK(finding.counted == 1);
  CHECK(finding.singles.size() == 3);
  CHECK(wordOf(lotWith(shearLine(atLeast("250")),
                       {shear(1, ncm2("300"), "1"), shear(2, ncm2("200"), "1")})) ==
        FindingWord::outside_below);
}

TEST_CASE("an unconfirmed limit decides nothing until it is adopted, neither for nor against") {
  for (const std::string_view value : {"300", "200"}) {
    gate::LotFile file = lotWith(shearLine(limit(ncm2("250"), {}, false)), {shear(1, ncm2(value))});
    CHECK(wordOf(file) == FindingWord::unconfirmed);
    CHECK(outcomeOf(file) == Outcome::cannot_decide);
    file.adoptions = {{50, {"CP-1", 2, "shear", "the document", ""}, 7}};
    CHECK_MESSAGE(wordOf(file) == FindingWord::unconfirmed,
                  "adopted for another issue of the plan");
    file.adoptions = {{50, {"CP-1", 1, "shear", "the document", ""}, 7}};
    CHECK(wordOf(file) == (value == "300" ? FindingWord::inside : FindingWord::outside_below));
  }
}

TEST_CASE("no limit on file is never a pass") {
  PlanLine line = shearLine(limit({}, {}));
  CHECK(wordOf(lotWith(line, {shear(1, ncm2("300"))})) == FindingWord::no_limit);
  line.limits.clear();
  CHECK(outcomeOf(lotWith(line, {shear(1, ncm2("300"))})) == Outcome::cannot_decide);
  gate::LotFile no_plan = lotWith(line, {shear(1, ncm2("300"))});
  no_plan.plan.lines.clear();
  CHECK(wordOf(no_plan) == FindingWord::no_limit);
  gate::BatchFile batch = goodBatch();
  batch.plan.lines.clear();
  CHECK(judgeBatch(Gate::cure, batch).outcome == Outcome::cannot_decide);
}

TEST_CASE("results of another kind or hardness scale are not compared") {
  CHECK(wordOf(lotWith(shearLine(limit(mea("250", "N"), {})), {shear(1, ncm2("300"))})) ==
        FindingWord::missing);
  PlanLine line = shearLine(limit(mea("70", "{HRR}"), {}));
  CHECK(wordOf(lotWith(line, {shear(1, mea("80", "{HRR}"))})) == FindingWord::inside);
  CHECK(wordOf(lotWith(line, {shear(1, mea("80", "{HRR}"), "1"),
                              shear(2, mea("80", "{HRM}"), "2")})) == FindingWord::missing);
}

TEST_CASE("units are converted before they are compared, and the limit itself is inside in each") {
  CHECK(wordOf(lotWith(shearLine(atLeast("250")), {shear(1, mea("2.5", "MPa"))})) ==
        FindingWord::inside);
  CHECK(wordOf(lotWith(shearLine(atLeast("250")), {shear(1, mea("2.4999", "MPa"))})) ==
        FindingWord::outside_below);
  CHECK(wordOf(lotWith(shearLine(limit({}, mea("500", "um"))), {shear(1, mea("0.5", "mm"))})) ==
        FindingWord::inside);
  CHECK(wordOf(lotWith(shearLine(limit({}, mea("185", "Cel"))), {shear(1, mea("458.15", "K"))})) ==
        FindingWord::missing);
  CHECK(wordOf(lotWith(shearLine(limit({}, mea("185", "Cel"))),
                       {shear(1, mea("365", "[degF]"))})) == FindingWord::inside);
  CHECK(wordOf(lotWith(shearLine(limit({}, mea("185", "Cel"))),
                       {shear(1, mea("365.1", "[degF]"))})) == FindingWord::outside_above);
}

TEST_CASE("a good batch conforms at its cure gate") {
  CHECK(judgeBatch(Gate::cure, goodBatch()).outcome == Outcome::conforms);
}

TEST_CASE("counts must balance at each step") {
  gate::BatchFile file = goodBatch();
  file.batch.steps[2].counts.good = 37;
  const VerdictGiven verdict = judgeBatch(Gate::cure, file);
  CHECK(verdict.outcome == Outcome::cannot_decide);
  REQUIRE(findingOf(verdict, "counts") != nullptr);
  CHECK(findingOf(verdict, "counts")
            ->sentence.find("press: 40 pieces went in, 39 are accounted for; 1 is missing.") !=
        std::string::npos);
  file.batch.steps[2].counts.good = 41;
  CHECK(findingOf(judgeBatch(Gate::cure, file), "counts")->sentence.find("too many") !=
        std::string::npos);
}

/// The first finding on counts, whether they balance or not.
Finding countsOf(Gate gate, const gate::BatchFile& file) {
  const VerdictGiven verdict = judgeBatch(gate, file);
  for (const Finding& f : verdict.findings)
    if (f.characteristic == "counts") return f;
  FAIL("no finding on counts");
  return {};
}

TEST_CASE("runs of one step balance together") {
  gate::BatchFile file = goodBatch();
  auto& steps = file.batch.steps;
  // Pressed, loaded and unclamped in two parts; the second part after the first was sampled.
  steps = {counted(10, Step::plates, 25),       counted(11, Step::plates, 15),
           done(12, Step::mix, "M-1"),          counted(13, Step::press, 19, 1),
           done(14, Step::clamp, "L-1"),        counted(15, Step::cure, 19),
           counted(16, Step::sample, 17, 0, 2), counted(17, Step::press, 19, 1),
           done(18, Step::clamp, "L-2"),        counted(19, Step::cure, 19),
           counted(20, Step::sample, 35, 0, 1)};
  CHECK(countsOf(Gate::cure, file).sentence ==
        "The counts balance at every step; 35 pads are good.");
  CHECK(gate::goodPads(file.batch, {}) == 35);
  steps[7].counts.good = 17;
  const VerdictGiven short_run = judgeBatch(Gate::cure, file);
  CHECK(short_run.outcome == Outcome::cannot_decide);
  const Finding said = *findingOf(short_run, "counts");
  CHECK(said.sentence == "press (2 runs): 40 pieces went in, 38 are accounted for; 2 are missing.");
  CHECK(said.figures == std::vector<Sequence>{13, 17});
  // A corrected run does not count, the one that mends it does.
  steps[7].corrected_by = 21;
  steps.insert(steps.begin() + 8, counted(21, Step::press, 19, 1));
  CHECK(countsOf(Gate::cure, file).word == FindingWord::inside);
}

TEST_CASE("finishing in parts is summed for each operation; samples drawn later are taken off") {
  gate::BatchFile file = goodBatch();
  auto& steps = file.batch.steps;
  const auto finished = [](Sequence fact, std::string operation, std::int64_t good,
                           std::int64_t scrap = 0) {
    StepDone run = counted(fact, Step::finish, good, scrap);
    run.what = std::move(operation);
    return run;
  };
  for (StepDone run : {finished(16, "grind", 20), finished(17, "grind", 15, 1),
                       finished(18, "paint", 20), finished(19, "paint", 15)})
    steps.push_back(run);
  CHECK(countsOf(Gate::final, file).sentence ==
        "The counts balance at every step; 35 pads are good.");
  steps.push_back(counted(20, Step::sample, 34, 0, 1));
  CHECK(gate::goodPads(file.batch, {}) == 34);
  steps.pop_back();
  steps.pop_back();
  CHECK(countsOf(Gate::final, file).sentence ==
        "finish, paint: 35 pieces went in, 20 are accounted for; 15 are missing.");
  // More samples than pads: nothing is left, and it is said.
  steps = {counted(10, Step::plates, 0, 38), counted(11, Step::plates, 2),
           counted(12, Step::sample, 0, 0, 3)};
  CHECK(gate::goodPads(file.batch, {}) == 0);
  CHECK(countsOf(Gate::final, file).sentence ==
        "sample: 2 pieces went in, 3 are accounted for; 1 too many.");
  steps.clear();
  CHECK(gate::goodPads(file.batch, {}) == 40);
}

TEST_CASE("a lot refused, unjudged, overtaken or held after its use speaks") {
  gate::BatchFile file = goodBatch();
  file.lots.front().disposition = LotDisposition::refuse;
  CHECK(judgeBatch(Gate::cure, file).outcome == Outcome::does_not_conform);
  file = goodBatch();
  file.lots.front().disposition = LotDisposition::hold;
  CHECK(judgeBatch(Gate::cure, file).outcome == Outcome::cannot_decide);
  file = goodBatch();
  file.lots.front().gate.overtaken_by = 99;
  CHECK(judgeBatch(Gate::cure, file).outcome == Outcome::cannot_decide);
  file = goodBatch();
  file.lots.front().holds = {{98, "a rag was found in the bag", {}}};
  CHECK(judgeBatch(Gate::cure, file).outcome == Outcome::cannot_decide);
  file.lots.front().holds.front().lifted_by = 99;
  CHECK(judgeBatch(Gate::cure, file).outcome == Outcome::conforms);
}

TEST_CASE("weighings: missing, doubled, off and split") {
  const auto with = [](std::vector<WeighingDone> weighings) {
    gate::BatchFile file = goodBatch();
    file.mixes.front().weighings = std::move(weighings);
    return judgeBatch(Gate::cure, file).outcome;
  };
  CHECK(with({}) == Outcome::cannot_decide);
  CHECK(with({weighing(20, "8.960"), weighing(21, "8.960")}) == Outcome::does_not_conform);
  CHECK(with({weighing(20, "9.010")}) == Outcome::conforms);
  CHECK(with({weighing(20, "9.011")}) == Outcome::does_not_conform);
  CHECK(with({weighing(20, "8910", "g")}) == Outcome::conforms);
  CHECK(with({weighing(20, "8909", "g")}) == Outcome::does_not_conform);
  CHECK(with({weighing(20, "5.000"), weighing(21, "3960", "g")}) == Outcome::conforms);
  WeighingDone mended = weighing(20, "89.60");
  mended.corrected_by = 22;
  CHECK(with({mended, weighing(22, "8.960")}) == Outcome::conforms);
}

TEST_CASE("a missing step and an open hold keep the verdict open") {
  gate::BatchFile file = goodBatch();
  file.batch.steps.erase(file.batch.steps.begin() + 4);
  CHECK(findingOf(judgeBatch(Gate::cure, file), "route") != nullptr);
  file = goodBatch();
  file.batch.holds = {{60, "a pad fell", {}}};
  CHECK(judgeBatch(Gate::cure, file).outcome == Outcome::cannot_decide);
}

TEST_CASE(
    "the final gate needs the cure gate's release, the finishing operations and an approval") {
  gate::BatchFile file = goodBatch();
  PlanLine line = file.plan.lines.front();
  line.gate = Gate::final;
  file.plan.lines = {line};
  file.part.route.push_back({Step::finish, {}, {"grind"}, {}});
  file.batch.steps.push_back(counted(16, Step::finish, 36));
  file.batch.steps.back().what = "grind";
  file.batch.cure.release = 50;
  Approval approval;
  approval.code = "A-1";
  approval.kind = ApprovalKind::customer_approval;
  approval.parts = {"P-1"};
  approval.compounds = {{"C-1", 1, 1}};
  approval.plates = {"plate-1"};
  approval.valid_from = {2026, 1, 1};
  approval.valid_until = Day{2026, 3, 2};
  file.cover = {gate::madeOf(file.batch, file.part, file.lots, "here"), {{approval, 1, {}, ""}}};
  CHECK(judgeBatch(Gate::final, file).outcome == Outcome::conforms);
  gate::BatchFile expired = file;
  expired.today = {2026, 3, 3};
  const VerdictGiven ended = judgeBatch(Gate::final, expired);
  CHECK(ended.outcome == Outcome::cannot_decide);
  REQUIRE(findingOf(ended, "approval") != nullptr);
  CHECK(findingOf(ended, "approval")->sentence ==
        "Customer approval A-1 issue 1 ended on 2026-03-02; the day is 2026-03-03.");
  CHECK(findingOf(ended, "approval")->source == "customer approval A-1 issue 1");
  gate::BatchFile new_adhesive = file;
  new_adhesive.cover.made.adhesives = {"glue-2"};
  new_adhesive.cover.made.compound_issue = 2;
  const VerdictGiven outside = judgeBatch(Gate::final, new_adhesive);
  CHECK(std::count_if(outside.findings.begin(), outside.findings.end(), [](const Finding& f) {
          return f.characteristic == "approval" && f.word == FindingWord::missing;
        }) == 2);
  gate::BatchFile not_ground = file;
  not_ground.batch.steps.back().what = "slot";
  CHECK(findingOf(judgeBatch(Gate::final, not_ground), "finishing") != nullptr);
  gate::BatchFile overtaken = file;
  overtaken.batch.cure.overtaken_by = 55;
  CHECK(findingOf(judgeBatch(Gate::final, overtaken), "cure gate") != nullptr);
}

TEST_CASE("the digest covers every member: same file same digest, other file other digest") {
  const gate::BatchFile file = goodBatch();
  const VerdictGiven verdict = judgeBatch(Gate::cure, file);
  CHECK(verdict.digest == judgeBatch(Gate::cure, file).digest);
  CHECK(verdict.digest == gate::verdictDigest(verdict));
  CHECK(verdict.digest.size() == 64);
  gate::BatchFile later = file;
  later.seen = 101;
  CHECK(judgeBatch(Gate::cure, later).digest != verdict.digest);
}

TEST_CASE("the order of the evidence changes the digest, never the word") {
  // Findings list their figures in the order of the record, so the digest keeps that order.
  const std::vector<Evidence> forth{shear(1, ncm2("300"), "1"), shear(2, ncm2("310"), "2")},
      back{forth[1], forth[0]};
  const PlanLine line = shearLine(atLeast("250"), Statistic::mean, 2);
  CHECK(judgeLot(lotWith(line, forth)).outcome == judgeLot(lotWith(line, back)).outcome);
  CHECK(judgeLot(lotWith(line, forth)).digest != judgeLot(lotWith(line, back)).digest);
}

namespace {

Measure drawnShear() { return {Decimal::fixed(drawn(1000, 6000, 0.1), 1), "N/cm2"}; }

std::vector<Evidence> drawnEvidence() {
  std::vector<Evidence> list;
  const int n = *rc::gen::inRange(0, 6);
  for (int i = 0; i < n; ++i) list.push_back(shear(i + 1, drawnShear(), std::to_string(i + 1)));
  return list;
}

PlanLine drawnLine() {
  const auto statistic = static_cast<Statistic>(*rc::gen::inRange(0, 4));
  return shearLine(limit(Measure{Decimal::fixed(drawn(1500, 3500, 0.1), 1), "N/cm2"}, {}),
                   statistic, *rc::gen::inRange(1, 5));
}

}  // namespace

TEST_CASE("a result outside added to the evidence of each never gives conforms") {
  holds("outside added", [] {
    PlanLine line = drawnLine();
    line.statistic = Statistic::each;
    std::vector<Evidence> evidence = drawnEvidence();
    evidence.insert(evidence.begin() + *rc::gen::inRange<std::ptrdiff_t>(
                                           0, static_cast<std::ptrdiff_t>(evidence.size()) + 1),
                    shear(90, ncm2("99.9"), "x"));
    RC_ASSERT(outcomeOf(lotWith(line, evidence)) == Outcome::does_not_conform);
  });
}

TEST_CASE("a stricter limit never turns the verdict to conforms") {
  holds("monotonic", [] {
    PlanLine line = drawnLine();
    const std::vector<Evidence> evidence = drawnEvidence();
    const Outcome before = outcomeOf(lotWith(line, evidence));
    line.limits.front().lower->value =
        Decimal::fixed(line.limits.front().lower->value.value() + drawn(0, 1000, 0.1), 1);
    if (before != Outcome::conforms)
      RC_ASSERT(outcomeOf(lotWith(line, evidence)) != Outcome::conforms);
  });
}

TEST_CASE("the word is the same when every result is written in MPa") {
  holds("unit invariance", [] {
    const PlanLine line = drawnLine();
    const std::vector<Evidence> evidence = drawnEvidence();
    std::vector<Evidence> in_mpa = evidence;
    for (Evidence& e : in_mpa) e.values.front().value = *convert(e.values.front().value, "MPa", 3);
    RC_ASSERT(wordOf(lotWith(line, evidence)) == wordOf(lotWith(line, in_mpa)));
  });
}

TEST_CASE("the word is the same in every order of the results") {
  holds("order", [] {
    const PlanLine line = drawnLine();
    std::vector<Evidence> evidence = drawnEvidence();
    const FindingWord forth = wordOf(lotWith(line, evidence));
    std::reverse(evidence.begin(), evidence.end());
    RC_ASSERT(wordOf(lotWith(line, evidence)) == forth);
  });
}

TEST_CASE("what a rework lost and a signature scrapped goes into no step after it") {
  gate::BatchFile file = goodBatch();
  Rework rework;
  rework.order_fact = 20;
  rework.done_fact = 21;
  rework.done = ReworkDone{"W-0001", "grinder", {33, {{"cracked", 3}}, 0, 0}, {}, {}, {}};
  file.dispositions.reworks.push_back(rework);
  CHECK(gate::goodPads(file.batch, {}) == 36);
  CHECK(gate::goodPads(file.batch, file.dispositions) == 33);
  file.batch.steps.push_back(counted(22, Step::finish, 33));
  CHECK(gate::goodPads(file.batch, file.dispositions) == 33);
  CHECK(gate::stepTotals(file.batch, file.dispositions).back().in == 33);
  file.dispositions.scraps.push_back({23, {"K7M4J-7", 30, "dropped"}});
  CHECK(gate::goodPads(file.batch, file.dispositions) == 3);
  CHECK_FALSE(gate::allScrapped(file.batch, file.dispositions));
  file.batch.boxed = 3;
  CHECK(gate::allScrapped(file.batch, file.dispositions));
  CHECK_FALSE(gate::allScrapped(file.batch, {}));
}

}  // namespace platemark::test
