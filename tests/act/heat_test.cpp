/// What the pads of a load saw is recorded only while the record still says what it was computed
/// from; and what is issued for it.
#include "act/cure_plant.h"
#include "act/order.h"
#include "platemark/act/heat_files.h"

namespace platemark::test {
namespace {

/// A load with a recording, and what a computation for it would send.
struct Computed : CurePlant {
  Computed() {
    batch_code = batchUpTo("loaded");
    load_code = CurePlant::batch(batch_code).loads.front();
    recording = done("cure record", cureInput(load_code, "121")) - 1;
  }
  [[nodiscard]] std::string heat(const std::string& degree = "97.5", int survey = 1,
                                 int stacking = 1, bool adopted = false, int kinetics = 1,
                                 int oven = 2) const {
    return R"({"computed":{"load":")" + load_code + R"(","recording":)" +
           std::to_string(recording) + R"(,"method_version":1,"inputs_hash":"","oven_issue":)" +
           std::to_string(oven) + R"(,"survey":{"code":"S-1","issue":)" + std::to_string(survey) +
           R"(},"stacking":{"code":"ST-1","issue":)" + std::to_string(stacking) +
           R"(},"kinetics":[{"code":"K-1","issue":)" + std::to_string(kinetics) + R"(,"adopted":)" +
           (adopted ? "true" : "false") +
           R"(}],"pads":40,"worst":[{"what":"least cured","clamp":"1","batch":")" + batch_code +
           R"(","pad":6,"value":")" + degree +
           R"( %"}]},"figures":[{"subject":{"kind":"batch","id":")" + batch_code +
           R"("},"characteristic":"","sample":"","method":"cure.load","method_version":1,"inputs_hash":"","values":[)"
           R"({"name":"least_degree","value":")" +
           degree + R"( %","determined":)" + (adopted ? "true" : "false") +
           R"(},{"name":"hottest","value":"181.2 Cel","determined":true}]}]})";
  }
  [[nodiscard]] std::vector<Evidence> heatEvidence() const {
    std::vector<Evidence> list;
    for (const Evidence& e : CurePlant::batch(batch_code).evidence)
      if (e.method == "cure.load" && !e.corrected_by) list.push_back(e);
    return list;
  }
  /// What the cure gate says of one line of the plan.
  [[nodiscard]] Finding found(const std::string& characteristic) const {
    const auto file = act::batchFile(*store->read(), batch_code, *parseDay("2026-03-02"));
    REQUIRE(bool(file));
    for (const Finding& f : gate::judgeBatch(Gate::cure, *file).findings)
      if (f.characteristic == characteristic) return f;
    FAIL("no finding");
    return {};
  }
  std::string batch_code, load_code;
  Sequence recording = 0;
};

}  // namespace

TEST_CASE(
    "what the pads saw is kept with figures of each batch; computed again, the newer stands") {
  Computed plant;
  plant.done("load heat", plant.heat("97.5"));
  const auto load = plant.state<LoadState>(projection::load, plant.load_code);
  REQUIRE(load.heat);
  CHECK(load.heat->worst.front().pad == 6);
  REQUIRE(plant.heatEvidence().size() == 1);
  CHECK(plant.heatEvidence().front().reading == plant.recording);
  plant.done("load heat", plant.heat("97.4"));
  REQUIRE(plant.heatEvidence().size() == 1);
  CHECK(plant.heatEvidence().front().values.front().value.value.text() == "97.4");
}

TEST_CASE("a degree of cure without adopted kinetics decides nothing, for or against") {
  Computed plant;
  CHECK(plant.found("degree").word == FindingWord::missing);
  plant.done("load heat", plant.heat("99.9"));
  CHECK(plant.found("degree").word == FindingWord::missing);
  CHECK(plant.found("hottest pad").word == FindingWord::inside);
  plant.adopt();
  plant.done("load heat", plant.heat("99.9", 1, 1, true));
  CHECK(plant.found("degree").word == FindingWord::inside);
  plant.done("load heat", plant.heat("94.9", 1, 1, true));
  CHECK(plant.found("degree").word == FindingWord::outside_below);
}

TEST_CASE("a good degree of cure never turns a failed window into a pass") {
  Computed plant;
  plant.adopt();
  plant.done("cure record", plant.cureInput(plant.load_code, "60",
                                            R"({"corrects":)" + std::to_string(plant.recording) +
                                                R"(,"why":"the wrong file"})"));
  plant.recording =
      plant.state<LoadState>(projection::load, plant.load_code).recording_facts.back();
  plant.done("load heat", plant.heat("99.9", 1, 1, true));
  CHECK(plant.found("degree").word == FindingWord::inside);
  CHECK(plant.found("soak").word == FindingWord::outside_below);
  const auto file = act::batchFile(*plant.store->read(), plant.batch_code, *parseDay("2026-03-02"));
  CHECK(gate::judgeBatch(Gate::cure, *file).outcome == Outcome::does_not_conform);
}

