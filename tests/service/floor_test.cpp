/// The floor as pages and terminal see it: instruments' files in place of typed values, the press
/// by its own times, a formula against its last issue.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <filesystem>
#include <span>

#include "act/plant_fixture.h"
#include "platemark/intake/layout.h"
#include "platemark/ledger/people.h"
#include "platemark/plant/container.h"
#include "platemark/plant/gauge_check.h"
#include "platemark/service/cure_file.h"
#include "platemark/service/formula_export.h"
#include "platemark/service/show.h"

namespace platemark::test {
namespace {

namespace fs = std::filesystem;

/// The plant as a house: the record is lent for one question.
struct Floor {
  Floor() {
    house.card = {"test", "Marrowfen Friction Works", "Europe/Berlin"};
    house.people = std::move(*ledger::openPeople(folder));
  }
  ~Floor() {
    plant.reset();
    fs::remove_all(folder);
  }
  Floor(const Floor&) = delete;
  Floor& operator=(const Floor&) = delete;

  template <class Question>
  auto ask(Question question) {
    house.store = std::move(plant->store);
    auto answer = question(house);
    plant->store = std::move(house.store);
    return answer;
  }
  Result<ledger::Receipt> act(const std::string& name, const std::string& input) {
    const Result<Value> value = parseJson(input);
    REQUIRE_MESSAGE(bool(value), input);
    return ask([&](service::House& h) {
      return service::askAny(h, {name, *value, "f" + std::to_string(++asked), 1, {}, {}, {}});
    });
  }
  Value done(const std::string& name, const std::string& input) {
    const auto answer = act(name, input);
    const std::string why = answer ? "" : describe(answer.error()) + missingWords(answer.error());
    REQUIRE_MESSAGE(bool(answer), why);
    return plant->store->read()->fact(answer->sequences.front())->body;
  }
  Value shown(const std::string& what, const std::string& id) {
    const auto answer = ask([&](const service::House& h) { return service::show(h, what, id); });
    REQUIRE(bool(answer));
    return answer->value;
  }
  std::string keep(const std::string& bytes) {
    const auto sink = plant->store->attach();
    REQUIRE(bool(sink->write(std::as_bytes(std::span(bytes)))));
    return sink->finish()->hash;
  }
  /// Time, a number in `unit` that means `meaning`, and a label where one is asked.
  void layout(const std::string& code, const std::string& meaning, const std::string& unit,
              bool labelled = false) {
    intake::FileLayout l;
    l.name = code;
    l.columns.push_back(
        {2, intake::Role::reading, "", meaning, unit, findUnit(unit)->kind, {}, {}});
    if (labelled) l.columns.push_back({3, intake::Role::label, "", "", "1", Kind::number, {}, {}});
    plant->done("layout issue", R"({"noun":{"code":")" + code + R"(","name":"x","mapping":)" +
                                    canonicalJson(service::layoutValue(l)) + R"(},"why":""})");
  }
  static std::string from(const std::string& hash, const std::string& code) {
    return R"("attachment":")" + hash + R"(","layout":")" + code + R"(")";
  }

  std::string folder =
      (fs::temp_directory_path() / fmt::format("platemark-floor-{}", ::getpid())).string();
  bool made = fs::remove_all(folder) + 1 > 0 && fs::create_directories(folder);
  std::optional<Plant> plant{std::in_place, folder};
  service::House house;
  int asked = 0;
};

std::string rows(const std::vector<std::string>& values) {
  std::string text = "time;value;label\n";
  int minute = 0;
  for (const std::string& value : values)
    text += fmt::format("2026-03-02 07:{:02}:00;{}\n", minute++, value);
  return text;
}

bool has(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("film, charges and the readings of a gauge come from an instrument's file") {
  Floor at;
  at.layout("film", "film", "um");
  at.layout("charges", "charge_checks", "g");
  at.layout("check", "readings", "g");
  const std::string batch = at.plant->openBatch();
  const std::string film = at.keep(rows({"21.5;", "22.0;", "23.1;"}));
  const Value plates = at.done(
      "plates prepare", R"({"batch":")" + batch +
                            R"(","plate_lot":"B-1","adhesive_lot":"G-1","machine":"coater",)" +
                            Floor::from(film, "film") + R"(,"counts":{"good":40}})");
  REQUIRE(plates["film"].asArray()->size() == 3);
  CHECK((*plates["film"].asArray())[2].text("value") == "23.1");
  const Evidence measured = at.plant->batch(batch).evidence.back();
  CHECK(measured.characteristic == "adhesive-film");
  CHECK(at.plant->store->read()->fact(*measured.reading)->body.text("attachment") == film);

  at.plant->mix(batch);
  const std::string charges = at.keep(rows({"147.1;", "146.8;"}));
  const Value run = at.done(
      "press run", R"({"batch":")" + batch + R"(","machine":"press","tool":"T","gauge":"SC-1",)" +
                       Floor::from(charges, "charges") + R"(,"counts":{"good":40}})");
  CHECK(run["charge_checks"].asArray()->size() == 2);

