/// What is put on the pad: lots, pieces, print, paint spots, the bake of the coat.
#include "act/finishing_plant.h"

namespace platemark::test {
namespace {

bool contains(const std::string& text, const std::string& words) {
  std::string plain = text;  // the space before a unit is one that does not break
  for (std::size_t at; (at = plain.find("\xC2\xA0")) != std::string::npos;)
    plain.replace(at, 2, " ");
  const bool found = plain.find(words) != std::string::npos;
  if (!found) MESSAGE("'", words, "' is not in: ", plain);
  return found;
}

void checkKeptAndHeld(Plant& plant, const std::string& batch, const std::string& act,
                      const std::string& input, const std::string& words) {
  const Result<ledger::Receipt> kept = plant.ask(act, input);
  const std::string why = kept ? "" : describe(kept.error());
  REQUIRE_MESSAGE(bool(kept), why);
  const std::string body = prettyJson(plant.store->read()->fact(kept->sequences.front())->body);
  CHECK(contains(body, words));
  CHECK(plant.batch(batch).holds.size() == 1);
}

const std::string late = R"({"why":"it had run before anybody looked"})";

}  // namespace

TEST_CASE("a batch finished as its part asks is released and packed") {
  FinishingPlant plant;
  const std::string batch = plant.finishedBut("");
  const VerdictGiven verdict = plant.judged(batch);
  CHECK(against(verdict) == "");
  CHECK(verdict.outcome == Outcome::conforms);
  plant.release(batch, "final");
  plant.box(batch, 4);
  CHECK(plant.lot("S-1").used_in == std::vector<std::string>{batch});
  CHECK(plant.lot("T-560").used_in == std::vector<std::string>{batch});
  CHECK(plant.store->verify({}).sound);
}

TEST_CASE("a lot that is not fit is refused, or kept with its reason and the batch held") {
  FinishingPlant plant;
  const std::string batch = plant.batchUpTo("cure released");
  const auto ask = [&](const std::string& operation, const std::string& more) {
    return plant.ask("batch finish", FinishingPlant::report(batch, operation, more));
  };
  plant.done(
      "lot receive",
      R"({"lot":"S-2","material":"shim-9","supplier":"s","supplier_lot":"1","quantity":"10 kg"})");
  checkRefused(ask("shim", FinishingPlant::used("S-2", "38")), "Lot S-2 is not cleared");
  checkRefused(ask("shim", FinishingPlant::used("nowhere", "38")), "Lot nowhere is not on record");
  checkRefused(ask("shim", FinishingPlant::used("C-1", "38")), "'shim' puts on shim-9");
  checkRefused(ask("shim", FinishingPlant::used("C-1", "38")), "no lot of it was named");
  checkRefused(ask("shim", ""), "no lot of it was named");
  checkRefused(ask("grind", FinishingPlant::used("S-1", "38")), "'grind' puts on nothing");
  plant.done("lot decide", R"({"lot":"P-1","disposition":"refuse","why":"damp"})");
  checkRefused(ask("coat", FinishingPlant::used("P-1")), "is refused: damp");
  plant.done("hold place", R"({"subject":{"kind":"lot","id":"K-1"},"why":"wrong black"})");
  checkRefused(ask("print", FinishingPlant::used("K-1") + R"("printed":"x",)"), "wrong black");
  checkRefused(ask("spot", FinishingPlant::spots("T-560", "T-560")), "puts on paint-430");
  checkKeptAndHeld(plant, batch, "batch finish",
                   FinishingPlant::report(batch, "shim", FinishingPlant::used("S-2", "38"), late),
                   "Lot S-2 is not cleared");
  checkRefused(plant.ask("batch finish",
                         FinishingPlant::report(batch, "clip", FinishingPlant::used("C-1", "76"))),
               "On hold");
  CHECK(contains(against(plant.judged(batch)), "Lot S-2 was used and is not cleared"));
}

TEST_CASE("a lot of finishing expires on its day, not before") {
  FinishingPlant plant;
  const std::string batch = plant.batchUpTo("cure released");
  const std::string today = formatDay(dayIn(plant.clock->now(), "Europe/Berlin"));
  plant.done(
      "lot receive",
      R"({"lot":"C-1","material":"clip-4","supplier":"a supplier","supplier_lot":"7","quantity":"100 kg","use_by":")" +
          today + R"(","remark":{"corrects":)" + std::to_string(plant.lot("C-1").received_fact) +
          R"(,"why":"the label says so"}})");
  plant.done("lot judge", R"({"lot":"C-1"})");
  plant.done("lot decide", R"({"lot":"C-1","disposition":"clear"})");
  const std::string clips =
      FinishingPlant::report(batch, "clip", FinishingPlant::used("C-1", "76"));
  REQUIRE(bool(plant.ask("batch finish", clips)));
  plant.clock->forward(one_day_ms);
  checkRefused(plant.ask("batch finish", clips), "expired");
}

