/// Which day a check uses when something is entered after it happened.
#include "act/plant_fixture.h"

namespace platemark::test {
namespace {

How backdated(const std::string& at) { return {1, "", at, "the network was down", {}}; }

std::string weighInput(const std::string& mix, const std::string& lot, const std::string& gauge) {
  return R"({"mix":")" + mix + R"(","material":"resin","lot":")" + lot +
         R"(","mass":"10 kg","gauge":")" + gauge + R"(","remark":{}})";
}

std::string openedMix(Plant& plant) {
  const Sequence opened =
      plant.done("mix open", R"({"batch":")" + plant.openBatch() + R"(","machine":"mixer"})");
  return plant.store->read()->fact(opened)->body.text("mix");
}

std::string approval(const std::string& from, const std::string& until) {
  return R"({"noun":{"code":"A-1","kind":"customer approval","parts":["MF-1"],"compounds":[{"compound":"C-1","issue_from":1,"issue_to":1}],"plates":["plate-1"],"adhesives":["glue-1"],"valid_from":")" +
         from + R"(","valid_until":")" + until + R"("},"why":"other days"})";
}

}  // namespace

TEST_CASE("a use-by day is checked on the day it happened, and still counts itself") {
  Plant plant;
  const std::string mix = openedMix(plant);
  plant.done(
      "lot receive",
      R"({"lot":"R-1","material":"resin","supplier":"s","supplier_lot":"7","quantity":"100 kg","use_by":"2026-03-03","remark":{"corrects":)" +
          std::to_string(plant.lot("R-1").received_fact) + R"(,"why":"the label says so"}})");
  plant.done("lot judge", R"({"lot":"R-1"})");
  plant.done("lot decide", R"({"lot":"R-1","disposition":"clear"})");
  plant.clock->forward(3 * one_day_ms);
  checkRefused(plant.ask("mix weigh", weighInput(mix, "R-1", "SC-1")), "expired on 2026-03-03");
  checkRefused(plant.ask("mix weigh", weighInput(mix, "R-1", "SC-1"),
                         backdated("2026-03-03T23:00:00Z")),  // midnight in the plant's zone
               "expired on 2026-03-03");
  CHECK(bool(
      plant.ask("mix weigh", weighInput(mix, "R-1", "SC-1"), backdated("2026-03-03T22:59:59Z"))));
}

TEST_CASE("a calibration of today does not reach back to what was weighed before it") {
  Plant plant;
  const std::string mix = openedMix(plant);
  plant.clock->forward(2 * one_day_ms);
  plant.done(
      "gauge issue",
      R"({"noun":{"code":"OLD-1","name":"old gauge","unit":"g","resolution":"1 g","calibration_due":"2026-12-31","calibration":"K-1"},"why":"calibrated"})");
  CHECK(bool(plant.ask("mix weigh", weighInput(mix, "R-1", "OLD-1"))));
  CHECK(bool(plant.ask("mix weigh", weighInput(mix, "R-1", "OLD-1"),
                       backdated("2026-03-04T00:30:00+01:00"))));
  checkRefused(
      plant.ask("mix weigh", weighInput(mix, "R-1", "OLD-1"), backdated("2026-03-03T12:00:00Z")),
      "out of calibration since 2026-01-31");
  CHECK(bool(
      plant.ask("mix weigh", weighInput(mix, "R-1", "OLD-1"), backdated("2026-01-31T12:00:00Z"))));
  checkCode(plant.ask("mix weigh", weighInput(mix, "R-1", "none")), "gauge.unknown");
}

TEST_CASE("approval cover is asked for the day of packing; it never begins tomorrow") {
  Plant plant;
  const std::string batch = plant.batchUpTo("released");
  const std::string box = R"({"batch":")" + batch + R"(","pads":1,"sets":1,"remark":{}})";
  plant.done("approval issue", approval("2026-01-01", "2026-03-02"));
  CHECK(bool(plant.ask("box pack", box)));
  plant.clock->forward(one_day_ms);
  checkRefused(plant.ask("box pack", box), "ended on 2026-03-02; the day is 2026-03-03");
  CHECK(bool(plant.ask("box pack", box, backdated("2026-03-02T22:59:00Z"))));
  // Three minutes to midnight in the plant's zone; the asker's clock says tomorrow already.
  plant.clock->forward(parseInstant("2026-03-03T22:57:00Z")->unixMs() -
                       plant.clock->now().unixMs());
  plant.done("approval issue", approval("2026-03-04", "2026-12-31"));
  checkRefused(plant.ask("box pack", box, {1, "", "2026-03-03T23:01:00Z", {}, {}}),
               "begins on 2026-03-04; the day is 2026-03-03");
  plant.clock->forward(3 * 60 * 1000);
  CHECK(bool(plant.ask("box pack", box)));
}

TEST_CASE("a repeat that has become late is still the same report; another time is not") {
  Plant plant;
  const std::string open = R"({"part":"MF-1","plates":40})";
  How how{1, "T", "2026-03-02T08:00:00Z", {}, {}};
  REQUIRE(bool(plant.ask("batch open", open, how)));
  plant.clock->forward(40 * 60 * 1000);
  how.late_because = "the station had no network";
  const auto again = plant.ask("batch open", open, how);
  REQUIRE(bool(again));
  CHECK(again->repeated);
  how.at = "2026-03-02T08:01:00Z";
  checkCode(plant.ask("batch open", open, how), "token.reused");
}

}  // namespace platemark::test
