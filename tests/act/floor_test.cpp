/// First pieces, daily checks, containers and use-by days: what a crew must have done before.
#include "act/order.h"
#include "platemark/plant/container.h"
#include "platemark/plant/gauge_check.h"
#include "platemark/plant/set_up.h"

namespace platemark::test {
namespace {

std::string line(const std::string& name, const std::string& gate, const std::string& method,
                 const std::string& output, const std::string& limit,
                 const std::string& more = "") {
  return R"({"characteristic":")" + name + R"(","words":")" + name + R"(","gate":")" + gate +
         R"(","method":")" + method + R"(","output":")" + output +
         R"(","statistic":"each","samples":1,"limits":[{)" + limit +
         R"(,"source":{"document":"Works standard","confirmed":true}}],"reactions":[])" + more +
         "}";
}

/// The fixture's plant with a plan that asks for a first piece at the press and the grinder.
struct Floor : Plant {
  Floor() {
    done("plan issue",
         R"({"noun":{"code":"CP-1","name":"pads","lines":[)" +
             line("first-weight", "set-up", "statistics.summary_mass", "mean",
                  R"("lower":"145 g","upper":"149 g")", R"(,"operation":"press")") +
             "," +
             line("flatness", "set-up", "statistics.summary", "max", R"("upper":"50 um")",
                  R"(,"operation":"grind")") +
             "," +
             line("shear", "cure", "bench.shear", "shear_strength", R"("lower":"250 N/cm2")") +
             "," + line("flatness", "final", "statistics.summary", "max", R"("upper":"50 um")") +
             R"(]},"why":"first pieces"})");
    for (const std::string code : {"press", "press-2"})
      done("machine issue",
           R"({"noun":{"code":")" + code +
               R"(","name":"press","class":"press","channels":[]},"why":"a press"})");
  }
  std::string setUp(const std::string& batch, const std::string& operation = "press",
                    const std::string& machine = "press") {
    const Sequence made =
        done("set-up make", R"({"batch":")" + batch + R"(","operation":")" + operation +
                                R"(","machine":")" + machine + R"(","tool":"T-1","remark":{}})");
    return store->read()->fact(made)->body.text("set_up");
  }
  Sequence weighFirst(const std::string& set_up, const std::string& grams) {
    return done("reading take", R"({"subject":{"kind":"set-up","id":")" + set_up +
                                    R"("},"characteristic":"first-weight","gauges":["SC-1"],)" +
                                    R"("numbers":{"readings":[")" + grams +
                                    R"("]},"repeat_because":"again","remark":{}})");
  }
  std::string judged(const std::string& set_up) {
    const Sequence verdict = done("set-up judge", R"({"set_up":")" + set_up + R"("})");
    return store->read()->fact(verdict)->body.text("outcome");
  }
  Result<ledger::Receipt> pressOn(const std::string& batch, const std::string& machine = "press") {
    return ask("press run", R"({"batch":")" + batch + R"(","machine":")" + machine +
                                R"(","tool":"T-1","gauge":"SC-1","charge_checks":["147 g"],)" +
                                R"("counts":{"good":40},"remark":{}})");
  }
};

}  // namespace

TEST_CASE("no run before its first piece is judged, on this machine, with nothing come since") {
  Floor floor;
  const std::string batch = floor.batchUpTo("mixed");
  checkRefused(floor.pressOn(batch), "No first piece of 'press' on press");
  const std::string heavy = floor.setUp(batch);
  checkRefused(floor.pressOn(batch), "Set-up " + heavy + " has not been judged");
  CHECK(floor.judged(heavy) == "cannot decide");
  floor.weighFirst(heavy, "152 g");
  checkRefused(floor.pressOn(batch), "is overtaken");
  CHECK(floor.judged(heavy) == "does not conform");
  checkRefused(floor.pressOn(batch), "'does not conform'");
  const std::string right = floor.setUp(batch);
  floor.weighFirst(right, "147 g");
  CHECK(floor.judged(right) == "conforms");
  checkRefused(floor.pressOn(batch, "press-2"), "No first piece of 'press' on press-2");
  REQUIRE(bool(floor.pressOn(batch)));
  // The evidence of a set-up is not the batch's.
  CHECK(floor.batch(batch).evidence.size() == 1);
  CHECK(floor.state<SetUpState>(projection::set_up, right).evidence.size() == 1);
}

