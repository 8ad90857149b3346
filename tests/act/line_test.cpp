/// Time windows at their edges, and machines that must be cleared between runs.
#include "platemark/plant/line.h"
#include "act/order.h"

namespace platemark::test {
namespace {

constexpr std::int64_t minute_ms = 60'000, hour_ms = 60 * minute_ms;

std::string partInput(const std::string& code, const std::string& compound) {
  return R"({"noun":{"code":")" + code + R"(","name":"pad","compound":")" + compound +
         R"(","plate":"plate-1","adhesive":"glue-1","plate_thickness":"5 mm","friction_area":"45 cm2","bond_area":"47.2 cm2",
    "pad_volume":"48 cm3","friction_thickness":"11 mm","plan":"CP-1","route":[
    {"step":"plates","windows":[{"since":"blast","at_most":"8 h"}]},{"step":"mix"},
    {"step":"press","windows":[{"since":"mix","at_most":"6 h"},{"since":"coat","at_most":"72 h"}]},
    {"step":"clamp","windows":[{"since":"press","at_most":"24 h"}]},{"step":"cure","programme":"P-180","windows":[{"since":"clamp","at_most":"30 min"}]},
    {"step":"sample"},{"step":"finish","operations":["grind"]},{"step":"pack"},{"step":"ship"}]},"why":""})";
}

struct Works : Plant {
  Works() {
    done(
        "compound issue",
        R"({"noun":{"code":"C-2","name":"Bittern","formula":[{"material":"resin","parts":"30","tolerance":"1 %"},{"material":"iron","parts":"70","tolerance":"1 %"}],
    "target_density":"2.7 g/cm3","mix_mass":"50 kg","loss":"2 %","loss_basis":"pad","mixing_minutes":8},"why":""})");
    done("part issue", partInput("MF-7", "C-1"));
    done("part issue", partInput("MF-8", "C-2"));
    for (const auto& [code, kind] : {std::pair<std::string, std::string>{"mixer-1", "mixer"},
                                     {"press-1", "press"},
                                     {"coater-1", "coater"},
                                     {"grinder-1", "finishing"}})
      done("machine issue", R"({"noun":{"code":")" + code + R"(","name":"machine","class":")" +
                                kind + R"(","channels":[]},"why":""})");
  }
  std::string open(const std::string& part) {
    const Sequence opened = done("batch open", R"({"part":")" + part + R"(","plates":40})");
    return store->read()->fact(opened)->body.text("batch");
  }
  Result<ledger::Receipt> blast(const std::string& batch) {
    return ask("plates blast",
               R"({"batch":")" + batch + R"(","plate_lot":"B-1","machine":"blaster","remark":{}})");
  }
  Result<ledger::Receipt> coat(const std::string& batch) {
    return ask(
        "plates prepare",
        R"({"batch":")" + batch +
            R"(","plate_lot":"B-1","adhesive_lot":"G-1","machine":"coater-1","counts":{"good":40},"remark":{}})");
  }
  Result<ledger::Receipt> mixOn(const std::string& batch, const std::string& remark = "{}") {
    return ask("mix open",
               R"({"batch":")" + batch + R"(","machine":"mixer-1","remark":)" + remark + "}");
  }
  void finishMix(const Result<ledger::Receipt>& opened) {
    REQUIRE(bool(opened));
    const std::string mix = store->read()->fact(opened->sequences.front())->body.text("mix");
    done("mix finish", R"({"mix":")" + mix + R"(","minutes":8,"remark":{}})");
  }
  Result<ledger::Receipt> pressOn(const std::string& batch, const std::string& remark = "{}") {
    return ask(
        "press run",
        R"({"batch":")" + batch +
            R"(","machine":"press-1","tool":"T","gauge":"SC-1","charge_checks":["147 g"],"counts":{"good":40},"remark":)" +
            remark + "}");
  }
  void clear(const std::string& machine) {
    done("line clear", R"({"machine":")" + machine + R"(","cleaned":"blown out","remark":{}})");
  }
};

}  // namespace

TEST_CASE("a window holds to its last moment and not a second longer") {
  Works works;
  const std::string batch = works.open("MF-7");
  checkRefused(works.coat(batch), "'blast' is not on record");
  REQUIRE(bool(works.blast(batch)));
  works.clock->forward(8 * hour_ms + 1000);
  checkRefused(works.coat(batch), "'blast' ended 8 h 00 min earlier");
  REQUIRE(bool(works.blast(batch)));
  works.clock->forward(8 * hour_ms);
  REQUIRE(bool(works.coat(batch)));
  works.finishMix(works.mixOn(batch));
  works.clock->forward(6 * hour_ms + 1000);
  checkRefused(works.pressOn(batch), "'mix' ended 6 h 00 min earlier; 'press' must follow");
  // It happened all the same: kept, and held.
  REQUIRE(bool(works.pressOn(batch, R"({"why":"the press had stopped"})")));
  CHECK(works.batch(batch).holds.size() == 1);
}

TEST_CASE("of two mixes the older one counts") {
  Works works;
  const std::string batch = works.open("MF-7");
  REQUIRE(bool(works.blast(batch)));
  REQUIRE(bool(works.coat(batch)));
  works.finishMix(works.mixOn(batch));
  works.clock->forward(4 * hour_ms);
  works.finishMix(works.mixOn(batch));
  works.clock->forward(2 * hour_ms);
  REQUIRE(bool(works.pressOn(batch)));
  works.clock->forward(minute_ms);
  const std::string late = works.open("MF-7");
  REQUIRE(bool(works.blast(late)));
  REQUIRE(bool(works.coat(late)));
  works.finishMix(works.mixOn(late));
  works.clock->forward(4 * hour_ms);
  works.finishMix(works.mixOn(late));
  works.clock->forward(2 * hour_ms + minute_ms);
  checkRefused(works.pressOn(late), "'mix' ended 6 h 01 min earlier");
}

