/// What one act hands to the next: readings that follow their report, target masses, counts after a
/// correction, and time between the steps.
#include <algorithm>

#include "act/plant_fixture.h"

namespace platemark::test {
namespace {

constexpr std::int64_t hour_ms = 3'600'000;

std::string corrects(Sequence fact) {
  return R"({"corrects":)" + std::to_string(fact) + R"(,"why":"misread"})";
}

std::string textOf(const Plant& plant, Sequence fact, const std::string& member) {
  return plant.store->read()->fact(fact)->body.text(member);
}

/// The number of the reading among the facts of an act.
Sequence readingOf(const Plant& plant, const Result<ledger::Receipt>& answer) {
  REQUIRE(bool(answer));
  for (const Sequence s : answer->sequences)
    if (plant.store->read()->fact(s)->kind == "reading.taken") return s;
  FAIL("no reading");
  return 0;
}

std::int64_t mended(const Plant& plant, Sequence reading) {
  const std::optional<Fact> fact = plant.store->read()->fact(reading);
  const std::int64_t* by = fact->body["remark"]["corrects"].asInteger();
  return by == nullptr ? 0 : *by;
}

std::string pressInput(const std::string& batch, const std::string& remark = "{}") {
  return R"({"batch":")" + batch +
         R"(","machine":"press","tool":"T","gauge":"SC-1","charge_checks":["147 g"],)"
         R"("counts":{"good":40},"remark":)" +
         remark + "}";
}

std::string platesInput(const std::string& batch, const std::string& adhesive,
                        const std::string& remark) {
  return R"({"batch":")" + batch + R"(","plate_lot":"B-1",)" + adhesive +
         R"("machine":"coater","film":["20 um"],"gauge":"OLD-1","counts":{"good":40},"remark":)" +
         remark + "}";
}

/// A part like the plant's own, with another plan, route or members.
void partLike(Plant& plant, const std::string& code, const std::string& plan,
              const std::string& route) {
  plant.done("part issue",
             R"({"noun":{"code":")" + code +
                 R"(","name":"pad","compound":"C-1","plate":"plate-1","adhesive":"glue-1",)"
                 R"("plate_thickness":"5 mm","friction_area":"45 cm2","bond_area":"47.2 cm2",)"
                 R"("pad_volume":"48 cm3","friction_thickness":"11 mm","plan":")" +
                 plan + R"(","route":[)" + route + R"(]},"why":""})");
}

std::string open(Plant& plant, const std::string& part) {
  return textOf(plant, plant.done("batch open", R"({"part":")" + part + R"(","plates":40})"),
                "batch");
}

std::string finishInput(const std::string& batch, const std::string& machine,
                        const std::string& remark = "{}") {
  return R"({"batch":")" + batch + R"(","operation":"grind","machine":")" + machine +
         R"(","counts":{"good":38},"remark":)" + remark + "}";
}

}  // namespace

TEST_CASE("each correction of a press run mends the reading of the run before it") {
  Plant plant;
  const std::string batch = plant.batchUpTo("mixed");
  const auto first = plant.ask("press run", pressInput(batch));
  const Sequence first_reading = readingOf(plant, first);
  CHECK(mended(plant, first_reading) == 0);
  const auto second = plant.ask("press run", pressInput(batch, corrects(first->sequences.front())));
  CHECK(mended(plant, readingOf(plant, second)) == static_cast<std::int64_t>(first_reading));
  const auto third = plant.ask("press run", pressInput(batch, corrects(second->sequences.front())));
  CHECK(mended(plant, readingOf(plant, third)) ==
        static_cast<std::int64_t>(readingOf(plant, second)));
}

