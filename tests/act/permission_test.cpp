/// May I? Each no says what is missing and who can supply it. It happened all
/// the same: kept with its reason, marked, and what follows is held.
#include "act/plant_fixture.h"

namespace platemark::test {
namespace {

const std::string regular = "{}";
const std::string happened = R"({"why":"the crew did not know"})";

std::string weighInput(const std::string& mix, const std::string& lot,
                       const std::string& remark = regular, const std::string& gauge = "SC-1") {
  return R"({"mix":")" + mix + R"(","material":"resin","lot":")" + lot +
         R"(","mass":"10 kg","gauge":")" + gauge + R"(","remark":)" + remark + "}";
}
std::string platesInput(const std::string& batch, const std::string& glue,
                        const std::string& remark = regular) {
  return R"({"batch":")" + batch + R"(","plate_lot":"B-1",)" +
         (glue.empty() ? "" : R"("adhesive_lot":")" + glue + R"(",)") +
         R"("machine":"coater","counts":{"good":40,"samples":0,"rework":0},"remark":)" + remark +
         "}";
}
std::string pressInput(const std::string& batch, const std::string& remark = regular) {
  return R"({"batch":")" + batch +
         R"(","machine":"press","tool":"T","gauge":"SC-1","charge_checks":["147 g"],"counts":{"good":40,"samples":0,"rework":0},"remark":)" +
         remark + "}";
}
std::string loadInput(const std::string& batch, const std::string& remark = regular) {
  return R"({"oven":"O-1","clamps":[{"clamp":"1","batch":")" + batch +
         R"(","pads":40,"tier":1,"position":1}],"remark":)" + remark + "}";
}
std::string finishInput(const std::string& batch, const std::string& remark = regular) {
  return R"({"batch":")" + batch +
         R"(","operation":"grind","machine":"grinder","counts":{"good":38,"samples":0,"rework":0},"remark":)" +
         remark + "}";
}
std::string boxInput(const std::string& batch, int pads = 8, const std::string& remark = regular) {
  return R"({"batch":")" + batch + R"(","pads":)" + std::to_string(pads) +
         R"(,"sets":2,"remark":)" + remark + "}";
}
std::string shipInput(const std::string& box, const std::string& remark = regular) {
  return R"({"customer":"a customer","order":"1","boxes":[")" + box + R"("],"remark":)" + remark +
         "}";
}
std::string releaseInput(const std::string& batch, Sequence verdict,
                         const std::string& gate = "cure") {
  return R"({"batch":")" + batch + R"(","gate":")" + gate + R"(","verdict":)" +
         std::to_string(verdict) + R"(,"meaning":"I release it"})";
}
std::string judgeInput(const std::string& batch, const std::string& gate = "cure") {
  return R"({"batch":")" + batch + R"(","gate":")" + gate + R"("})";
}
std::string receiveInput(const std::string& lot, const std::string& more = "") {
  return R"({"lot":")" + lot +
         R"(","material":"resin","supplier":"s","supplier_lot":"1","quantity":"100 kg",)" + more +
         R"("remark":{}})";
}
std::string shearInput(const std::string& batch, const std::string& sample,
                       const std::string& more = R"("gauges":["FM-1"],"remark":{})") {
  return R"({"subject":{"kind":"batch","id":")" + batch +
         R"("},"characteristic":"shear","sample":")" + sample +
         R"(","numbers":{"force":["24000 N"],"bond_area":["47.2 cm2"]},)" + more + "}";
}

/// A press run that mends another, with its count of good pads.
std::string mendedPress(const std::string& batch, int good, Sequence corrects) {
  return R"({"batch":")" + batch +
         R"(","machine":"press","tool":"T","gauge":"SC-1","charge_checks":["147 g"],"counts":{"good":)" +
         std::to_string(good) +
         R"(,"scrap":{"cracked":1},"samples":0,"rework":0},"remark":{"corrects":)" +
         std::to_string(corrects) + R"(,"why":"counted again"}})";
}

std::string openMix(Plant& plant, const std::string& batch) {
  const Sequence opened =
      plant.done("mix open", R"({"batch":")" + batch + R"(","machine":"mixer"})");
  return plant.store->read()->fact(opened)->body.text("mix");
}