TEST_CASE("a lot found wrong later speaks against the final gate, not the cure gate") {
  FinishingPlant plant;
  const std::string batch = plant.finishedBut("");
  plant.release(batch, "final");
  plant.done("hold place", R"({"subject":{"kind":"lot","id":"S-1"},"why":"cracked in use"})");
  CHECK_FALSE(plant.batch(batch).final.open());
  CHECK(plant.batch(batch).cure.open());
  CHECK(contains(against(plant.judged(batch)), "Lot S-1 was used and is on hold: cracked in use"));
}

TEST_CASE("a correction of the lot takes the first one out") {
  FinishingPlant plant;
  plant.clearedLot("S-3", "shim-9");
  const std::string batch = plant.finishedBut("shim");
  const Sequence first = plant.done(
      "batch finish", FinishingPlant::report(batch, "shim", FinishingPlant::used("S-1", "38")));
  plant.done("batch finish",
             FinishingPlant::report(
                 batch, "shim", FinishingPlant::used("S-3", "38"),
                 R"({"corrects":)" + std::to_string(first) + R"(,"why":"the other pallet"})"));
  plant.done("hold place", R"({"subject":{"kind":"lot","id":"S-1"},"why":"cracked"})");
  CHECK(plant.judged(batch).outcome == Outcome::conforms);
}

TEST_CASE("bad input is answered with its place and nothing is kept") {
  FinishingPlant plant;
  const std::string batch = plant.batchUpTo("cure released");
  const Sequence before = plant.store->read()->sequence();
  const auto code = [&](const std::string& operation, const std::string& more,
                        const std::string& wanted, const std::string& field) {
    const auto answer = plant.ask("batch finish", FinishingPlant::report(batch, operation, more));
    checkCode(answer, wanted);
    CHECK(answer.error().where.field == field);
  };
  code("clip", FinishingPlant::used("C-1"), "finish.pieces_missing", "lots[0].pieces");
  code("clip", FinishingPlant::used("C-1", "0"), "finish.pieces", "lots[0].pieces");
  code("clip", FinishingPlant::used("C-1", "-2"), "finish.pieces", "lots[0].pieces");
  code("clip", R"("lots":[{"lot":"C-1","pieces":9},{"lot":"C-1","pieces":9}],)",
       "finish.lot_doubled", "lots[1].lot");
  code("polish", "", "finish.operation", "operation");
  code("spot", R"("spots":[{"place":"left edge","lot":"T-430","threshold":"560 Cel"}],)",
       "finish.threshold_other", "spots[0].threshold");
  code("spot", R"("spots":[{"place":"left edge","lot":"T-430","threshold":"430 mm"}],)",
       "unit.wrong_kind", "spots[0].threshold");
  code("spot", R"("spots":[{"place":"left edge","lot":"no-such"}],)", "finish.threshold",
       "spots[0].threshold");
  code("spot",
       R"("spots":[{"place":"left edge","lot":"T-430"},{"place":"left edge","lot":"T-430"}],)",
       "finish.spot_doubled", "spots[1].place");
  code("clip", R"("lots":[{"lot":"C-1","piece":9}],)", "value.unknown_member", "lots[0].piece");
  CHECK(plant.store->read()->sequence() == before);
}

