/// The service asked as programs ask it: who may, what comes back, one shape of error everywhere.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <regex>

#include "http/client.h"
#include "platemark/plant/value.h"
#include "platemark/service/service.h"

namespace {

using namespace platemark;
using http::testing::Answer;
using http::testing::Client;
namespace fs = std::filesystem;

constexpr std::string_view password = "marrowfen works";

/// A founded plant, served on a free port, gone when the test ends.
class Plant {
 public:
  Plant()
      : folder_(
            (fs::temp_directory_path() / fmt::format("platemark-api-{}", ::getpid())).string()) {
    fs::remove_all(folder_);
    Result<service::House> house =
        service::foundHouse(folder_, {"marrowfen", "Marrowfen Friction Works", "Europe/Berlin"},
                            {"Quality", "quality", std::string(password), "quality manager"});
    REQUIRE(house);
    service::ServiceOptions options;
    options.port = 0;
    service_ = std::make_unique<service::Service>(std::move(*house), options);
    REQUIRE(service_->start());
  }
  ~Plant() {
    service_->stop();
    fs::remove_all(folder_);
  }
  Plant(const Plant&) = delete;
  Plant& operator=(const Plant&) = delete;

  Answer ask(const std::string& method, const std::string& path, const std::string& body = "",
             const std::string& cookie = "") {
    Client client(service_->port());
    std::string request = fmt::format(
        "{} {} HTTP/1.1\r\nHost: localhost\r\nX-Platemark: 1\r\nContent-Type: "
        "application/json\r\nContent-Length: {}\r\n",
        method, path, body.size());
    if (!cookie.empty()) request += "Cookie: " + cookie + "\r\n";
    const std::optional<Answer> answer = client.ask(request + "Connection: close\r\n\r\n" + body);
    REQUIRE(answer);
    return *answer;
  }
  std::string signIn(const std::string& login) {
    const Answer answer = ask("POST", "/api/session",
                              fmt::format(R"({{"login":"{}","password":"{}"}})", login, password));
    REQUIRE(answer.status == 200);
    const std::string cookie = answer.header("set-cookie");
    CHECK(cookie.find("HttpOnly") != std::string::npos);
    CHECK(cookie.find("SameSite=Strict") != std::string::npos);
    return cookie.substr(0, cookie.find(';'));
  }

 private:
  std::string folder_;
  std::unique_ptr<service::Service> service_;
};

Plant& plant() {
  static Plant one;
  return one;
}

const std::string& quality() {
  static const std::string cookie = plant().signIn("quality");
  return cookie;
}

Value json(const Answer& answer) {
  Result<Value> value = parseJson(answer.body);
  REQUIRE_MESSAGE(value, answer.body);
  return std::move(*value);
}

/// Every refusal has the same shape and tells what to do.
void checkProblem(const Answer& answer, int status, const std::string& code) {
  CHECK(answer.status == status);
  CHECK(answer.header("content-type") == "application/problem+json");
  const Value problem = json(answer);
  CHECK(problem.text("code") == code);
  CHECK_FALSE(problem.text("detail").empty());
}

const std::string gauge =
    R"({"code":"HR-1","name":"Hardness tester 1","unit":"{HRR}","resolution":"0.5 {HRR}","calibration_due":"2030-01-01","calibration":"C-1"})";

std::string readFile(const std::string& path) {
  std::ifstream file(path);
  return {std::istreambuf_iterator<char>(file), {}};
}

/// Every address that the page on the interface names, with its method.
std::vector<std::pair<std::string, std::string>> addressesOf(const std::string& page) {
  static const std::regex row(R"(\| (GET|POST|DELETE) `(/api/[^`]+)` \|)");
  std::vector<std::pair<std::string, std::string>> addresses;
  for (std::sregex_iterator i(page.begin(), page.end(), row), end; i != end; ++i)
    addresses.emplace_back((*i)[1], std::regex_replace((*i)[2].str(), std::regex("[{}]"), ""));
  CHECK(addresses.size() > 25);
  return addresses;
}

std::string issueGauge(const std::string& token) {
  return fmt::format(R"({{"token":"{}","input":{{"noun":{},"why":"first"}}}})", token, gauge);
}

}  // namespace

