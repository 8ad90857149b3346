#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "client.h"

using namespace platemark::http;
using namespace platemark::http::testing;
using Json = nlohmann::json;

namespace {

Answer answerTo(const std::string& request) {
  static Running running = [] {
    Router router;
    router.get("/api/x", [](const Request&) { return text("read"); });
    router.post("/api/x", [](const Request& r) { return text("written " + r.body); });
    return Running(std::move(router), {.hosts = {"Marrowfen.local"}});
  }();
  Client client(running.port());
  const auto answer = client.ask(request);
  REQUIRE(answer);
  return *answer;
}

int statusForHost(const std::string& lines) {
  return answerTo("GET /api/x HTTP/1.1\r\n" + lines + "\r\n").status;
}

int statusOfWrite(const std::string& lines, const std::string& host = "localhost:8080") {
  return answerTo("POST /api/x HTTP/1.1\r\nHost: " + host + "\r\n" + lines +
                  "Content-Length: 1\r\n\r\nq")
      .status;
}

}  // namespace

TEST_CASE("only our own names are served") {
  for (const char* ours : {"localhost", "localhost:8080", "127.0.0.1:1", "[::1]", "[::1]:8080",
                           "LOCALHOST", "marrowfen.LOCAL:80"}) {
    CHECK_MESSAGE(statusForHost("Host: " + std::string(ours) + "\r\n") == 200, ours);
  }
  for (const char* foreign : {"evil.example", "localhost.evil.example", "127.0.0.1.evil.example",
                              "127.0.0.2", "[::2]:8080", "", "localhost:1:2", "localhost@evil"}) {
    CHECK_MESSAGE(statusForHost("Host: " + std::string(foreign) + "\r\n") == 421, foreign);
  }
  CHECK(statusForHost("") == 400);
  CHECK(statusForHost("Host: localhost\r\nHost: localhost\r\n") == 400);
}

TEST_CASE("a write needs our own header or our own origin") {
  CHECK(statusOfWrite("X-Platemark: 1\r\n") == 200);
  CHECK(statusOfWrite("Sec-Fetch-Site: same-origin\r\n") == 200);
  CHECK(statusOfWrite("Origin: http://localhost:8080\r\n") == 200);
  CHECK(statusOfWrite("Origin: https://marrowfen.local\r\n", "marrowfen.local") == 200);

  CHECK(statusOfWrite("") == 403);
  CHECK(statusOfWrite("X-Platemark: 2\r\n") == 403);
  for (const char* site : {"cross-site", "same-site", "none"}) {
    CHECK(statusOfWrite("Sec-Fetch-Site: " + std::string(site) + "\r\n") == 403);
  }
  CHECK(statusOfWrite("Sec-Fetch-Site: cross-site\r\nOrigin: http://localhost:8080\r\n") == 403);
  for (const char* origin : {"null", "http://localhost", "http://localhost:8081",
                             "http://evil.example", "http://localhost:8080.evil.example"}) {
    CHECK_MESSAGE(statusOfWrite("Origin: " + std::string(origin) + "\r\n") == 403, origin);
  }
}

TEST_CASE("a refused write says why, and is not read as the next request") {
  static Running running(Router{});
  Client client(running.port());
  const auto answer = client.ask(
      "POST /api/x HTTP/1.1\r\nHost: localhost\r\nContent-Length: 44\r\n\r\n"
      "GET /api/x HTTP/1.1\r\nHost: localhost\r\n\r\n.....");
  REQUIRE(answer);
  CHECK(Json::parse(answer->body).at("code") == "http.foreign_origin");
  CHECK(client.waitForClose());
  CHECK(client.received().empty());
}
