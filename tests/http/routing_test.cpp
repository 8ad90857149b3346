#include <doctest/doctest.h>
#include <sys/socket.h>

#include <nlohmann/json.hpp>
#include <stdexcept>

#include "client.h"
#include "platemark/http/problem.h"

using namespace platemark;
using namespace platemark::http;
using namespace platemark::http::testing;
using Json = nlohmann::json;

namespace {

std::string listOf(const Fields& fields) {
  std::string list;
  for (const Field& field : fields) list += field.name + "=" + field.value + ";";
  return list;
}

const std::vector<Asset>& pages() {
  static const std::vector<Asset> all{
      {.path = "/index.html", .bytes = "<p>index", .content_type = "text/html", .etag = "i1"},
      {.path = "/assets/app-5f1c.js",
       .bytes = "let a = 1;",
       .content_type = "text/javascript",
       .etag = "5f1c",
       .immutable = true,
       .brotli = "BROTLI",
       .gzip = "GZIP"}};
  return all;
}

Router routes() {
  Router router;
  router.get("/api/lots/{id}", [](const Request& r) { return text(std::string(r.param("id"))); })
      .get("/api/lots/open", [](const Request&) { return text("the open ones"); })
      .get("/api/lots/{id}/rows/{row}", [](const Request& r) { return text(listOf(r.params)); })
      .get("/api/query", [](const Request& r) { return text(listOf(r.query)); })
      .get("/api/cookies", [](const Request& r) { return text(listOf(r.cookies)); })
      .get("/api/peer", [](const Request& r) { return text(r.peer + " " + r.id); })
      .get("/api/unsafe",
           [](const Request& r) {
             return text("x").with("X-Echo", std::string(r.queryValue("v").value_or("")));
           })
      .post("/api/echo", [](const Request& r) { return text(r.body); })
      .on("DELETE", "/api/lots/{id}", [](const Request&) { return noContent(); })
      .assets(pages());
  return router;
}

Answer answerTo(const std::string& request) {
  static Running running(routes());
  Client client(running.port());
  const auto answer = client.ask(request);
  REQUIRE(answer);
  return *answer;
}

}  // namespace

TEST_CASE("paths find their handler, parts decoded, literal before named") {
  CHECK(answerTo(get("/api/lots/R-2310")).body == "R-2310");
  CHECK(answerTo(get("/api/lots/open")).body == "the open ones");
  CHECK(answerTo(get("/api/lots/a%2Fb%20c%C3%A9")).body == "a/b cé");
  CHECK(answerTo(get("/api/lots/a+b")).body == "a+b");
  CHECK(answerTo(get("/api/lots/L1/rows/7")).body == "id=L1;row=7;");
  CHECK(answerTo(get("/api/query?a=1&b=x+y%26&a=2&c")).body == "a=1;b=x y&;a=2;c=;");
  CHECK(answerTo(get("/api/cookies", "Cookie: a=1; b=\"2\"\r\nCookie: c=x=y\r\n")).body ==
        "a=1;b=2;c=x=y;");
  CHECK(answerTo(get("/api/peer")).body.rfind("127.0.0.1 ", 0) == 0);
}

TEST_CASE("what is not there is 404, a wrong method 405 with what is allowed") {
  for (const char* path : {"/api/lots", "/api/lots/", "/api/lots//rows/1", "/api/none", "/x.js"}) {
    const Answer answer = answerTo(get(path));
    CHECK_MESSAGE(answer.status == 404, path);
    CHECK(Json::parse(answer.body).at("code") == "http.no_such_address");
  }
  const Answer wrong = answerTo(post("/api/lots/1", ""));
  CHECK(wrong.status == 405);
  CHECK(wrong.header("allow") == "GET, HEAD, DELETE");
  CHECK(Json::parse(wrong.body).at("expected") == "GET, HEAD, DELETE");
  CHECK(answerTo(post("/index.html", "")).header("allow") == "GET, HEAD");
  CHECK(
      answerTo("DELETE /api/lots/1 HTTP/1.1\r\nHost: localhost\r\nX-Platemark: 1\r\n\r\n").status ==
      204);
}

