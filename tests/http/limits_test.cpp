#include <doctest/doctest.h>
#include <poll.h>

#include <algorithm>
#include <atomic>
#include <nlohmann/json.hpp>
#include <thread>

#include "client.h"

using namespace platemark::http;
using namespace platemark::http::testing;
using Json = nlohmann::json;

namespace {

Router routes() {
  Router router;
  router.get("/api/ok", [](const Request&) { return text("ok"); });
  router.post(
      "/api/echo", [](const Request& r) { return text(r.body); }, 1000);
  router.post("/api/length", [](const Request& r) { return text(std::to_string(r.body.size())); });
  router.get("/api/big", [](const Request&) { return text(std::string(32U << 20U, 'x')); });
  return router;
}

const std::string post_head = "POST /api/echo HTTP/1.1\r\nHost: localhost\r\nX-Platemark: 1\r\n";

std::string chunk(const std::string& text) {
  char size[32];
  std::snprintf(size, sizeof size, "%zx\r\n", text.size());
  return size + text + "\r\n";
}

std::string chunked(const std::vector<std::string>& parts) {
  std::string request = post_head + "Transfer-Encoding: chunked\r\n\r\n";
  for (const std::string& part : parts) request += chunk(part);
  return request + "0\r\n\r\n";
}

Answer answerTo(const std::string& request) {
  static Running running(routes());
  Client client(running.port());
  const auto answer = client.ask(request);
  REQUIRE(answer);
  return *answer;
}

/// Connections that each send one more header line whenever told, and note when they were cut.
class Dribblers {
 public:
  Dribblers(std::size_t count, std::uint16_t port) : begun_(Clock::now()) {
    for (std::size_t i = 0; i < count; ++i) {
      clients_.emplace_back(port);
      clients_.back().send("GET /api/ok HTTP/1.1\r\nHost: localhost\r\n");
    }
  }
  void step() {
    for (Client& client : clients_) {
      if (client.socket() < 0) continue;
      client.send("X-Slow: 1\r\n", 10ms);
      if (client.waitForClose(0ms)) {
        cut_after_.push_back(millisecondsSince(begun_));
        client.close();
      }
    }
  }
  [[nodiscard]] const std::vector<double>& cutAfter() const { return cut_after_; }

 private:
  Clock::time_point begun_;
  std::vector<Client> clients_;
  std::vector<double> cut_after_;
};

}  // namespace

TEST_CASE("the limits are what is promised") {
  const Limits limits;
  CHECK(limits.header_deadline == 5s);
  CHECK(limits.idle == 60s);
  CHECK(limits.header_bytes == 8192);
  CHECK(limits.connections == 1024);
  CHECK(limits.heartbeat == 15s);
  CHECK(limits.event_life == 30min);
  CHECK(default_body_limit == 1U << 20U);
}

TEST_CASE("a header over 8 kB is 431, one under it is served") {
  CHECK(answerTo(get("/api/ok", "X-Long: " + std::string(7900, 'a') + "\r\n")).status == 200);
  CHECK(answerTo(get("/api/ok", "X-Long: " + std::string(8200, 'a') + "\r\n")).status == 431);
  CHECK(answerTo(get("/api/ok?" + std::string(8200, 'a'))).status == 431);
  // Never ends: refused as soon as it is too long, not when it ends.
  CHECK(answerTo("GET /api/ok HTTP/1.1\r\nX-Endless: " + std::string(20000, 'a')).status == 431);
}

TEST_CASE("a body over the route's limit is 413, told by its length or found while reading") {
  CHECK(answerTo(post("/api/echo", std::string(1000, 'b'))).body.size() == 1000);
  const Answer told = answerTo(post("/api/echo", std::string(1001, 'b')));
  CHECK(told.status == 413);
  CHECK(Json::parse(told.body).at("expected") == "at most 1000 bytes");
  CHECK(answerTo(chunked({std::string(600, 'a'), std::string(401, 'b')})).status == 413);
  CHECK(answerTo(post("/api/length", std::string(1U << 20U, 'b'))).body == "1048576");
  CHECK(answerTo(post("/api/length", std::string((1U << 20U) + 1, 'b'))).status == 413);
  // Refused at once, though the client has sent nothing of it.
  CHECK(answerTo(post_head + "Content-Length: 99999999999\r\n\r\n").status == 413);
}

TEST_CASE("chunked bodies arrive whole, and the connection goes on") {
  static Running running(routes());
  Client client(running.port());
  const auto answer = client.ask(chunked({"one ", std::string(500, 'z'), " three"}));
  REQUIRE(answer);
  CHECK(answer->body == "one " + std::string(500, 'z') + " three");
  // Byte by byte, with an extension and a trailer.
  const std::string odd = post_head +
                          "Transfer-Encoding: chunked\r\n\r\n3;a=b\r\nabc\r\n1\r\nd\r\n0\r\n"
                          "X-Trailer: 1\r\n\r\n";
  for (char c : odd) REQUIRE(client.send({&c, 1}));
  const auto second = client.read();
  REQUIRE(second);
  CHECK(second->body == "abcd");
}