TEST_CASE(
    "a press with two stations is set up for each, and its run says where and in which cavities") {
  Floor floor;
  floor.done("machine issue",
             R"({"noun":{"code":"twin","name":"press","class":"press","channels":[],)"
             R"("stations":["A","B"]},"why":""})");
  const std::string batch = floor.batchUpTo("mixed");
  const auto setUp = [&](const std::string& station) {
    const Sequence made = floor.done(
        "set-up make", R"({"batch":")" + batch + R"(","operation":"press","machine":"twin",)" +
                           R"("station":")" + station + R"(","tool":"T-1","remark":{}})");
    return floor.store->read()->fact(made)->body.text("set_up");
  };
  const auto pressAt = [&](const std::string& station) {
    return floor.ask("press run", R"({"batch":")" + batch + R"(","machine":"twin","station":")" +
                                      station + R"(","tool":"T-1","cavities":["1","2","4"],)" +
                                      R"("gauge":"SC-1","charge_checks":["147 g","146.8 g"],)" +
                                      R"("check_cavities":["4","1"],"counts":{"good":20},)" +
                                      R"("remark":{}})");
  };
  const std::string at_a = setUp("A");
  floor.weighFirst(at_a, "147 g");
  REQUIRE(floor.judged(at_a) == "conforms");
  checkRefused(pressAt("B"), "No first piece of 'press' on twin, station B");
  const std::string at_b = setUp("B");
  checkRefused(pressAt("B"), "Set-up " + at_b + " has not been judged");
  REQUIRE(bool(pressAt("A")));  // the set-up at B says nothing about A
  floor.weighFirst(at_b, "152 g");
  CHECK(floor.judged(at_b) == "does not conform");
  checkRefused(pressAt("B"), "'does not conform'");
  REQUIRE(bool(pressAt("A")));

  const StepDone run = floor.batch(batch).steps.back();
  CHECK(run.station == "A");
  CHECK(run.cavities == std::vector<std::string>{"1", "2", "4"});
  const auto kept = fromValue<PressRun>(floor.store->read()->fact(run.fact)->body);
  REQUIRE(bool(kept));
  CHECK(kept->check_cavities == std::vector<std::string>{"4", "1"});
  CHECK(kept->charge_checks.size() == 2);
}

TEST_CASE("a sample comes out of a cavity that a press run of its batch filled") {
  Floor floor;
  const auto draw = [&](const std::string& batch, const std::string& cavity) {
    return floor.ask("samples draw", R"({"batch":")" + batch + R"(","samples":[{"sample":")" +
                                         cavity + R"(","clamp":"1","cavity":")" + cavity +
                                         R"("}],"retained":"","remark":{}})");
  };
  const auto press = [&](const std::string& batch, const std::string& cavities) {
    REQUIRE(bool(
        floor.ask("press run", R"({"batch":")" + batch + R"(","machine":"press","tool":"T-1",)" +
                                   cavities + R"("gauge":"SC-1","charge_checks":["147 g"],)" +
                                   R"("counts":{"good":40},"remark":{"why":"no first piece"}})")));
  };
  const std::string named = floor.batchUpTo("mixed");
  press(named, R"("cavities":["1","2"],)");
  CHECK(bool(draw(named, "2")));
  checkCode(draw(named, "3"), "cavity.not_filled");
  CHECK(floor.batch(named).samples.back().cavity == "2");
  // One run without its cavities leaves open what was filled.
  press(named, "");
  CHECK(bool(draw(named, "3")));
}

TEST_CASE("a set-up is for an operation that the plan asks about") {
  Floor floor;
  const std::string batch = floor.batchUpTo("mixed");
  checkCode(floor.ask("set-up make", R"({"batch":")" + batch +
                                         R"(","operation":"slot","machine":"press","remark":{}})"),
            "set-up.not_asked");
  checkCode(floor.ask("set-up make", R"({"batch":")" + batch +
                                         R"(","operation":"press","machine":"x","remark":{}})"),
            "machine.unknown");
  checkCode(floor.ask("set-up judge", R"({"set_up":"E-0099"})"), "set-up.unknown");
  checkCode(floor.ask("plan issue", R"({"noun":{"code":"CP-9","name":"p","lines":[)" +
                                        line("flatness", "set-up", "statistics.summary", "max",
                                             R"("upper":"50 um")") +
                                        R"(]},"why":""})"),
            "plan.operation");
}