TEST_CASE("Every question answers who is signed in with the same shapes") {
  for (const char* path : {"/api/session",
                           "/api/today",
                           "/api/yield",
                           "/api/yield?from=2026-01-01",
                           "/api/batches",
                           "/api/lots",
                           "/api/loads",
                           "/api/acts",
                           "/api/nouns",
                           "/api/nouns/gauge",
                           "/api/methods",
                           "/api/facts/1",
                           "/api/shift",
                           "/api/stations/goods-in",
                           "/api/stations/plates",
                           "/api/stations/weigh-up",
                           "/api/stations/press",
                           "/api/stations/clamp",
                           "/api/stations/finishing",
                           "/api/stations/packing",
                           "/api/stations/unclamp",
                           "/api/stations/ship"}) {
    INFO(path);
    const Answer answer = plant().ask("GET", path, "", quality());
    CHECK(answer.status == 200);
    CHECK(answer.header("content-type").find("application/json") == 0);
    CHECK(answer.header("cache-control") == "no-store");
  }
  for (const char* path :
       {"/api/batches/K7M4J-7", "/api/lots/R-1", "/api/loads/N-1", "/api/facts/99999",
        "/api/find?code=NOPE", "/api/nouns/gauge/NOPE", "/api/laboratory/batch/NOPE",
        "/api/judge/cure/batch/NOPE", "/api/mixes/NOPE",
        "/api/mixes/NOPE/try?material=barite&mass=1%20kg", "/api/labels/lot/NOPE",
        "/api/labels/sample/NOPE?of=1", "/api/labels/carton/376104250021234569",
        "/api/labels/poster/1", "/api/stations/roof", "/api/stations/press/code?code=NOPE"}) {
    INFO(path);
    const Answer answer = plant().ask("GET", path, "", quality());
    CHECK(answer.status == 404);
    CHECK(answer.header("content-type") == "application/problem+json");
  }
}

TEST_CASE("A day that is none, and a carton's number with a wrong check digit") {
  checkProblem(plant().ask("GET", "/api/yield?from=2026-02-30", "", quality()), 422,
               "time.not_a_time");
  checkProblem(plant().ask("GET", "/api/labels/carton/376104250021234568", "", quality()), 422,
               "sscc.check");
}

TEST_CASE("Whoever is not signed in learns that the plant is there, and nothing of it") {
  for (const auto& [method, path] : addressesOf(readFile(PLATEMARK_DOCS "/api.md"))) {
    INFO(method, " ", path);
    const Answer answer = plant().ask(method, path);
    if (path == "/api/session" || path == "/api/alive")
      CHECK(answer.status != 401);
    else
      checkProblem(answer, 401, "session.none");
  }
  CHECK(plant().ask("GET", "/api/alive").status == 204);
  const Value guest = json(plant().ask("GET", "/api/session"));
  CHECK(guest["person"].isNull());
  CHECK(guest["plant"].text("name") == "Marrowfen Friction Works");
  CHECK(guest["plant"]["record_sequence"].isNull());
  CHECK(guest["plant"]["record_head"].isNull());
}

TEST_CASE("A session that was ended opens nothing, and neither does a made-up one") {
  const std::string cookie = plant().signIn("quality");
  CHECK(plant().ask("GET", "/api/today", "", cookie).status == 200);
  CHECK(plant().ask("DELETE", "/api/session", "", cookie).status == 204);
  checkProblem(plant().ask("GET", "/api/today", "", cookie), 401, "session.none");
  checkProblem(plant().ask("GET", "/api/events", "", cookie), 401, "session.none");
  const std::string made_up = "platemark-session=" + std::string(64, '0');
  checkProblem(plant().ask("GET", "/api/today", "", made_up), 401, "session.none");
}

