/// Later, corrected and changed facts: what was judged without them is held again.
#include "act/plant_fixture.h"

namespace platemark::test {
namespace {

std::string corrects(Sequence fact) {
  return R"({"corrects":)" + std::to_string(fact) + R"(,"why":"a typing error"})";
}

}  // namespace

TEST_CASE("one batch goes from its lots to a shipment, and a rebuild gives the same states") {
  Plant plant;
  const std::string batch = plant.wholeBatch();
  CHECK(plant.batch(batch).shipped == 8);
  CHECK(plant.store->verify({}).sound);
  const std::string live = plant.store->projectionDigest();
  REQUIRE(bool(plant.store->rebuildProjections()));
  CHECK(plant.store->projectionDigest() == live);
}

TEST_CASE("a late reading overtakes the verdict and holds the batch; judged again it may go on") {
  Plant plant;
  const std::string batch = plant.batchUpTo("cure released");
  plant.done("samples draw",
             R"({"batch":")" + batch +
                 R"(","samples":[{"sample":"3","clamp":"1"}],"retained":"1","remark":{}})");
  CHECK_FALSE(plant.batch(batch).cure.open());
  plant.done("batch judge", R"({"batch":")" + batch + R"(","gate":"cure"})");
  plant.shear(batch, "3");
  CHECK(plant.batch(batch).cure.overtaken_by.has_value());
  plant.release(batch, "cure");
  CHECK(plant.batch(batch).cure.open());
}

TEST_CASE("a corrected reading overtakes both gates, replaces the first and may turn the verdict") {
  Plant plant;
  const std::string batch = plant.batchUpTo("sampled");
  const Sequence first = plant.shear(batch, "1");
  plant.shear(batch, "2");
  plant.release(batch, "cure");
  plant.finish(batch);
  plant.release(batch, "final");
  plant.shear(batch, "1", "2400 N", corrects(first));
  CHECK_FALSE(plant.batch(batch).cure.open());
  CHECK_FALSE(plant.batch(batch).final.open());
  const Sequence verdict =
      plant.done("batch judge", R"({"batch":")" + batch + R"(","gate":"cure"})");
  CHECK(plant.store->read()->fact(verdict)->body.text("outcome") == "does not conform");
  int counting = 0;
  for (const Evidence& e : plant.batch(batch).evidence)
    counting += e.characteristic == "shear" && !e.corrected_by;
  CHECK(counting == 2);
  const std::string live = plant.store->projectionDigest();
  REQUIRE(bool(plant.store->rebuildProjections()));
  CHECK(plant.store->projectionDigest() == live);
}

namespace {

/// The figures of a characteristic that still count.
std::vector<Evidence> counting(Plant& plant, const std::string& batch, const std::string& name) {
  std::vector<Evidence> list;
  for (const Evidence& e : plant.batch(batch).evidence)
    if (e.characteristic == name && !e.corrected_by) list.push_back(e);
  return list;
}

std::string platesWith(const std::string& batch, const std::string& film,
                       const std::string& remark = "{}") {
  return R"({"batch":")" + batch +
         R"(","plate_lot":"B-1","adhesive_lot":"G-1","machine":"coater","gauge":"FM-1","film":[)" +
         film + R"(],"counts":{"good":40,"samples":0,"rework":0},"remark":)" + remark + "}";
}

}  // namespace

TEST_CASE("a corrected press run is computed anew, and its first charge weight counts no more") {
  Plant plant;
  const std::string batch = plant.batchUpTo("pressed");
  REQUIRE(counting(plant, batch, "charge-weight").size() == 1);
  for (const std::string check : {"150 g", "151 g"}) {
    Sequence run = 0;
    for (const StepDone& step : plant.batch(batch).steps)
      if (step.step == Step::press && !step.corrected_by) run = step.fact;
    plant.done("press run",
               R"({"batch":")" + batch +
                   R"(","machine":"press","tool":"T-1","gauge":"SC-1","charge_checks":[")" + check +
                   R"("],"counts":{"good":40,"samples":0,"rework":0},"remark":)" + corrects(run) +
                   "}");
    const std::vector<Evidence> now = counting(plant, batch, "charge-weight");
    REQUIRE(now.size() == 1);
    CHECK(*now.front().reading > run);
  }
  CHECK(plant.batch(batch).evidence.size() == 3);
}

