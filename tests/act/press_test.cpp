/// A press run by the press's own times, by its programme, and what may be used instead.
#include "platemark/plant/press.h"
#include "act/order.h"
#include "platemark/act/press_runs.h"

namespace platemark::test {
namespace {

constexpr std::int64_t minute_ms = 60'000, hour_ms = 60 * minute_ms;

/// The fixture's day begins at 08:00 UTC; runs are told in UTC.
struct Presses : Plant {
  Presses() {
    done(
        "machine issue",
        R"({"noun":{"code":"twin","name":"press","class":"press","channels":[],"stations":["A","B"]},"why":""})");
  }
  std::string mixed() {
    const std::string batch = batchUpTo("mixed");
    clock->forward(6 * hour_ms);  // 14:00
    return batch;
  }
  static std::string run(const std::string& batch, const std::string& more,
                         const std::string& machine = "press",
                         const std::string& counts = R"({"good":40})") {
    return R"({"batch":")" + batch + R"(","machine":")" + machine +
           R"(","tool":"T","gauge":"SC-1","charge_checks":["147 g"],"counts":)" + counts + more +
           "}";
  }
  static std::string times(const std::string& from, const std::string& to, int strokes) {
    return R"(,"started":"2026-03-02T)" + from + R"(:00Z","ended":"2026-03-02T)" + to +
           R"(:00Z","strokes":)" + std::to_string(strokes);
  }
  Result<ledger::Receipt> ran(const std::string& batch, const std::string& more,
                              const std::string& machine = "press") {
    return ask("press run", run(batch, more, machine));
  }
  [[nodiscard]] std::vector<gate::RunOnPress> runs(const std::string& machine) const {
    return act::pressRuns(*store->read(), machine, *parseInstant("2026-03-01T00:00:00Z"),
                          *parseInstant("2026-03-04T00:00:00Z"));
  }
};

const std::string programmed =
    R"({"noun":{"code":"MF-1","name":"pad","compound":"C-1","plate":"plate-1","adhesive":"glue-1","plate_thickness":"5 mm","friction_area":"45 cm2","bond_area":"47.2 cm2",
    "pad_volume":"48 cm3","friction_thickness":"11 mm","plan":"CP-1","route":[{"step":"plates"},{"step":"mix"},{"step":"press","programme":"PP-12"},{"step":"clamp"},{"step":"cure","programme":"P-180"},
    {"step":"sample"},{"step":"finish","operations":["grind"]},{"step":"pack"},{"step":"ship"}]},"why":"a programme"})";

std::string deviationOf(const std::string& step, const std::string& of, const std::string& use,
                        int batches = 1, const std::string& part = "MF-1") {
  return R"({"part":")" + part + R"(","step":")" + step + R"(","instead_of":")" + of +
         R"(","use":")" + use + R"(","reason":"the other is short","batches":)" +
         std::to_string(batches) + R"(,"from":"2026-03-02","until":"2026-03-03"})";
}

}  // namespace

TEST_CASE("the times of a run stand together and can be") {
  Presses plant;
  const std::string batch = plant.mixed();
  struct Bad {
    std::string more, code;
  };
  for (const Bad& bad : {
           Bad{R"(,"started":"2026-03-02T12:00:00Z","strokes":10)", "press.times_missing"},
           {R"(,"ended":"2026-03-02T12:00:00Z","strokes":10)", "press.times_missing"},
           {R"(,"strokes":10)", "press.times_missing"},
           {R"(,"press_time":"30 s")", "press.times_missing"},
           {Presses::times("12:00", "13:00", 0), "press.strokes"},
           {Presses::times("12:00", "12:00", 10), "press.ends_first"},
           {Presses::times("13:00", "12:00", 10), "press.ends_first"},
           {R"(,"started":"2026-03-01T12:59:00Z","ended":"2026-03-02T13:00:00Z","strokes":10)",
            "press.too_long"},
           {Presses::times("12:00", "14:06", 10), "press.in_future"},
           {Presses::times("12:00", "12:10", 10) + R"(,"press_time":"61 s")", "press.press_time"},
           {Presses::times("12:00", "12:10", 10) + R"(,"press_time":"0 s")", "press.press_time"},
           {Presses::times("12:00", "12:10", 10) + R"(,"press_time":"6 g")", "unit.wrong_kind"},
       }) {
    CAPTURE(bad.more);
    checkCode(plant.ran(batch, bad.more), bad.code);
  }
  // A clock that runs ahead by minutes; a stroke that fills the run; a day to the second.
  CHECK(bool(plant.ran(batch, Presses::times("13:55", "14:05", 10) + R"(,"press_time":"60 s")")));
  CHECK(bool(plant.ran(batch, R"(,"started":"2026-03-01T13:00:00Z","ended":"2026-03-02T13:00:00Z",)"
                              R"("strokes":10,"remark":{"why":"the clock of the press"})")));
}