TEST_CASE("the cure's window runs to the first row of the recording") {
  Works works;
  const std::string batch = works.open("MF-7");
  REQUIRE(bool(works.blast(batch)));
  REQUIRE(bool(works.coat(batch)));
  works.finishMix(works.mixOn(batch));
  REQUIRE(bool(works.pressOn(batch)));
  const std::string load = works.load(batch);
  const Instant built = works.state<LoadState>(projection::load, load).built_at;
  works.clock->forward(24 * hour_ms);
  const auto record = [&](std::int64_t first_row_ms, const std::string& remark = "{}") {
    const auto text = [&](std::int64_t ms) {
      return formatInstant(Instant::fromUnixMs(built.unixMs() + ms));
    };
    return works.ask(
        "cure record",
        R"({"recorded":{"load":")" + load + R"(","attachment":")" + works.attachment +
            R"(","file_name":"r.csv","layout":"L","layout_issue":1,"rows":1,"skipped":0,"from":")" +
            text(first_row_ms) + R"(","to":")" + text(6 * hour_ms) + R"(","remark":)" + remark +
            R"(},"figure":{"subject":{"kind":"load","id":"x"},"characteristic":"","sample":"","method":"cure.chart",)" +
            R"("method_version":1,"inputs_hash":"","values":[{"name":"soak","value":"121 min","determined":true}]}})");
  };
  checkRefused(record(hour_ms), "'clamp' ended 1 h 00 min earlier; 'cure' must follow");
  checkRefused(record(hour_ms), "and look at the recorder's clock");
  checkRefused(record(30 * minute_ms + 1), "'clamp' ended 0 h 30 min earlier");
  SUBCASE("at its last moment it holds") {
    REQUIRE(bool(record(30 * minute_ms)));
    CHECK(works.batch(batch).holds.empty());
  }
  SUBCASE("a recorder that runs all day began before") { REQUIRE(bool(record(-hour_ms))); }
  SUBCASE("reported all the same, it is held") {
    REQUIRE(bool(record(hour_ms, R"({"why":"the recorder's clock shows summer time"})")));
    CHECK(works.batch(batch).holds.size() == 1);
  }
}

TEST_CASE("a mixer is cleared between compounds, other machines between parts") {
  Works works;
  const std::string heron = works.open("MF-7"), bittern = works.open("MF-8"),
                    again = works.open("MF-7");
  for (const std::string& batch : {heron, again}) {
    REQUIRE(bool(works.blast(batch)));
    REQUIRE(bool(works.coat(batch)));
  }
  works.finishMix(works.mixOn(heron));
  works.finishMix(works.mixOn(again));  // the same compound needs no clearing
  checkRefused(works.mixOn(bittern),
               "mixer-1 last ran C-1 (batch " + again + "); it has not been cleared for C-2");
  checkRefused(works.coat(bittern), "coater-1 last ran MF-7");
  works.clear("mixer-1");
  CHECK(works.state<LineState>(projection::line, "mixer-1").cleared_fact.has_value());
  works.finishMix(works.mixOn(bittern));
  CHECK_FALSE(works.state<LineState>(projection::line, "mixer-1").cleared_fact.has_value());
  // A clearance is used up by the run after it.
  checkRefused(works.mixOn(heron), "has not been cleared for C-1");
  REQUIRE(bool(works.mixOn(heron, R"({"why":"nobody cleaned"})")));
  CHECK(works.batch(heron).holds.size() == 1);
}

TEST_CASE("a clearance says how, and of what") {
  Works works;
  checkCode(works.ask("line clear", R"({"machine":"mixer-1","cleaned":"x","remark":{}})"),
            "line.unused");
  checkCode(works.ask("line clear", R"({"machine":"mixer-9","cleaned":"x","remark":{}})"),
            "machine.unknown");
  works.finishMix(works.mixOn(works.open("MF-7")));
  checkCode(works.ask("line clear", R"({"machine":"mixer-1","cleaned":"","remark":{}})"),
            "line.cleaned");
}

TEST_CASE("order: another compound runs first and uses the clearance up") {
  Works works;
  const std::string heron = works.open("MF-7"), bittern = works.open("MF-8"),
                    again = works.open("MF-7");
  for (const std::string& batch : {heron, bittern, again}) {
    REQUIRE(bool(works.blast(batch)));
    if (batch != heron) works.clear("coater-1");
    REQUIRE(bool(works.coat(batch)));
  }
  works.finishMix(works.mixOn(heron));
  works.clear("mixer-1");
  const auto mix = [](const std::string& batch) -> Ask {
    return {"mix open", R"({"batch":")" + batch + R"(","machine":"mixer-1","remark":{}})"};
  };
  takenFirst(works, mix(bittern), mix(again), "has not been cleared for C-1");
}

TEST_CASE("order: a window closes while the act waits") {
  Works works;
  const std::string batch = works.open("MF-7");
  REQUIRE(bool(works.blast(batch)));
  works.clock->forward(8 * hour_ms);
  Result<ledger::Receipt> answer = Error{};
  Standstill writer(works);
  writer.queue(
      {"plates prepare",
       R"({"batch":")" + batch +
           R"(","plate_lot":"B-1","adhesive_lot":"G-1","machine":"coater-1","counts":{"good":40},"remark":{}})"},
      answer);
  works.clock->forward(1000);
  writer.goOn();
  checkRefused(answer, "'blast' ended 8 h 00 min earlier");
}

}  // namespace platemark::test