TEST_CASE("corrected plates bring their film readings along, or are refused") {
  Plant plant;
  const std::string batch = plant.openBatch();
  const Sequence first =
      plant.ask("plates prepare", platesWith(batch, R"("24 um","26 um")"))->sequences.front();
  checkCode(plant.ask("plates prepare", platesWith(batch, "", corrects(first))),
            "plates.film_missing");
  CHECK(counting(plant, batch, "adhesive-film").size() == 1);
  plant.done("plates prepare", platesWith(batch, R"("34 um","36 um")", corrects(first)));
  const std::vector<Evidence> now = counting(plant, batch, "adhesive-film");
  REQUIRE(now.size() == 1);
  CHECK(*now.front().reading > first + 2);
  // Plates first reported without readings have nothing that could vanish.
  const std::string bare = plant.openBatch();
  const Sequence without = plant.done("plates prepare", platesWith(bare, ""));
  plant.done("plates prepare", platesWith(bare, "", corrects(without)));
  CHECK(counting(plant, bare, "adhesive-film").empty());
}

TEST_CASE("a corrected recording takes its chart's figure along") {
  Plant plant;
  const std::string batch = plant.batchUpTo("loaded");
  const std::string load = plant.batch(batch).loads.front();
  const Result<ledger::Receipt> wrong = plant.ask("cure record", plant.cureInput(load, "12"));
  REQUIRE(bool(wrong));
  checkCode(plant.ask("cure record", plant.cureInput(load, "121")), "cure.recorded_already");
  plant.done("cure record", plant.cureInput(load, "121", corrects(wrong->sequences.front())));
  const LoadState state = plant.state<LoadState>(projection::load, load);
  REQUIRE(state.evidence.size() == 2);
  CHECK(state.evidence[0].corrected_by.has_value());
  CHECK_FALSE(state.evidence[1].corrected_by.has_value());
}

TEST_CASE("a lot that changes after its use holds every batch it went into") {
  Plant plant;
  const std::string batch = plant.batchUpTo("cure released");
  SUBCASE("refused") {
    plant.done("lot decide", R"({"lot":"G-1","disposition":"refuse","why":"it does not set"})");
  }
  SUBCASE("held") {
    plant.done("hold place", R"({"subject":{"kind":"lot","id":"R-1"},"why":"a rag was found"})");
  }
  SUBCASE("measured again") {
    plant.done(
        "reading take",
        R"({"subject":{"kind":"lot","id":"I-1"},"characteristic":"mass","sample":"","gauges":["SC-1"],"numbers":{"readings":["80 kg"]},"repeat_because":"a doubt","remark":{}})");
  }
  CHECK_FALSE(plant.batch(batch).cure.open());
  const Sequence verdict =
      plant.done("batch judge", R"({"batch":")" + batch + R"(","gate":"cure"})");
  CHECK(plant.store->read()->fact(verdict)->body.text("outcome") != "conforms");
}

TEST_CASE("a figure names the reading it rests on") {
  Plant plant;
  plant.wholeBatch();
  for (const Fact& f : plant.store->read()->factsAfter(0, 10000)) {
    if (f.kind != "figure.computed") continue;
    const std::int64_t reading = *f.body["readings"].asArray()->front().asInteger();
    const std::string kind = plant.store->read()->fact(reading)->kind;
    CHECK_MESSAGE((kind == "reading.taken" || kind == "cure.recorded"), kind);
  }
}

TEST_CASE("a fact is corrected once: the next correction mends the correction") {
  Plant plant;
  const std::string batch = plant.batchUpTo("sampled");
  const Sequence first = plant.shear(batch, "1");
  const Sequence second = plant.shear(batch, "1", "24100 N", corrects(first));
  checkCode(
      plant.ask(
          "reading take",
          R"({"subject":{"kind":"batch","id":")" + batch +
              R"("},"characteristic":"shear","sample":"1","gauges":[],"numbers":{"force":["24000 N"],"bond_area":["47.2 cm2"]},"remark":)" +
              corrects(first) + "}"),
      "correction.mended");
  plant.shear(batch, "1", "24200 N", corrects(second));
}

TEST_CASE("a mix opened after the release overtakes it") {
  Plant plant;
  const std::string batch = plant.batchUpTo("cure released");
  plant.done("mix open", R"({"batch":")" + batch + R"(","machine":"mixer"})");
  CHECK_FALSE(plant.batch(batch).cure.open());
}

}  // namespace platemark::test