TEST_CASE("Nothing is recorded by somebody who is not signed in") {
  checkProblem(plant().ask("POST", "/api/acts/gauge/issue", issueGauge("guest")), 401,
               "session.none");
  checkProblem(plant().ask("POST", "/api/people", "{}"), 401, "session.none");
  checkProblem(plant().ask("POST", "/api/nouns/gauge/import?format=json&dry=0", "[]"), 401,
               "session.none");
}

TEST_CASE("A wrong password says nothing about the name") {
  const Answer known =
      plant().ask("POST", "/api/session", R"({"login":"quality","password":"not this one"})");
  const Answer unknown =
      plant().ask("POST", "/api/session", R"({"login":"nobody","password":"not this one"})");
  checkProblem(known, 403, "people.wrong_login");
  CHECK(json(known).text("detail") == json(unknown).text("detail"));
}

TEST_CASE("The same act sent twice is recorded once") {
  const Answer first = plant().ask("POST", "/api/acts/gauge/issue", issueGauge("twice"), quality());
  const Answer second =
      plant().ask("POST", "/api/acts/gauge/issue", issueGauge("twice"), quality());
  CHECK(first.status == 201);
  CHECK(second.status == 200);
  CHECK(*json(second)["repeated"].asBool());
  CHECK(canonicalJson(json(first)["sequences"]) == canonicalJson(json(second)["sequences"]));
  checkProblem(plant().ask("POST", "/api/acts/gauge/issue",
                           R"({"token":"twice","input":{"noun":{},"why":"other"}})", quality()),
               409, "token.reused");
}

TEST_CASE("Bad input is refused with its place and a remedy") {
  checkProblem(plant().ask("POST", "/api/acts/gauge/issue", "{", quality()), 422, "json.syntax");
  checkProblem(
      plant().ask("POST", "/api/acts/gauge/issue",
                  R"({"token":"a","input":{"noun":{"code":"X","kode":"Y"},"why":""}})", quality()),
      422, "value.unknown_member");
  checkProblem(plant().ask("POST", "/api/acts/gauge/issue",
                           R"({"token":"a","token":"b","input":{}})", quality()),
               422, "json.duplicate_name");
  checkProblem(plant().ask("POST", "/api/acts/lot/eat", R"({"token":"a","input":{}})", quality()),
               404, "act.unknown");
  checkProblem(
      plant().ask("POST", "/api/acts/gauge/issue", R"({"token":"","input":{}})", quality()), 422,
      "act.token_missing");
  checkProblem(
      plant().ask(
          "POST", "/api/acts/batch/release",
          R"({"token":"r","input":{"batch":"K7M4J-7","gate":"cure","verdict":1,"meaning":"x"}})",
          quality()),
      403, "act.signature_needed");
  checkProblem(
      plant().ask("POST", "/api/methods/bench.shear/evaluate",
                  R"({"numbers":{"force":["31.5 bar"],"bond_area":["47.2 cm2"]}})", quality()),
      422, "unit.wrong_kind");
}

TEST_CASE("Nouns from a file are kept all or not at all") {
  const std::string csv =
      "code,name,unit,resolution,calibration_due,calibration\r\nSC-1,Scale 1,kg,0.01 "
      "kg,2030-01-01,C-2\r\nSC-2,Scale 2,furlong,0.01 kg,2030-01-01,C-3\r\n";
  const Answer dry =
      plant().ask("POST", "/api/nouns/gauge/import?format=csv&dry=1", csv, quality());
  CHECK(dry.status == 200);
  CHECK(*json(dry)["wrong"].asInteger() == 1);
  const Answer kept = plant().ask("POST", "/api/nouns/gauge/import?format=csv&dry=0&token=import-1",
                                  csv, quality());
  CHECK(json(kept)["done"].isNull());
  CHECK(plant().ask("GET", "/api/nouns/gauge/SC-1", "", quality()).status == 404);
  const std::string good = csv.substr(0, csv.find("SC-2"));
  CHECK_FALSE(json(plant().ask("POST", "/api/nouns/gauge/import?format=csv&dry=0&token=import-2",
                               good, quality()))["done"]
                  .isNull());
  CHECK(plant().ask("GET", "/api/nouns/gauge/SC-1", "", quality()).status == 200);
}

