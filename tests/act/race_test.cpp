/// Two writers at once. Whatever the order, what a permission rests on holds in
/// the sequence of the record: each granted act is checked against the states
/// that the facts before it give.
#include <latch>
#include <thread>

#include "act/finishing_plant.h"
#include "platemark/gate/permission.h"
#include "support/folder.h"

namespace platemark::test {
namespace {

constexpr int rounds = 6;

struct Ask {
  std::string name;
  std::string input;
  std::string token = {};
  bool is_signed = false;
};

/// Both at the same moment, from two threads.
struct Answers {
  Result<ledger::Receipt> first, second;
};
Answers atOnce(Plant& plant, const Ask& first, const Ask& second) {
  const auto asked = [&](const Ask& a) {
    How how;
    how.token = a.token;
    return a.is_signed ? plant.sign(a.name, a.input, how) : plant.ask(a.name, a.input, how);
  };
  std::latch start(2);
  Result<ledger::Receipt> answer = Error{};
  std::thread other([&] {
    start.arrive_and_wait();
    answer = asked(second);
  });
  start.arrive_and_wait();
  Result<ledger::Receipt> mine = asked(first);
  other.join();
  return {std::move(mine), std::move(answer)};
}

/// One takes the ground away, one uses it: the taking always succeeds; the use only if it came
/// first.
void race(Plant& plant, const Ask& taking, const Ask& use, const std::string& refused_with) {
  CAPTURE(use.name);
  const Answers answers = atOnce(plant, taking, use);
  REQUIRE_MESSAGE(bool(answers.first), (answers.first ? "" : describe(answers.first.error())));
  if (answers.second) {
    CHECK(answers.second->sequences.front() < answers.first->sequences.front());
  } else {
    checkRefused(answers.second, refused_with);
  }
  // Now that the ground is gone, nobody gets it any more.
  checkRefused(use.is_signed ? plant.sign(use.name, use.input) : plant.ask(use.name, use.input),
               refused_with);
}

std::string hold(const std::string& kind, const std::string& id) {
  return R"({"subject":{"kind":")" + kind + R"(","id":")" + id + R"("},"why":"a doubt"})";
}
std::string pressInput(const std::string& batch) {
  return R"({"batch":")" + batch +
         R"(","machine":"press","tool":"T","gauge":"SC-1","charge_checks":["147 g"],"counts":{"good":40,"samples":0,"rework":0},"remark":{}})";
}
std::string loadInput(const std::string& batch) {
  return R"({"oven":"O-1","clamps":[{"clamp":"1","batch":")" + batch +
         R"(","pads":40,"tier":1,"position":1}],"remark":{}})";
}
std::string finishInput(const std::string& batch) {
  return R"({"batch":")" + batch +
         R"(","operation":"grind","machine":"grinder","counts":{"good":38,"samples":0,"rework":0},"remark":{}})";
}
std::string boxInput(const std::string& batch, int pads) {
  return R"({"batch":")" + batch + R"(","pads":)" + std::to_string(pads) +
         R"(,"sets":1,"remark":{}})";
}
std::string shipInput(const std::string& box) {
  return R"({"customer":"c","order":"1","boxes":[")" + box + R"("],"remark":{}})";
}
std::string lateReading(const std::string& batch) {
  return R"({"subject":{"kind":"batch","id":")" + batch +
         R"("},"characteristic":"shear","sample":"1","gauges":[],"numbers":{"force":["24000 N"],"bond_area":["47.2 cm2"]},"repeat_because":"a doubt","remark":{}})";
}

}  // namespace

TEST_CASE("lot refused or held while it is weighed or coated") {
  for (int i = 0; i < rounds; ++i) {
    const Folder folder;
    Plant plant(folder.path());
    const std::string batch = plant.openBatch();
    const Sequence opened =
        plant.done("mix open", R"({"batch":")" + batch + R"(","machine":"mixer"})");
    const std::string mix = plant.store->read()->fact(opened)->body.text("mix");
    race(plant, {"lot decide", R"({"lot":"R-1","disposition":"refuse","why":"lumps"})"},
         {"mix weigh",
          R"({"mix":")" + mix +
              R"(","material":"resin","lot":"R-1","mass":"10 kg","gauge":"SC-1","remark":{}})"},
         "is refused: lumps");
    race(
        plant, {"hold place", hold("lot", "G-1")},
        {"plates prepare",
         R"({"batch":")" + batch +
             R"(","plate_lot":"B-1","adhesive_lot":"G-1","machine":"coater","counts":{"good":40,"samples":0,"rework":0},"remark":{}})"},
        "On hold");
    // Whoever won: a batch that used a lot which is refused now cannot conform.
    const Sequence verdict =
        plant.done("batch judge", R"({"batch":")" + batch + R"(","gate":"cure"})");
    CHECK(plant.store->read()->fact(verdict)->body.text("outcome") != "conforms");
  }
}