  at.plant->done(
      "gauge issue",
      R"({"noun":{"code":"CH-1","name":"x","unit":"g","resolution":"1 g","calibration_due":"2026-12-31","calibration":"K","daily_check":{"reference":"a mass","nominal":"100 g","tolerance":"1 g"}},"why":""})");
  const std::string check = at.keep(rows({"100.2;", "99.9;"}));
  const Value checked =
      at.done("gauge check", R"({"gauge":"CH-1",)" + Floor::from(check, "check") + "}");
  CHECK(checked["passed"] == Value(true));
  CHECK(checked["readings"].asArray()->size() == 2);
  CHECK(checked.text("attachment") == check);
}

TEST_CASE("a mass comes from the one weighing of the balance's file that is meant") {
  Floor at;
  at.layout("balance", "net", "kg", true);
  at.layout("plain", "net", "kg");
  at.plant->done(
      "container label",
      R"({"lot":"R-1","containers":[{"container":"R-1-1","quantity":"50 kg"},{"container":"R-1-2","quantity":"50 kg"}]})");
  const std::string batch = at.plant->openBatch();
  const std::string mix =
      at.done("mix open", R"({"batch":")" + batch + R"(","machine":"mixer"})").text("mix");
  const std::string file = at.keep(rows({"10.020;R-1-1", "39.900;I-1", "7.000;R-1-2"}));
  const auto weighing = [&](const std::string& material, const std::string& lot,
                            const std::string& more) {
    return R"({"mix":")" + mix + R"(","material":")" + material + R"(","lot":")" + lot +
           R"(","gauge":"SC-1",)" + more + "}";
  };
  const Value resin =
      at.done("mix weigh",
              weighing("resin", "R-1", R"("container":"R-1-1",)" + Floor::from(file, "balance")));
  CHECK(resin["mass"].text("value") == "10.020");
  CHECK(resin.text("attachment") == file);
  CHECK(at.done("mix weigh", weighing("iron", "I-1", Floor::from(file, "balance")))["mass"].text(
            "value") == "39.900");
  const Value back = at.done("container return", R"({"container":"R-1-2","gauge":"SC-1",)" +
                                                     Floor::from(file, "balance") + "}");
  CHECK(back["mass"].text("value") == "7.000");
  CHECK(back.text("attachment") == file);
  // Without labels only a file of one weighing says which is meant.
  const std::string one = at.keep(rows({"1.5;"})), two = at.keep(rows({"1.5;", "1.6;"}));
  CHECK(at.done("mix weigh", weighing("iron", "I-1", Floor::from(one, "plain")))["mass"].text(
            "value") == "1.5");

  const auto refused = [&](const std::string& act, const std::string& input,
                           const std::string& code) {
    CAPTURE(input);
    const auto answer = at.act(act, input);
    REQUIRE_FALSE(bool(answer));
    CHECK(answer.error().code == code);
  };
  refused("mix weigh", weighing("iron", "I-1", Floor::from(two, "plain")), "reading_file.several");
  refused("mix weigh", weighing("resin", "R-9", Floor::from(file, "balance")),
          "reading_file.no_weighing");
  refused("mix weigh", weighing("iron", "I-1", R"("mass":"2 kg",)" + Floor::from(one, "plain")),
          "reading_file.typed_too");
  refused("mix weigh", weighing("iron", "I-1", R"("layout":"plain")"), "reading_file.no_file");
  refused("mix weigh", weighing("iron", "I-1", Floor::from(one, "none")), "layout.unknown");
  refused("mix weigh", weighing("iron", "I-1", Floor::from(std::string(64, 'a'), "plain")),
          "attachment.unknown");
  refused("plates prepare",
          R"({"batch":")" + batch +
              R"(","plate_lot":"B-1","adhesive_lot":"G-1","machine":"coater",)" +
              Floor::from(one, "plain") + R"(,"counts":{"good":40}})",
          "reading_file.other_layout");
  at.layout("film", "film", "um");
  refused("plates prepare",
          R"({"batch":")" + batch +
              R"(","plate_lot":"B-1","adhesive_lot":"G-1","machine":"coater","film":["20 um"],)" +
              Floor::from(one, "film") + R"(,"counts":{"good":40}})",
          "reading_file.typed_too");
}