/// Reported with a reason: one irregular fact and the hold of the batch.
void checkKeptAndHeld(Plant& plant, const std::string& batch, const Result<ledger::Receipt>& answer,
                      const std::string& kind) {
  const std::string why = answer ? "" : describe(answer.error()) + missingWords(answer.error());
  REQUIRE_MESSAGE(bool(answer), why);
  const Fact fact = *plant.store->read()->fact(answer->sequences.front());
  CHECK(fact.kind == kind);
  REQUIRE(fact.body["remark"]["irregular"].asArray() != nullptr);
  const std::vector<Hold> holds = plant.batch(batch).holds;
  REQUIRE_FALSE(holds.empty());
  CHECK_FALSE(holds.back().lifted_by.has_value());
  CHECK_FALSE(plant.batch(batch).cure.open());
  CHECK_FALSE(plant.batch(batch).final.open());
  checkRefused(plant.ask("box pack", boxInput(batch)), "On hold");
}

}  // namespace

TEST_CASE("a lot that may not be used is refused in a mix, and reported it holds the batch") {
  Plant plant;
  const std::string batch = plant.openBatch(), mix = openMix(plant, batch);
  plant.done("lot receive", receiveInput("R-2"));
  plant.done("lot receive", receiveInput("R-9"));
  plant.done("lot decide", R"({"lot":"R-9","disposition":"refuse","why":"lumps"})");
  std::string lot, words, gauge = "SC-1";
  SUBCASE("not cleared") { lot = "R-2", words = "not cleared"; }
  SUBCASE("refused") { lot = "R-9", words = "is refused: lumps"; }
  SUBCASE("wrong material") { lot = "I-1", words = "resin is wanted here"; }
  SUBCASE("unknown") { lot = "R-77", words = "is not on record"; }
  SUBCASE("scale out of calibration") {
    lot = "R-1", words = "out of calibration since 2026-01-31", gauge = "OLD-1";
  }
  SUBCASE("held") {
    lot = "R-1", words = "On hold: wet bag";
    plant.done("hold place", R"({"subject":{"kind":"lot","id":"R-1"},"why":"wet bag"})");
  }
  SUBCASE("measured again after it was cleared") {
    lot = "R-1", words = "was cleared, but";
    plant.done(
        "reading take",
        R"({"subject":{"kind":"lot","id":"R-1"},"characteristic":"mass","sample":"","gauges":[],"numbers":{"readings":["80 kg"]},"repeat_because":"a doubt","remark":{}})");
  }
  checkRefused(plant.ask("mix weigh", weighInput(mix, lot, regular, gauge)), words);
  checkRefused(plant.ask("mix weigh", weighInput(mix, lot, R"({"why":""})", gauge)), words);
  CHECK(plant.state<MixState>(projection::mix, mix).weighings.empty());
  checkKeptAndHeld(plant, batch, plant.ask("mix weigh", weighInput(mix, lot, happened, gauge)),
                   "mix.weighed");
}

TEST_CASE("an expired lot is refused on the day after its use-by date, not on it") {
  Plant plant;
  plant.done("lot receive", receiveInput("R-3", R"("use_by":"2026-03-03",)"));
  plant.done(
      "reading take",
      R"({"subject":{"kind":"lot","id":"R-3"},"characteristic":"mass","sample":"","gauges":[],"numbers":{"readings":["100 kg"]},"remark":{}})");
  plant.done("lot judge", R"({"lot":"R-3"})");
  plant.done("lot decide", R"({"lot":"R-3","disposition":"clear"})");
  const std::string mix = openMix(plant, plant.openBatch());
  plant.clock->forward(one_day_ms);
  plant.done("mix weigh", weighInput(mix, "R-3"));
  plant.clock->forward(one_day_ms);
  checkRefused(plant.ask("mix weigh", weighInput(mix, "R-3")), "expired on 2026-03-03");
}

