/// A gauge's page, and a characteristic across batches, as pages and terminal see them.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <filesystem>

#include "act/plant_fixture.h"
#include "platemark/ledger/people.h"
#include "platemark/service/show.h"

namespace platemark::test {
namespace {

namespace fs = std::filesystem;

/// The plant as a house: the record is lent for one question.
struct House {
  House() {
    fs::remove_all(folder);
    fs::create_directories(folder);
    house.card = {"test", "Marrowfen Friction Works", "Europe/Berlin"};
    auto people = ledger::openPeople(folder);
    REQUIRE(bool(people));
    house.people = std::move(*people);
  }
  ~House() { fs::remove_all(folder); }
  House(const House&) = delete;
  House& operator=(const House&) = delete;

  Result<service::Shown> show(const std::string& what, const std::string& id) {
    house.store = std::move(plant.store);
    Result<service::Shown> shown = service::show(house, what, id);
    plant.store = std::move(house.store);
    return shown;
  }
  Value page(const std::string& what, const std::string& id) {
    const Result<service::Shown> shown = show(what, id);
    const std::string why = shown ? "" : describe(shown.error());
    REQUIRE_MESSAGE(bool(shown), why);
    return shown->value;
  }
  std::string folder =
      (fs::temp_directory_path() / fmt::format("platemark-gauge-{}", ::getpid())).string();
  Plant plant;
  service::House house;
};

const Value::Array& listIn(const Value& value, std::string_view name) {
  REQUIRE(value[name].asArray() != nullptr);
  return *value[name].asArray();
}

}  // namespace

TEST_CASE("the page of a gauge: checks as a run, studies with their working, results") {
  House at;
  at.plant.done("gauge issue",
                R"({"noun":{"code":"FM-1","name":"gauge","unit":"g","resolution":"1 g",)"
                R"("calibration_due":"2026-12-31","calibration":"K-1","daily_check":)"
                R"({"reference":"weight","nominal":"100 g","tolerance":"1 g"}},"why":"daily"})");
  at.plant.done("gauge check", R"({"gauge":"FM-1","readings":["100 g","100.5 g"],"remark":{}})");
  std::string rows;
  for (const std::string who : {"A", "B"})
    for (int part = 1; part <= 5; ++part)
      rows += fmt::format(R"({}{{"appraiser":"{}","part":"{}","readings":["{}.0 g","{}.{} g"]}})",
                          rows.empty() ? "" : ",", who, part, part, part, part % 2);
  at.plant.done("gauge study", R"({"gauge":"FM-1","characteristic":"shear","readings":[)" + rows +
                                   R"(],"remark":{}})");
  const std::string batch = at.plant.batchUpTo("sampled");
  at.plant.shear(batch, "1");

  const Value page = at.page("gauge", "FM-1");
  CHECK(page["calibration"].text("word") == "in calibration");
  CHECK(page.text("checks_svg").find("<svg") != std::string::npos);
  CHECK(listIn(page, "checks").front().text("words") == "passed");
  const Value& study = listIn(page, "studies").front();
  CHECK_FALSE(study["working"].text("substituted_formula").empty());
  CHECK(listIn(study["working"], "working").size() > 3);
  CHECK(listIn(study, "figures").size() == 8);
  CHECK(listIn(page, "wrong").empty());
  CHECK(listIn(page, "lately").front().text("what") == "shear, sample 1");
  CHECK(at.show("gauge", "FM-9").error().code == "gauge.unknown");
}

TEST_CASE("the page of a gauge found wrong says what leans on it and where the boxes are") {
  House at;
  const std::string batch = at.plant.wholeBatch();
  REQUIRE(bool(at.plant.ask("gauge found-wrong",
                            R"({"gauge":"FM-1","found":"bent","off":"3 g","remark":{}})")));
  const Value page = at.page("gauge", "FM-1");
  const Value& wrong = listIn(page, "wrong").front();
  CHECK(wrong.text("found") == "bent");
  CHECK(wrong.text("word") == "missing");
  CHECK(listIn(wrong, "results").size() == 2);
  const Value& touched = listIn(wrong, "touched").front();
  CHECK(touched["of"].text("id") == batch);
  CHECK(touched.text("words") == "30 pads in the house, 8 boxed, 8 shipped");
  CHECK(listIn(touched, "boxes").front().text("words").find("to a customer") != std::string::npos);
  REQUIRE(listIn(touched, "verdicts").size() == 2);
  CHECK(listIn(touched, "verdicts").front().asString()->find("overtaken") != std::string::npos);
  const Value today = at.page("today", "");
  bool told = false;
  for (const Value& row : listIn(today, "late"))
    told = told || (row.text("kind") == "gauge" && row.text("id") == "FM-1");
  CHECK(told);
}

TEST_CASE("a characteristic across batches: what counts, what is outside, what is set aside") {
  House at;
  const std::string first = at.plant.batchUpTo("sampled");
  at.plant.shear(first, "1", "24000 N");
  const Sequence slip = at.plant.shear(first, "2", "2400 N");
  at.plant.shear(first, "2", "24500 N",
                 R"({"corrects":)" + std::to_string(slip) + R"(,"why":"a digit"})");
  const std::string second = at.plant.batchUpTo("sampled");
  at.plant.shear(second, "1", "10000 N");  // 212 N/cm² against at least 250
  at.plant.clock->forward(60'000);
  REQUIRE(
      bool(at.plant.ask("gauge found-wrong", R"({"gauge":"FM-1","found":"bent","remark":{}})")));
  at.plant.done(
      "gauge issue",
      R"({"noun":{"code":"FM-2","name":"gauge","unit":"N","resolution":"1 N","calibration_due":"2026-12-31","calibration":"K-1"},"why":""})");
  at.plant.done("reading take",
                R"({"subject":{"kind":"batch","id":")" + second +
                    R"("},"characteristic":"shear","sample":"2","gauges":["FM-2"],)"
                    R"("numbers":{"force":["10000 N"],"bond_area":["47.2 cm2"]},"remark":{}})");
  at.plant.done("reading take", R"({"subject":{"kind":"batch","id":")" + second +
                                    R"("},"characteristic":"shear","sample":"1","gauges":["FM-2"],)"
                                    R"("numbers":{"force":["20000 N"],"bond_area":["47.2 cm2"]},)"
                                    R"("repeat_because":"another rig","remark":{}})");
  const Value page = at.page("characteristic", "CP-1/shear");
  const Value::Array& rows = listIn(page, "rows");
  REQUIRE(rows.size() == 5);  // the mended one is not among them
  CHECK(rows[0].text("word") == "inside");
  CHECK(rows[1].text("word") == "outside below");
  for (std::size_t i = 2; i < 5; ++i) {
    CHECK(rows[i].text("word") == "missing");
    CHECK(rows[i].text("words").find("was found wrong") != std::string::npos);
  }
  CHECK(page.text("sentence").find("2 results count, 1 of them outside, 3 set aside") !=
        std::string::npos);
  CHECK(page.text("run_svg").find("<svg") != std::string::npos);
  CHECK(page.text("histogram_svg").find("<svg") != std::string::npos);

  const Value lots = at.page("characteristic", "CP-lot/mass");
  CHECK(listIn(lots, "rows").size() == 4);
  for (const std::string what : {"CP-1/colour", "CP-9/shear", "CP-1", ""})
    CHECK(at.show("characteristic", what).error().code == "characteristic.unknown");
}

