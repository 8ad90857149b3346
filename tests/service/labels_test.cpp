/// Labels, sheets and counts, from a plant that has lived one batch.
#include "platemark/service/labels.h"

#include <doctest/doctest.h>

#include "act/plant_fixture.h"
#include "paper/reading.h"
#include "platemark/service/show.h"

namespace platemark::test {
namespace {

using reading::flat;
using reading::ScratchPdf;
using service::drawLabel;

/// The fixture's plant as a house, with a released batch, a box of it and a carton.
struct Lived {
  Lived() {
    plant.done("numbering issue",
               R"({"noun":{"code":"sscc","name":"cartons","company_prefix":"9521234",)"
               R"("first_serial":1,"source":"GS1 prefix 952, for examples"},"why":""})");
    plant.done("place issue", R"({"noun":{"code":"A-1","name":"rack"},"why":""})");
    batch = plant.batchUpTo("released");
    box = plant.box(batch, 8);
    const Sequence packed =
        plant.done("carton pack", R"({"boxes":[")" + box + R"("],"remark":{}})");
    carton = plant.store->read()->fact(packed)->body.text("carton");
    mix = plant.batch(batch).mixes.front();
    load = plant.batch(batch).loads.front();
    house.card = {"test", "Marrowfen Friction Works", "Europe/Berlin"};
  }
  /// The house borrows the plant's record for one question.
  template <class Question>
  auto ask(Question question) {
    house.store = std::move(plant.store);
    auto answer = question(house);
    plant.store = std::move(house.store);
    return answer;
  }
  Result<service::DrawnLabel> label(const std::string& what, const std::string& id,
                                    const std::string& part = "") {
    return ask([&](const service::House& h) { return drawLabel(h, what, id, part); });
  }
  std::string words(const std::string& what, const std::string& id, const std::string& part = "") {
    const Result<service::DrawnLabel> drawn = label(what, id, part);
    const std::string why = drawn ? "" : describe(drawn.error());
    REQUIRE_MESSAGE(bool(drawn), why);
    return flat(reading::textOf(ScratchPdf(drawn->pdf), "-layout"));
  }
  Value shown(const std::string& what, const std::string& id = "") {
    const auto answer = ask([&](const service::House& h) { return service::show(h, what, id); });
    REQUIRE(bool(answer));
    return answer->value;
  }
  Plant plant;
  service::House house;
  std::string batch, box, carton, mix, load;
};

void checkSays(const std::string& text, const std::vector<std::string>& all) {
  CAPTURE(text);
  for (const std::string& words : all) {
    CAPTURE(words);
    CHECK(text.find(words) != std::string::npos);
  }
}

}  // namespace

TEST_CASE("each label says what the record says") {
  Lived lived;
  checkSays(lived.words("lot", "R-1"), {"LOT", "R-1", "resin", "a supplier", "100 kg", "no date"});
  lived.plant.done("container label",
                   R"({"lot":"R-1","containers":[{"container":"R-1-07","quantity":"25 kg"}]})");
  checkSays(lived.words("container", "R-1-07"), {"CONTAINER", "R-1-07", "R-1 ", "resin", "25 kg"});
  checkSays(lived.words("mix", lived.mix), {"MIX", lived.mix, "Heron, issue 1", lived.batch});
  checkSays(lived.words("sample", lived.batch, "2"),
            {"SAMPLE 2", lived.batch, "T-1", "tier 1, position 1", lived.load});
  checkSays(lived.words("clamp", lived.load, "1"), {"CLAMP", lived.batch, "40", "O-1"});
  checkSays(lived.words("box", lived.box), {"BOX", lived.box, lived.batch, "2 (8 pads)", "0001"});
  checkSays(lived.words("carton", lived.carton),
            {"CARTON", "(00) " + lived.carton, lived.batch, "MF-1", "2 (8 pads)", "0001"});
}

/// A batch pressed at both stations of a press, one tool in each; cavity 2 is in both.
std::string twoTools(Plant& plant) {
  plant.done("machine issue",
             R"({"noun":{"code":"twin","name":"Press 7","class":"press","channels":[],)"
             R"("stations":["A","B"]},"why":""})");
  const std::string batch = plant.batchUpTo("mixed");
  const auto press = [&](const std::string& where, const std::string& cavities) {
    plant.done("press run", R"({"batch":")" + batch + R"(","machine":"twin",)" + where +
                                R"("cavities":)" + cavities +
                                R"(,"gauge":"SC-1","charge_checks":["147 g"],)"
                                R"("check_cavities":["2"],"counts":{"good":40},"remark":{}})");
  };
  press(R"("station":"A","tool":"T-A",)", R"(["1","2"])");
  press(R"("station":"B","tool":"T-B",)", R"(["2","3"])");
  return batch;
}

TEST_CASE("a sample's label says its cavity and the tools that may have pressed it") {
  Lived lived;
  const std::string batch = twoTools(lived.plant);
  lived.plant.done("samples draw", R"({"batch":")" + batch +
                                       R"(","samples":[{"sample":"1","clamp":"","cavity":"3"},)"
                                       R"({"sample":"2","clamp":"","cavity":"2"},)"
                                       R"({"sample":"3","clamp":""}],"remark":{}})");
  const std::string third = lived.words("sample", batch, "1");
  checkSays(third, {"SAMPLE 1", "Cavity", "3", "T-B"});
  CHECK(third.find("T-A") == std::string::npos);
  checkSays(lived.words("sample", batch, "2"), {"Cavity", "T-A, T-B"});
  const std::string unsaid = lived.words("sample", batch, "3");
  checkSays(unsaid, {"T-A, T-B"});
  CHECK(unsaid.find("Cavity") == std::string::npos);
}