TEST_CASE("corrected plates mend their film's reading, behind a hold or mended since") {
  Plant plant;
  plant.done("plan issue",
             R"({"noun":{"code":"CP-F","name":"x","lines":[{"characteristic":"adhesive-film",)"
             R"("words":"film","gate":"cure","method":"statistics.summary","output":"mean",)"
             R"("statistic":"each","samples":1,"limits":[],"who":""}]},"why":""})");
  partLike(plant, "MF-F", "CP-F", R"({"step":"plates"})");
  const std::string batch = open(plant, "MF-F"), glue = R"("adhesive_lot":"G-1",)";
  const auto first =
      plant.ask("plates prepare", platesInput(batch, "", R"({"why":"it was done so"})"));
  const Sequence reading = readingOf(plant, first);
  CHECK(reading == first->sequences.front() + 2);
  // The gauge was named, and was out of calibration: kept, not counted.
  const std::vector<Evidence> evidence = plant.batch(batch).evidence;
  REQUIRE(evidence.size() == 1);
  CHECK_FALSE(evidence.front().doubts.empty());
  const auto second =
      plant.ask("plates prepare", platesInput(batch, glue, corrects(first->sequences.front())));
  const Sequence again = readingOf(plant, second);
  CHECK(mended(plant, again) == static_cast<std::int64_t>(reading));
  const auto by_hand =
      plant.ask("reading take", R"({"subject":{"kind":"batch","id":")" + batch +
                                    R"("},"characteristic":"adhesive-film","gauges":[],"numbers":{)"
                                    R"("readings":["21 um"]},"remark":)" +
                                    corrects(again) + "}");
  const auto third =
      plant.ask("plates prepare", platesInput(batch, glue, corrects(second->sequences.front())));
  CHECK(mended(plant, readingOf(plant, third)) ==
        static_cast<std::int64_t>(readingOf(plant, by_hand)));
  const std::vector<Evidence> now = plant.batch(batch).evidence;
  CHECK(std::count_if(now.begin(), now.end(), [](const Evidence& e) { return !e.corrected_by; }) ==
        1);
  checkRefused(plant.ask("plates prepare",
                         platesInput(open(plant, "MF-F"), R"("adhesive_lot":"R-1",)", "{}")),
               "glue-1 is wanted here");
  Value counted = plant.store->read()->fact(readingOf(plant, third))->body["numbers"];
  CHECK(canonicalJson(counted) == R"({"readings":[{"unit":"um","value":"20"}]})");
}

TEST_CASE("the target charge follows the densities of the lots weighed, in grams") {
  Plant plant;
  plant.done("lot receive",
             R"({"lot":"R-2","material":"resin","supplier":"s","supplier_lot":"9","quantity":)"
             R"("100 kg","density":"1.40 g/cm3","remark":{}})");
  const auto target = [&](const std::string& resin, const std::string& remark,
                          const std::string& spilled) {
    const std::string batch = plant.openBatch();
    plant.plates(batch);
    const std::string mix = textOf(
        plant,
        plant.done("mix open", R"({"batch":")" + batch + R"(","machine":"mixer","remark":{}})"),
        "mix");
    const auto weigh = [&](const std::string& material, const std::string& lot,
                           const std::string& why) {
      const auto weighed = plant.ask(
          "mix weigh", R"({"mix":")" + mix + R"(","material":")" + material + R"(","lot":")" + lot +
                           R"(","mass":"10 kg","gauge":"SC-1","remark":)" + why + "}");
      REQUIRE(bool(weighed));
      return weighed->sequences.front();
    };
    weigh("iron", "I-1", "{}");
    const Sequence first = weigh("resin", spilled.empty() ? resin : spilled, remark);
    if (!spilled.empty()) weigh("resin", resin, corrects(first));
    plant.done("mix finish", R"({"mix":")" + mix + R"(","minutes":8,"remark":{}})");
    const auto run = plant.ask("press run", pressInput(batch, R"({"why":"the lot is new"})"));
    REQUIRE(bool(run));
    return canonicalJson(plant.store->read()->fact(run->sequences.front())->body["charge_target"]);
  };
  // 48 cm3 x 3.0 g/cm3 x 1.02 = 146.88 g; the void-free density is 1 / (0.2/1.28 + 0.8/7.8) =
  // 3.863 77 g/cm3 and with resin of 1.40 g/cm3 4.074 63 g/cm3: 146.88 x 4.074 63/3.863 77 =
  // 154.90 g.
  CHECK(target("R-1", "{}", "") == R"({"unit":"g","value":"146.88"})");
  CHECK(target("R-2", R"({"why":"the lot is new"})", "") == R"({"unit":"g","value":"154.90"})");
  CHECK(target("R-1", R"({"why":"the lot is new"})", "R-2") == R"({"unit":"g","value":"146.88"})");
}

