/// A pad of two compounds: what holds for the friction layer holds for the underlayer.
#include "act/order.h"
#include "platemark/gate/line.h"

namespace platemark::test {
namespace {

constexpr std::int64_t minute_ms = 60'000, hour_ms = 60 * minute_ms;

const std::string lower_compound =
    R"({"noun":{"code":"C-U","name":"Siskin","formula":[{"material":"resin","parts":"30","tolerance":"1 %"},{"material":"iron","parts":"70","tolerance":"1 %"}],
  "target_density":"2.7 g/cm3","mix_mass":"50 kg","loss":"2 %","loss_basis":"pad","mixing_minutes":8},"why":"x"})";

std::string partWith(const std::string& underlayer) {
  return R"({"noun":{"code":"MF-U","name":"pad","compound":"C-1","plate":"plate-1","adhesive":"glue-1","plate_thickness":"5 mm","friction_area":"45 cm2","bond_area":"47.2 cm2",
    "pad_volume":"48 cm3","friction_thickness":"11 mm","underlayer":)" +
         underlayer + R"(,"plan":"CP-1","route":[{"step":"plates"},{"step":"mix"},
    {"step":"press","windows":[{"since":"mix","at_most":"6 h"}]},{"step":"clamp"},{"step":"cure","programme":"P-180"},{"step":"sample"},
    {"step":"finish","operations":["grind"]},{"step":"pack"},{"step":"ship"}]},"why":"x"})";
}
const std::string lower = R"({"compound":"C-U","volume":"8 cm3","thickness":"2 mm"})";

struct TwoLayers : Plant {
  TwoLayers() {
    done("compound issue", lower_compound);
    done("part issue", partWith(lower));
  }
  std::string open(const std::string& part = "MF-U") {
    const Sequence opened = done("batch open", R"({"part":")" + part + R"(","plates":40})");
    return store->read()->fact(opened)->body.text("batch");
  }
  static std::string mixInput(const std::string& batch, const std::string& compound,
                              const std::string& machine = "mixer") {
    return R"({"batch":")" + batch + R"(","machine":")" + machine + "\"" +
           (compound.empty() ? "" : R"(,"compound":")" + compound + "\"") + "}";
  }
  std::string openMix(const std::string& batch, const std::string& compound) {
    const Sequence opened = done("mix open", mixInput(batch, compound));
    return store->read()->fact(opened)->body.text("mix");
  }
  void weigh(const std::string& mix, const std::string& material, const std::string& lot,
             const std::string& mass) {
    done("mix weigh", R"({"mix":")" + mix + R"(","material":")" + material + R"(","lot":")" + lot +
                          R"(","mass":")" + mass + R"(","gauge":"SC-1"})");
  }
  void finishMix(const std::string& mix) {
    done("mix finish", R"({"mix":")" + mix + R"(","minutes":8})");
  }
  void mixFriction(const std::string& batch) {
    const std::string mix = openMix(batch, "C-1");
    weigh(mix, "resin", "R-1", "10 kg");
    weigh(mix, "iron", "I-1", "40 kg");
    finishMix(mix);
  }
  void mixUnder(const std::string& batch, const std::string& resin = "R-1",
                const std::string& mass = "15 kg") {
    const std::string mix = openMix(batch, "C-U");
    weigh(mix, "resin", resin, mass);
    weigh(mix, "iron", "I-1", "35 kg");
    finishMix(mix);
  }
  void clearMixer() { done("line clear", R"({"machine":"mixer","cleaned":"blown out"})"); }
  Result<ledger::Receipt> pressed(const std::string& batch,
                                  const std::string& more = R"(,"underlayer_checks":["22 g"])") {
    return ask(
        "press run",
        R"({"batch":")" + batch +
            R"(","machine":"press","tool":"T","gauge":"SC-1","charge_checks":["147 g"],"counts":{"good":40})" +
            more + "}");
  }
  std::string bothMixed() {
    const std::string batch = open();
    plates(batch);
    mixUnder(batch);
    clearMixer();
    mixFriction(batch);
    return batch;
  }
  [[nodiscard]] Value figure(const std::string& batch, const std::string& characteristic) const {
    for (const Evidence& e : Plant::batch(batch).evidence)
      if (e.characteristic == characteristic && !e.corrected_by)
        return store->read()->fact(e.figure)->body;
    return {};
  }
};

