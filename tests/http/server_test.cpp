#include <doctest/doctest.h>

#include <atomic>
#include <mutex>
#include <nlohmann/json.hpp>
#include <set>
#include <stdexcept>
#include <thread>

#include "client.h"

using namespace platemark;
using namespace platemark::http;
using namespace platemark::http::testing;
using Json = nlohmann::json;

namespace {

/// A handler that waits until it is let go.
struct Gate {
  std::atomic<int> inside = 0;
  std::atomic<bool> open = false;
  Response pass() {
    ++inside;
    eventually([&] { return open.load(); }, 5000ms);
    return text("passed");
  }
};

}  // namespace

TEST_CASE("an address that is no address, or is taken, is an error") {
  Server wrong({.address = "not an address"}, Router{});
  const auto bad = wrong.start();
  REQUIRE(!bad);
  CHECK(bad.error().code == "http.bad_address");

  Running first(Router{});
  CHECK(first.port() != 0);
  const auto again = first.server.start();
  REQUIRE(!again);
  CHECK(again.error().code == "http.already_started");
  Server second({.port = first.port()}, Router{});
  const auto taken = second.start();
  REQUIRE(!taken);
  CHECK(taken.error().code == "http.cannot_listen");
  CHECK(second.port() == 0);
  first.server.stop();
  CHECK(second.start());  // the port is free now
}

TEST_CASE("an exception is a 500 with the request's number, and its text stays in the log") {
  std::mutex mutex;
  std::vector<std::string> logged;
  Router router;
  router.get("/api/throw",
             [](const Request&) -> Response { throw std::runtime_error("password=secret"); });
  router.get("/api/odd", [](const Request&) -> Response { throw 7; });
  Running running(std::move(router),
                  {.on_exception = [&](const std::string& id, const std::string& what) {
                    const std::lock_guard lock(mutex);
                    logged.push_back(id + " " + what);
                  }});
  Client client(running.port());
  for (const char* path : {"/api/throw", "/api/odd"}) {
    const auto answer = client.ask(get(path));
    REQUIRE(answer);
    CHECK(answer->status == 500);
    CHECK(answer->body.find("secret") == std::string::npos);
    CHECK(Json::parse(answer->body).at("code") == "http.internal");
    CHECK(answer->body.find(answer->header("x-request-id")) != std::string::npos);
    const std::lock_guard lock(mutex);
    CHECK(logged.back().rfind(answer->header("x-request-id") + " ", 0) == 0);
  }
  CHECK(logged.front().find("password=secret") != std::string::npos);
}

TEST_CASE("the access log has a line for every request, without queries") {
  std::mutex mutex;
  std::vector<Access> lines;
  Router router;
  router.get("/api/ok", [](const Request&) { return text("four"); });
  Running running(std::move(router), {.on_access = [&](const Access& access) {
                    const std::lock_guard lock(mutex);
                    lines.push_back(access);
                  }});
  Client client(running.port());
  const auto first = client.ask(get("/api/ok?token=secret"));
  client.ask(get("/api/none"));
  client.ask("GARBAGE\r\n\r\n");
  REQUIRE(eventually([&] {
    const std::lock_guard lock(mutex);
    return lines.size() == 3;
  }));
  CHECK(lines[0].path == "/api/ok");
  CHECK(lines[0].method == "GET");
  CHECK(lines[0].status == 200);
  CHECK(lines[0].bytes == 4);
  CHECK(lines[0].peer == "127.0.0.1");
  CHECK(lines[0].delivered);
  CHECK(lines[0].id == first->header("x-request-id"));
  CHECK(lines[0].milliseconds >= 0);
  CHECK(lines[1].status == 404);
  CHECK(lines[2].status == 400);
  CHECK(std::set<std::string>{lines[0].id, lines[1].id, lines[2].id}.size() == 3);
}