TEST_CASE("a run keeps its own times, and old runs without them stay out of the press's log") {
  Presses plant;
  const std::string batch = plant.mixed();
  REQUIRE(bool(plant.ran(batch, "")));
  CHECK(plant.runs("press").empty());
  REQUIRE(bool(plant.ran(batch, Presses::times("12:00", "12:30", 20) + R"(,"press_time":"45 s")")));
  const auto runs = plant.runs("press");
  REQUIRE(runs.size() == 1);
  CHECK(runs.front().batch == batch);
  CHECK(formatInstant(*runs.front().run.started) == "2026-03-02T12:00:00Z");
  CHECK(formatInstant(*runs.front().run.ended) == "2026-03-02T12:30:00Z");
  CHECK(runs.front().run.strokes == 20);
  CHECK(runs.front().run.press_time->value.text() == "45");
  CHECK(plant.runs("twin").empty());
}

TEST_CASE("one station presses one run at a time; runs may touch; the other station is another") {
  Presses plant;
  const std::string batch = plant.mixed();
  const auto at = [](const std::string& station) { return R"(,"station":")" + station + "\""; };
  REQUIRE(bool(plant.ran(batch, Presses::times("12:00", "12:30", 40) + at("A"), "twin")));
  for (const auto& [from, to] : {std::pair{"12:29", "12:45"},
                                 {"11:45", "12:01"},
                                 {"12:10", "12:20"},
                                 {"11:45", "12:45"},
                                 {"12:00", "12:30"}})
    checkRefused(plant.ran(batch, Presses::times(from, to, 40) + at("A"), "twin"),
                 "twin, station A, pressed batch " + batch);
  CHECK(bool(plant.ran(batch, Presses::times("12:30", "12:45", 40) + at("A"), "twin")));
  CHECK(bool(plant.ran(batch, Presses::times("11:45", "12:00", 40) + at("A"), "twin")));
  CHECK(bool(plant.ran(batch, Presses::times("12:10", "12:20", 40) + at("B"), "twin")));
  CHECK(bool(plant.ran(batch, Presses::times("12:10", "12:20", 40))));
  CHECK(plant.runs("twin").size() == 4);
  // It is said all the same, with its reason: kept, and held.
  REQUIRE(bool(plant.ran(batch,
                         Presses::times("12:05", "12:10", 40) + at("A") +
                             R"(,"remark":{"why":"the other report is wrong"})",
                         "twin")));
  CHECK(plant.batch(batch).holds.size() == 1);
}

TEST_CASE("a corrected run makes room for itself and for others") {
  Presses plant;
  const std::string batch = plant.mixed();
  const auto first = plant.ran(batch, Presses::times("12:00", "12:30", 40));
  REQUIRE(bool(first));
  const std::string remark = R"(,"remark":{"corrects":)" +
                             std::to_string(first->sequences.front()) + R"(,"why":"misread"})";
  REQUIRE(bool(plant.ran(batch, Presses::times("12:10", "12:40", 40) + remark)));
  CHECK(bool(plant.ran(batch, Presses::times("11:50", "12:10", 40))));
  checkRefused(plant.ran(batch, Presses::times("12:30", "12:50", 40)), "pressed batch");
  std::size_t standing = 0;
  for (const gate::RunOnPress& run : plant.runs("press")) standing += !run.run.corrected_by;
  CHECK(standing == 2);
}

TEST_CASE("no more pads than strokes and cavities make") {
  Presses plant;
  const std::string batch = plant.mixed();
  const auto with = [&](const std::string& counts) {
    return plant.ask("press run", Presses::run(batch,
                                               Presses::times("12:00", "12:30", 10) +
                                                   R"(,"cavities":["1","2","3","4"])",
                                               "press", counts));
  };
  checkRefused(with(R"({"good":38,"scrap":{"short":2},"samples":1})"),
               "10 strokes with 4 cavities make 40 pads; 41 are counted");
  CHECK(bool(with(R"({"good":38,"scrap":{"short":2}})")));
}

TEST_CASE("nothing is pressed of a mix that is not mixed yet") {
  Presses plant;
  plant.clock->forward(hour_ms);  // mixed at 09:00
  const std::string batch = plant.mixed();
  checkRefused(plant.ran(batch, Presses::times("08:59", "09:30", 40)), "The run began at");
  CHECK(bool(plant.ran(batch, Presses::times("09:00", "09:30", 40))));
}

