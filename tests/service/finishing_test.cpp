/// What is put on the pad, as pages, stations and the terminal see it; a bake from its recorder.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <span>

#include "act/finishing_plant.h"
#include "http/client.h"
#include "paper/reading.h"
#include "platemark/intake/propose.h"
#include "platemark/ledger/people.h"
#include "platemark/service/bake_file.h"
#include "platemark/service/cure_file.h"
#include "platemark/service/papers.h"
#include "platemark/service/service.h"
#include "platemark/service/show.h"
#include "support/folder.h"

namespace platemark::test {
namespace {

/// The plant as a house: the record is lent for one question.
struct Housed {
  Housed() : plant(folder.path()) {
    house.card = {"test", "Marrowfen Friction Works", "Europe/Berlin"};
    auto people = ledger::openPeople(folder.path());
    REQUIRE(bool(people));
    house.people = std::move(*people);
    plant.done("machine issue",
               nounOf(R"({"code":"O-1","name":"Oven 1","class":"oven","channels":[)"
                      R"({"name":"air","role":"control"},{"name":"metal","role":"load"}]})"));
  }
  template <class Question>
  auto ask(Question question) {
    house.store = std::move(plant.store);
    auto answer = question(house);
    plant.store = std::move(house.store);
    return answer;
  }
  Value shown(const std::string& what, const std::string& id) {
    const auto answer = ask([&](const service::House& h) { return service::show(h, what, id); });
    REQUIRE(bool(answer));
    return answer->value;
  }
  std::string keep(const std::string& bytes) {
    const auto sink = plant.store->attach();
    REQUIRE(bool(sink->write(std::as_bytes(std::span(bytes)))));
    return sink->finish()->hash;
  }
  void layoutFor(const std::string& bytes) {
    Result<intake::Proposal> proposed = intake::proposeLayout(bytes, "Europe/Berlin", "b.csv");
    const std::string why = proposed ? "" : describe(proposed.error());
    REQUIRE_MESSAGE(bool(proposed), why);
    for (intake::Column& column : proposed->layout.columns)
      column.meaning = column.position == 2 ? "air" : "metal";
    plant.done("layout issue", nounOf(R"({"code":"line","name":"line recorder","mapping":)" +
                                      canonicalJson(service::layoutValue(proposed->layout)) + "}"));
  }
  Result<ledger::Receipt> bakeFrom(const std::string& batch, const std::string& bytes,
                                   const std::string& more = "") {
    const std::string hash = keep(bytes);
    const Result<Value> input =
        parseJson(R"({"batch":")" + batch +
                  R"(","operation":"coat","machine":"O-1","pads":38,"attachment":")" + hash +
                  R"(","file_name":"b.csv","layout":"line")" + more + "}");
    REQUIRE(bool(input));
    return ask([&](service::House& h) {
      return service::askAny(
          h, {"bake record", *input, "bake-" + std::to_string(++asked), 1, {}, {}, {}});
    });
  }
  Folder folder;
  FinishingPlant plant;
  service::House house;
  int asked = 0;
};

/// Metal up to 205 °C in ten minutes, held, then down by 10 K/min; 30 s steps from 09:05.
std::string recording(double held_minutes, double top = 205) {
  std::string text = "time;air °C;metal °C\n";
  for (int step = 0; step <= 56; ++step) {
    const double minute = step / 2.0;
    const double metal = minute < 10                  ? 20 + (top - 20) * minute / 10
                         : minute < 10 + held_minutes ? top + (step % 2) * 0.1
                                                      : top - 10 * (minute - 10 - held_minutes);
    text += fmt::format("2026-03-02 09:{:02}:{:02};{:.1f};{:.1f}\n", 5 + step / 2, step % 2 * 30,
                        212 + (step % 3) * 0.1, metal);
  }
  return text;
}

constexpr std::int64_t minutes_ms = 60'000;

}  // namespace