TEST_CASE("a lot is cleared only on a newest verdict that conforms") {
  Plant plant;
  plant.done("lot receive", receiveInput("R-4"));
  const std::string clear = R"({"lot":"R-4","disposition":"clear"})";
  checkRefused(plant.ask("lot decide", clear), "has not been judged");
  plant.done("lot judge", R"({"lot":"R-4"})");
  checkRefused(plant.ask("lot decide", clear), "cannot decide");
  plant.done(
      "reading take",
      R"({"subject":{"kind":"lot","id":"R-4"},"characteristic":"mass","sample":"","gauges":[],"numbers":{"readings":["80 kg"]},"remark":{}})");
  checkRefused(plant.ask("lot decide", clear), "overtaken");
  plant.done("lot judge", R"({"lot":"R-4"})");
  checkRefused(plant.ask("lot decide", clear), "does not conform");
  checkCode(plant.ask("lot decide", R"({"lot":"R-4","disposition":"refuse"})"), "lot.why_missing");
}

TEST_CASE("plates need the adhesive lot of their part") {
  Plant plant;
  const std::string batch = plant.openBatch();
  checkRefused(plant.ask("plates prepare", platesInput(batch, "")), "no adhesive lot was named");
  checkRefused(plant.ask("plates prepare", platesInput(batch, "R-1")), "glue-1 is wanted here");
  checkKeptAndHeld(plant, batch, plant.ask("plates prepare", platesInput(batch, "", happened)),
                   "plates.prepared");
}

TEST_CASE("the route's order is asked before pressing and loading") {
  Plant plant;
  const std::string batch = plant.openBatch();
  checkRefused(plant.ask("press run", pressInput(batch)), "'plates' must come before 'press'");
  plant.plates(batch);
  checkRefused(plant.ask("press run", pressInput(batch)), "'mix' must come before 'press'");
  plant.mix(batch);
  checkRefused(plant.ask("load build", loadInput(batch)), "'press' must come before 'clamp'");
  checkKeptAndHeld(plant, batch, plant.ask("load build", loadInput(batch, happened)), "load.built");
  checkRefused(plant.ask("press run", pressInput(batch)), "On hold");
  checkKeptAndHeld(plant, batch, plant.ask("press run", pressInput(batch, happened)), "press.run");
}

TEST_CASE("a machine must be on record and of the class the step needs") {
  Plant plant;
  const std::string batch = plant.openBatch();
  const auto open = [&](const std::string& machine) {
    return plant.ask("mix open", R"({"batch":")" + batch + R"(","machine":")" + machine + R"("})");
  };
  checkCode(open(""), "machine.unknown");
  checkCode(open("press"), "machine.other_class");
  const auto answer = open("mixr");
  checkCode(answer, "machine.unknown");
  CHECK(answer.error().where.field == "machine");
  CHECK(answer.error().expected == "mixer");
  CHECK(bool(open("mixer")));
}

TEST_CASE("finishing waits for the cure gate") {
  Plant plant;
  const std::string batch = plant.batchUpTo("sampled");
  checkRefused(plant.ask("batch finish", finishInput(batch)), "the cure gate has not been judged");
  plant.done("batch judge", judgeInput(batch));
  checkRefused(plant.ask("batch finish", finishInput(batch)),
               "the cure gate says 'cannot decide' and is not signed");
  checkKeptAndHeld(plant, batch, plant.ask("batch finish", finishInput(batch, happened)),
                   "batch.finished");
}

TEST_CASE("boxing waits for the final gate") {
  Plant plant;
  const std::string batch = plant.batchUpTo("finished");
  checkRefused(plant.ask("box pack", boxInput(batch)), "the final gate has not been judged");
  checkKeptAndHeld(plant, batch, plant.ask("box pack", boxInput(batch, 8, happened)), "box.packed");
}

TEST_CASE("no more pads are boxed than there are") {
  Plant plant;
  const std::string batch = plant.batchUpTo("released");
  checkRefused(plant.ask("box pack", boxInput(batch, 39)), "38 good pads left to pack, not 39");
  plant.box(batch, 30);
  checkRefused(plant.ask("box pack", boxInput(batch, 9)), "8 good pads left");
  plant.box(batch, 8);
}