TEST_CASE("fewer pieces than the pads take are said at the final gate") {
  FinishingPlant plant;
  const std::string batch = plant.finishedBut("clip");
  const Sequence first = plant.done(
      "batch finish", FinishingPlant::report(batch, "clip", FinishingPlant::used("C-1", "75")));
  const VerdictGiven short_of = plant.judged(batch);
  CHECK(short_of.outcome == Outcome::cannot_decide);
  CHECK(contains(against(short_of), "38 good pads take 76 pieces of clip-4; 75 are on record"));
  plant.done("batch finish",
             FinishingPlant::report(
                 batch, "clip", FinishingPlant::used("C-1", "76"),
                 R"({"corrects":)" + std::to_string(first) + R"(,"why":"counted again"})"));
  CHECK(plant.judged(batch).outcome == Outcome::conforms);
}

TEST_CASE("what is printed is held against what the part asks") {
  FinishingPlant plant;
  const std::string batch = plant.finishedBut("print");
  Sequence last = plant.done(
      "batch finish",
      FinishingPlant::report(batch, "print", FinishingPlant::used("K-1") + R"("printed":"MF-7",)"));
  const VerdictGiven wrong = plant.judged(batch);
  CHECK(wrong.outcome == Outcome::does_not_conform);
  CHECK(contains(against(wrong), "'MF-7' was printed; the part asks for 'MF-1 " + batch + "'"));
  const auto corrects = [&] {
    return R"({"corrects":)" + std::to_string(last) + R"(,"why":"read again"})";
  };
  last = plant.done("batch finish", FinishingPlant::report(
                                        batch, "print", FinishingPlant::used("K-1"), corrects()));
  const VerdictGiven unknown = plant.judged(batch);
  CHECK(unknown.outcome == Outcome::cannot_decide);
  CHECK(contains(against(unknown), "what was printed is not on record"));
  plant.done("batch finish", FinishingPlant::report(batch, "print",
                                                    FinishingPlant::used("K-1") +
                                                        R"("printed":"MF-1 )" + batch + R"(",)",
                                                    corrects()));
  CHECK(plant.judged(batch).outcome == Outcome::conforms);
}

TEST_CASE("a wrong, a missing and a strange paint spot are findings") {
  FinishingPlant plant;
  const std::string batch = plant.finishedBut("spot");
  // Its hold is the fact after it.
  Sequence last = plant.done("batch finish",
                             FinishingPlant::report(
                                 batch, "spot", FinishingPlant::spots("T-560", "T-560"), late)) -
                  1;
  const VerdictGiven wrong = plant.judged(batch);
  CHECK(wrong.outcome == Outcome::does_not_conform);
  CHECK(contains(against(wrong),
                 "a spot that changes at 430 °C is asked at 'left edge'; the one "
                 "put on (lot T-560) changes at 560 °C"));
  const auto corrects = [&] {
    return R"({"corrects":)" + std::to_string(last) + R"(,"why":"read again"})";
  };
  last = plant.done(
             "batch finish",
             FinishingPlant::report(
                 batch, "spot", R"("spots":[{"place":"left edge","lot":"T-430"}],)", corrects())) -
         1;
  CHECK(contains(against(plant.judged(batch)),
                 "missing: 'spot': a spot that changes at 560 °C is asked at 'right edge'"));
  plant.done(
      "batch finish",
      FinishingPlant::report(
          batch, "spot",
          R"("spots":[{"place":"left edge","lot":"T-430"},{"place":"right edge","lot":"T-560"},{"place":"back","lot":"T-430"}],)",
          corrects()));
  CHECK(contains(against(plant.judged(batch)),
                 "a spot was put on at 'back', where the part asks for none"));
}