TEST_CASE("lot held or refused while it is put on; batch held while its coat is baked") {
  for (int i = 0; i < rounds; ++i) {
    const Folder folder;
    FinishingPlant plant(folder.path());
    const std::string batch = plant.batchUpTo("cure released");
    race(plant, {"lot decide", R"({"lot":"S-1","disposition":"refuse","why":"bent"})"},
         {"batch finish", FinishingPlant::report(batch, "shim", FinishingPlant::used("S-1", "38"))},
         "is refused: bent");
    race(plant, {"hold place", hold("lot", "T-430")},
         {"batch finish",
          FinishingPlant::report(batch, "spot", FinishingPlant::spots("T-430", "T-560"))},
         "On hold");
    plant.done("batch finish", FinishingPlant::report(batch, "coat", FinishingPlant::used("P-1")));
    race(plant, {"hold place", hold("batch", batch)},
         {"bake enter", FinishingPlant::bake(batch, FinishingPlant::readings("200 Cel", "11 min"))},
         "On hold");
    // Whoever won: a lot that is refused now cannot have gone through the gate.
    const Sequence verdict =
        plant.done("batch judge", R"({"batch":")" + batch + R"(","gate":"final"})");
    CHECK(plant.store->read()->fact(verdict)->body.text("outcome") != "conforms");
  }
}

TEST_CASE("lot measured again while it is cleared") {
  const Folder folder;
  Plant plant(folder.path());
  for (int i = 0; i < rounds; ++i) {
    const std::string lot = "R-1" + std::to_string(i);
    plant.done(
        "lot receive",
        R"({"lot":")" + lot +
            R"(","material":"resin","supplier":"s","supplier_lot":"1","quantity":"100 kg","remark":{}})");
    const auto reading = [&](const std::string& why) {
      return R"({"subject":{"kind":"lot","id":")" + lot +
             R"("},"characteristic":"mass","sample":"","gauges":[],"numbers":{"readings":["100 kg"]})" +
             why + R"(,"remark":{}})";
    };
    plant.done("reading take", reading(""));
    plant.done("lot judge", R"({"lot":")" + lot + R"("})");
    race(plant, {"reading take", reading(R"(,"repeat_because":"a doubt")")},
         {"lot decide", R"({"lot":")" + lot + R"(","disposition":"clear"})"}, "overtaken");
  }
}

TEST_CASE("batch held while it is pressed, loaded, finished") {
  const Folder folder;
  Plant plant(folder.path());
  for (int i = 0; i < rounds; ++i) {
    const std::string pressing = plant.batchUpTo("mixed"), loading = plant.batchUpTo("pressed"),
                      finishing = plant.batchUpTo("cure released");
    race(plant, {"hold place", hold("batch", pressing)}, {"press run", pressInput(pressing)},
         "On hold");
    race(plant, {"hold place", hold("batch", loading)}, {"load build", loadInput(loading)},
         "On hold");
    race(plant, {"hold place", hold("batch", finishing)}, {"batch finish", finishInput(finishing)},
         "On hold");
  }
}

TEST_CASE("a later reading while the batch is finished, released, boxed, shipped, certified") {
  const Folder folder;
  Plant plant(folder.path());
  for (int i = 0; i < rounds; ++i) {
    const std::string finishing = plant.batchUpTo("cure released");
    race(plant, {"reading take", lateReading(finishing)}, {"batch finish", finishInput(finishing)},
         "on hold again");
    const std::string boxing = plant.batchUpTo("released");
    race(plant, {"reading take", lateReading(boxing)}, {"box pack", boxInput(boxing, 2)},
         "on hold again");
    const std::string shipping = plant.batchUpTo("released"), box = plant.box(shipping);
    race(plant, {"reading take", lateReading(shipping)}, {"shipment send", shipInput(box)},
         "on hold again");
    const std::string certified = plant.batchUpTo("released");
    race(plant, {"reading take", lateReading(certified)},
         {"paper issue", R"({"paper":"certificate","number":"1","subject":{"kind":"batch","id":")" +
                             certified + R"("},"attachment":")" + plant.attachment +
                             R"(","anchor":1,"anchor_head":"x"})"},
         "the final gate is not released");
    const std::string releasing = plant.batchUpTo("finished");
    const Sequence verdict =
        plant.done("batch judge", R"({"batch":")" + releasing + R"(","gate":"final"})");
    const Ask release{"batch release",
                      R"({"batch":")" + releasing + R"(","gate":"final","verdict":)" +
                          std::to_string(verdict) + R"(,"meaning":"yes"})",
                      "", true};
    const Answers answers = atOnce(plant, {"reading take", lateReading(releasing)}, release);
    REQUIRE(bool(answers.first));
    CHECK_FALSE(plant.batch(releasing).final.open());
    if (!answers.second) checkRefused(answers.second, "overtaken");
  }
}