TEST_CASE("a bake is read from the recorder's file, by its metal alone") {
  Housed at;
  const std::string batch = at.plant.finishedBut("bake");
  at.plant.clock->forward(40 * minutes_ms);
  at.layoutFor(recording(12));
  const auto kept = at.bakeFrom(batch, recording(12));
  const std::string why = kept ? "" : describe(kept.error());
  REQUIRE_MESSAGE(bool(kept), why);
  const std::vector<Evidence> evidence = at.plant.batch(batch).evidence;
  const Evidence& bake = evidence.back();
  REQUIRE(bake.method == "coat.bake");
  CHECK(bake.values[0].determined);
  // 200 °C is reached at 10·180/185 min and left half a minute after the top is.
  CHECK(bake.values[0].value.value.value() ==
        doctest::Approx(22.5 - 10 * 180.0 / 185).epsilon(0.01));
  CHECK(bake.values[2].value.value.value() == doctest::Approx(205.1));
  CHECK(against(at.plant.judged(batch)) == "");

  const auto brief =
      at.bakeFrom(batch, recording(8),
                  R"(,"remark":{"corrects":)" + std::to_string(kept->sequences.front()) +
                      R"(,"why":"the file of the shift before"})");
  REQUIRE(bool(brief));
  CHECK(at.plant.judged(batch).outcome == Outcome::does_not_conform);
  CHECK(at.plant.store->verify({}).sound);
}

TEST_CASE("a recording of another time, layout or machine is refused with its reason") {
  Housed at;
  const std::string batch = at.plant.finishedBut("bake");
  const auto early = [&](const std::string& input) {
    return at.ask([&](service::House& h) {
      return service::askAny(
          h, {"bake record", *parseJson(input), "x" + std::to_string(++at.asked), 1, {}, {}, {}});
    });
  };
  at.layoutFor(recording(12));
  // The clock stands at 09:00; the recording ends at 09:33.
  checkRefused(at.bakeFrom(batch, recording(12)), "which has not come yet");
  std::string yesterday = recording(12);
  for (std::size_t i; (i = yesterday.find("03-02")) != std::string::npos;)
    yesterday.replace(i, 5, "03-01");
  checkRefused(at.bakeFrom(batch, yesterday), "the coat was put on at");
  checkCode(at.bakeFrom(batch, "no table at all"), "intake.header_differs");
  checkCode(
      early(
          R"({"batch":"none","operation":"coat","machine":"O-1","pads":38,"attachment":"a","file_name":"b","layout":"line"})"),
      "batch.unknown");
  checkCode(
      early(
          R"({"batch":")" + batch +
          R"(","operation":"coat","machine":"O-9","pads":38,"attachment":"a","file_name":"b","layout":"line"})"),
      "machine.unknown");
  checkCode(
      early(
          R"({"batch":")" + batch +
          R"(","operation":"coat","machine":"O-1","pads":38,"attachment":"a","file_name":"b","layout":"none"})"),
      "layout.unknown");
  // Figures come from the file, never with the request.
  checkCode(
      early(
          R"({"batch":")" + batch +
          R"(","operation":"coat","machine":"O-1","pads":38,"attachment":"a","file_name":"b","layout":"line","figure":{}})"),
      "value.unknown_member");
}

TEST_CASE("an oven without a sensor on the metal gives no bake") {
  Housed at;
  const std::string batch = at.plant.finishedBut("bake");
  at.plant.clock->forward(40 * minutes_ms);
  at.layoutFor(recording(12));
  at.plant.done("machine issue",
                nounOf(R"({"code":"O-1","name":"Oven 1","class":"oven","channels":[)"
                       R"({"name":"air","role":"control"},{"name":"metal","role":"record"}]})"));
  checkCode(at.bakeFrom(batch, recording(12)), "cure.no_evidence");
}

TEST_CASE("history and batch record say what was put on") {
  Housed at;
  const std::string batch = at.plant.finishedBut("");
  const std::string shown = canonicalJson(at.shown("batch", batch));
  for (const std::string& words :
       {std::string("lot C-1, 80 pieces"), "printed “MF-1 " + batch + "”",
        std::string("at left edge, lot T-430"), std::string("programme PB-200"),
        std::string("metal hot enough for 11"), std::string(R"("id":"S-1")")}) {
    CAPTURE(words);
    CHECK(shown.find(words) != std::string::npos);
  }
}