TEST_CASE("what is not proper HTTP is 400 and closed") {
  for (const std::string& broken :
       {std::string("GARBAGE\r\n\r\n"), std::string("GET /api/ok\r\n\r\n"),
        std::string("GET /api/ok HTTP/9.9\r\nHost: localhost\r\n\r\n"),
        std::string("GET  /api/ok HTTP/1.1\r\nHost: localhost\r\n\r\n"),
        get("/api/ok", "no colon\r\n"), get("/api/ok", "Spaced : x\r\n"),
        get("/api/ok", std::string("X: a\0b\r\n", 8)), post_head + "Content-Length: x\r\n\r\n",
        post_head + "Content-Length: -1\r\n\r\n",
        post_head + "Content-Length: 1\r\nContent-Length: 2\r\n\r\nab",
        post_head + "Content-Length: 3\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
        post_head + "Transfer-Encoding: chunked\r\n\r\nzz\r\nabc\r\n0\r\n\r\n",
        std::string("\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03", 11) +
            std::string(200, '\x01')}) {
    static Running running(routes());
    Client client(running.port());
    const auto answer = client.ask(broken);
    REQUIRE_MESSAGE(answer, broken);
    CHECK_MESSAGE(answer->status == 400, broken);
    CHECK_MESSAGE(client.waitForClose(), broken);
  }
  CHECK(answerTo(post_head + "Transfer-Encoding: gzip, chunked\r\n\r\n0\r\n\r\n").status == 501);
}

TEST_CASE("a client that asks first is told to go on, or refused before it sends") {
  static Running running(routes());
  Client client(running.port());
  REQUIRE(client.send(post_head + "Content-Length: 3\r\nExpect: 100-continue\r\n\r\n"));
  const auto go_on = client.read();
  REQUIRE(go_on);
  CHECK(go_on->status == 100);
  const auto answer = client.ask("abc");
  REQUIRE(answer);
  CHECK(answer->body == "abc");
  REQUIRE(client.send(post_head + "Content-Length: 3000\r\nExpect: 100-continue\r\n\r\n"));
  const auto refused = client.read();
  REQUIRE(refused);
  CHECK(refused->status == 413);
}

TEST_CASE("200 slow clients delay nobody and are cut at the deadline") {
  const double deadline = 1500;
  Running running(routes(), {.limits = {.header_deadline = 1500ms}});
  Dribblers slow(200, running.port());
  std::vector<double> waits;
  const auto begin = Clock::now();
  while (slow.cutAfter().size() < 200 && millisecondsSince(begin) < 4000) {
    slow.step();
    const auto asked = Clock::now();
    Client client(running.port());
    const auto answer = client.ask(get("/api/ok"));
    REQUIRE(answer);
    CHECK(answer->body == "ok");
    waits.push_back(millisecondsSince(asked));
    std::this_thread::sleep_for(100ms);
  }
  REQUIRE(slow.cutAfter().size() == 200);
  const auto [first, last] = std::minmax_element(slow.cutAfter().begin(), slow.cutAfter().end());
  CHECK(*first >
        deadline - 200);  // counted from the first connection, so the earliest may seem late
  CHECK(*last < deadline + 1200);
  std::sort(waits.begin(), waits.end());
  MESSAGE("median wait ms: ", waits[waits.size() / 2], ", longest: ", waits.back(),
          "; slow ones cut after ms: ", *first, " to ", *last);
  CHECK(waits.size() >= 8);
  CHECK(waits[waits.size() / 2] < 100);
}

TEST_CASE("a silent client is cut, a quiet kept connection lasts for the idle time") {
  Running running(routes(), {.limits = {.header_deadline = 200ms, .idle = 800ms}});
  Client silent(running.port());
  Client kept(running.port());
  REQUIRE(kept.ask(get("/api/ok")));
  const auto begin = Clock::now();
  CHECK(silent.waitForClose(600ms));
  CHECK(!kept.waitForClose(200ms));
  CHECK(kept.waitForClose(2000ms));
  CHECK(millisecondsSince(begin) > 600);
}

TEST_CASE("a body may take its size's time and no longer") {
  Running running(routes(), {.limits = {.grace = 300ms, .slowest_rate = 1000}});
  // 1000 bytes at 1000 bytes a second: 1.3 s are allowed.
  const std::string head = post_head + "Content-Length: 1000\r\n\r\n";
  Client steady(running.port());
  Client slow(running.port());
  REQUIRE(steady.send(head));
  REQUIRE(slow.send(head));
  const auto begin = Clock::now();
  for (int i = 0; i < 8; ++i) {
    REQUIRE(steady.send(std::string(125, 's')));
    REQUIRE(slow.send("s"));
    std::this_thread::sleep_for(100ms);
  }
  const auto answer = steady.read();
  REQUIRE(answer);
  CHECK(answer->status == 200);
  CHECK(slow.waitForClose(2000ms));
  CHECK(millisecondsSince(begin) > 1200);
  CHECK(millisecondsSince(begin) < 2000);
}

TEST_CASE("a client that does not read its answer is cut") {
  std::atomic<int> undelivered = 0;
  Running running(routes(), {.limits = {.grace = 200ms, .slowest_rate = 100U << 20U},
                             .on_access = [&](const Access& access) {
                               if (!access.delivered) ++undelivered;
                             }});
  Client deaf(running.port(), 4096);
  REQUIRE(deaf.send(get("/api/big")));
  CHECK(eventually([&] { return undelivered == 1; }, 3000ms));
}

TEST_CASE("connections are capped, for all and for one address, and come free again") {
  for (const Limits& limits : {Limits{.connections = 3}, Limits{.connections_per_address = 3}}) {
    Running running(routes(), {.limits = limits});
    std::vector<Client> clients;
    for (int i = 0; i < 3; ++i) {
      clients.emplace_back(running.port());
      REQUIRE(clients.back().ask(get("/api/ok")));
    }
    Client more(running.port());
    const auto refused = more.read();
    REQUIRE(refused);
    CHECK(refused->status == 503);
    CHECK(Json::parse(refused->body).at("code") == "http.too_many_connections");
    clients.pop_back();
    CHECK(eventually([&] {
      Client again(running.port());
      const auto answer = again.ask(get("/api/ok"));
      return answer && answer->status == 200;
    }));
  }
}