TEST_CASE("a charge sheet asks for what the record will hold against the weighing") {
  Lived lived;
  const std::string text = lived.words("charge-sheet", lived.mix);
  checkSays(text, {"CHARGE SHEET", lived.mix, "resin", "iron", "50 kg", "8 min"});
  const MixState mix = lived.plant.state<MixState>(projection::mix, lived.mix);
  REQUIRE(mix.weighings.size() == 2);
  for (const WeighingDone& weighing : mix.weighings) {
    const double wanted = weighing.wanted.value.value(),
                 tolerance = weighing.tolerance.value.value();
    checkSays(text,
              {weighing.wanted.value.text(), Decimal::fixed(wanted - tolerance, 3).text() + " to " +
                                                 Decimal::fixed(wanted + tolerance, 3).text()});
  }
  CHECK(text.find("resin") < text.find("iron"));  // in weighing order
}

TEST_CASE("load sheet and traveller go with the goods") {
  Lived lived;
  checkSays(lived.words("load-sheet", lived.load),
            {"LOAD SHEET", lived.load, "Oven 1", "P-180, issue 1", "60 °C", "180 °C ± 5 K",
             "soak 120 min", lived.batch, "40"});
  const std::string text = lived.words("traveller", lived.batch);
  checkSays(text, {"TRAVELLER", lived.batch, "MF-1, pad", "glue", "plates", "cure, programme P-180",
                   "finish, grind", "pack", "ship"});
  CHECK(text.find("plates") < text.find("finish, grind"));
}

TEST_CASE("drawn again it is the same, and what is not on record is not drawn") {
  Lived lived;
  CHECK(lived.label("box", lived.box)->pdf == lived.label("box", lived.box)->pdf);
  CHECK(lived.label("box", lived.box)->name == "box-" + lived.box + ".pdf");
  CHECK(lived.label("sample", lived.batch, "9").error().code == "sample.unknown");
  CHECK(lived.label("clamp", lived.load, "9").error().code == "clamp.unknown");
  CHECK(lived.label("traveller", "K7M4J-7").error().code == "batch.unknown");
  CHECK(lived.label("carton", "12").error().code == "sscc.length");
  CHECK(lived.label("poster", "1").error().code == "label.unknown");
}