TEST_CASE("a press says what it made, how long it stood and waited, and who loaded meanwhile") {
  Floor at;
  at.plant->done(
      "machine issue",
      R"({"noun":{"code":"twin","name":"Press 6","class":"press","channels":[],"stations":["A","B"]},"why":""})");
  CHECK(has(canonicalJson(at.shown("machine", "twin")["press"]), "No run"));
  const std::string batch = at.plant->batchUpTo("mixed");
  at.plant->clock->forward(3 * 3'600'000);  // 11:00
  const auto run = [&](const std::string& station, const std::string& from, const std::string& to,
                       int strokes, const std::string& more) {
    at.plant->done(
        "press run",
        R"({"batch":")" + batch +
            R"(","machine":"twin","tool":"T","gauge":"SC-1","charge_checks":["147 g"],"station":")" +
            station + R"(","started":"2026-03-02T)" + from + R"(:00Z","ended":"2026-03-02T)" + to +
            R"(:00Z","strokes":)" + std::to_string(strokes) + more + R"(,"counts":{"good":20}})");
  };
  run("A", "08:00", "09:00", 60, R"(,"press_time":"20 s")");
  run("B", "08:30", "09:30", 60, R"(,"press_time":"20 s")");
  // 120 strokes and 40 pads in 90 min: 26.7 pads and 80 strokes an hour; both ran for 30 min;
  // closed for 2400 s of 5400 s, so it waited for 55.6 %.
  const Value log = at.shown("machine", "twin")["press"];
  const std::string words = canonicalJson(log["words"]);
  CHECK_MESSAGE(has(words, "27 pads an hour; 80 strokes an hour"), words);
  CHECK_MESSAGE(has(words, "stood for 0"), words);
  CHECK_MESSAGE(has(words, "waited for 56"), words);
  CHECK_MESSAGE(has(words, "For 30 min both stations ran"), words);
  REQUIRE(log["runs"].asArray()->size() == 2);
  CHECK((*log["runs"].asArray())[0].text("station") == "B");
  CHECK(has((*log["runs"].asArray())[0].text("cycle"), "20"));
  CHECK(at.shown("shift", "")["presses"].asArray()->size() == 1);
  run("A", "10:00", "10:30", 10, "");
  const std::string now = canonicalJson(at.shown("machine", "twin")["press"]["words"]);
  CHECK_MESSAGE(has(now, "stood for 20"), now);  // 30 of 150 min
  CHECK_MESSAGE(has(now, "is not known"), now);
}

TEST_CASE("two issues of a formula: shares by mass and volume, substances, lots and parts") {
  Floor at;
  at.plant->done(
      "material issue",
      R"({"noun":{"code":"copper","name":"copper fibre","class":"ingredient","density":"8.9 g/cm3","plan":"CP-lot","substances":[{"substance":"copper","at_most":"99 %","source":"declared"}]},"why":""})");
  at.plant->clearedLot("K-1", "copper");
  at.plant->done(
      "compound issue",
      R"({"noun":{"code":"C-1","name":"Heron","formula":[{"material":"resin","parts":"20","tolerance":"1 %"},{"material":"iron","parts":"75","tolerance":"1 %"},{"material":"copper","parts":"5","tolerance":"1 %"}],
  "target_density":"3.1 g/cm3","mix_mass":"50 kg","loss":"2 %","loss_basis":"pad","mixing_minutes":8},"why":"copper for iron"})");
  const Value change = at.shown("formula", "C-1/1/2");
  REQUIRE(change["lines"].asArray()->size() == 3);
  const Value resin = (*change["lines"].asArray())[0], iron = (*change["lines"].asArray())[1],
              copper = (*change["lines"].asArray())[2];
  CHECK(resin.text("change") == "same");
  CHECK(iron.text("change") == "changed");
  CHECK(copper.text("change") == "added");
  // Before: 20/1.28 = 15.625 and 80/7.8 = 10.2564 cm³ of 25.8814; void-free 100/25.8814 = 3.864.
  CHECK(has(resin.text("volume_before"), "60.37"));
  CHECK(has(iron.text("mass_before"), "80.00"));
  CHECK(has(iron.text("volume_before"), "39.63"));
  // After: 15.625, 75/7.8 = 9.6154 and 5/8.9 = 0.5618 cm³ of 25.8022; void-free 3.876.
  CHECK(has(iron.text("volume_after"), "37.27"));
  CHECK(has(copper.text("volume_after"), "2.18"));
  CHECK(has(copper.text("mass_after"), "5.00"));
  const Value density = (*change["properties"].asArray())[0];
  CHECK(has(density.text("before"), "3.864"));
  CHECK(has(density.text("after"), "3.876"));
  REQUIRE(change["substances"].asArray()->size() == 1);
  CHECK((*change["substances"].asArray())[0].text("before").empty());
  CHECK(has((*change["substances"].asArray())[0].text("after"), "4.95"));  // 5 % of 99 %
  std::string lots;
  for (const Value& lot : *change["lots"].asArray()) lots += lot.text("lot") + " ";
  CHECK(lots == "I-1 K-1 ");
  CHECK(*change["parts"].asArray() == Value::Array{"MF-1"});
  const auto table =
      at.ask([](const service::House& h) { return service::exportFormulas(h, "C-1", "1", "2"); });
  REQUIRE(bool(table));
  CHECK(has(*table, "iron,iron,changed,80,75"));
  // Told the other way round, copper is left out.
  CHECK((*at.shown("formula", "C-1/2/1")["lines"].asArray())[2].text("change") == "removed");
  for (const std::string bad : {"C-1/1/9", "C-1/0/1", "C-9/1/2", "C-1/1/x", "C-1", "C-1/1"}) {
    CAPTURE(bad);
    const auto answer =
        at.ask([&](const service::House& h) { return service::show(h, "formula", bad); });
    REQUIRE_FALSE(bool(answer));
    CHECK(answer.error().code == "compound.unknown");
  }
}

}  // namespace platemark::test