TEST_CASE("a drawing keeps how many pads are good after it, corrected ones too") {
  Plant plant;
  const std::string batch = plant.batchUpTo("cured");
  const auto drawn = [&](const std::string& samples, const std::string& remark) {
    const auto answer = plant.ask("samples draw", R"({"batch":")" + batch + R"(","samples":[)" +
                                                      samples + R"(],"remark":)" + remark + "}");
    REQUIRE(bool(answer));
    return answer->sequences.front();
  };
  const auto good = [&](Sequence fact) {
    return *plant.store->read()->fact(fact)->body["counts"]["good"].asInteger();
  };
  const Sequence first = drawn(R"({"sample":"1","clamp":"1"},{"sample":"2","clamp":"1"})", "{}");
  CHECK(good(first) == 38);
  CHECK(good(drawn(R"({"sample":"3","clamp":"1"})", "{}")) == 37);
  // 37 and the 2 taken back, less 3.
  CHECK(good(drawn(R"({"sample":"1","clamp":"1"},{"sample":"2","clamp":"1"},)"
                   R"({"sample":"4","clamp":"1"})",
                   corrects(first))) == 36);
}

TEST_CASE(
    "a drawing may be corrected away from results that were mended, not from those that count") {
  Plant plant;
  const std::string batch = plant.batchUpTo("sampled");
  const Sequence drawn = plant.batch(batch).samples_drawn.back();
  plant.shear(batch, "1");
  const auto only = [&](const std::string& sample) {
    return plant.ask("samples draw", R"({"batch":")" + batch + R"(","samples":[{"sample":")" +
                                         sample + R"(","clamp":"1"}],"remark":{"corrects":)" +
                                         std::to_string(drawn) + R"(,"why":"misread"}})");
  };
  const auto away = only("2");
  REQUIRE(bool(away));
  CHECK(plant.batch(batch).holds.size() == 1);
  CHECK(plant.batch(batch).holds.front().why.find("Sample 1 has a result for shear") !=
        std::string::npos);
  const std::string kept = plant.batchUpTo("sampled");
  plant.shear(kept, "1");
  const auto keep =
      plant.ask("samples draw", R"({"batch":")" + kept +
                                    R"(","samples":[{"sample":"1","clamp":"1"}],"remark":)" +
                                    corrects(plant.batch(kept).samples_drawn.back()) + "}");
  REQUIRE(bool(keep));
  CHECK(plant.batch(kept).holds.empty());
}

TEST_CASE("a box is corrected within what its batch had, or moved to another batch") {
  Plant plant;
  const std::string batch = plant.batchUpTo("released"), other = plant.batchUpTo("released");
  const auto pack = [&](const std::string& of, int pads, const std::string& remark) {
    return plant.ask("box pack", R"({"batch":")" + of + R"(","pads":)" + std::to_string(pads) +
                                     R"(,"sets":2,"remark":)" + remark + "}");
  };
  const auto all = pack(batch, 38, "{}");
  REQUIRE(bool(all));
  checkRefused(pack(batch, 1, "{}"), "has 0 good pads left to pack, not 1");
  const auto same = pack(batch, 38, corrects(all->sequences.front()));
  REQUIRE(bool(same));
  CHECK(plant.batch(batch).holds.empty());
  CHECK(plant.batch(batch).boxed == 38);
  const auto moved = pack(other, 38, corrects(same->sequences.front()));
  REQUIRE(bool(moved));
  CHECK(plant.batch(batch).boxed == 0);
  CHECK(plant.batch(other).boxed == 38);
  CHECK(plant.batch(other).holds.empty());
  // Nothing of the other batch was in the box: its own 38 are not given back twice.
  const std::string third = plant.batchUpTo("released");
  const auto own = pack(third, 30, "{}");
  REQUIRE(bool(own));
  const auto more = pack(third, 9, corrects(moved->sequences.front()));
  REQUIRE(bool(more));
  CHECK(plant.batch(third).holds.size() == 1);
}

