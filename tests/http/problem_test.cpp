#include "platemark/http/problem.h"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "client.h"

using namespace platemark;
using namespace platemark::http;
using Json = nlohmann::json;

namespace {

Error fullError(Fault fault) {
  return {.fault = fault,
          .code = "cure.no_temperature",
          .what = "temperature \"T2\" is missing\nin row\t7 \x01",
          .where = {"oven\\4.csv", 7, "T2 °C", "load.temperature"},
          .expected = "°C between 20 and 400",
          .remedy = "read the chart again",
          .missing = {{"the chart", "oven operator", "upload it"}, {"the gauge's date", "", ""}}};
}

}  // namespace

TEST_CASE("each fault has its status and a title of its own") {
  const std::vector<std::pair<Fault, int>> all{
      {Fault::bad_input, 422}, {Fault::refused, 403},  {Fault::cannot_decide, 409},
      {Fault::not_found, 404}, {Fault::conflict, 409}, {Fault::environment, 503}};
  std::vector<std::string> titles;
  for (const auto& [fault, status] : all) {
    const Response response = problem(fullError(fault));
    CHECK(response.status == status);
    CHECK(response.content_type == "application/problem+json");
    const Json object = Json::parse(response.body);
    CHECK(object.at("status") == status);
    titles.push_back(object.at("title"));
  }
  std::sort(titles.begin(), titles.end());
  CHECK(std::adjacent_find(titles.begin(), titles.end()) == titles.end());
}

TEST_CASE("a problem carries every part of the error, read back by a foreign parser") {
  const Error error = fullError(Fault::refused);
  const Json object = Json::parse(problem(error).body);
  CHECK(object.at("type") == "/problems/cure.no_temperature");
  CHECK(object.at("code") == error.code);
  CHECK(object.at("detail") == error.what);
  CHECK(object.at("where") == Json{{"file", "oven\\4.csv"},
                                   {"line", 7},
                                   {"column", "T2 °C"},
                                   {"field", "load.temperature"}});
  CHECK(object.at("expected") == error.expected);
  CHECK(object.at("remedy") == error.remedy);
  CHECK(object.at("missing") ==
        Json{{{"what", "the chart"}, {"who", "oven operator"}, {"how", "upload it"}},
             {{"what", "the gauge's date"}}});
}

TEST_CASE("empty parts are left out") {
  const Json object = Json::parse(problem({.what = "no"}).body);
  CHECK(object == Json{{"type", "about:blank"},
                       {"title", "The input cannot be used"},
                       {"status", 422},
                       {"detail", "no"}});
}

TEST_CASE("text that is not UTF-8 still makes a valid problem") {
  const std::string replacement = "\xEF\xBF\xBD";
  const std::vector<std::pair<std::string, std::string>> cases{
      {"caf\xE9", "caf" + replacement},
      {"\xC0\xAF", replacement + replacement},                    // overlong
      {"\xED\xA0\x80", replacement + replacement + replacement},  // surrogate
      {"\xF4\x90\x80\x80", replacement + replacement + replacement + replacement},
      {"cut \xE2\x82", "cut " + replacement + replacement},
      {"\xF0\x9F\x9B\x91 €é", "\xF0\x9F\x9B\x91 €é"}};
  for (const auto& [sent, read] : cases) {
    CHECK(Json::parse(problem({.what = sent}).body).at("detail") == read);
  }
}