TEST_CASE("what a label's bars carry is found") {
  Lived lived;
  CHECK(lived.shown("find", "]C100" + lived.carton).text("id") == lived.carton);
  CHECK(lived.shown("find", lived.batch + "/1").text("id") == lived.batch);
  lived.plant.done("carton store",
                   R"({"carton":")" + lived.carton + R"(","place":"A-1","remark":{}})");
  CHECK(lived.shown("find", lived.carton).text("words") ==
        "carton " + lived.carton + ", in place A-1");
}

TEST_CASE("counts that do not balance come first, and more boxed than there are is on Today") {
  Lived lived;
  const std::string open = lived.plant.openBatch();
  lived.plant.done("plates prepare",
                   R"({"batch":")" + open +
                       R"(","plate_lot":"B-1","adhesive_lot":"G-1","machine":"coater",)"
                       R"("counts":{"good":37,"scrap":{"bent":1}},"remark":{}})");
  const Value yield = lived.shown("yield");
  REQUIRE(yield["rows"].asArray()->size() == 2);
  const Value& first = (*yield["rows"].asArray())[0];
  CHECK(first.text("batch") == open);
  CHECK(first.text("words") == "plates: 2 missing");
  CHECK(first.text("scrap_words") == "1 bent");
  const Value& second = (*yield["rows"].asArray())[1];
  CHECK(second.text("batch") == lived.batch);
  CHECK(*second["balances"].asBool());
  CHECK(second.text("good") == "38");
  CHECK(second.text("samples") == "2");
  CHECK(second.text("yield") == "95.0\u00a0%");
  CHECK(lived.shown("yield", "2030-01-01")["rows"].asArray()->empty());

  const auto boxesLate = [&] {
    const Value today = lived.shown("today");
    for (const Value& row : *today["late"].asArray())
      if (row.text("what") == "Batch " + lived.batch + ", boxes") return row.text("hangs");
    return std::string();
  };
  CHECK(boxesLate().empty());
  lived.plant.done("box pack", R"({"batch":")" + lived.batch +
                                   R"(","pads":31,"sets":8,"remark":{"why":"found one more"}})");
  CHECK(boxesLate() == "38 pads were left, 39 are in boxes.");
}

TEST_CASE("the bench is told what it owes, and not what only comes after the cure gate") {
  Lived lived;
  const auto owed = [&] {
    std::string words;
    const Value bench = lived.shown("bench");
    for (const Value& thing : *bench["things"].asArray()) {
      words += thing.text("id") + ":";
      for (const Value& one : *thing["owed"].asArray())
        words += " " + one.text("characteristic") + " " + one.text("counted");
      words += "; ";
    }
    return words;
  };
  CHECK(owed().empty());
  const std::string batch = lived.plant.batchUpTo("sampled");
  CHECK(owed() == batch + ": shear 0 of 2; ");
  lived.plant.shear(batch, "1");
  CHECK(owed() == batch + ": shear 1 of 2; ");
  lived.plant.shear(batch, "2");
  CHECK(owed().empty());
  lived.plant.release(batch, "cure");
  CHECK(owed() == batch + ": flatness 0 of 1; ");
  lived.plant.finish(batch);
  CHECK(owed().empty());
}

TEST_CASE("a stamp is found as a worn plate shows it, and a misread one names what it may be") {
  Lived lived;
  const auto find = [&](const std::string& code) {
    return lived.ask([&](const service::House& h) { return service::show(h, "find", code); });
  };
  std::string seen = lived.batch;
  for (char& c : seen)
    if (c == '0') c = 'O';
  const auto found = find(seen);
  REQUIRE(found);
  CHECK(found->value.text("id") == lived.batch);
  std::string misread = lived.batch;
  misread.back() = misread.back() == '3' ? '4' : '3';
  for (std::string worn : {misread, lived.batch.substr(0, 2) + "?" + lived.batch.substr(3)}) {
    const auto answer = find(worn);
    REQUIRE_FALSE(answer);
    CHECK(answer.error().code == "code.unknown");
    CHECK(answer.error().remedy.find(lived.batch) != std::string::npos);
  }
  CHECK(find(misread).error().what.find("misread") != std::string::npos);
  CHECK(find("NOPE").error().remedy.find("like it") == std::string::npos);
}

}  // namespace platemark::test