TEST_CASE("finishing keeps its window and needs a cleared machine; its correction does not") {
  Plant plant;
  partLike(plant, "MF-W", "CP-1",
           R"({"step":"plates"},{"step":"mix"},{"step":"press"},{"step":"clamp"},{"step":"cure",)"
           R"("programme":"P-180"},{"step":"sample"},{"step":"finish","operations":["grind"],)"
           R"("windows":[{"since":"press","at_most":"8 h"}]})");
  plant.done("approval issue",
             R"({"noun":{"code":"A-W","kind":"customer approval","parts":["MF-W"],"compounds":[)"
             R"({"compound":"C-1","issue_from":1,"issue_to":1}],"plates":["plate-1"],"adhesives":)"
             R"(["glue-1"],"plants":[],"valid_from":"2026-01-01"},"why":""})");
  const std::string batch = open(plant, "MF-W");
  plant.plates(batch);
  plant.mix(batch);
  plant.press(batch);
  plant.cure(plant.load(batch), batch);
  plant.samples(batch);
  plant.shear(batch, "1");
  plant.shear(batch, "2");
  plant.release(batch, "cure");
  const auto first = plant.ask("batch finish", finishInput(batch, "grinder"));
  REQUIRE(bool(first));
  for (const std::string machine : {"coater", "press"})
    plant.done("line clear",
               R"({"machine":")" + machine + R"(","cleaned":"blown out","remark":{}})");
  const std::string next = plant.batchUpTo("cure released");
  checkRefused(plant.ask("batch finish", finishInput(next, "grinder")), "has not been cleared");
  plant.clock->forward(9 * hour_ms);
  checkRefused(plant.ask("batch finish", finishInput(batch, "grinder")), "must follow within");
  const auto again =
      plant.ask("batch finish", finishInput(batch, "grinder", corrects(first->sequences.front())));
  REQUIRE(bool(again));
  CHECK(plant.batch(batch).holds.empty());
}

TEST_CASE("a load keeps the window of its clamping, or of its cure where nothing is clamped") {
  Plant plant;
  const std::string before = R"({"step":"plates"},{"step":"mix"},{"step":"press"},)";
  const std::string window = R"("windows":[{"since":"press","at_most":"2 h"}])";
  partLike(plant, "MF-K", "CP-1",
           before + R"({"step":"clamp",)" + window + R"(},{"step":"cure","programme":"P-180"})");
  partLike(plant, "MF-L", "CP-1", before + R"({"step":"cure","programme":"P-180",)" + window + "}");
  const auto build = [&](const std::string& batch) {
    return plant.ask("load build", R"({"oven":"O-1","clamps":[{"clamp":"1","batch":")" + batch +
                                       R"(","pads":40,"tier":1,"position":1}],"remark":{}})");
  };
  for (const std::string part : {"MF-K", "MF-L"}) {
    CAPTURE(part);
    const auto pressed = [&] {
      for (const std::string machine : {"coater", "press"})
        (void)plant.ask("line clear",
                        R"({"machine":")" + machine + R"(","cleaned":"blown out","remark":{}})");
      const std::string batch = open(plant, part);
      plant.plates(batch);
      plant.mix(batch);
      plant.press(batch);
      return batch;
    };
    const std::string soon = pressed();
    CHECK(bool(build(soon)));
    const std::string late = pressed();
    plant.clock->forward(2 * hour_ms + 1);
    checkRefused(build(late), "must follow within");
  }
}

TEST_CASE("a load has one programme; a deviation is for the part and programme that it names") {
  Plant plant;
  plant.done(
      "programme issue",
      R"({"noun":{"code":"P-200","name":"200","segments":[{"target":"200 Cel","tolerance":)"
      R"("5 K","soak_minutes":60}],"longest_gap":"5 min","load_in_below":"60 Cel"},"why":""})");
  partLike(plant, "MF-H", "CP-1",
           R"({"step":"plates"},{"step":"mix"},{"step":"press"},{"step":"clamp"},{"step":"cure",)"
           R"("programme":"P-200"})");
  const auto allow = [&](const std::string& part, const std::string& of, const std::string& use) {
    const auto allowed = plant.sign(
        "deviation allow", R"({"part":")" + part + R"(","step":"cure","instead_of":")" + of +
                               R"(","use":")" + use +
                               R"(","reason":"x","batches":1,"from":"2026-03-02","until":)"
                               R"("2026-03-02"})");
    REQUIRE(bool(allowed));
    return R"(")" + textOf(plant, allowed->sequences.front(), "deviation") + R"(")";
  };
  const auto pressed = [&](const std::string& part) {
    for (const std::string machine : {"coater", "press"})
      (void)plant.ask("line clear",
                      R"({"machine":")" + machine + R"(","cleaned":"blown out","remark":{}})");
    const std::string batch = open(plant, part);
    plant.plates(batch);
    plant.mix(batch);
    plant.press(batch);
    return batch;
  };
  const auto clamp = [](const std::string& batch, const std::string& name) {
    return R"({"clamp":")" + name + R"(","batch":")" + batch + R"(","pads":20,"tier":1,)" +
           R"("position":)" + name + "}";
  };
  const auto build = [&](const std::string& clamps, const std::string& deviations) {
    return plant.ask("load build", R"({"oven":"O-1","clamps":[)" + clamps + R"(],"deviations":[)" +
                                       deviations + R"(],"remark":{}})");
  };
  const std::string own = pressed("MF-1"), hotter = pressed("MF-H");
  checkCode(build(clamp(own, "1") + "," + clamp(hotter, "2"), ""), "load.programmes");
  const std::string other_part = allow("MF-H", "P-180", "P-200"),
                    other_programme = allow("MF-1", "P-200", "P-180"),
                    fits = allow("MF-1", "P-180", "P-200");
  const auto wrong =
      build(clamp(own, "1") + "," + clamp(hotter, "2"), other_part + "," + other_programme);
  checkCode(wrong, "load.programmes");
  const auto right = build(clamp(own, "1") + "," + clamp(hotter, "2") + "," + clamp(own, "3"),
                           other_part + "," + other_programme + "," + fits);
  const std::string why = right ? "" : describe(right.error()) + missingWords(right.error());
  REQUIRE_MESSAGE(bool(right), why);
  CHECK(textOf(plant, right->sequences.front(), "programme") == "P-200");
}