TEST_CASE("a gauge that is checked daily counts only on a day it was checked and passed") {
  Plant plant;
  plant.clock->forward(60'000);  // the lots were tested before the gauge was calibrated
  plant.done(
      "gauge issue",
      R"({"noun":{"code":"SC-1","name":"scale","unit":"kg","resolution":"1 g","calibration_due":"2026-12-31","calibration":"K-2",
    "daily_check":{"reference":"check mass 10 kg, M1","nominal":"10 kg","tolerance":"2 g"}},"why":"daily check"})");
  const auto check = [&](const std::string& reading) {
    return plant.ask("gauge check",
                     R"({"gauge":"SC-1","readings":[")" + reading + R"("],"remark":{}})");
  };
  const std::string batch = plant.openBatch();
  plant.plates(batch);
  const Sequence opened =
      plant.done("mix open", R"({"batch":")" + batch + R"(","machine":"mixer"})");
  const std::string mix = plant.store->read()->fact(opened)->body.text("mix");
  const auto weigh = [&] {
    return plant.ask("mix weigh", R"({"mix":")" + mix +
                                      R"(","material":"resin","lot":"R-1","mass":"10 kg",)" +
                                      R"("gauge":"SC-1","remark":{}})");
  };
  checkRefused(weigh(), "was not checked with its check mass 10 kg, M1 on 2026-03-02");
  REQUIRE(bool(check("10.0021 kg")));
  checkRefused(weigh(), "failed its check on 2026-03-02");
  REQUIRE(bool(check("10.002 kg")));  // exactly on the tolerance
  REQUIRE(bool(weigh()));
  plant.clock->forward(one_day_ms);
  checkRefused(weigh(), "was not checked with its check mass 10 kg, M1 on 2026-03-03");
  checkCode(check("10 mm"), "value.other_kind");
  checkCode(plant.ask("gauge check", R"({"gauge":"FM-1","readings":["1 g"],"remark":{}})"),
            "gauge.no_check");
  checkCode(plant.ask("gauge check", R"({"gauge":"SC-1","readings":[],"remark":{}})"),
            "gauge.no_readings");
}

TEST_CASE("a bag belongs to its lot; what comes back is weighed against what should be left") {
  Plant plant;
  const auto label = [&](const std::string& lot, const std::string& containers) {
    return plant.ask("container label",
                     R"({"lot":")" + lot + R"(","containers":[)" + containers + "]}");
  };
  REQUIRE(bool(
      label("R-1",
            R"({"container":"RB-1","quantity":"25 kg"},{"container":"RB-2","quantity":"25 kg"})")));
  REQUIRE(bool(label("I-1", R"({"container":"IB-1","quantity":"50 kg"})")));
  checkCode(label("R-1", R"({"container":"RB-1","quantity":"25 kg"})"), "container.known");
  checkCode(label("R-1", R"({"container":"RB-7","quantity":"0 kg"})"), "value.not_positive");
  checkCode(label("R-9", R"({"container":"RB-7","quantity":"1 kg"})"), "lot.unknown");
  const std::string batch = plant.openBatch();
  plant.plates(batch);
  const Sequence opened =
      plant.done("mix open", R"({"batch":")" + batch + R"(","machine":"mixer"})");
  const std::string mix = plant.store->read()->fact(opened)->body.text("mix");
  const auto weigh = [&](const std::string& container, const std::string& mass,
                         const std::string& remark = "{}") {
    return plant.ask("mix weigh", R"({"mix":")" + mix +
                                      R"(","material":"resin","lot":"R-1","mass":")" + mass +
                                      R"(","gauge":"SC-1","container":")" + container +
                                      R"(","remark":)" + remark + "}");
  };
  checkRefused(weigh("IB-1", "10 kg"), "Container IB-1 is of lot I-1, not R-1");
  checkRefused(weigh("RB-9", "10 kg"), "Container RB-9 is not on record");
  const auto first = weigh("RB-1", "10.5 kg");
  REQUIRE(bool(first));
  REQUIRE(bool(weigh(
      "RB-1", "10.02 kg",
      R"({"corrects":)" + std::to_string(first->sequences.front()) + R"(,"why":"misread"})")));
  const auto bag = [&] { return plant.state<ContainerState>(projection::container, "RB-1"); };
  CHECK(bag().used.value.text() == "10.02");
  plant.done("container return",
             R"({"container":"RB-1","mass":"14.7 kg","gauge":"SC-1","remark":{}})");
  CHECK(bag().quantity.value.text() == "14.7");
  CHECK(bag().difference->value.text() == "-0.28");
  CHECK(bag().used.value.value() == 0);
}