TEST_CASE("history and batch record say station and cavities of a press run") {
  Housed at;
  const std::string batch = at.plant.batchUpTo("mixed");
  at.plant.done("machine issue",
                nounOf(R"({"code":"twin","name":"Press 7","class":"press","channels":[],)"
                       R"("stations":["A","B"]})"));
  at.plant.done("press run",
                R"({"batch":")" + batch +
                    R"(","machine":"twin","station":"B","tool":"T-9","cavities":["1","4"],)"
                    R"("gauge":"SC-1","charge_checks":["147 g","146.8 g"],)"
                    R"("check_cavities":["4","1"],"counts":{"good":40},"remark":{}})");
  const std::string history = canonicalJson(at.shown("batch", batch));
  CAPTURE(history);
  CHECK(history.find("tool T-9, twin, station B, cavities 1, 4") != std::string::npos);
  at.house.store = std::move(at.plant.store);
  const auto issued = service::issuePaper(at.house, batch, "batch record", "cavities", 1);
  at.plant.store = std::move(at.house.store);
  const std::string why = issued ? "" : describe(issued.error());
  REQUIRE_MESSAGE(bool(issued), why);
  const std::optional<Fact> paper = at.plant.store->read()->fact(issued->sequences.front());
  const Result<std::string> pdf = at.plant.store->attachment(paper->body.text("attachment"));
  REQUIRE(bool(pdf));
  const std::span<const std::byte> bytes = std::as_bytes(std::span(*pdf));
  const std::string text =
      reading::flat(reading::textOf(reading::ScratchPdf({bytes.begin(), bytes.end()}), "-layout"));
  CAPTURE(text);
  CHECK(text.find("T-9, cavity 4") != std::string::npos);
  CHECK(text.find("T-9, cavity 1") != std::string::npos);
}

/// The plant served; it is asked over loopback and gone at the end.
class Served {
 public:
  explicit Served(Housed& at) {
    at.house.folder = at.folder.path();
    at.house.store = std::move(at.plant.store);
    REQUIRE(bool(at.house.people->add("Quality", "quality", "marrowfen works")));
    service::ServiceOptions options;
    options.port = 0;
    service_ = std::make_unique<service::Service>(std::move(at.house), options);
    REQUIRE(bool(service_->start()));
    const http::testing::Answer answer =
        ask("POST", "/api/session", R"({"login":"quality","password":"marrowfen works"})");
    REQUIRE(answer.status == 200);
    cookie_ = answer.header("set-cookie");
    cookie_ = cookie_.substr(0, cookie_.find(';'));
  }
  ~Served() { service_->stop(); }
  Served(const Served&) = delete;
  Served& operator=(const Served&) = delete;
  std::string get(const std::string& path) {
    const http::testing::Answer answer = ask("GET", path, "");
    REQUIRE(answer.status == 200);
    return answer.body;
  }

 private:
  http::testing::Answer ask(const std::string& method, const std::string& path,
                            const std::string& body) {
    http::testing::Client client(service_->port());
    const std::optional<http::testing::Answer> answer = client.ask(fmt::format(
        "{} {} HTTP/1.1\r\nHost: localhost\r\nX-Platemark: 1\r\nContent-Type: application/json\r\n"
        "Content-Length: {}\r\n{}Connection: close\r\n\r\n{}",
        method, path, body.size(), cookie_.empty() ? "" : "Cookie: " + cookie_ + "\r\n", body));
    REQUIRE(bool(answer));
    return *answer;
  }
  std::string cookie_;
  std::unique_ptr<service::Service> service_;
};

TEST_CASE("the finishing station is told what the part asks, and which coat waits for its bake") {
  Housed at;
  const std::string batch = at.plant.finishedBut("bake"), baked = at.plant.finishedBut("");
  Served served(at);
  const auto told = [&](const std::string& code, const std::string& material) {
    return served.get("/api/stations/finishing/code?code=" + code + "&material=" + material);
  };
  const std::string here = told(batch, "");
  CAPTURE(here);
  CHECK(here.find(R"("bakes":["coat"])") != std::string::npos);
  CHECK(here.find(R"("print":"MF-1 )" + batch) != std::string::npos);
  CHECK(here.find(R"({"counted":true,"material":"clip-4"})") != std::string::npos);
  CHECK(told("S-1", "clip-4").find("clip-4 is wanted here") != std::string::npos);
  CHECK(told("S-1", "shim-9").find(R"("missing":[])") != std::string::npos);
  CHECK(told(baked, "").find(R"("bakes":[])") != std::string::npos);
  const std::string waiting = served.get("/api/stations/finishing");
  CHECK(waiting.find("bake of coat") != std::string::npos);
  CHECK(waiting.find(baked) == std::string::npos);
}

}  // namespace platemark::test
