#include <doctest/doctest.h>

#include <atomic>
#include <nlohmann/json.hpp>

#include "client.h"
#include "platemark/http/problem.h"

using namespace platemark;
using namespace platemark::http;
using namespace platemark::http::testing;

namespace {

struct House {
  std::shared_ptr<EventHub> hub;
  Running running;

  explicit House(Replay replay = {}, Limits limits = {}, QueueLimit queue = {})
      : hub(std::make_shared<EventHub>(queue)),
        running(routes(std::move(replay)), {.limits = limits}) {}

  Router routes(Replay replay) {
    Router router;
    router.events("/api/events", hub, std::move(replay));
    router.get("/api/ok", [](const Request&) { return text("ok"); });
    return router;
  }
  Client listener(const std::string& lines = {}, int receive_buffer = 0) {
    Client client(running.port(), receive_buffer);
    REQUIRE(client.send(get("/api/events", lines)));
    return client;
  }
};

std::size_t countOf(std::string_view text, std::string_view what) {
  std::size_t count = 0;
  for (std::size_t at = text.find(what); at != std::string_view::npos;
       at = text.find(what, at + what.size())) {
    ++count;
  }
  return count;
}

}  // namespace

TEST_CASE("an event is written as the format wants it") {
  const auto wire = EventHub::write({.name = "lot", .data = "a\nb\r\nc\rd", .id = "7"});
  CHECK(wire.text == "event: lot\nid: 7\ndata: a\ndata: b\ndata: c\ndata: d\n\n");
  CHECK(EventHub::write({.data = ""}).text == "data: \n\n");
  CHECK(EventHub::write({.name = "a\ndata: forged", .id = "1\n2"}).text ==
        "event: adata: forged\nid: 12\ndata: \n\n");
}

TEST_CASE("100 clients each receive every event in order") {
  House house;
  std::vector<Client> clients;
  for (int i = 0; i < 100; ++i) clients.push_back(house.listener());
  REQUIRE(eventually([&] { return house.hub->clients() == 100; }));
  std::string expected;
  for (int i = 0; i < 200; ++i) {
    const Event event{
        .name = "fact", .data = "number " + std::to_string(i), .id = std::to_string(i)};
    expected += EventHub::write(event).text;
    house.hub->publish(event);
  }
  for (Client& client : clients) {
    REQUIRE(client.waitFor("number 199\n\n"));
    CHECK(client.received().find("Content-Type: text/event-stream\r\n") != std::string::npos);
    const std::size_t body = client.received().find("event: fact");
    CHECK(client.received().substr(body) == expected);
  }
  CHECK(house.hub->dropped() == 0);
  clients.clear();
  CHECK(eventually([&] { return house.hub->clients() == 0; }));  // hang-ups are noticed at once
}

TEST_CASE("a client that does not read is dropped, the others receive all") {
  House house({}, {}, {.events = 64, .bytes = 1U << 20U});
  Client slow = house.listener({}, 4096);
  Client good = house.listener();
  REQUIRE(eventually([&] { return house.hub->clients() == 2; }));
  const std::string load(100'000, 'x');
  std::size_t published = 0;
  std::size_t received = 0;
  while (house.hub->dropped() == 0 && published < 500) {
    house.hub->publish({.name = "n", .data = load + std::to_string(published)});
    REQUIRE(good.waitFor("x" + std::to_string(published) + "\n\n"));
    received += countOf(good.take(), "event: n\n");
    ++published;
  }
  MESSAGE("dropped after events of 100 kB: ", published);
  CHECK(house.hub->dropped() == 1);
  CHECK(received == published);
  CHECK(eventually([&] { return house.hub->clients() == 1; }));
  CHECK(slow.waitForClose());
  house.hub->publish({.data = "still here"});
  CHECK(good.waitFor("still here"));
}

TEST_CASE("a returning client is given what it missed, nothing twice") {
  std::shared_ptr<EventHub>* hub = nullptr;
  const Replay replay = [&](const Request&, const std::string& last) -> Result<std::vector<Event>> {
    if (last.empty()) return std::vector<Event>{};
    if (last == "gone") return Error{.fault = Fault::not_found, .code = "events.gone"};
    if (last == "throw") throw std::runtime_error("secret");
    // Event 4 happens while the record is being read: in the replay and on the hub.
    (*hub)->publish({.data = "four", .id = "4"});
    (*hub)->publish({.data = "five", .id = "5"});
    return std::vector<Event>{{.data = "three", .id = "3"}, {.data = "four", .id = "4"}};
  };
  House house(replay);
  hub = &house.hub;
  Client back = house.listener("Last-Event-ID: 2\r\n");
  REQUIRE(back.waitFor("data: five\n\n"));
  house.hub->publish({.data = "six", .id = "6"});
  REQUIRE(back.waitFor("data: six\n\n"));
  const std::string& all = back.received();
  CHECK(all.substr(all.find("id: 3")) ==
        "id: 3\ndata: three\n\nid: 4\ndata: four\n\nid: 5\ndata: five\n\nid: 6\ndata: six\n\n");

  CHECK(house.listener("Last-Event-ID: gone\r\n").read()->status == 404);
  CHECK(house.listener("Last-Event-ID: throw\r\n").read()->status == 500);
  Client fresh = house.listener();
  REQUIRE(fresh.waitFor("retry: "));
  CHECK(fresh.received().find("data:") == std::string::npos);
}

TEST_CASE("a quiet stream has a heartbeat, and every stream an end") {
  House house({}, {.heartbeat = 100ms, .event_life = 650ms});
  Client client = house.listener();
  const auto begin = Clock::now();
  CHECK(client.waitForClose(3000ms));
  CHECK(millisecondsSince(begin) > 600);
  CHECK(millisecondsSince(begin) < 1500);
  CHECK(countOf(client.received(), ":\n\n") >= 5);
  CHECK(house.hub->clients() == 0);
}

TEST_CASE("HEAD on a stream ends") {
  House house;
  Client client(house.running.port());
  const auto head = client.ask("HEAD /api/events HTTP/1.1\r\nHost: localhost\r\n\r\n");
  REQUIRE(head);
  CHECK(head->header("content-type") == "text/event-stream");
  CHECK(client.waitForClose());
}