TEST_CASE("What is issued is given away as files, to who is signed in") {
  checkProblem(plant().ask("GET", "/api/export"), 401, "session.none");
  checkProblem(plant().ask("GET", "/api/export/person"), 401, "session.none");
  (void)plant().ask("POST", "/api/nouns/gauge/import?format=csv&dry=0&token=to-export",
                    "code,name,unit,resolution,calibration_due,calibration\nSC-9,Scale 9,kg,0.01 "
                    "kg,2030-01-01,C-2\n",
                    quality());
  const Answer table = plant().ask("GET", "/api/export/gauge?format=csv", "", quality());
  CHECK(table.status == 200);
  CHECK(table.header("content-type") == "text/csv; charset=utf-8");
  CHECK(table.header("content-disposition") == "attachment; filename=\"gauge.csv\"");
  CHECK(table.body.find("SC-9,Scale 9,kg,0.01 kg,2030-01-01,C-2") != std::string::npos);
  const Answer zip = plant().ask("GET", "/api/export?format=csv", "", quality());
  CHECK(zip.header("content-type") == "application/zip");
  CHECK(zip.body.starts_with("PK\x03\x04"));
  CHECK(zip.body.find("06-gauge.csv") != std::string::npos);
  checkProblem(plant().ask("GET", "/api/export/batch", "", quality()), 422, "noun.unknown_kind");
}

TEST_CASE("A person without the permit is refused, with who can help") {
  const Answer made = plant().ask(
      "POST", "/api/people",
      fmt::format(
          R"({{"name":"Floor","login":"floor","password":"{}","duty":"floor crew","permits":[{{"operation":"mixing","until":"2030-01-01"}}]}})",
          password),
      quality());
  CHECK(made.status == 201);
  const std::string floor = plant().signIn("floor");
  const Answer refused = plant().ask("POST", "/api/acts/gauge/issue", issueGauge("floor-1"), floor);
  checkProblem(refused, 403, "permission.refused");
  CHECK_FALSE(json(refused)["missing"].asArray()->empty());
  checkProblem(
      plant().ask("POST", "/api/people",
                  R"({"name":"X","login":"x","password":"another one","duty":"x"})", floor),
      403, "permission.refused");
}