std::vector<std::string> findingsOf(TwoLayers& plant, const std::string& batch) {
  const auto file = act::batchFile(*plant.store->read(), batch, {2026, 3, 2});
  std::vector<std::string> sentences;
  for (const Finding& f : gate::judgeBatch(Gate::cure, *file).findings)
    if (f.word != FindingWord::inside) sentences.push_back(f.sentence);
  return sentences;
}
bool says(const std::vector<std::string>& sentences, const std::string& words) {
  return std::any_of(sentences.begin(), sentences.end(),
                     [&](const std::string& s) { return s.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("a part's underlayer names another compound, a volume and a thickness") {
  TwoLayers plant;
  struct Bad {
    std::string underlayer, code;
  };
  for (const Bad& bad : {
           Bad{R"({"compound":"C-1","volume":"8 cm3","thickness":"2 mm"})", "part.one_compound"},
           {R"({"compound":"C-X","volume":"8 cm3","thickness":"2 mm"})", "compound.unknown"},
           {R"({"compound":"C-U","volume":"8 cm2","thickness":"2 mm"})", "unit.wrong_kind"},
           {R"({"compound":"C-U","volume":"0 cm3","thickness":"2 mm"})", "value.not_positive"},
           {R"({"compound":"C-U","volume":"8 cm3","thickness":"2 g"})", "unit.wrong_kind"},
           {R"({"compound":"C-U","volume":"8 cm3"})", "value.missing"},
       }) {
    CAPTURE(bad.underlayer);
    checkCode(plant.ask("part issue", partWith(bad.underlayer)), bad.code);
  }
}

TEST_CASE("a batch keeps the issues of both compounds") {
  TwoLayers plant;
  const std::string batch = plant.open();
  CHECK(plant.batch(batch).opened.underlayer == CompoundIssue{"C-U", 1});
  plant.done("compound issue", lower_compound);
  CHECK(plant.batch(batch).opened.underlayer->issue == 1);
  CHECK(plant.batch(plant.open()).opened.underlayer->issue == 2);
  CHECK_FALSE(plant.batch(plant.openBatch()).opened.underlayer.has_value());
}

TEST_CASE("the mix of a batch with two layers says which it is for") {
  TwoLayers plant;
  const std::string batch = plant.open(), single = plant.openBatch();
  checkCode(plant.ask("mix open", TwoLayers::mixInput(batch, "")), "mix.compound_missing");
  checkCode(plant.ask("mix open", TwoLayers::mixInput(batch, "C-2")), "mix.other_compound");
  checkCode(plant.ask("mix open", TwoLayers::mixInput(single, "C-U")), "mix.other_compound");
  const std::string mix = plant.openMix(batch, "C-U");
  CHECK(plant.state<MixState>(projection::mix, mix).opened.compound == "C-U");
  // 30 of 100 parts in 50 kg.
  plant.weigh(mix, "resin", "R-1", "15 kg");
  CHECK(format(plant.state<MixState>(projection::mix, mix).weighings.front().wanted) ==
        "15.000\u00A0kg");
}

TEST_CASE("a mixer is cleared between the two compounds of one batch") {
  TwoLayers plant;
  const std::string batch = plant.open();
  plant.mixUnder(batch);
  checkRefused(plant.ask("mix open", TwoLayers::mixInput(batch, "C-1")),
               "mixer last ran C-U (batch " + batch + "); it has not been cleared for C-1");
  CHECK(bool(plant.ask("mix open", TwoLayers::mixInput(batch, "C-U"))));
  plant.clearMixer();
  CHECK(bool(plant.ask("mix open", TwoLayers::mixInput(batch, "C-1"))));
}

TEST_CASE("of two mixes opened at once on a clear mixer the second is refused") {
  TwoLayers plant;
  const std::string batch = plant.open(), other = plant.open();
  takenFirst(plant, {"mix open", TwoLayers::mixInput(batch, "C-1")},
             {"mix open", TwoLayers::mixInput(other, "C-U")}, "it has not been cleared for C-U");
}

TEST_CASE("pressing needs a finished mix of each layer") {
  TwoLayers plant;
  const std::string batch = plant.open();
  plant.plates(batch);
  plant.mixFriction(batch);
  checkRefused(plant.pressed(batch), "no finished mix of C-U is on record");
  plant.clearMixer();
  const std::string mix = plant.openMix(batch, "C-U");
  checkRefused(plant.pressed(batch), "no finished mix of C-U is on record");
  plant.finishMix(mix);
  CHECK(bool(plant.pressed(batch)));
}

TEST_CASE("the mix that makes pressing possible, and the run, in their order") {
  TwoLayers plant;
  const std::string batch = plant.open();
  plant.plates(batch);
  plant.mixFriction(batch);
  plant.clearMixer();
  const Ask last{"mix finish", R"({"mix":")" + plant.openMix(batch, "C-U") + R"(","minutes":8})"};
  const Ask run{
      "press run",
      R"({"batch":")" + batch +
          R"(","machine":"press","tool":"T","gauge":"SC-1","charge_checks":["147 g"],"underlayer_checks":["22 g"],"counts":{"good":40}})"};
  const Answers early = inOrder(plant, run, last);
  checkRefused(early.first, "no finished mix of C-U is on record");
  CHECK(bool(early.second));
  usedFirst(
      plant, run,
      {"hold place", R"({"subject":{"kind":"batch","id":")" + batch + R"("},"why":"a doubt"})"});
}

TEST_CASE("the window from mixing holds for the older of the two mixes") {
  TwoLayers plant;
  const std::string batch = plant.open();
  plant.plates(batch);
  plant.mixUnder(batch);
  plant.clearMixer();
  plant.clock->forward(3 * hour_ms);
  plant.mixFriction(batch);
  plant.clock->forward(3 * hour_ms + minute_ms);
  checkRefused(plant.pressed(batch), "'mix' ended 6 h 01 min earlier");
}

TEST_CASE("each layer's charge follows from its own volume, density and lots") {
  TwoLayers plant;
  plant.done(
      "lot receive",
      R"({"lot":"R-2","material":"resin","supplier":"s","supplier_lot":"8","quantity":"100 kg","density":"1.20 g/cm3"})");
  plant.done(
      "reading take",
      R"({"subject":{"kind":"lot","id":"R-2"},"characteristic":"mass","gauges":["SC-1"],"numbers":{"readings":["100 kg"]}})");
  plant.done("lot judge", R"({"lot":"R-2"})");
  plant.done("lot decide", R"({"lot":"R-2","disposition":"clear"})");
  const std::string batch = plant.open();
  plant.plates(batch);
  plant.mixFriction(batch);
  plant.clearMixer();
  plant.mixUnder(batch, "R-2");
  const auto answer = plant.pressed(batch);
  REQUIRE(bool(answer));
  const auto run = fromValue<PressRun>(plant.store->read()->fact(answer->sequences.front())->body);
  // Friction: 48 cm³ · 3.0 g/cm³ · 1.02 = 146.88 g, lots as nominal.
  CHECK(run->charge_target.value.text() == "146.88");
  // Underlayer: 8 · 2.7 · 1.02 = 22.032 g at nominal densities. Void-free, 30 resin and 70 iron:
  // nominal 100/(30/1.28 + 70/7.8) = 3.085291, lot 100/(30/1.20 + 70/7.8) = 2.943399 g/cm³;
  // 22.032 · 2.943399/3.085291 = 21.0187 g.
  REQUIRE(run->underlayer_target.has_value());
  CHECK(run->underlayer_target->value.text() == "21.02");
  CHECK(plant.figure(batch, "charge-weight-underlayer").text("method") == "forming.charge_check");
  CHECK(plant.figure(batch, "charge-weight").text("method") == "forming.charge_check");
}

TEST_CASE("charges are weighed of each layer that the part has, and of no other") {
  TwoLayers plant;
  TwoLayers other;
  const std::string batch = plant.bothMixed(), single = other.batchUpTo("mixed");
  checkCode(plant.pressed(batch, ""), "press.no_underlayer_checks");
  checkCode(other.pressed(single), "press.no_underlayer");
  checkCode(plant.pressed(batch, R"(,"underlayer_checks":["22 cm"])"), "unit.wrong_kind");
}

TEST_CASE("a corrected run is measured anew in both layers") {
  TwoLayers plant;
  const std::string batch = plant.bothMixed();
  const auto first = plant.pressed(batch);
  REQUIRE(bool(first));
  REQUIRE(bool(plant.pressed(batch, R"(,"underlayer_checks":["21 g"],"remark":{"corrects":)" +
                                        std::to_string(first->sequences.front()) +
                                        R"(,"why":"misread"})")));
  std::size_t standing = 0, corrected = 0;
  for (const Evidence& e : plant.batch(batch).evidence)
    if (e.characteristic.starts_with("charge-weight")) ++(e.corrected_by ? corrected : standing);
  CHECK(standing == 2);
  CHECK(corrected == 2);
}

TEST_CASE("the cure gate asks for the weighings of both formulas") {
  TwoLayers plant;
  const std::string batch = plant.open();
  plant.plates(batch);
  plant.mixFriction(batch);
  CHECK(says(findingsOf(plant, batch), "no finished mix of C-U is on record"));
  plant.clearMixer();
  // 15 kg ± 1 % is asked of the underlayer's resin; 10 kg would be right in the friction layer.
  plant.mixUnder(batch, "R-1", "10 kg");
  CHECK_FALSE(says(findingsOf(plant, batch), "no finished mix"));
  CHECK(says(findingsOf(plant, batch), "15.000 ± 0.150"));
}

TEST_CASE("an approval covers a pad with an underlayer only where it names that") {
  TwoLayers plant;
  const std::string batch = plant.open();
  const auto covered = [&](const std::string& compounds) {
    plant.done(
        "approval issue",
        R"({"noun":{"code":"A-U","kind":"customer approval","parts":["MF-U"],"compounds":[)" +
            compounds +
            R"(],"plates":["plate-1"],"adhesives":["glue-1"],"valid_from":"2026-01-01"},"why":"x"})");
    const auto file = act::batchFile(*plant.store->read(), batch, {2026, 3, 2});
    const auto covers = gate::coverOf(gate::needsToLeave(file->part), file->cover.made,
                                      file->cover.approvals, {2026, 3, 2});
    return covers.front().sentences().front();
  };
  const std::string friction = R"({"compound":"C-1","issue_from":1,"issue_to":1})";
  const auto under = [](const std::string& code, int from, int to) {
    return R"(,{"compound":")" + code + R"(","issue_from":)" + std::to_string(from) +
           R"(,"issue_to":)" + std::to_string(to) + R"(,"layer":"underlayer"})";
  };
  CHECK(covered(friction).find("Underlayer C-U issue 1 is not in") == 0);
  CHECK(covered(friction).find("covers pads without underlayer only") != std::string::npos);
  CHECK(covered(friction + under("C-U", 2, 3)).find("Underlayer C-U issue 1 is not in") == 0);
  CHECK(covered(friction + under("C-1", 1, 1)).find("Underlayer C-U issue 1 is not in") == 0);
  // As a friction layer it is another pad.
  CHECK(covered(friction + R"(,{"compound":"C-U","issue_from":1,"issue_to":1})")
            .find("Underlayer C-U issue 1 is not in") == 0);
  CHECK(covered(friction + under("C-U", 1, 1)).find("covers it") != std::string::npos);
  const std::string reversed = R"({"compound":"C-U","issue_from":1,"issue_to":1})";
  CHECK(covered(reversed + under("C-U", 1, 1)).find("Compound C-1 issue 1 is not in") == 0);
}

TEST_CASE("an approval of pads with an underlayer does not cover one without") {
  Plant plant;
  plant.done("compound issue", lower_compound);
  const auto file = act::batchFile(*plant.store->read(), plant.openBatch(), {2026, 3, 2});
  Approval approval = file->cover.approvals.front().noun;
  approval.compounds.push_back({"C-U", 1, 1, Layer::underlayer});
  const auto lines = gate::coverBy({approval, 1, {}, ""}, file->cover.made, {2026, 3, 2});
  const auto line = std::find_if(lines.begin(), lines.end(), [](const gate::CoverLine& l) {
    return l.of == gate::CoverOf::underlayer;
  });
  REQUIRE(line != lines.end());
  CHECK_FALSE(line->covered);
  CHECK(line->sentence.find("A pad without underlayer is not in") == 0);
}

}  // namespace platemark::test