TEST_CASE("a use-by day moves only after a retest, and not beyond the shelf life") {
  Plant plant;
  plant.done(
      "material issue",
      R"({"noun":{"code":"resin","name":"resin","class":"ingredient","density":"1.28 g/cm3","plan":"CP-lot","shelf_life_days":90},"why":"shelf life"})");
  plant.clearedLot("R-2", "resin");
  CHECK(plant.lot("R-2").received.use_by == Day{2026, 5, 31});
  const auto extend = [&](const std::string& day) {
    return plant.ask("lot extend", R"({"lot":"R-2","use_by":")" + day + R"(","why":"retested"})");
  };
  plant.clock->forward(91 * one_day_ms);  // 2026-06-01
  checkRefused(extend("2026-08-01"), "has not been tested again");
  plant.done(
      "reading take",
      R"({"subject":{"kind":"lot","id":"R-2"},"characteristic":"mass","sample":"","gauges":["SC-1"],"numbers":{"readings":["100 kg"]},"repeat_because":"use-by day","remark":{}})");
  checkRefused(extend("2026-08-01"), "has no verdict that conforms and has seen everything");
  plant.done("lot judge", R"({"lot":"R-2"})");
  checkRefused(extend("2026-08-31"), "may be kept 90 days: until 2026-08-30");
  REQUIRE(bool(extend("2026-08-30")));
  CHECK(plant.lot("R-2").received.use_by == Day{2026, 8, 30});
  checkRefused(extend("2026-08-30"), "has not been tested again");  // a retest serves once
}

TEST_CASE("a recording that ended before its load was built is another load's") {
  Plant plant;
  const std::string batch = plant.batchUpTo("pressed");
  const std::string load = plant.load(batch);
  const auto record = [&](std::int64_t ends_ms, const std::string& remark = "{}") {
    const Instant built = plant.state<LoadState>(projection::load, load).built_at;
    const auto text = [&](std::int64_t ms) {
      return formatInstant(Instant::fromUnixMs(built.unixMs() + ms));
    };
    return plant.ask(
        "cure record",
        R"({"recorded":{"load":")" + load + R"(","attachment":")" + plant.attachment +
            R"(","file_name":"r.csv","layout":"L","layout_issue":1,"rows":1,"skipped":0,"from":")" +
            text(-4 * 3'600'000) + R"(","to":")" + text(ends_ms) + R"(","remark":)" + remark +
            R"(},"figure":{"subject":{"kind":"load","id":"x"},"characteristic":"","sample":"","method":"cure.chart",)" +
            R"("method_version":1,"inputs_hash":"","values":[{"name":"soak","value":"121 min","determined":true}]}})");
  };
  checkRefused(record(0), "The recording ends at 2026-03-02 09:00; load");
  checkRefused(record(300'001), "which has not come yet");
  REQUIRE(bool(record(0, R"({"why":"the recorder's clock was wrong"})")));
  CHECK(plant.batch(batch).holds.size() == 1);

  Plant other;
  const std::string right = other.load(other.batchUpTo("pressed"));
  REQUIRE(bool(other.ask("cure record", other.cureInput(right, "121"))));
}

TEST_CASE("order: the first piece is measured again, then the run starts") {
  Floor floor;
  const std::string batch = floor.batchUpTo("mixed"), set_up = floor.setUp(batch);
  floor.weighFirst(set_up, "147 g");
  REQUIRE(floor.judged(set_up) == "conforms");
  const Ask again{"reading take",
                  R"({"subject":{"kind":"set-up","id":")" + set_up +
                      R"("},"characteristic":"first-weight","gauges":["SC-1"],)" +
                      R"("numbers":{"readings":["160 g"]},"repeat_because":"again","remark":{}})"};
  const Ask press{
      "press run",
      R"({"batch":")" + batch +
          R"(","machine":"press","tool":"T-1","gauge":"SC-1","charge_checks":["147 g"],)" +
          R"("counts":{"good":40},"remark":{}})"};
  const Answers answers = inOrder(floor, again, press);
  REQUIRE(bool(answers.first));
  REQUIRE_FALSE(bool(answers.second));
  CHECK(answers.second.error().fault == Fault::refused);
}

}  // namespace platemark::test
