/// Each permission of the chain with two writers in a set order, in both stores.
#include "act/order.h"

#include <filesystem>

namespace platemark::test {
namespace {

/// A plant in memory and one in a folder of its own, removed at the end.
struct InMemory {
  Plant plant;
};
struct InSqlite {
  std::string folder = (std::filesystem::temp_directory_path() /
                        ("platemark-order-" + std::to_string(randombytes_random())))
                           .string();
  bool made = std::filesystem::create_directory(folder);
  std::optional<Plant> opened{std::in_place, folder};
  Plant& plant = *opened;
  ~InSqlite() {
    opened.reset();
    std::filesystem::remove_all(folder);
  }
};
#define BOTH_STORES InMemory, InSqlite

Ask hold(const std::string& kind, const std::string& id) {
  return {"hold place",
          R"({"subject":{"kind":")" + kind + R"(","id":")" + id + R"("},"why":"a doubt"})"};
}
Ask press(const std::string& batch) {
  return {
      "press run",
      R"({"batch":")" + batch +
          R"(","machine":"press","tool":"T","gauge":"SC-1","charge_checks":["147 g"],"counts":{"good":40,"samples":0,"rework":0},"remark":{}})"};
}
Ask load(const std::string& batch) {
  return {"load build", R"({"oven":"O-1","clamps":[{"clamp":"1","batch":")" + batch +
                            R"(","pads":40,"tier":1,"position":1}],"remark":{}})"};
}
Ask finish(const std::string& batch) {
  return {
      "batch finish",
      R"({"batch":")" + batch +
          R"(","operation":"grind","machine":"grinder","counts":{"good":38,"samples":0,"rework":0},"remark":{}})"};
}
Ask box(const std::string& batch, int pads = 2) {
  return {"box pack", R"({"batch":")" + batch + R"(","pads":)" + std::to_string(pads) +
                          R"(,"sets":1,"remark":{}})"};
}
Ask ship(const std::string& box) {
  return {"shipment send",
          R"({"customer":"c","order":"1","boxes":[")" + box + R"("],"remark":{}})"};
}
Ask lateReading(const std::string& batch) {
  return {
      "reading take",
      R"({"subject":{"kind":"batch","id":")" + batch +
          R"("},"characteristic":"shear","sample":"1","gauges":[],"numbers":{"force":["24000 N"],"bond_area":["47.2 cm2"]},"repeat_because":"a doubt","remark":{}})"};
}
Ask weigh(const std::string& mix) {
  return {"mix weigh",
          R"({"mix":")" + mix +
              R"(","material":"resin","lot":"R-1","mass":"10 kg","gauge":"SC-1","remark":{}})"};
}
Ask coat(const std::string& batch) {
  return {
      "plates prepare",
      R"({"batch":")" + batch +
          R"(","plate_lot":"B-1","adhesive_lot":"G-1","machine":"coater","counts":{"good":40,"samples":0,"rework":0},"remark":{}})"};
}
Ask approvalEnds() {
  return {
      "approval issue",
      R"({"noun":{"code":"A-1","kind":"customer approval","parts":["MF-1"],"compounds":[{"compound":"C-1","issue_from":1,"issue_to":1}],"plates":["plate-1"],"adhesives":["glue-1"],"valid_from":"2026-01-01","valid_until":"2026-03-01"},"why":"withdrawn"})"};
}
Ask certificate(const Plant& plant, const std::string& batch) {
  return {"paper issue", R"({"paper":"certificate","number":"1","subject":{"kind":"batch","id":")" +
                             batch + R"("},"attachment":")" + plant.attachment +
                             R"(","anchor":1,"anchor_head":"x"})"};
}
const Ask scale_fell{
    "gauge issue",
    R"({"noun":{"code":"SC-1","name":"scale","unit":"g","resolution":"1 g","calibration_due":"2026-03-01","calibration":"K"},"why":"it fell"})"};

std::string openMix(Plant& plant) {
  const Sequence opened =
      plant.done("mix open", R"({"batch":")" + plant.openBatch() + R"(","machine":"mixer"})");
  return plant.store->read()->fact(opened)->body.text("mix");
}
Ask release(Plant& plant, const std::string& batch, const std::string& gate) {
  const Sequence verdict =
      plant.done("batch judge", R"({"batch":")" + batch + R"(","gate":")" + gate + R"("})");
  return {"batch release",
          R"({"batch":")" + batch + R"(","gate":")" + gate + R"(","verdict":)" +
              std::to_string(verdict) + R"(,"meaning":"yes"})",
          true};
}

}  // namespace

TEST_CASE_TEMPLATE("order: a lot is refused or held, then used", Store, BOTH_STORES) {
  Store store;
  Plant& plant = store.plant;
  const Ask refuse{"lot decide", R"({"lot":"R-1","disposition":"refuse","why":"lumps"})"};
  usedFirst(plant, weigh(openMix(plant)), hold("lot", "B-1"));
  takenFirst(plant, refuse, weigh(openMix(plant)), "is refused: lumps");
  takenFirst(plant, hold("lot", "G-1"), coat(plant.openBatch()), "On hold");
}

TEST_CASE_TEMPLATE("order: a lot in the batch is held, then the batch is pressed or loaded", Store,
                   BOTH_STORES) {
  Store store;
  Plant& plant = store.plant;
  const std::string loading = plant.batchUpTo("pressed");
  takenFirst(plant, hold("lot", "R-1"), load(loading), "Lot R-1 in it is on hold: a doubt");
  Store fresh;
  const std::string pressing = fresh.plant.batchUpTo("mixed");
  takenFirst(fresh.plant, hold("lot", "R-1"), press(pressing), "Lot R-1 in it is on hold: a doubt");
}

