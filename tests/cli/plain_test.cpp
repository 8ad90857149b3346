/// What the terminal says for people.
#include "plain.h"

#include <doctest/doctest.h>

#include "platemark/act/act.h"
#include "platemark/service/show.h"

namespace platemark::cli {
namespace {

std::string wordsOf(std::string_view what, std::string_view json) {
  const Result<Value> page = parseJson(json);
  REQUIRE(page);
  return plainWords(what, *page);
}

}  // namespace

TEST_CASE("today is a line for each thing, and the sentence that says why") {
  CHECK(wordsOf("today", R"({"now":"2026-11-25 19:41","sentence":"**Two batches wait for you**.",
      "on_hold":[{"batch":"A0W3F-9","part":"MF-3022","pads":"308","since":"12 d 12 h",
                  "why":"Too hot.","settle":"Decide","who":"quality manager"},
                 {"batch":"A6N5F-8","part":"MF-30541","pads":"45","since":"1 h","why":"Late."}],
      "late":[],"lots":[],"running":[],"shipped_overtaken":[]})") ==
        "2026-11-25 19:41\nTwo batches wait for you.\n"
        "\nBatches on hold: 2\n"
        "  A0W3F-9  MF-3022   308  12 d 12 h\n"
        "      Too hot. · Decide (quality manager)\n"
        "  A6N5F-8  MF-30541  45   1 h\n"
        "      Late.\n");
}
TEST_CASE("the bench's list names each thing with what it waits for") {
  CHECK(wordsOf("bench", R"({"sentence":"**One thing** waits for results of the bench.","things":[
      {"words":"Batch K9F6T-3, part MF-1051","since":"1 d 9 h","owed":[
        {"words":"Shear","counted":"4 of 5"},{"words":"Density","counted":"0 of 3"}]}]})") ==
        "One thing waits for results of the bench.\n"
        "\nBatch K9F6T-3, part MF-1051, waits 1 d 9 h\n"
        "    Shear    4 of 5\n    Density  0 of 3\n");
}
TEST_CASE("a gauge says what leans on it, and a run of results is a line each") {
  CHECK(wordsOf("gauge", R"({"code":"HR-5","calibration":{"words":"calibrated until 2027"},
      "wrong":[{"when":"Monday","found":"bent","last_right_when":"Sunday","words":"Nobody signed.",
        "touched":[{"of":{"kind":"batch","id":"H9C2J-3"},"words":"2 pads here",
          "verdicts":["cure gate: conforms"],
          "boxes":[{"box":"X-1","pads":"8","words":"left"}]}]}],
      "studies":[{"title":"Bias","when":"May","words":"none shown",
        "figures":[{"symbol":"b","value":"0.1 HRR","words":"bias"}]}],
      "checks":[],"lately":[{"when":"June","of":{"kind":"lot","id":"R-1"},"what":"mass"}]})") ==
        "HR-5: calibrated until 2027\n"
        "\nFound wrong on Monday: bent. Last known to be right: Sunday. Nobody signed.\n"
        "  batch H9C2J-3: 2 pads here\n    cure gate: conforms\n    X-1  8  left\n"
        "\nBias (May): none shown\n  b  0.1 HRR  bias\n"
        "\n\n  June  lot R-1  mass\n");
  CHECK(wordsOf("characteristic", R"({"title":"Shear","sentence":"1 result counts.","rows":[
      {"when":"June","of":{"kind":"batch","id":"H9C2J-3"},"sample":"2","value":"500 N/cm2",
       "word":"inside","words":"","flag":"Far off."}]})") ==
        "Shear\n1 result counts.\n\n  June  batch H9C2J-3  2  500 N/cm2  inside    Far off.\n");
}
TEST_CASE("the hand-over names each step with the batches that stand there") {
  CHECK(wordsOf("shift", R"({"now":"now","steps":[{"step":"clamp","batches":[
      {"batch":"K9F6T-3","part":"MF-1051","pads":"340","since":"1 d 9 h"}]}]})") ==
        "now\n\nStep clamp.\nBatches: 1\n  K9F6T-3  MF-1051  340  1 d 9 h\n");
}
TEST_CASE("an act is shown with its members, those inside others set in") {
  CHECK(wordsOf("act", R"({"name":"press run","words":"record a press run","fields":[
      {"name":"batch","type":"text","optional":false},
      {"name":"counts","type":"object","optional":true,"members":[
        {"name":"scrap","type":"named values","item":"whole number","optional":false}]}]})") ==
        "press run: record a press run\n"
        "  batch    text\n"
        "  counts   object (may be left out)\n"
        "    scrap  named values of whole number\n");
}
TEST_CASE("every act of the tool can be shown, and no other") {
  for (const act::Kind& kind : act::kinds()) {
    CAPTURE(kind.name);
    const auto shown = service::showWithoutPlant("act", std::string(kind.name));
    REQUIRE((shown && *shown));
    CHECK(plainWords("act", (*shown)->value).starts_with(std::string(kind.name) + ": "));
  }
  const auto unknown = service::showWithoutPlant("act", "press runn");
  REQUIRE(unknown);
  CHECK_FALSE(*unknown);
  CHECK_FALSE(service::showWithoutPlant("batch", "K7M4J-7"));
}

}  // namespace platemark::cli
