/// Edges of time, of a daily check and of a weighing: the last that counts, and the first that does
/// not.
#include "act/plant_fixture.h"
#include "platemark/plant/container.h"

namespace platemark::test {
namespace {

const std::string label = R"({"subject":{"kind":"batch","id":")";

std::string holdOf(const std::string& batch) { return label + batch + R"("},"why":"it fell"})"; }

void gauge(Plant& plant, const std::string& code, const std::string& unit,
           const std::string& nominal, const std::string& tolerance) {
  plant.done("gauge issue",
             R"({"noun":{"code":")" + code + R"(","name":"x","unit":")" + unit +
                 R"(","resolution":")" + tolerance +
                 R"(","calibration_due":"2026-12-31","calibration":"K","daily_check":{)" +
                 R"("reference":"r","nominal":")" + nominal + R"(","tolerance":")" + tolerance +
                 R"("}},"why":""})");
}

bool passes(Plant& plant, const std::string& code, const std::string& readings) {
  const Sequence fact = plant.done(
      "gauge check", R"({"gauge":")" + code + R"(","readings":[)" + readings + R"(],"remark":{}})");
  const std::optional<Fact> kept = plant.store->read()->fact(fact);
  return canonicalJson(kept->body["passed"]) == "true";
}

}  // namespace

TEST_CASE("half an hour ago is not late, and five minutes ahead is not the future") {
  Plant plant;
  const std::string input = holdOf(plant.openBatch());
  const auto at = [&](const std::string& time, std::optional<std::string> because = {}) {
    How how;
    how.at = time;
    how.late_because = std::move(because);
    return plant.ask("hold place", input, how);
  };
  // The clock of the test stands at 08:00 in Greenwich, 09:00 at the plant.
  CHECK(bool(at("2026-03-02T07:30:00Z")));
  checkCode(at("2026-03-02T07:29:59Z"), "act.late");
  checkCode(at("2026-03-02T07:29:59Z", ""), "act.late");
  CHECK(bool(at("2026-03-02T08:05:00Z")));
  checkCode(at("2026-03-02T08:05:01Z"), "act.future");
  CHECK(bool(at("2026-03-02T08:30:00")));
  checkCode(at("2026-03-02T08:29:59"), "act.late");
  checkCode(at("2026-03-02 at noon"), "time.not_a_time");
  const auto kept = [&](const Result<ledger::Receipt>& answer) {
    REQUIRE(bool(answer));
    return plant.store->read()->fact(answer->sequences.back())->happened;
  };
  CHECK(kept(at("2026-03-02T07:29:59Z", "the network was down")).late_because ==
        "the network was down");
  CHECK_FALSE(kept(at("2026-03-02T07:31:00Z", "no reason is needed")).late_because);
  CHECK(kept(at("2026-03-02T08:45:00")).instant == *parseInstant("2026-03-02T07:45:00Z"));
}

TEST_CASE("an act without a token, name, person, permit or its own key is refused") {
  Plant plant;
  const std::string batch = plant.openBatch();
  checkCode(plant.ask("hold plaice", holdOf(batch)), "act.unknown");
  act::Request request{"hold place", *parseJson(holdOf(batch)), "", 1, "Europe/Berlin", {}, {}, {}};
  const Result<ledger::Act> bare = act::prepare(request);
  REQUIRE_FALSE(bool(bare));
  CHECK(bare.error().code == "act.token_missing");
  How nobody;
  nobody.person = 9;
  checkRefused(plant.ask("hold place", holdOf(batch), nobody), "not known to the plant");
  plant.done("person issue",
             R"({"noun":{"number":9,"duty":"x","public_key":"","permits":[]},"why":""})");
  checkRefused(plant.ask("hold place", holdOf(batch), nobody), "has no permit for it");
  const std::string scrap = R"({"batch":")" + batch + R"(","pads":1,"reason":"bent"})";
  checkCode(plant.ask("scrap sign", scrap), "act.signature_needed");
  How strange;
  strange.signer = Key().signer();
  checkRefused(plant.ask("scrap sign", scrap, strange), "not the one on record for number 1");
  CHECK(bool(plant.sign("scrap sign", scrap)));
}

TEST_CASE("a plant is founded once") {
  Plant plant;
  const auto again =
      plant.store->submit(act::foundPlant(Person{2, "x", "", {}}, "found again", "Europe/Berlin"));
  checkRefused(again, "the record is not empty");
}