TEST_CASE("two report a run of the same station and time: the second is refused") {
  Presses plant;
  const std::string batch = plant.mixed(), other = plant.batchUpTo("mixed");
  takenFirst(plant, {"press run", Presses::run(batch, Presses::times("14:00", "14:05", 40))},
             {"press run", Presses::run(other, Presses::times("14:01", "14:04", 40))},
             "pressed batch " + batch);
}

TEST_CASE("the press works by the programme of the route, or by one that is allowed") {
  Presses plant;
  plant.done("part issue", programmed);
  const std::string batch = plant.mixed(), second = plant.batchUpTo("mixed");
  checkRefused(plant.ran(batch, ""), "is pressed by programme PP-12; none was named");
  checkRefused(plant.ran(batch, R"(,"programme":"PP-13")"), "asks for programme PP-12; PP-13");
  checkCode(plant.ran(batch, R"(,"programme":"PP-13","deviations":["V-0009"])"),
            "deviation.unknown");
  checkCode(plant.sign("deviation allow", deviationOf("press", "PP-11", "PP-13")),
            "deviation.not_named");
  checkCode(plant.sign("deviation allow", deviationOf("press", "PP-12", "")), "deviation.use");
  REQUIRE(bool(plant.sign("deviation allow", deviationOf("press", "PP-12", "PP-13"))));
  const auto by = [](const std::string& programme) {
    return R"(,"programme":")" + programme + R"(","deviations":["V-0001"])";
  };
  checkRefused(plant.ran(batch, by("PP-14")), "allows PP-13 instead of PP-12");
  checkRefused(plant.ran(batch, by("PP-12")), "allows PP-13 instead of PP-12");
  REQUIRE(bool(plant.ran(batch, by("PP-13"))));
  REQUIRE(bool(plant.ran(batch, by("PP-13"))));  // one batch is counted once
  checkRefused(plant.ran(second, by("PP-13")), "was for 1 batch, which are used up");
  CHECK(bool(plant.ran(second, R"(,"programme":"PP-12")")));
  CHECK(plant.state<DeviationState>(projection::deviation, "V-0001").used_by ==
        std::vector<std::string>{batch});
}

TEST_CASE("order: two press under a deviation for one batch") {
  Presses plant;
  plant.done("part issue", programmed);
  const std::string batch = plant.mixed(), second = plant.batchUpTo("mixed");
  REQUIRE(bool(plant.sign("deviation allow", deviationOf("press", "PP-12", "PP-13"))));
  const std::string by = R"(,"programme":"PP-13","deviations":["V-0001"])";
  takenFirst(plant, {"press run", Presses::run(batch, by)}, {"press run", Presses::run(second, by)},
             "which are used up");
}

TEST_CASE("another adhesive is used where a deviation allows it, and its lot must be fit") {
  Presses plant;
  plant.done(
      "material issue",
      R"({"noun":{"code":"glue-2","name":"glue","class":"adhesive","plan":"CP-lot"},"why":""})");
  plant.done(
      "lot receive",
      R"({"lot":"G-9","material":"glue-2","supplier":"s","supplier_lot":"7","quantity":"100 kg"})");
  plant.clearedLot("G-2", "glue-2");
  const std::string batch = plant.openBatch();
  const auto coat = [&](const std::string& lot, const std::string& deviations) {
    return plant.ask("plates prepare", R"({"batch":")" + batch +
                                           R"(","plate_lot":"B-1","adhesive_lot":")" + lot +
                                           R"(","machine":"coater","deviations":[)" + deviations +
                                           R"(],"counts":{"good":40}})");
  };
  checkCode(plant.sign("deviation allow", deviationOf("plates", "glue-1", "plate-1")),
            "deviation.no_adhesive");
  checkCode(plant.sign("deviation allow", deviationOf("plates", "glue-1", "glue-7")),
            "material.unknown");
  checkCode(plant.sign("deviation allow", deviationOf("plates", "glue-2", "glue-1")),
            "deviation.not_named");
  checkCode(plant.sign("deviation allow", deviationOf("mix", "glue-1", "glue-2")),
            "deviation.step");
  REQUIRE(bool(plant.sign("deviation allow", deviationOf("plates", "glue-1", "glue-2"))));
  checkRefused(coat("G-2", ""), "Lot G-2 is glue-2; glue-1 is wanted here");
  checkRefused(coat("G-9", R"("V-0001")"), "Lot G-9 is not cleared");
  checkRefused(coat("G-1", R"("V-0001")"), "allows glue-2 instead of glue-1");
  checkCode(coat("G-2", R"("V-0007")"), "deviation.unknown");
  REQUIRE(bool(coat("G-2", R"("V-0001")")));
  CHECK(plant.state<DeviationState>(projection::deviation, "V-0001").used_by.front() == batch);
}

}  // namespace platemark::test