TEST_CASE("a slow drift is said though every result is inside its limits") {
  House at;
  const auto lot = [&](int n, double mass) {
    const std::string id = fmt::format("D-{}", n);
    at.plant.done("lot receive", R"({"lot":")" + id +
                                     R"(","material":"resin","supplier":"a supplier",)"
                                     R"("supplier_lot":"7","quantity":"100 kg","remark":{}})");
    at.plant.done(
        "reading take",
        R"({"subject":{"kind":"lot","id":")" + id +
            R"("},"characteristic":"mass","sample":"","gauges":["SC-1"],)" +
            fmt::format(R"("numbers":{{"readings":["{:.2f} kg"]}},"remark":{{}}}})", mass));
    at.plant.clock->forward(60'000);
  };
  const auto sentence = [&] { return at.page("characteristic", "CP-lot/mass").text("sentence"); };
  for (int n = 0; n < 30; ++n) lot(n, 100 + (n % 2 == 0 ? 0.2 : -0.2));
  CHECK(sentence().find("No drift") != std::string::npos);
  for (int n = 30; n < 50; ++n) lot(n, 100 + (n % 2 == 0 ? 0.2 : -0.2) + 0.04 * (n - 29));
  CHECK(sentence().find("0 of them outside") != std::string::npos);
  CHECK(sentence().find("It drifts: since D-") != std::string::npos);
  CHECK(sentence().find(" above those of the first 20") != std::string::npos);
}

}  // namespace platemark::test