TEST_CASE("a daily check passes up to its tolerance, in any unit, with every reading") {
  Plant plant;
  gauge(plant, "CH-1", "g", "100 g", "1 g");
  CHECK(passes(plant, "CH-1", R"("101 g","99 g")"));
  CHECK(passes(plant, "CH-1", R"("0.101 kg")"));
  CHECK_FALSE(passes(plant, "CH-1", R"("0.1011 kg")"));
  CHECK_FALSE(passes(plant, "CH-1", R"("98.9 g")"));
  CHECK_FALSE(passes(plant, "CH-1", R"("100 g","101.1 g")"));
  CHECK_FALSE(passes(plant, "CH-1", R"("101.1 g","100 g")"));
  gauge(plant, "CH-2", "kg", "10 kg", "0.002 kg");
  CHECK(passes(plant, "CH-2", R"("10.002 kg")"));
  CHECK(passes(plant, "CH-2", R"("9.998 kg")"));
  CHECK_FALSE(passes(plant, "CH-2", R"("10.0021 kg")"));
  gauge(plant, "CH-3", "Cel", "0 Cel", "0.5 K");
  CHECK(passes(plant, "CH-3", R"("0.5 Cel")"));
  CHECK_FALSE(passes(plant, "CH-3", R"("0.6 Cel")"));
  CHECK(passes(plant, "CH-3", R"("32.9 [degF]")"));  // 0.5 Cel
  CHECK_FALSE(passes(plant, "CH-3", R"("33 [degF]")"));
}

TEST_CASE("a weighing knows what was wanted of its mix, in kilograms") {
  Plant plant;
  const std::string batch = plant.openBatch();
  const auto wanted = [&](const std::string& mass) {
    const Sequence opened = plant.done(
        "mix open", R"({"batch":")" + batch + R"(","machine":"mixer")" + mass + R"(,"remark":{}})");
    const std::string mix = plant.store->read()->fact(opened)->body.text("mix");
    const Sequence weighed =
        plant.done("mix weigh", R"({"mix":")" + mix +
                                    R"(","material":"resin","lot":"R-1","mass":"1 g","gauge":)"
                                    R"("SC-1","remark":{}})");
    const Value body = plant.store->read()->fact(weighed)->body;
    return canonicalJson(body["wanted"]) + canonicalJson(body["tolerance"]);
  };
  // 20 of 100 parts of 50 kg, within 1 %; of 40 000 g.
  CHECK(wanted("") == R"({"unit":"kg","value":"10.000"}{"unit":"kg","value":"0.100"})");
  CHECK(wanted(R"(,"mass":"40000 g")") ==
        R"({"unit":"kg","value":"8.000"}{"unit":"kg","value":"0.080"})");
  CHECK(plant.batch(batch).mixes == std::vector<std::string>{"M-0001", "M-0002"});
}

TEST_CASE("what is left in a container is what came less what was weighed out of it") {
  Plant plant;
  plant.done("container label",
             R"({"lot":"R-1","containers":[{"container":"K-1","quantity":"25 kg"}]})");
  const std::string batch = plant.openBatch();
  const Sequence opened =
      plant.done("mix open", R"({"batch":")" + batch + R"(","machine":"mixer","remark":{}})");
  plant.done("mix weigh", R"({"mix":")" + plant.store->read()->fact(opened)->body.text("mix") +
                              R"(","material":"resin","lot":"R-1","mass":"10.02 kg","gauge":)"
                              R"("SC-1","container":"K-1","remark":{}})");
  const auto returned = [&](const std::string& mass) {
    const Sequence fact = plant.done("container return", R"({"container":"K-1","mass":")" + mass +
                                                             R"(","gauge":"SC-1","remark":{}})");
    return plant.store->read()->fact(fact)->body;
  };
  CHECK(canonicalJson(returned("14.9 kg")).find(R"("14.98")") != std::string::npos);
  CHECK(canonicalJson(returned("0 kg")["mass"]) == R"({"unit":"kg","value":"0"})");
}

TEST_CASE("all pads that are left may be drawn as samples, and no more") {
  Plant plant;
  const Sequence opened = plant.done("batch open", R"({"part":"MF-1","plates":2})");
  const std::string batch = plant.store->read()->fact(opened)->body.text("batch");
  const auto draw = [&](const std::string& samples) {
    return plant.ask("samples draw",
                     R"({"batch":")" + batch + R"(","samples":[)" + samples + R"(],"remark":{}})");
  };
  const auto sample = [](const std::string& name) {
    return R"({"sample":")" + name + R"(","clamp":"1"})";
  };
  checkCode(draw(sample("1") + "," + sample("2") + "," + sample("3")), "samples.too_many");
  CHECK(bool(draw(sample("1") + "," + sample("2"))));
}