TEST_CASE_TEMPLATE("order: a lot is measured again, then cleared", Store, BOTH_STORES) {
  Store store;
  Plant& plant = store.plant;
  plant.done(
      "lot receive",
      R"({"lot":"R-9","material":"resin","supplier":"s","supplier_lot":"1","quantity":"100 kg","remark":{}})");
  const auto reading = [](const std::string& why) -> Ask {
    return {
        "reading take",
        R"({"subject":{"kind":"lot","id":"R-9"},"characteristic":"mass","sample":"","gauges":[],"numbers":{"readings":["100 kg"]})" +
            why + R"(,"remark":{}})"};
  };
  plant.done("reading take", reading("").input);
  plant.done("lot judge", R"({"lot":"R-9"})");
  takenFirst(plant, reading(R"(,"repeat_because":"a doubt")"),
             {"lot decide", R"({"lot":"R-9","disposition":"clear"})"}, "overtaken");
}

TEST_CASE_TEMPLATE("order: a batch is held, then pressed, loaded, finished, boxed, shipped", Store,
                   BOTH_STORES) {
  Store store;
  Plant& plant = store.plant;
  const std::string pressing = plant.batchUpTo("mixed"), loading = plant.batchUpTo("pressed"),
                    finishing = plant.batchUpTo("cure released"),
                    leaving = plant.batchUpTo("released"), packed = plant.box(leaving);
  takenFirst(plant, hold("batch", pressing), press(pressing), "On hold");
  takenFirst(plant, hold("batch", loading), load(loading), "On hold");
  takenFirst(plant, hold("batch", finishing), finish(finishing), "On hold");
  usedFirst(plant, box(leaving), hold("batch", pressing));
  const std::string boxing = plant.batchUpTo("released");
  takenFirst(plant, hold("batch", boxing), box(boxing), "On hold");
  takenFirst(plant, hold("batch", leaving), ship(packed), "On hold");
}

TEST_CASE_TEMPLATE("order: a later reading, then finish, box, ship, certify, release", Store,
                   BOTH_STORES) {
  Store store;
  Plant& plant = store.plant;
  const std::string finishing = plant.batchUpTo("cure released"),
                    boxing = plant.batchUpTo("released"), shipping = plant.batchUpTo("released"),
                    packed = plant.box(shipping), certified = plant.batchUpTo("released");
  takenFirst(plant, lateReading(finishing), finish(finishing), "on hold again");
  takenFirst(plant, lateReading(boxing), box(boxing), "on hold again");
  takenFirst(plant, lateReading(shipping), ship(packed), "on hold again");
  takenFirst(plant, lateReading(certified), certificate(plant, certified),
             "the final gate is not released");
  const std::string curing = plant.batchUpTo("sampled"), ending = plant.batchUpTo("finished");
  for (const char* sample : {"1", "2"}) plant.shear(curing, sample);
  takenFirst(plant, lateReading(curing), release(plant, curing, "cure"), "overtaken");
  takenFirst(plant, lateReading(ending), release(plant, ending, "final"), "overtaken");
}

TEST_CASE_TEMPLATE("order: the approval ends, then a box is packed or shipped", Store,
                   BOTH_STORES) {
  Store store;
  Plant& plant = store.plant;
  const std::string batch = plant.batchUpTo("released"), packed = plant.box(batch);
  takenFirst(plant, approvalEnds(), box(batch), "A-1 issue 2 ended on 2026-03-01");
  checkRefused(asked(plant, ship(packed)), "A-1 issue 2 ended on 2026-03-01");
}

TEST_CASE_TEMPLATE("order: the same box leaves twice, the last pads are boxed twice", Store,
                   BOTH_STORES) {
  Store store;
  Plant& plant = store.plant;
  const std::string batch = plant.batchUpTo("released"), packed = plant.box(batch, 8);
  takenFirst(plant, ship(packed), ship(packed), "left with shipment");
  const Answers twice = inOrder(plant, box(batch, 20), box(batch, 20));
  CHECK(bool(twice.first));
  CHECK_FALSE(bool(twice.second));
  CHECK(plant.batch(batch).boxed == 28);
}

TEST_CASE_TEMPLATE("order: the scale falls out of calibration, then weighs", Store, BOTH_STORES) {
  Store store;
  takenFirst(store.plant, scale_fell, weigh(openMix(store.plant)), "out of calibration");
}

TEST_CASE_TEMPLATE("order: the permit is taken, or ends while the act waits", Store, BOTH_STORES) {
  const Ask open{"batch open", R"({"part":"MF-1","plates":1})"};
  {
    Store store;
    const Ask left{
        "person issue",
        R"({"noun":{"number":1,"duty":"nobody","public_key":"","permits":[]},"why":"left"})"};
    takenFirst(store.plant, left, open, "has no permit");
  }
  Store store;
  Plant& plant = store.plant;
  const std::string until_today =
      R"({"noun":{"number":1,"duty":"planner","public_key":"","permits":[{"operation":"batch","until":"2026-03-02"}]},"why":"last day"})";
  plant.done("person issue", until_today);
  Result<ledger::Receipt> answer = Error{};
  Standstill writer(plant);
  writer.queue(open, answer);
  plant.clock->forward(one_day_ms);
  writer.goOn();
  checkRefused(answer, "had a permit until 2026-03-02");
}

}  // namespace platemark::test