TEST_CASE("An upload is kept by its hash and refused without a session") {
  checkProblem(plant().ask("POST", "/api/attachments", "abc"), 401, "session.none");
  const Answer kept = plant().ask("POST", "/api/attachments", "abc", quality());
  CHECK(kept.status == 201);
  // source: FIPS 180-4, SHA-256 of "abc"
  CHECK(json(kept).text("hash") ==
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  const Answer picture = plant().ask("POST", "/api/attachments",
                                     std::string("\x89PNG\r\n\x1a\n\0\0\0\rIHDR", 16), quality());
  checkProblem(
      plant().ask("POST", "/api/layouts/propose",
                  fmt::format(R"({{"attachment":"{}"}})", json(picture).text("hash")), quality()),
      422, "intake.no_table");
  CHECK(plant().ask("GET", "/api/attachments/../../plant.json", "", quality()).status >= 400);
}

namespace {

/// Does an act as quality; the answer.
Answer doAct(const std::string& path, const std::string& input) {
  static int n = 0;
  return plant().ask("POST", "/api/acts/" + path,
                     fmt::format(R"({{"token":"act-{}","input":{}}})", ++n, input), quality());
}

/// A tester's layout, a lot whose plan asks for its hardness, and the tester's file; its hash.
std::string testerFile() {
  const auto done = [](const std::string& path, const std::string& input) {
    const Answer answer = doAct(path, input);
    REQUIRE_MESSAGE(answer.status == 201, answer.body);
  };
  done(
      "gauge/issue",
      R"({"noun":{"code":"HR-7","name":"Hardness tester 7","unit":"{HRR}","resolution":"0.5 {HRR}","calibration_due":"2040-01-01","calibration":"C-7"},"why":""})");
  done(
      "plan/issue",
      R"({"noun":{"code":"CP-H","name":"plan","lines":[{"characteristic":"hardness","words":"Hardness","gate":"lot","method":"bench.hardness","output":"hardness","statistic":"each","samples":1,"limits":[{"lower":"60 {HRR}","upper":"95 {HRR}","source":{"document":"own","confirmed":true}}],"reactions":["retest"]}]},"why":""})");
  done(
      "material/issue",
      R"({"noun":{"code":"plate-h","name":"plate","class":"plate","plan":"CP-H","band":[]},"why":""})");
  done(
      "lot/receive",
      R"({"lot":"H-1","material":"plate-h","supplier":"s","supplier_lot":"1","quantity":"10 kg","certificate":{},"remark":{}})");
  done(
      "layout/issue",
      R"({"noun":{"code":"tester","name":"Tester","mapping":{"name":"Tester","delimiter":";","decimal_mark":"comma","encoding":"utf-8","title_lines":0,"header_line":1,"unit_line":0,"time_column":1,"clock_column":0,"time_form":"year-month-day","zone":"Europe/Berlin","elapsed_unit":"s","columns":[{"position":2,"role":"reading","title":"sample","meaning":"sample","unit":"1"},{"position":3,"role":"reading","title":"HRR","meaning":"readings","unit":"{HRR}"}],"empty_marks":["---"],"last_line_may_lack_end":false}},"why":""})");
  return json(plant().ask("POST", "/api/attachments",
                          "time;sample;HRR\n2026-03-02 08:00:00;1;78,5\n2026-03-02 "
                          "08:00:20;2;81,0\n2026-03-02 08:00:40;1;79,0\n2026-03-02 "
                          "08:01:00;2;---\n2026-03-02 08:01:20;3;---\n",
                          quality()))
      .text("hash");
}

std::string takeFrom(const std::string& file, const std::string& sample, const std::string& more) {
  return fmt::format(
      R"({{"subject":{{"kind":"lot","id":"H-1"}},"characteristic":"hardness","sample":"{}","gauges":["HR-7"],"choices":{{}},"attachment":"{}",{}}})",
      sample, file, more);
}

}  // namespace

TEST_CASE("Readings come from the instrument's file, row by row of their sample") {
  const std::string file = testerFile();
  const auto body = [](const Answer& taken) {
    REQUIRE_MESSAGE(taken.status == 201, taken.body);
    const std::int64_t fact = *json(taken)["sequences"].asArray()->front().asInteger();
    return json(plant().ask("GET", "/api/facts/" + std::to_string(fact), "", quality()))["body"];
  };
  const Value first = body(doAct("reading/take", takeFrom(file, "1", R"("layout":"tester")")));
  CHECK(canonicalJson(first["numbers"]) ==
        R"({"readings":[{"unit":"{HRR}","value":"78.5"},{"unit":"{HRR}","value":"79"}]})");
  CHECK(first.text("attachment") == file);
  const Value second = body(doAct("reading/take", takeFrom(file, "2", R"("layout":"tester")")));
  CHECK(canonicalJson(second["numbers"]) ==
        R"({"readings":[{"unit":"{HRR}","value":"81"}]})");  // no value is no zero
  const Value typed =
      body(doAct("reading/take", takeFrom(file, "4", R"("numbers":{"readings":["77 {HRR}"]})")));
  CHECK(typed.text("attachment") == file);  // kept beside what was typed from it

  const auto refused = [&](const std::string& sample, const std::string& more) {
    return doAct("reading/take", takeFrom(file, sample, more));
  };
  checkProblem(refused("3", R"("layout":"tester")"), 422, "reading_file.no_rows");
  checkProblem(refused("9", R"("layout":"tester")"), 422, "reading_file.no_rows");
  checkProblem(refused("left", R"("layout":"tester")"), 422, "reading_file.sample");
  checkProblem(refused("1", R"("layout":"tester","numbers":{"readings":["77 {HRR}"]})"), 422,
               "reading_file.typed_too");
  checkProblem(refused("1", R"("layout":"another")"), 404, "layout.unknown");
  checkProblem(doAct("reading/take", takeFrom("", "1", R"("layout":"tester")")), 422,
               "reading_file.no_file");
}

TEST_CASE("A layout that could read no file is not issued") {
  const auto issue = [](const std::string& encoding, const std::string& column) {
    return doAct(
        "layout/issue",
        fmt::format(
            R"({{"noun":{{"code":"other","name":"Other","mapping":{{"name":"Other","delimiter":";","decimal_mark":"comma","encoding":"{}","title_lines":0,"header_line":1,"unit_line":0,"time_column":1,"clock_column":0,"time_form":"year-month-day","zone":"Europe/Berlin","elapsed_unit":"s","columns":[{{"position":2,"role":"{}","title":"HRR","meaning":"readings","unit":"{{HRR}}"}}],"empty_marks":[],"last_line_may_lack_end":false}}}},"why":""}})",
            encoding, column));
  };
  checkProblem(issue("utf-9", "reading"), 422, "layout.member");
  checkProblem(issue("utf-8", "ignored"), 422, "layout.no_reading");
  CHECK(issue("utf-8", "reading").status == 201);
}

TEST_CASE("A name is erased by who makes people, with the password again; the number stays") {
  const Answer made = plant().ask(
      "POST", "/api/people",
      fmt::format(
          R"({{"name":"Leaving","login":"leaving","password":"{}","duty":"laboratory technician","permits":[{{"operation":"gauges","until":"2030-01-01"}}]}})",
          password),
      quality());
  REQUIRE(made.status == 201);
  const std::string number = json(made)["created"].text("id");
  const std::string erase = "/api/people/" + number + "/erase";
  const std::string again = fmt::format(R"({{"password":"{}"}})", password);
  const std::string leaving = plant().signIn("leaving");
  const Answer issued =
      plant().ask("POST", "/api/acts/gauge/issue", issueGauge("leaving-1"), leaving);
  REQUIRE_MESSAGE(issued.status == 201, issued.body);
  const std::string fact =
      "/api/facts/" + std::to_string(*json(issued)["sequences"].asArray()->front().asInteger());
  CHECK(json(plant().ask("GET", fact, "", quality()))["person"].text("duty") ==
        "laboratory technician");

  checkProblem(plant().ask("POST", erase, again, leaving), 403, "permission.refused");
  checkProblem(plant().ask("POST", erase, R"({"password":"not this one"})", quality()), 403,
               "people.wrong_password");
  checkProblem(plant().ask("POST", erase, "{}", quality()), 422, "value.missing");
  checkProblem(plant().ask("POST", "/api/people/999/erase", again, quality()), 404,
               "people.unknown");
  checkProblem(plant().ask("POST", "/api/people/1/erase", again, quality()), 409,
               "people.own_name");
  CHECK(plant().ask("GET", "/api/today", "", leaving).status == 200);

  const Answer erased = plant().ask("POST", erase, again, quality());
  CHECK(erased.status == 200);
  CHECK(json(erased).text("words") == "person " + number + " (name erased)");
  checkProblem(plant().ask("POST", erase, again, quality()), 409, "people.erased");
  // The session that was open is over, and there is no way back in.
  checkProblem(plant().ask("GET", "/api/today", "", leaving), 401, "session.none");
  checkProblem(plant().ask("POST", "/api/session",
                           fmt::format(R"({{"login":"leaving","password":"{}"}})", password)),
               403, "people.wrong_login");
  const Value shown = json(plant().ask("GET", fact, "", quality()));
  CHECK(*shown["person"]["number"].asInteger() == std::stoll(number));
  CHECK(shown["person"].text("duty") ==
        "person " + number + " (name erased), laboratory technician");
}
