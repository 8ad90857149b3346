/// What was reported wrongly and mended: samples, loads, boxes and shipments.
#include <algorithm>

#include "act/plant_fixture.h"
#include "platemark/ledger/projections.h"

namespace platemark::test {
namespace {

std::string corrects(Sequence fact) {
  return R"({"corrects":)" + std::to_string(fact) + R"(,"why":"misread"})";
}

std::string drawInput(const std::string& batch, const std::string& samples,
                      const std::string& remark = "{}") {
  return R"({"batch":")" + batch + R"(","samples":[)" + samples + R"(],"retained":"","remark":)" +
         remark + "}";
}

std::string loadInput(const std::string& clamps, const std::string& remark = "{}") {
  return R"({"oven":"O-1","clamps":[)" + clamps + R"(],"remark":)" + remark + "}";
}

std::string clampOf(const std::string& batch, const std::string& name = "1") {
  return R"({"clamp":")" + name + R"(","batch":")" + batch + R"(","pads":40,"tier":1,"position":)" +
         name + "}";
}

std::string boxInput(const std::string& batch, int pads, const std::string& remark = "{}") {
  return R"({"batch":")" + batch + R"(","pads":)" + std::to_string(pads) +
         R"(,"sets":2,"remark":)" + remark + "}";
}

std::string shipInput(const std::string& boxes, const std::string& remark = "{}") {
  return R"({"customer":"a customer","order":"1","boxes":[)" + boxes + R"(],"remark":)" + remark +
         "}";
}

/// What the folds made step by step is what they make of the whole record.
void checkRebuilds(Plant& plant) {
  const std::string live = plant.store->projectionDigest();
  REQUIRE(bool(plant.store->rebuildProjections()));
  CHECK(plant.store->projectionDigest() == live);
}

}  // namespace

TEST_CASE("a corrected drawing takes its samples back and balances") {
  Plant plant;
  const std::string batch = plant.batchUpTo("cured");
  const Sequence first = plant.done(
      "samples draw", drawInput(batch, R"({"sample":"1","clamp":"1"},{"sample":"2","clamp":"1"})"));
  plant.done("samples draw", drawInput(batch, R"({"sample":"3","clamp":"1"})"));
  plant.done(
      "samples draw",
      drawInput(
          batch,
          R"({"sample":"1","clamp":"1"},{"sample":"4","clamp":"1"},{"sample":"5","clamp":"1"})",
          corrects(first)));
  std::vector<std::string> names;
  for (const Sample& sample : plant.batch(batch).samples) names.push_back(sample.sample);
  std::sort(names.begin(), names.end());
  CHECK(names == std::vector<std::string>{"1", "3", "4", "5"});
  CHECK(plant.batch(batch).holds.empty());
  plant.shear(batch, "4");
  // Drawn away from under its result: kept, and held.
  const Sequence again = plant.store->read()->factsOf({"batch", batch}, 0, 1000).back().sequence;
  const BatchState before = plant.batch(batch);
  plant.done("samples draw", drawInput(batch, R"({"sample":"6","clamp":"1"})",
                                       corrects(before.samples_drawn.back())));
  CHECK(plant.batch(batch).holds.size() == 1);
  CHECK(again > first);
  checkRebuilds(plant);
}

TEST_CASE("a corrected load keeps its number, and lets go of a batch that never lay in it") {
  Plant plant;
  const std::string right = plant.batchUpTo("pressed"), wrong = plant.batchUpTo("pressed");
  const Sequence built =
      plant.done("load build", loadInput(clampOf(right) + "," + clampOf(wrong, "2")));
  const std::string load = plant.store->read()->fact(built)->body.text("load");
  const Sequence mended = plant.done("load build", loadInput(clampOf(right), corrects(built)));
  CHECK(plant.store->read()->fact(mended)->body.text("load") == load);
  CHECK(plant.state<LoadState>(projection::load, load).built.clamps.size() == 1);
  CHECK(plant.batch(right).loads == std::vector<std::string>{load});
  CHECK(plant.batch(wrong).loads.empty());
  for (const StepDone& step : plant.batch(wrong).steps)
    if (step.step == Step::clamp) CHECK(step.corrected_by == mended);
  checkCode(plant.ask("load build", loadInput(clampOf(right), corrects(built))),
            "correction.mended");
  // The batch may now go into a load of its own.
  REQUIRE(bool(plant.ask("load build", loadInput(clampOf(wrong)))));
  checkRebuilds(plant);
}

TEST_CASE("a corrected box and a corrected shipment move the counts of their batches") {
  Plant plant;
  const std::string batch = plant.batchUpTo("released");
  const Sequence packed = plant.done("box pack", boxInput(batch, 8));
  const std::string box = plant.store->read()->fact(packed)->body.text("box");
  const Sequence fewer = plant.done("box pack", boxInput(batch, 6, corrects(packed)));
  CHECK(plant.store->read()->fact(fewer)->body.text("box") == box);
  CHECK(plant.batch(batch).boxed == 6);
  CHECK(plant.batch(batch).boxes == std::vector<std::string>{box});
  const std::string other = plant.box(batch, 10);
  const Sequence sent = plant.done("shipment send", shipInput("\"" + box + "\",\"" + other + "\""));
  CHECK(plant.batch(batch).shipped == 16);
  plant.done("shipment send", shipInput("\"" + other + "\"", corrects(sent)));
  CHECK(plant.batch(batch).shipped == 10);
  CHECK(plant.state<BoxState>(projection::box, box).shipment.empty());
  CHECK(plant.batch(batch).holds.empty());
  // A box that has left is counted anew: kept, and held.
  const Sequence third = plant.store->read()->factsOf({"box", other}, 0, 10).front().sequence;
  plant.done("box pack", boxInput(batch, 9, corrects(third)));
  CHECK(plant.batch(batch).boxed == 15);
  CHECK(plant.batch(batch).shipped == 9);
  CHECK(plant.batch(batch).holds.size() == 1);
  checkRebuilds(plant);
}

}  // namespace platemark::test