TEST_CASE("addresses that cannot be read are 400") {
  for (const char* path : {"/api/lots/%", "/api/lots/%2", "/api/lots/%zz", "/api/lots/..",
                           "/api/lots/%2e%2e", "/api/lots/a%00b", "/api/lots/%0d%0a",
                           "http://localhost/api/lots/1", "*", "/api/query?a=%4"}) {
    CHECK_MESSAGE(answerTo(get(path)).status == 400, path);
  }
}

TEST_CASE("HEAD gives the head of GET and nothing more") {
  static Running running(routes());
  Client client(running.port());
  const auto head = client.ask("HEAD /api/lots/R-2310 HTTP/1.1\r\nHost: localhost\r\n\r\n");
  REQUIRE(head);
  CHECK(head->status == 200);
  CHECK(head->header("content-length") == "6");
  const auto after = client.ask(get("/api/lots/7"));
  REQUIRE(after);
  CHECK(after->body == "7");
}

TEST_CASE("a connection is kept, and pipelined requests are answered in order") {
  static Running running(routes());
  Client client(running.port());
  std::string all;
  for (int i = 0; i < 50; ++i) {
    all += i % 2 == 0 ? get("/api/lots/" + std::to_string(i))
                      : post("/api/echo", "body " + std::to_string(i));
  }
  REQUIRE(client.send(all));
  for (int i = 0; i < 50; ++i) {
    const auto answer = client.read();
    REQUIRE(answer);
    CHECK(answer->header("connection") == "keep-alive");
    CHECK(answer->body == (i % 2 == 0 ? "" : "body ") + std::to_string(i));
  }
  const auto last = client.ask(get("/api/lots/1", "Connection: close\r\n"));
  REQUIRE(last);
  CHECK(last->header("connection") == "close");
  CHECK(client.waitForClose());
}

TEST_CASE("HTTP/1.0 is answered and closed") {
  static Running running(routes());
  Client client(running.port());
  const auto answer = client.ask("GET /api/lots/1 HTTP/1.0\r\nHost: localhost\r\n\r\n");
  REQUIRE(answer);
  CHECK(answer->body == "1");
  CHECK(client.waitForClose());
}

TEST_CASE("a client that has said its last word still gets its answer") {
  static Running running(routes());
  Client client(running.port());
  REQUIRE(client.send(post("/api/echo", "last") + get("/api/lots/1")));
  ::shutdown(client.socket(), SHUT_WR);
  CHECK(client.read()->body == "last");
  CHECK(client.read()->body == "1");
  CHECK(client.waitForClose());
}

TEST_CASE("every answer carries the security headers") {
  for (const std::string& request : {get("/api/lots/1"), get("/api/none"), get("/"),
                                     std::string("GARBAGE\r\n\r\n"), post("/api/lots/1", "")}) {
    const Answer answer = answerTo(request);
    const std::string policy = answer.header("content-security-policy");
    for (const char* rule : {"default-src 'self'", "style-src 'self'", "object-src 'none'",
                             "base-uri 'none'", "frame-ancestors 'none'"}) {
      CHECK_MESSAGE(policy.find(rule) != std::string::npos, rule);
    }
    CHECK(answer.header("x-content-type-options") == "nosniff");
    CHECK(answer.header("referrer-policy") == "same-origin");
    CHECK(answer.header("date").size() == 29);
    CHECK(!answer.header("x-request-id").empty());
  }
  CHECK(answerTo(get("/api/lots/1")).header("cache-control") == "no-store");
}

TEST_CASE("a header value cannot write further headers") {
  const Answer answer = answerTo(get("/api/unsafe?v=a%0d%0aSet-Cookie:%20x=1"));
  CHECK(answer.header("set-cookie").empty());
  CHECK(answer.header("x-echo") == "a  Set-Cookie: x=1");
}