TEST_CASE("a batch that lies in two clamps is asked about once") {
  Plant plant;
  const std::string batch = plant.batchUpTo("mixed");
  const auto answer =
      plant.ask("load build", R"({"oven":"O-1","clamps":[{"clamp":"1","batch":")" + batch +
                                  R"(","pads":20,"tier":1,"position":1},{"clamp":"2","batch":")" +
                                  batch + R"(","pads":20,"tier":1,"position":2}],"remark":{}})");
  REQUIRE_FALSE(bool(answer));
  CHECK(answer.error().missing.size() == 1);
}

TEST_CASE("a lot that a correction took out of the batch does not speak for it any more") {
  Plant plant;
  plant.clearedLot("B-2", "plate-1");
  const std::string batch = plant.openBatch();
  const auto prepare = [&](const std::string& lot, const std::string& remark) {
    return plant.done("plates prepare",
                      R"({"batch":")" + batch + R"(","plate_lot":")" + lot +
                          R"(","adhesive_lot":"G-1","machine":"coater","counts":{"good":40},)" +
                          R"("remark":)" + remark + "}");
  };
  const Sequence first = prepare("B-2", "{}");
  const std::vector<Subject> subjects = plant.store->read()->fact(first)->subjects;
  CHECK(subjects == std::vector<Subject>{{"batch", batch}, {"lot", "B-2"}, {"lot", "G-1"}});
  prepare("B-1", corrects(first));
  plant.done("hold place", R"({"subject":{"kind":"lot","id":"B-2"},"why":"rust"})");
  plant.mix(batch);
  const auto file = act::batchFile(*plant.store->read(), batch, Day{2026, 3, 2});
  REQUIRE(bool(file));
  std::vector<std::string> lots;
  for (const LotState& lot : file->lots) lots.push_back(lot.received.lot);
  CHECK(lots == std::vector<std::string>{"B-1", "G-1", "R-1", "I-1"});
}

TEST_CASE("a lot that was weighed twice is one lot; a mix that is finished may be corrected") {
  Plant plant;
  const std::string batch = plant.batchUpTo("mixed"), mix = plant.batch(batch).mixes.front();
  const MixState state = plant.state<MixState>(projection::mix, mix);
  const Sequence weighed = state.weighings.front().fact;
  plant.done("mix weigh", R"({"mix":")" + mix +
                              R"(","material":"resin","lot":"I-1","mass":"10 kg","gauge":"SC-1",)" +
                              R"("remark":)" + corrects(weighed) + "}");
  const auto file = act::batchFile(*plant.store->read(), batch, Day{2026, 3, 2});
  REQUIRE(bool(file));
  CHECK(file->lots.size() == 3);  // plates, adhesive, iron; the resin's was corrected
  Sequence finished = 0;
  for (const Fact& f : plant.store->read()->factsOf({"mix", mix}, 0, 100))
    if (f.kind == "mix.finished") finished = f.sequence;
  plant.done("mix finish",
             R"({"mix":")" + mix + R"(","minutes":9,"remark":)" + corrects(finished) + "}");
}