TEST_CASE("a mended recording takes along what was computed from it") {
  Computed plant;
  plant.done("load heat", plant.heat());
  plant.done("cure record", plant.cureInput(plant.load_code, "121",
                                            R"({"corrects":)" + std::to_string(plant.recording) +
                                                R"(,"why":"the wrong file"})"));
  CHECK(plant.heatEvidence().empty());
  CHECK_FALSE(plant.state<LoadState>(projection::load, plant.load_code).heat);
  checkCode(plant.ask("load heat", plant.heat()), "heat.overtaken");
}

TEST_CASE("what was computed from an older issue is refused") {
  Computed plant;
  checkCode(plant.ask("load heat", plant.heat("97", 2)), "heat.overtaken");
  checkCode(plant.ask("load heat", plant.heat("97", 1, 2)), "heat.overtaken");
  checkCode(plant.ask("load heat", plant.heat("97", 1, 1, true)), "heat.overtaken");
  checkCode(plant.ask("load heat", plant.heat("97", 1, 1, false, 2)), "heat.overtaken");
  checkCode(plant.ask("load heat", plant.heat("97", 1, 1, false, 1, 1)), "heat.overtaken");
  plant.done("load heat", plant.heat("97"));
}

TEST_CASE("a figure for a batch of another load is refused") {
  Computed plant;
  std::string input = plant.heat();
  const std::string subject = R"("kind":"batch","id":")" + plant.batch_code;
  input.replace(input.find(subject), subject.size(), R"("kind":"batch","id":"NONE)");
  checkCode(plant.ask("load heat", input), "heat.other_batch");
}

TEST_CASE("order: the survey or the adoption changes, then the heat is recorded") {
  const Ask survey{"survey issue", CurePlant::survey("2026-02-20")};
  const Ask adopt{"kinetics adopt", CurePlant::adoption(), true};
  for (const Ask& taking : {survey, adopt}) {
    CAPTURE(taking.name);
    Computed plant;
    const Answers answers = inOrder(plant, taking, {"load heat", plant.heat()});
    CHECK(bool(answers.first));
    checkCode(answers.second, "heat.overtaken");
    Computed other;
    usedFirst(other, {"load heat", other.heat()}, taking);
  }
}

TEST_CASE("what is missing for the heat is said with who supplies it") {
  Plant plant;
  const std::string batch = plant.batchUpTo("loaded");
  const std::string load = plant.batch(batch).loads.front();
  const auto files = [&] { return act::heatFiles(*plant.store->read(), load, "Europe/Berlin"); };
  CHECK(files().error().code == "heat.missing");
  CHECK(missingWords(files().error()).find("no recording") != std::string::npos);
  plant.done("cure record", plant.cureInput(load, "121"));
  const std::string words = missingWords(files().error());
  CHECK(words.find("No survey of O-1 is on record. / process engineer") != std::string::npos);
  CHECK(words.find("How pads are stacked in O-1") != std::string::npos);
  plant.done("machine issue", CurePlant::oven());
  plant.done("stacking issue", CurePlant::stacking());
  std::string survey = CurePlant::survey();
  survey.replace(survey.find(R"("tier":1)"), 8, R"("tier":7)");
  plant.done("survey issue", survey);
  CHECK(missingWords(files().error()).find("says nothing of tier 1, position 1") !=
        std::string::npos);
  plant.done("survey issue", CurePlant::survey());
  CHECK(bool(files()));
}

TEST_CASE("the survey of a day is the newest one made by then") {
  CurePlant plant;
  plant.done("survey issue", CurePlant::survey("2026-02-20", 90, "-2 K"));
  const auto of = [&](const std::string& day) {
    return act::surveyOf(*plant.store->read(), "O-1", *parseDay(day))->issue;
  };
  CHECK(of("2026-02-19") == 1);
  CHECK(of("2026-02-20") == 2);
  CHECK(of("2026-01-01") == 1);
  CHECK_FALSE(act::surveyOf(*plant.store->read(), "O-9", *parseDay("2026-02-20")));
}

TEST_CASE("kinetics are adopted issue by issue, once, after reading") {
  CurePlant plant;
  checkCode(plant.sign("kinetics adopt", CurePlant::adoption(2)), "kinetics.unknown");
  checkCode(
      plant.sign("kinetics adopt", R"({"kinetics":"K-1","issue":1,"document_read":"","why":""})"),
      "adopt.document");
  plant.adopt();
  checkCode(plant.sign("kinetics adopt", CurePlant::adoption()), "adopt.adopted");
  plant.done("kinetics issue", CurePlant::kinetics("measured again"));
  plant.adopt(2);
}

TEST_CASE("an oven has one survey and one stacking, a compound one set of kinetics") {
  CurePlant plant;
  for (const auto& [act, body, code] : {std::tuple{"survey issue", CurePlant::survey(), "S-1"},
                                        {"stacking issue", CurePlant::stacking(), "ST-1"},
                                        {"kinetics issue", CurePlant::kinetics(), "K-1"}}) {
    std::string other = body;
    other.replace(other.find(code), std::string(code).size(), "X-1");
    const auto answer = plant.ask(act, other);
    REQUIRE_FALSE(bool(answer));
    CHECK(answer.error().code.find(".taken") != std::string::npos);
    plant.done(act, body);
  }
}

}  // namespace platemark::test