TEST_CASE("the bake: missing, too short, on the edge, too hot") {
  FinishingPlant plant;
  const std::string batch = plant.finishedBut("bake");
  const VerdictGiven none = plant.judged(batch);
  CHECK(none.outcome == Outcome::cannot_decide);
  CHECK(contains(against(none), "no bake is on record; the part asks for programme PB-200"));
  std::optional<Sequence> last;
  const auto judged = [&](const std::string& readings, const std::string& more) {
    const std::string remark =
        last ? R"({"corrects":)" + std::to_string(*last) + R"(,"why":"read again"})" : "{}";
    last = plant.done("bake enter", FinishingPlant::bake(batch, readings, more, remark)) - 1;
    return plant.judged(batch);
  };
  const std::string cool = R"("hottest":"206 Cel",)";
  const VerdictGiven brief = judged(FinishingPlant::readings("200 Cel", "9.9 min"), cool);
  CHECK(brief.outcome == Outcome::does_not_conform);
  CHECK(contains(against(brief), "outside below: bake-time: 9.9 min"));
  CHECK(judged(FinishingPlant::readings("200 Cel", "10 min"), cool).outcome == Outcome::conforms);
  CHECK(judged(FinishingPlant::readings("204 Cel", "10 min"), cool).outcome == Outcome::conforms);
  // Below the asked temperature: 12 min there say nothing, 9 min say that it was too short.
  const VerdictGiven below = judged(FinishingPlant::readings("190 Cel", "12 min"), cool);
  CHECK(below.outcome == Outcome::cannot_decide);
  CHECK(contains(against(below), "No reading of the metal is at or above 200 °C"));
  CHECK(judged(FinishingPlant::readings("190 Cel", "9 min"), cool).outcome ==
        Outcome::does_not_conform);
  CHECK(judged(FinishingPlant::readings("200 Cel", "11 min"), R"("hottest":"220 Cel",)").outcome ==
        Outcome::conforms);
  const VerdictGiven hot =
      judged(FinishingPlant::readings("200 Cel", "11 min"), R"("hottest":"220.1 Cel",)");
  CHECK(contains(against(hot), "outside above: bake-heat"));
  const VerdictGiven unread = judged(FinishingPlant::readings("200 Cel", "11 min"), "");
  CHECK(unread.outcome == Outcome::cannot_decide);
  CHECK(contains(against(unread), "highest temperature of the metal was not read"));
}

TEST_CASE("a bake must be of this batch, of its coat, of all its pads") {
  FinishingPlant plant;
  const std::string batch = plant.batchUpTo("cure released");
  const std::string good = FinishingPlant::readings("200 Cel", "11 min");
  checkRefused(plant.ask("bake enter", FinishingPlant::bake(batch, good)),
               "'coat' is not on record");
  plant.done("batch finish", FinishingPlant::report(batch, "coat", FinishingPlant::used("P-1")));
  const auto pads = [&](const std::string& n) {
    return R"({"batch":")" + batch + R"(","operation":"coat","machine":"O-1","pads":)" + n +
           R"(,"hottest":"206 Cel","readings":)" + good + "}";
  };
  checkRefused(plant.ask("bake enter", pads("39")), "38 good pads were coated, not 39");
  checkCode(plant.ask("bake enter", pads("0")), "bake.pads");
  plant.done("bake enter", pads("30"));
  CHECK(contains(against(plant.judged(batch)),
                 "38 good pads were coated; the bake of 30 is on record"));
  plant.done("bake enter", pads("8"));
  CHECK(against(plant.judged(batch)).find("were coated") == std::string::npos);
  std::string too_many = FinishingPlant::bake(batch, good, R"("hottest":"206 Cel",)", late);
  too_many.replace(too_many.find(R"("pads":38)"), 9, R"("pads":99)");
  checkKeptAndHeld(plant, batch, "bake enter", too_many, "38 good pads were coated, not 99");
}

TEST_CASE("one known bake does not speak for another one that is not known") {
  FinishingPlant plant;
  const std::string batch = plant.finishedBut("");
  plant.done("bake enter",
             FinishingPlant::bake(batch, FinishingPlant::readings("180 Cel", "20 min")));
  const VerdictGiven verdict = plant.judged(batch);
  CHECK(verdict.outcome == Outcome::cannot_decide);
  CHECK(contains(against(verdict), "bake-time: not known for the bake of 38 pads on O-1"));
}

