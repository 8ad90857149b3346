/// A print or a paint spot that is wrong is taken off and put on again, as a rework.
#include "act/finishing_plant.h"

namespace platemark::test {
namespace {

const std::string redone_needs =
    R"("operations":["grind","print","spot"],"needs":[)"
    R"({"operation":"print","materials":[{"material":"ink-1"}],"print":"MF-1 {batch}","redo":true},)"
    R"({"operation":"spot","spots":[{"place":"left edge","threshold":"430 Cel","material":"paint-430"},)"
    R"({"place":"right edge","threshold":"560 Cel","material":"paint-560"}],"redo":true}])";

struct Redo : FinishingPlant {
  Redo() {
    done(
        "plan issue",
        nounOf(
            R"({"code":"CP-1","name":"pads","rework_loops":3,"lines":[)" +
            planLine("shear", "cure", "bench.shear", "shear_strength", R"("lower":"250 N/cm2")") +
            "," + planLine("flatness", "final", "statistics.summary", "max", R"("upper":"50 um")") +
            "]}"));
    done("part issue", partWith(redone_needs));
  }
  std::string finishedWith(const std::string& printed, const std::string& left,
                           const std::string& right) {
    const std::string batch = batchUpTo("cure released");
    finish(batch);
    const std::string text = printed.empty() ? "MF-1 " + batch : printed;
    done("batch finish", report(batch, "print", used("K-1") + R"("printed":")" + text + R"(",)"));
    done("batch finish",
         report(batch, "spot", spots(left, right), R"({"why":"it is what the pads carry"})"));
    if (liftAll(batch)) release(batch, "cure");  // a hold takes the gate's verdict away too
    return batch;
  }
  bool liftAll(const std::string& batch) {
    const std::vector<Hold> holds = Plant::batch(batch).holds;
    for (const Hold& hold : holds)
      if (!hold.lifted_by)
        done("hold lift", R"({"subject":{"kind":"batch","id":")" + batch + R"("},"hold":)" +
                              std::to_string(hold.fact) + R"(,"why":"seen"})");
    return !holds.empty();
  }
  Result<ledger::Receipt> order(const std::string& batch, const std::string& characteristics) {
    const Sequence verdict = done("batch judge", R"({"batch":")" + batch + R"(","gate":"final"})");
    return sign("rework order", R"({"batch":")" + batch + R"(","gate":"final","verdict":)" +
                                    std::to_string(verdict) + R"(,"characteristics":[)" +
                                    characteristics + R"(],"instruction":"wash off, print anew"})");
  }
  Result<ledger::Receipt> redone(const std::string& more, const std::string& rework = "W-0001") {
    return ask("rework report", R"({"rework":")" + rework +
                                    R"(","machine":"grinder","counts":{"good":38})" + more + "}");
  }
};

bool has(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("a wrong print is printed anew under its own order, and then conforms") {
  Redo plant;
  const std::string batch = plant.finishedWith("MF-7", "T-430", "T-560");
  CHECK(has(against(plant.judged(batch)), "'MF-7' was printed"));
  checkRefused(plant.order(batch, R"("spots")"), "'spots' does not stand against the batch");
  REQUIRE(bool(plant.order(batch, R"("print")")));
  checkCode(plant.redone(""), "rework.printed");
  checkCode(plant.redone(R"(,"printed":"x","spots":[{"place":"left edge","lot":"T-430"}])"),
            "rework.spots");
  REQUIRE(bool(plant.redone(R"(,"printed":"MF-8")")));
  CHECK(has(against(plant.judged(batch)), "'MF-8' was printed"));
  REQUIRE(bool(plant.order(batch, R"("print")")));
  REQUIRE(bool(plant.redone(R"(,"printed":"MF-1 )" + batch + "\"", "W-0002")));
  const VerdictGiven verdict = plant.judged(batch);
  CHECK_MESSAGE(verdict.outcome == Outcome::conforms, against(verdict));
}