TEST_CASE("nothing leaves without a live approval, and no box leaves twice") {
  Plant plant;
  const std::string batch = plant.batchUpTo("released"), box = plant.box(batch);
  const std::string ended =
      R"({"noun":{"code":"A-1","kind":"customer approval","parts":["MF-1"],"compounds":[{"compound":"C-1","issue_from":1,"issue_to":1}],"plates":["plate-1"],"adhesives":["glue-1"],"valid_from":"2026-01-01","valid_until":"2026-03-01"},"why":"withdrawn"})";
  SUBCASE("ended by a new issue") { plant.done("approval issue", ended); }
  SUBCASE("expired") { plant.clock->forward(305 * one_day_ms); }
  SUBCASE("shipped already") {
    plant.done("shipment send", shipInput(box));
    checkRefused(plant.ask("shipment send", shipInput(box)), "left with shipment D-00001");
    return;
  }
  checkRefused(plant.ask("box pack", boxInput(batch)), "ended on 2026-");
  checkRefused(plant.ask("shipment send", shipInput(box)), "ended on 2026-");
  checkKeptAndHeld(plant, batch, plant.ask("shipment send", shipInput(box, happened)),
                   "shipment.sent");
}

TEST_CASE("shipping is held with the batch") {
  Plant plant;
  const std::string batch = plant.batchUpTo("released"), box = plant.box(batch);
  plant.done("hold place",
             R"({"subject":{"kind":"batch","id":")" + batch + R"("},"why":"a complaint"})");
  checkRefused(plant.ask("shipment send", shipInput(box)), "On hold: a complaint");
}

TEST_CASE("a release needs its newest verdict, conforming, and the signer's own key") {
  Plant plant;
  const std::string batch = plant.batchUpTo("sampled");
  checkRefused(plant.sign("batch release", releaseInput(batch, 1)), "has not been judged");
  const Sequence undecided = plant.done("batch judge", judgeInput(batch));
  checkRefused(plant.sign("batch release", releaseInput(batch, undecided)), "cannot decide");
  plant.shear(batch, "1");
  checkRefused(plant.sign("batch release", releaseInput(batch, undecided)), "overtaken");
  plant.shear(batch, "2");
  const Sequence verdict = plant.done("batch judge", judgeInput(batch));
  checkRefused(plant.sign("batch release", releaseInput(batch, undecided)),
               "newest verdict is fact " + std::to_string(verdict));
  checkCode(plant.ask("batch release", releaseInput(batch, verdict)), "act.signature_needed");
  How other;
  other.signer = Key().signer();
  checkRefused(plant.ask("batch release", releaseInput(batch, verdict), other),
               "the key is not the one on record for number 1");
  CHECK(bool(plant.sign("batch release", releaseInput(batch, verdict))));
  checkCode(plant.sign("batch release", releaseInput(batch, verdict)), "release.signed");
}

TEST_CASE("a certificate waits for the final release") {
  Plant plant;
  const std::string batch = plant.batchUpTo("finished");
  const std::string paper =
      R"({"paper":"certificate","number":"C-1","subject":{"kind":"batch","id":")" + batch +
      R"("},"attachment":")" + plant.attachment + R"(","anchor":1,"anchor_head":"x"})";
  checkRefused(plant.ask("paper issue", paper), "the final gate is not released");
  plant.release(batch, "final");
  CHECK(bool(plant.ask("paper issue", paper)));
}

TEST_CASE("a person without a permit, with an expired one, or unknown is refused") {
  Plant plant;
  plant.done(
      "person issue",
      R"({"noun":{"number":2,"duty":"packing crew","public_key":"","permits":[{"operation":"batch","until":"2026-03-02"}]},"why":""})");
  const How second{2, "", {}, {}, {}};
  CHECK(bool(plant.ask("batch open", R"({"part":"MF-1","plates":40})", second)));
  checkRefused(plant.ask("lot receive", receiveInput("R-5"), second), "has no permit for it");
  checkRefused(plant.ask("lot receive", receiveInput("R-5"), {3, "", {}, {}, {}}),
               "not known to the plant");
  plant.clock->forward(one_day_ms);
  checkRefused(plant.ask("batch open", R"({"part":"MF-1","plates":40})", second),
               "had a permit until 2026-03-02");
  checkRefused(plant.ask("batch open", R"({"part":"MF-1","plates":40})",
                         {2, "", "2026-03-02T08:00:00Z", "written late", {}}),
               "had a permit until");
}