TEST_CASE("approval withdrawn while pads are marked, boxed or shipped") {
  for (int i = 0; i < rounds; ++i) {
    const Folder folder;
    Plant plant(folder.path());
    plant.needsApproval("grind");
    const std::string batch = plant.batchUpTo(i % 3 == 0 ? "cure released" : "released");
    const Ask withdrawn{"approval issue", Plant::typeApproval(R"("withdrawn_from":"2026-03-02")")};
    const std::string words = "T-1 issue 2 of the authority is withdrawn from 2026-03-02 on";
    if (i % 3 == 0)
      race(plant, withdrawn, {"batch finish", finishInput(batch)}, words);
    else if (i % 3 == 1)
      race(plant, withdrawn, {"box pack", boxInput(batch, 2)}, words);
    else
      race(plant, withdrawn, {"shipment send", shipInput(plant.box(batch))}, words);
  }
}

TEST_CASE("two ship the same box: one shipment; two box the last pads: never more than there are") {
  const Folder folder;
  Plant plant(folder.path());
  for (int i = 0; i < rounds; ++i) {
    const std::string batch = plant.batchUpTo("released"), box = plant.box(batch, 8);
    const Answers shipped =
        atOnce(plant, {"shipment send", shipInput(box)}, {"shipment send", shipInput(box)});
    CHECK(bool(shipped.first) != bool(shipped.second));
    checkRefused(shipped.first ? shipped.second : shipped.first, "left with shipment");
    const Answers packed =
        atOnce(plant, {"box pack", boxInput(batch, 20)}, {"box pack", boxInput(batch, 20)});
    CHECK(bool(packed.first) != bool(packed.second));
    CHECK(plant.batch(batch).boxed == 28);
    CHECK(plant.batch(batch).shipped == 8);
  }
}

TEST_CASE("two pack the same box into cartons: one carton has it, and each number is given once") {
  const Folder folder;
  Plant plant(folder.path());
  plant.done("numbering issue",
             R"({"noun":{"code":"sscc","name":"c","company_prefix":"9521234","first_serial":1,)"
             R"("source":"GS1 prefix 952, for examples"},"why":""})");
  const std::string batch = plant.batchUpTo("released");
  for (int i = 0; i < rounds; ++i) {
    const std::string box = plant.box(batch, 1), beside = plant.box(batch, 1),
                      other = plant.box(batch, 1);
    const auto carton = [](const std::string& id) {
      return R"({"boxes":[")" + id + R"("],"remark":{}})";
    };
    const Answers same = atOnce(plant, {"carton pack", carton(box)}, {"carton pack", carton(box)});
    CHECK(bool(same.first) != bool(same.second));
    checkRefused(same.first ? same.second : same.first, "lies in carton");
    const Answers two =
        atOnce(plant, {"carton pack", carton(beside)}, {"carton pack", carton(other)});
    REQUIRE((two.first && two.second));
    CHECK(plant.state<BoxState>(projection::box, beside).carton !=
          plant.state<BoxState>(projection::box, other).carton);
  }
}

TEST_CASE("the same token from two threads gives one fact, different tokens two numbers") {
  const Folder folder;
  Plant plant(folder.path());
  const std::string open = R"({"part":"MF-1","plates":40})";
  for (int i = 0; i < rounds; ++i) {
    const std::string token = "double press " + std::to_string(i);
    const Answers same = atOnce(plant, {"batch open", open, token}, {"batch open", open, token});
    REQUIRE((same.first && same.second));
    CHECK(same.first->sequences == same.second->sequences);
    CHECK(same.first->repeated != same.second->repeated);
    const Answers other = atOnce(plant, {"batch open", open}, {"batch open", open});
    REQUIRE((other.first && other.second));
    const auto stamp = [&](const Result<ledger::Receipt>& r) {
      return plant.store->read()->fact(r->sequences.front())->body.text("batch");
    };
    CHECK(stamp(other.first) != stamp(other.second));
  }
  CHECK(plant.store->verify({}).sound);
}

TEST_CASE("the gauge falls out of calibration, the permit is taken, while they are used") {
  for (int i = 0; i < rounds; ++i) {
    const Folder folder;
    Plant plant(folder.path());
    const Sequence opened =
        plant.done("mix open", R"({"batch":")" + plant.openBatch() + R"(","machine":"mixer"})");
    const std::string mix = plant.store->read()->fact(opened)->body.text("mix");
    race(
        plant,
        {"gauge issue",
         R"({"noun":{"code":"SC-1","name":"scale","unit":"g","resolution":"1 g","calibration_due":"2026-03-01","calibration":"K"},"why":"it fell"})"},
        {"mix weigh",
         R"({"mix":")" + mix +
             R"(","material":"resin","lot":"R-1","mass":"10 kg","gauge":"SC-1","remark":{}})"},
        "out of calibration");
    race(plant,
         {"person issue",
          R"({"noun":{"number":1,"duty":"nobody","public_key":"","permits":[]},"why":"left"})"},
         {"batch open", R"({"part":"MF-1","plates":1})"}, "has no permit");
  }
}

}  // namespace platemark::test