TEST_CASE("a wrong spot is put on anew in its place; the lot counts as used") {
  Redo plant;
  plant.clearedLot("T-431", "paint-430");
  const std::string batch = plant.finishedWith("", "T-560", "T-560");
  CHECK(has(against(plant.judged(batch)), "430"));
  REQUIRE(bool(plant.order(batch, R"("spots")")));
  checkCode(plant.redone(""), "rework.spots");
  checkCode(plant.redone(R"(,"printed":"x","spots":[{"place":"left edge","lot":"T-431"}])"),
            "rework.printed");
  checkRefused(plant.redone(R"(,"spots":[{"place":"left edge","lot":"T-560"}])"),
               "the spot at 'left edge' puts on paint-430");
  checkRefused(plant.redone(R"(,"spots":[{"place":"top","lot":"T-431"}])"),
               "no paint spot at 'top'");
  checkCode(plant.redone(R"(,"spots":[{"place":"left edge","lot":"T-431"},)"
                         R"({"place":"left edge","lot":"T-431"}])"),
            "finish.spot_doubled");
  REQUIRE(bool(plant.redone(R"(,"spots":[{"place":"left edge","lot":"T-431"}])")));
  const VerdictGiven verdict = plant.judged(batch);
  CHECK_MESSAGE(verdict.outcome == Outcome::conforms, against(verdict));
  const auto& used_in = plant.lot("T-431").used_in;
  CHECK(std::any_of(used_in.begin(), used_in.end(),
                    [&](const std::string& use) { return has(use, batch); }));
  // Found wrong later, it speaks against the batch like any lot that finishing put on.
  plant.done("hold place",
             R"({"subject":{"kind":"lot","id":"T-431"},"why":"the paint is doubted"})");
  CHECK(has(against(plant.judged(batch)), "Lot T-431 was used and is on hold"));
}

TEST_CASE("what the part does not let be redone is no rework") {
  Redo plant;
  std::string kept = redone_needs;
  for (auto at = kept.find(R"(,"redo":true)"); at != std::string::npos;
       at = kept.find(R"(,"redo":true)"))
    kept.erase(at, 12);
  plant.done("part issue", partWith(kept));
  const std::string batch = plant.finishedWith("MF-7", "T-430", "T-560");
  checkRefused(plant.order(batch, R"("print")"), "does not allow rework for 'print'");
}

TEST_CASE("a part names one print and one operation's spots to redo, and only what it has") {
  Redo plant;
  const auto part = [&](const std::string& needs) {
    return plant.ask("part issue",
                     partWith(R"("operations":["grind","print","spot"],"needs":[)" + needs + "]"));
  };
  checkCode(part(R"({"operation":"grind","redo":true})"), "part.redo");
  checkCode(part(R"({"operation":"print","print":"a","redo":true},)"
                 R"({"operation":"spot","print":"b","redo":true})"),
            "part.redo");
  CHECK(bool(part(R"({"operation":"print","print":"a","redo":true},)"
                  R"({"operation":"spot","print":"b"})")));
}

TEST_CASE("printing a mark anew needs its cover on the day") {
  Redo plant;
  std::string marked = partWith(redone_needs);
  const std::string route = R"("plan":"CP-1",)";
  marked.replace(marked.find(route), route.size(),
                 R"("plan":"CP-1","markings":[{"marking":"T-1","operation":"print"}],)");
  plant.done("part issue", marked);
  plant.done("approval issue", Plant::typeApproval(R"("withdrawn_from":"2026-03-04")"));
  const std::string mark = plant.finishedWith("MF-7", "T-430", "T-560");
  REQUIRE(bool(plant.order(mark, R"("print")")));
  plant.clock->forward(2 * one_day_ms);
  checkRefused(plant.redone(R"(,"printed":"MF-1 )" + mark + "\""), "is withdrawn from 2026-03-04");
}

}  // namespace platemark::test