TEST_CASE("bad readings of a bake are answered with their place") {
  FinishingPlant plant;
  const std::string batch = plant.finishedBut("bake");
  const auto code = [&](const std::string& input, const std::string& wanted) {
    checkCode(plant.ask("bake enter", input), wanted);
  };
  code(FinishingPlant::bake(batch, "[]"), "bake.no_readings");
  code(FinishingPlant::bake(batch, FinishingPlant::readings("200 min", "9 min")),
       "unit.wrong_kind");
  code(FinishingPlant::bake(batch, FinishingPlant::readings("200 Cel", "9 Cel")),
       "unit.wrong_kind");
  code(FinishingPlant::bake(batch, FinishingPlant::readings("2000 Cel", "9 min")),
       "bake.temperature");
  code(FinishingPlant::bake(batch, FinishingPlant::readings("200 Cel", "-1 min")), "bake.time");
  code(FinishingPlant::bake(
           batch, R"([{"metal":"190 Cel","time":"9 min"},{"metal":"200 Cel","time":"10 min"}])"),
       "bake.contradiction");
  code(FinishingPlant::bake(batch, FinishingPlant::readings("200 Cel", "9 min"),
                            R"("hottest":"199 Cel",)"),
       "bake.hottest");
  code(FinishingPlant::bake(batch, FinishingPlant::readings("200 Cel", "9 min"),
                            R"("gauge":"none",)"),
       "gauge.unknown");
  std::string other = FinishingPlant::bake(batch, FinishingPlant::readings("200 Cel", "9 min"));
  other.replace(other.find("coat"), 4, "clip");
  code(other, "bake.not_asked");
  std::string press = FinishingPlant::bake(batch, FinishingPlant::readings("200 Cel", "9 min"));
  press.replace(press.find("O-1"), 3, "press");
  code(press, "machine.other_class");
}

TEST_CASE("a gauge out of calibration: the bake is kept and not counted") {
  FinishingPlant plant;
  const std::string batch = plant.finishedBut("bake");
  plant.done("bake enter",
             FinishingPlant::bake(batch, FinishingPlant::readings("200 Cel", "11 min"),
                                  R"("hottest":"206 Cel","gauge":"OLD-1",)"));
  const VerdictGiven verdict = plant.judged(batch);
  CHECK(verdict.outcome == Outcome::cannot_decide);
  CHECK(contains(against(verdict), "out of calibration"));
}

TEST_CASE("a plan without a limit for the bake never passes it") {
  FinishingPlant plant;
  plant.done(
      "plan issue",
      nounOf(R"({"code":"CP-1","name":"pads","lines":[)" +
             planLine("shear", "cure", "bench.shear", "shear_strength", R"("lower":"250 N/cm2")") +
             "," +
             planLine("flatness", "final", "statistics.summary", "max", R"("upper":"50 um")") +
             "]}"));
  const std::string batch = plant.finishedBut("");
  const VerdictGiven verdict = plant.judged(batch);
  CHECK(verdict.outcome == Outcome::cannot_decide);
  CHECK(contains(against(verdict), "no limit for its bake is on file"));
}