TEST_CASE("late needs its reason; the future has not happened") {
  Plant plant;
  const std::string open = R"({"part":"MF-1","plates":40})";
  checkCode(plant.ask("batch open", open, {1, "", "2026-03-02T07:29:00Z", {}, {}}), "act.late");
  CHECK(bool(plant.ask("batch open", open, {1, "", "2026-03-02T07:31:00Z", {}, {}})));
  const auto late =
      plant.ask("batch open", open, {1, "", "2026-03-02T06:00:00Z", "the network was down", {}});
  REQUIRE(bool(late));
  CHECK(plant.store->read()->fact(late->sequences.front())->happened.late_because ==
        "the network was down");
  checkCode(plant.ask("batch open", open, {1, "", "2026-03-02T08:06:00Z", {}, {}}), "act.future");
  checkCode(plant.ask("batch open", open, {1, "", "yesterday", {}, {}}), "time.not_a_time");
}

TEST_CASE("a correction names its reason, and a fact of the same kind about the same thing") {
  Plant plant;
  const std::string batch = plant.batchUpTo("sampled"), other = plant.openBatch();
  const Sequence reading = plant.shear(batch, "1");
  const auto with = [&](const std::string& of, const std::string& remark) {
    return plant.ask("reading take", shearInput(of, "1", R"("gauges":[],"remark":)" + remark));
  };
  const std::string n = std::to_string(reading);
  checkCode(with(batch, R"({"corrects":)" + n + "}"), "correction.why_missing");
  checkCode(with(batch, R"({"corrects":)" + std::to_string(reading + 1) + R"(,"why":"x"})"),
            "correction.other_kind");
  checkCode(with(batch, R"({"corrects":99999,"why":"x"})"), "correction.unknown");
  const Sequence lot_reading = *plant.lot("R-1").evidence.front().reading;
  checkCode(with(batch, R"({"corrects":)" + std::to_string(lot_reading) + R"(,"why":"x"})"),
            "correction.other_subject");
  checkCode(
      plant.ask(
          "reading take",
          R"({"subject":{"kind":"batch","id":")" + batch +
              R"("},"characteristic":"flatness","sample":"","gauges":[],"numbers":{"readings":["20 um"]},"remark":{"corrects":)" +
              n + R"(,"why":"x"}})"),
      "correction.other_characteristic");
  CHECK(bool(with(batch, R"({"corrects":)" + n + R"(,"why":"x"})")));
  for (const auto& [name, input] :
       {std::pair{"box pack", boxInput(batch, 8, R"({"corrects":1,"why":"x"})")},
        {"load build", loadInput(other, R"({"corrects":1,"why":"x"})")}})
    checkCode(plant.ask(name, input), "correction.other_kind");
}

TEST_CASE("a repeat needs its reason and counts; a sample must have been drawn") {
  Plant plant;
  const std::string batch = plant.batchUpTo("sampled");
  plant.shear(batch, "1");
  checkCode(plant.ask("reading take", shearInput(batch, "1")), "reading.repeat");
  CHECK(bool(plant.ask(
      "reading take",
      shearInput(batch, "1",
                 R"("gauges":["FM-1"],"repeat_because":"the pad slipped","remark":{})"))));
  CHECK(plant.batch(batch).evidence.back().repeat);
  checkCode(plant.ask("reading take", shearInput(batch, "7")), "reading.sample_unknown");
}

TEST_CASE("a reading with a gauge out of calibration is kept and never counted") {
  Plant plant;
  const std::string batch = plant.batchUpTo("sampled");
  plant.done("reading take", shearInput(batch, "1", R"("gauges":["OLD-1"],"remark":{})"));
  plant.shear(batch, "2");
  CHECK_FALSE(plant.batch(batch).evidence[plant.batch(batch).evidence.size() - 2].doubts.empty());
  const Sequence verdict = plant.done("batch judge", judgeInput(batch));
  CHECK(plant.store->read()->fact(verdict)->body.text("outcome") == "cannot decide");
}