TEST_CASE("a machine of another class is refused with those that would do") {
  Plant plant;
  plant.done("machine issue",
             R"({"noun":{"code":"press-2","name":"","class":"press","channels":[]},"why":""})");
  const std::string batch = plant.batchUpTo("mixed");
  const auto on = [&](const std::string& machine) {
    return plant.ask("press run",
                     R"({"batch":")" + batch + R"(","machine":")" + machine +
                         R"(","tool":"T","gauge":"SC-1","charge_checks":["147 g"],)"
                         R"("counts":{"good":40,"samples":0,"rework":0},"remark":{}})");
  };
  checkCode(on("mixer"), "machine.other_class");
  CHECK(on("mixer").error().expected == "press, press-2");
  checkCode(on("none"), "machine.unknown");
  CHECK(on("none").error().expected == "press, press-2");
  CHECK(bool(on("press-2")));
}

TEST_CASE("the tolerance belongs to the check, however large the reference") {
  Plant plant;
  gauge(plant, "CH-4", "mm", "0 mm", "0.01 mm");
  CHECK(passes(plant, "CH-4", R"("0.01 mm")"));
  CHECK_FALSE(passes(plant, "CH-4", R"("0.011 mm")"));
  // 1000.1 - 1000 is a little more than 0.1 in binary.
  gauge(plant, "CH-5", "kg", "1000 kg", "0.1 kg");
  CHECK(passes(plant, "CH-5", R"("1000.1 kg")"));
  CHECK_FALSE(passes(plant, "CH-5", R"("1000.11 kg")"));
}

TEST_CASE("a use-by day that was given stands, whatever the shelf life") {
  Plant plant;
  plant.done("material issue",
             R"({"noun":{"code":"lime","name":"lime","class":"ingredient","shelf_life_days":10},)"
             R"("why":""})");
  const auto use_by = [&](const std::string& lot, const std::string& given) {
    plant.done("lot receive", R"({"lot":")" + lot + R"(","material":"lime","supplier":"s",)" +
                                  R"("supplier_lot":"1","quantity":"5 kg",)" + given +
                                  R"("remark":{}})");
    return formatDay(*plant.lot(lot).received.use_by);
  };
  CHECK(use_by("L-1", "") == "2026-03-12");
  CHECK(use_by("L-2", R"("use_by":"2026-04-01",)") == "2026-04-01");
}

TEST_CASE("a sample is asked for only where samples are drawn: of a batch, at its cure gate") {
  Plant plant;
  const std::string batch = plant.batchUpTo("finished");
  const auto read = [&](const std::string& kind, const std::string& id, const std::string& what,
                        const std::string& numbers) {
    return plant.ask("reading take", R"({"subject":{"kind":")" + kind + R"(","id":")" + id +
                                         R"("},"characteristic":")" + what +
                                         R"(","sample":"77","gauges":[],"numbers":{)" + numbers +
                                         R"(},"remark":{}})");
  };
  CHECK(bool(read("lot", "R-1", "mass", R"("readings":["100 kg"])")));
  CHECK(bool(read("batch", batch, "flatness", R"("readings":["20 um"])")));
  checkCode(read("batch", batch, "soak", R"("readings":["20 um"])"), "reading.sample_unknown");
  const auto unplanned = read("lot", "R-1", "colour", R"("readings":["100 kg"])");
  checkCode(unplanned, "reading.not_in_plan");
  CHECK(unplanned.error().expected == "mass");
  CHECK_FALSE(bool(read("lot", "I-1", "mass", "")));
}

TEST_CASE("a result that stands asks for a reason to repeat it") {
  Plant plant;
  const std::string batch = plant.batchUpTo("sampled");
  plant.shear(batch, "1");
  const auto again = plant.ask("reading take", R"({"subject":{"kind":"batch","id":")" + batch +
                                                   R"("},"characteristic":"shear","sample":"1",)"
                                                   R"("gauges":[],"numbers":{},"remark":{}})");
  checkCode(again, "reading.repeat");
  CHECK(again.error().what.starts_with("Sample 1 of " + batch + " has a result for shear"));
  const auto lot =
      plant.ask("reading take", R"({"subject":{"kind":"lot","id":"R-1"},"characteristic":"mass",)"
                                R"("gauges":[],"numbers":{},"remark":{}})");
  checkCode(lot, "reading.repeat");
  CHECK(lot.error().what.starts_with("lot R-1 has a result for mass"));
}

}  // namespace platemark::test