TEST_CASE("first, last and every so many pieces are held by the gate") {
  const std::string thickness =
      "," + planLine("thickness", "final", "statistics.summary", "max", R"("upper":"16.5 mm")",
                     R"(,"pieces":{"operation":"grind","first_and_last":true,"every":20})");
  FinishingPlant plant("", thickness);
  const std::string batch = plant.finishedBut("");
  const auto measured = [&](const std::string& piece, const std::string& gauge = "FM-1") {
    plant.done("reading take",
               R"({"subject":{"kind":"batch","id":")" + batch +
                   R"("},"characteristic":"thickness","sample":")" + piece + R"(","gauges":[")" +
                   gauge + R"("],"numbers":{"readings":["16.2 mm"]},"repeat_because":"again"})");
    return against(plant.judged(batch));
  };
  CHECK(contains(against(plant.judged(batch)), "thickness: 0 of 1 result"));
  CHECK(contains(measured(""), "not measured: the first piece, one of pieces 1 to 38, the last"));
  CHECK(contains(measured("1"), "not measured: one of pieces 2 to 38, the last piece (38)."));
  CHECK(contains(measured("38"), "not measured: one of pieces 2 to 37."));
  CHECK(contains(measured("22"), "not measured: one of pieces 2 to 21."));
  CHECK(contains(measured("39"), "not measured: one of pieces 2 to 21."));
  // A reading that does not count does not stand for its piece.
  CHECK(contains(measured("21", "OLD-1"), "not measured: one of pieces 2 to 21."));
  CHECK(measured("21") == "");
}

TEST_CASE("what a part, a plan or a material may not ask") {
  FinishingPlant plant;
  const auto part = [&](const std::string& needs, const std::string& code) {
    checkCode(plant.ask("part issue", partWith(R"("operations":["shim"],"needs":[)" + needs + "]")),
              code);
  };
  part(R"({"operation":"clip"})", "part.need_operation");
  part(R"({"operation":"shim"},{"operation":"shim"})", "part.need_doubled");
  part(R"({"operation":"shim","materials":[{"material":"none","pieces":1}]})", "material.unknown");
  part(R"({"operation":"shim","materials":[{"material":"resin"}]})", "part.material_class");
  part(R"({"operation":"shim","materials":[{"material":"shim-9"}]})", "part.pieces");
  part(R"({"operation":"shim","materials":[{"material":"shim-9","pieces":0}]})", "part.pieces");
  part(R"({"operation":"shim","materials":[{"material":"powder-1","pieces":1}]})", "part.pieces");
  part(R"({"operation":"shim","bake":"none"})", "programme.unknown");
  part(R"({"operation":"shim","print":""})", "part.print");
  const auto spot = [](const std::string& threshold, const std::string& material) {
    return R"({"place":"left","threshold":")" + threshold + R"(","material":")" + material + "\"}";
  };
  part(R"({"operation":"shim","spots":[)" + spot("430 Cel", "ink-1") + "]}", "part.material_class");
  part(R"({"operation":"shim","spots":[)" + spot("500 Cel", "paint-430") + "]}",
       "part.spot_threshold");
  part(R"({"operation":"shim","spots":[)" + spot("430 Cel", "paint-430") + "," +
           spot("560 Cel", "paint-560") + "]}",
       "part.spot_doubled");
  checkCode(plant.ask("material issue", materialOf("p", "thermal paint")), "material.changes_at");
  checkCode(plant.ask("material issue", materialOf("p", "ink", R"(,"changes_at":"430 Cel")")),
            "material.changes_at");
  const auto plan = [&](const std::string& line, const std::string& code) {
    checkCode(
        plant.ask("plan issue", nounOf(R"({"code":"CP-9","name":"n","lines":[)" + line + "]}")),
        code);
  };
  plan(planLine("b", "final", "coat.bake", "time_at_least", R"("upper":"10 min")"),
       "plan.limit_side");
  plan(planLine("b", "final", "coat.bake", "time_at_most", R"("lower":"10 min")"),
       "plan.limit_side");
  const auto pieces = [](const std::string& gate, const std::string& asked) {
    return planLine("t", gate, "statistics.summary", "max", R"("upper":"1 mm")",
                    R"(,"pieces":)" + asked);
  };
  plan(pieces("cure", R"({"operation":"grind","every":5})"), "plan.pieces_gate");
  plan(pieces("final", R"({"operation":"","every":5})"), "plan.pieces_operation");
  plan(pieces("final", R"({"operation":"grind","every":0})"), "plan.pieces_every");
  plan(pieces("final", R"({"operation":"grind"})"), "plan.pieces_none");
}

}  // namespace platemark::test