TEST_CASE("an unconfirmed limit is adopted with a signature and the document that was read") {
  Plant plant;
  plant.done(
      "plan issue",
      R"({"noun":{"code":"CP-lot","name":"lots","lines":[{"characteristic":"mass","words":"mass","gate":"lot","method":"statistics.summary_mass","output":"mean","statistic":"each","samples":1,"sampling":"",
    "limits":[{"lower":"90 kg","source":{"document":"a regulation","edition":"","clause":"","confirmed":false,"legal":true}}],"who":""}]},"why":"a legal limit"})");
  plant.done("lot receive", receiveInput("R-6"));
  plant.done(
      "reading take",
      R"({"subject":{"kind":"lot","id":"R-6"},"characteristic":"mass","sample":"","gauges":[],"numbers":{"readings":["100 kg"]},"remark":{}})");
  const auto outcome = [&] {
    const Sequence verdict = plant.done("lot judge", R"({"lot":"R-6"})");
    return plant.store->read()->fact(verdict)->body.text("outcome");
  };
  CHECK(outcome() == "cannot decide");
  const auto adopt = [](const std::string& document, const std::string& issue = "2") {
    return R"({"plan":"CP-lot","plan_issue":)" + issue +
           R"(,"characteristic":"mass","document_read":")" + document + R"(","why":"needed"})";
  };
  checkCode(plant.ask("limit adopt", adopt("the regulation, page 3")), "act.signature_needed");
  checkCode(plant.sign("limit adopt", adopt("")), "adopt.document");
  checkCode(plant.sign("limit adopt", adopt("the regulation, page 3", "1")), "adopt.confirmed");
  checkCode(plant.sign("limit adopt", adopt("the regulation, page 3", "7")), "plan.unknown");
  REQUIRE(bool(plant.sign("limit adopt", adopt("the regulation, page 3"))));
  CHECK(outcome() == "conforms");
}

TEST_CASE("a hold is lifted once, with its reason; the batch is judged again before it goes on") {
  Plant plant;
  const std::string batch = plant.batchUpTo("cure released");
  const std::string subject = R"("subject":{"kind":"batch","id":")" + batch + R"("})";
  checkCode(plant.ask("hold place", "{" + subject + R"(,"why":""})"), "hold.why");
  const Sequence hold = plant.done("hold place", "{" + subject + R"(,"why":"a pad fell"})");
  const std::string lift =
      "{" + subject + R"(,"hold":)" + std::to_string(hold) + R"(,"why":"it was another batch"})";
  const Sequence judged = plant.done("batch judge", judgeInput(batch));
  CHECK(plant.store->read()->fact(judged)->body.text("outcome") == "cannot decide");
  plant.done("hold lift", lift);
  checkCode(plant.ask("hold lift", lift), "hold.none");
  checkRefused(plant.ask("batch finish", finishInput(batch)), "the cure gate says");
  plant.release(batch, "cure");
  plant.finish(batch);
}

TEST_CASE("judging is done today, whatever time is typed") {
  Plant plant;
  const std::string batch = plant.batchUpTo("finished");
  plant.clock->forward(305 * one_day_ms);
  const Sequence verdict = plant.done("batch judge", judgeInput(batch, "final"),
                                      {1, "", "2026-03-02T08:00:00Z", "written late", {}});
  CHECK(plant.store->read()->fact(verdict)->body.text("outcome") == "cannot decide");
}

TEST_CASE("a step's correction takes the place of the step it mends") {
  Plant plant;
  const std::string batch = plant.batchUpTo("pressed");
  const Sequence wrong = plant.batch(batch).steps.back().fact;
  const std::string mended = mendedPress(batch, 39, wrong);
  plant.done("press run", mended);
  const std::vector<StepDone> steps = plant.batch(batch).steps;
  CHECK(steps[steps.size() - 2].corrected_by == steps.back().fact);
  CHECK(steps.back().counts.good == 39);
  checkCode(plant.ask("press run", mended), "correction.mended");
}

TEST_CASE("the same token gives the first answer again, with other input it is refused") {
  Plant plant;
  const How once{1, "T", {}, {}, {}};
  const auto first = plant.ask("batch open", R"({"part":"MF-1","plates":40})", once),
             again = plant.ask("batch open", R"({"part":"MF-1","plates":40})", once);
  REQUIRE(bool(again));
  CHECK(again->repeated);
  CHECK(again->sequences == first->sequences);
  checkCode(plant.ask("batch open", R"({"part":"MF-1","plates":41})", once), "token.reused");
}

}  // namespace platemark::test