TEST_CASE("plates without adhesive, of a part that has none, need none") {
  Plant plant;
  plant.done("part issue",
             R"({"noun":{"code":"MF-N","name":"pad","compound":"C-1","plate":"plate-1",)"
             R"("plate_thickness":"5 mm","friction_area":"45 cm2","bond_area":"47.2 cm2",)"
             R"("pad_volume":"48 cm3","friction_thickness":"11 mm","plan":"CP-1","route":)"
             R"([{"step":"plates"}]},"why":""})");
  const std::string batch = open(plant, "MF-N");
  plant.done("plates prepare", R"({"batch":")" + batch +
                                   R"(","plate_lot":"B-1","machine":"coater","counts":)"
                                   R"({"good":40},"remark":{}})");
  CHECK(plant.batch(batch).holds.empty());
}

TEST_CASE("a correction of one report says nothing of another of its kind") {
  Plant plant;
  const std::string batch = plant.batchUpTo("cured");
  const auto draw = [&](const std::string& sample, const std::string& remark) {
    return plant.done("samples draw", R"({"batch":")" + batch + R"(","samples":[{"sample":")" +
                                          sample + R"(","clamp":"1"}],"remark":)" + remark + "}");
  };
  const Sequence first = draw("1", "{}"), second = draw("2", "{}");
  draw("3", corrects(first));
  draw("4", corrects(second));
  CHECK(plant.batch(batch).samples.size() == 2);
}

TEST_CASE("a batch record is issued at any time, a certificate after the final gate") {
  Plant plant;
  const std::string batch = plant.openBatch();
  const auto issue = [&](const std::string& paper) {
    return plant.ask("paper issue", R"({"paper":")" + paper +
                                        R"(","number":"1","subject":{"kind":"batch","id":")" +
                                        batch + R"("},"attachment":")" + plant.attachment +
                                        R"(","anchor":1,"anchor_head":"h"})");
  };
  CHECK(bool(issue("batch record")));
  checkRefused(issue("certificate"), "the final gate is not released");
}

TEST_CASE("a first piece is asked for its operations alone, each named once") {
  Plant plant;
  const auto line = [](const std::string& what, const std::string& at) {
    return R"({"characteristic":")" + what + R"(","words":"x","gate":)" + at +
           R"(,"method":"statistics.summary","output":"mean","statistic":"each","samples":1,)" +
           R"("limits":[],"who":""})";
  };
  const std::string press = R"("set-up","operation":"press")";
  plant.done("plan issue", R"({"noun":{"code":"CP-1","name":"x","lines":[)" + line("a", press) +
                               "," + line("b", press) + "," +
                               line("c", R"("set-up","operation":"grind")") + "," +
                               line("shear", R"("cure")") + R"(]},"why":"first pieces"})");
  const std::string batch = plant.openBatch();
  const auto make = [&](const std::string& operation) {
    return plant.ask("set-up make", R"({"batch":")" + batch + R"(","operation":")" + operation +
                                        R"(","machine":"press","remark":{}})");
  };
  checkCode(make("bake"), "set-up.not_asked");
  CHECK(make("bake").error().expected == "press, grind");
  CHECK(bool(make("grind")));
}

TEST_CASE("a characteristic of two gates is read by the line of its subject") {
  Plant plant;
  const auto line = [](const std::string& at, const std::string& method,
                       const std::string& output) {
    return R"({"characteristic":"mass","words":"x","gate":)" + at + R"(,"method":")" + method +
           R"(","output":")" + output + R"(","statistic":"each","samples":1,"limits":[],"who":""})";
  };
  plant.done("plan issue",
             R"({"noun":{"code":"CP-1","name":"x","lines":[)" +
                 line(R"("set-up","operation":"press")", "statistics.summary_mass", "mean") + "," +
                 line(R"("final")", "statistics.summary", "mean") + R"(]},"why":"two gates"})");
  const std::string batch = plant.openBatch();
  const Sequence taken =
      plant.done("reading take", R"({"subject":{"kind":"batch","id":")" + batch +
                                     R"("},"characteristic":"mass","gauges":[],"numbers":)"
                                     R"({"readings":["20 um"]},"remark":{}})");
  CHECK(textOf(plant, taken, "method") == "statistics.summary");
}

}  // namespace platemark::test