TEST_CASE("handlers run on as many workers as asked, never on the network thread") {
  Gate gate;
  std::mutex mutex;
  std::set<std::thread::id> handlers;
  std::thread::id network;
  Router router;
  router.get("/api/wait", [&](const Request&) { return gate.pass(); });
  router.get("/api/quick", [&](const Request&) {
    const std::lock_guard lock(mutex);
    handlers.insert(std::this_thread::get_id());
    return text("quick");
  });
  Running running(std::move(router), {.workers = 2, .on_access = [&](const Access&) {
                                        const std::lock_guard lock(mutex);
                                        network = std::this_thread::get_id();
                                      }});
  Client waiting(running.port());
  REQUIRE(waiting.send(get("/api/wait")));
  REQUIRE(eventually([&] { return gate.inside == 1; }));
  Client quick(running.port());
  for (int i = 0; i < 20; ++i) REQUIRE(quick.ask(get("/api/quick")));
  // Both workers busy: the network still answers what needs no handler.
  Client second(running.port());
  REQUIRE(second.send(get("/api/wait")));
  REQUIRE(eventually([&] { return gate.inside == 2; }));
  CHECK(quick.ask(get("/api/none"))->status == 404);
  gate.open = true;
  CHECK(waiting.read()->body == "passed");
  CHECK(second.read()->body == "passed");
  const std::lock_guard lock(mutex);
  CHECK(handlers.size() == 1);
  CHECK(!handlers.contains(network));
}

TEST_CASE("stop lets running requests finish and closes everything else") {
  Gate gate;
  auto hub = std::make_shared<EventHub>();
  Router router;
  router.get("/api/wait", [&](const Request&) { return gate.pass(); });
  router.events("/api/events", hub);
  Running running(std::move(router));
  Client busy(running.port());
  Client queued(running.port());
  Client third(running.port());
  Client idle(running.port());
  Client half(running.port());
  Client stream(running.port());
  REQUIRE(busy.send(get("/api/wait")));
  REQUIRE(queued.send(get("/api/wait")));
  REQUIRE(third.send(get("/api/wait")));  // waits for a worker
  REQUIRE(half.send("GET /api/wait HT"));
  REQUIRE(stream.send(get("/api/events")));
  REQUIRE(stream.waitFor("retry"));
  REQUIRE(eventually([&] { return gate.inside == 2; }));
  CHECK(idle.ask(get("/api/none"))->status == 404);

  std::atomic<bool> stopped = false;
  std::thread stopper([&] {
    running.server.stop();
    stopped = true;
  });
  CHECK(idle.waitForClose());
  CHECK(half.waitForClose());
  CHECK(stream.waitForClose());
  CHECK(!stopped);
  gate.open = true;
  for (Client* client : {&busy, &queued, &third}) {
    const auto answer = client->read();
    CHECK(answer);
    if (answer) CHECK(answer->header("connection") == "close");
  }
  stopper.join();
  CHECK(hub->clients() == 0);
  running.server.stop();  // twice is harmless
}

TEST_CASE("stop does not wait for clients beyond its grace") {
  Router router;
  router.post("/api/x", [](const Request&) { return text("x"); });
  Running running(std::move(router), {.limits = {.stop_grace = 300ms}});
  Client stuck(running.port());
  REQUIRE(
      stuck.send("POST /api/x HTTP/1.1\r\nHost: localhost\r\nX-Platemark: 1\r\n"
                 "Expect: 100-continue\r\nContent-Length: 100\r\n\r\n"));
  REQUIRE(stuck.read()->status == 100);
  const auto begin = Clock::now();
  running.server.stop();
  CHECK(millisecondsSince(begin) > 250);
  CHECK(millisecondsSince(begin) < 1500);
  CHECK(stuck.waitForClose());
}

TEST_CASE("50 kept connections at once, each answered with its own") {
  Router router;
  router.post("/api/echo", [](const Request& r) { return text(r.body); });
  Running running(std::move(router));
  std::atomic<int> right = 0;
  const auto begin = Clock::now();
  std::vector<std::thread> threads;
  for (int t = 0; t < 50; ++t) {
    threads.emplace_back([&, t] {
      Client client(running.port());
      for (int i = 0; i < 100; ++i) {
        const std::string body = std::to_string(t) + ":" + std::to_string(i);
        const auto answer = client.ask(post("/api/echo", body));
        if (answer && answer->body == body) ++right;
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  MESSAGE("5000 requests over 50 connections in ms: ", millisecondsSince(begin));
  CHECK(right == 5000);
}