TEST_CASE("assets: tags, 304, compressed variants, long cache, index for pages") {
  const std::string app = "/assets/app-5f1c.js";
  const Answer plain = answerTo(get(app));
  CHECK(plain.body == "let a = 1;");
  CHECK(plain.header("etag") == "\"5f1c\"");
  CHECK(plain.header("vary") == "Accept-Encoding");
  CHECK(plain.header("cache-control") == "public, max-age=31536000, immutable");

  const Answer brotli = answerTo(get(app, "Accept-Encoding: gzip, deflate, br;q=1.0\r\n"));
  CHECK(brotli.body == "BROTLI");
  CHECK(brotli.header("content-encoding") == "br");
  CHECK(brotli.header("etag") != plain.header("etag"));
  CHECK(answerTo(get(app, "Accept-Encoding: br;q=0, gzip;q=0.5\r\n")).body == "GZIP");
  CHECK(answerTo(get(app, "Accept-Encoding: br;q=0.0\r\n")).body == "let a = 1;");

  for (const char* known : {"\"5f1c\"", "\"x\", W/\"5f1c\"", "*"}) {
    const Answer same = answerTo(get(app, "If-None-Match: " + std::string(known) + "\r\n"));
    CHECK_MESSAGE(same.status == 304, known);
    CHECK(same.body.empty());
    CHECK(same.header("content-length").empty());
    CHECK(same.header("etag") == "\"5f1c\"");
  }
  CHECK(answerTo(get(app, "If-None-Match: \"old\"\r\n")).status == 200);

  for (const char* page : {"/", "/lots", "/lots/R-2310"}) {
    CHECK_MESSAGE(answerTo(get(page)).body == "<p>index", page);
  }
  CHECK(answerTo(get("/")).header("cache-control") == "no-cache");
  CHECK(answerTo(get("/assets/app-0000.js")).status == 404);
  CHECK(answerTo(get("/api")).status == 404);
}

TEST_CASE("wrong registrations are mistakes in the program") {
  Router router;
  const Handler handler = [](const Request&) { return text(""); };
  router.get("/a/{x}", handler);
  CHECK_THROWS_AS(router.get("/a/{y}", handler), std::invalid_argument);
  CHECK_THROWS_AS(router.get("a", handler), std::invalid_argument);
  CHECK_NOTHROW(router.get("/a/b", handler));
}

TEST_CASE("answers that help: downloads, cookies, redirects") {
  const Response file = bytes("x", "application/pdf", "Prüfung \"7\".pdf");
  CHECK(file.headers.at(0).value ==
        "attachment; filename=\"Pr__fung _7_.pdf\"; filename*=UTF-8''Pr%C3%BCfung%20%227%22.pdf");
  Response response;
  response.with(Cookie{.name = "__Host-s", .value = "v", .max_age = std::chrono::seconds(60)});
  CHECK(response.headers.at(0).value ==
        "__Host-s=v; Path=/; HttpOnly; SameSite=Strict; Secure; Max-Age=60");
  CHECK(redirect("/lots").status == 303);
}

TEST_CASE("A doorkeeper is asked before every route that is not opened") {
  Router router = routes();
  auto hub = std::make_shared<EventHub>();
  router.events("/api/events", hub)
      .upload("POST", "/api/files", [](const Request&) -> Result<std::unique_ptr<UploadSink>> {
        return Error{.code = "reached"};
      });
  router.openToAll("GET", "/api/peer").doorkeeper([](const Request& r) {
    return r.cookie("key") ? std::nullopt : std::optional(problem({.code = "kept.out"}, 401));
  });
  Running running(std::move(router));
  const auto status = [&](const std::string& request) {
    Client client(running.port());
    const auto answer = client.ask(request);
    return answer ? answer->status : 0;
  };
  CHECK(status(get("/api/lots/open")) == 401);
  CHECK(status(get("/api/events")) == 401);
  CHECK(status(post("/api/echo", "x")) == 401);
  CHECK(status(post("/api/files", std::string(100'000, 'x'))) == 401);
  CHECK(status(get("/api/peer")) == 200);
  CHECK(status(get("/assets/app-5f1c.js")) == 200);
  CHECK(status(get("/api/lots/open", "Cookie: key=1\r\n")) == 200);
  CHECK(status(post("/api/files", "x", "Cookie: key=1\r\n")) == 422);
  CHECK_THROWS_AS(Router().openToAll("GET", "/api/none"), std::invalid_argument);
}
