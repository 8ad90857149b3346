#include <doctest/doctest.h>

#include <atomic>
#include <fstream>
#include <memory>
#include <stdexcept>
#include <thread>

#include "client.h"
#include "platemark/http/problem.h"

using namespace platemark;
using namespace platemark::http;
using namespace platemark::http::testing;

namespace {

/// What became of the uploads of one test.
struct Seen {
  std::atomic<std::uint64_t> bytes = 0;
  std::atomic<std::uint64_t> hash = 14695981039346656037U;  // FNV-1a over 8-byte words
  std::atomic<std::size_t> largest = 0;
  std::atomic<int> opened = 0;
  std::atomic<int> finished = 0;
  std::atomic<int> aborted = 0;
  std::atomic<int> destroyed = 0;
  std::atomic<int> empty_pieces = 0;
};

std::uint64_t hashed(std::uint64_t hash, std::string_view bytes) {
  for (char c : bytes) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211U;
  return hash;
}

class Sink : public UploadSink {
 public:
  Sink(Seen& seen, std::string mode) : seen_(seen), mode_(std::move(mode)) { ++seen_.opened; }
  ~Sink() override { ++seen_.destroyed; }

  Result<void> write(std::string_view piece) override {
    if (mode_ == "full" && seen_.bytes > 100'000) {
      return Error{.fault = Fault::environment, .code = "disk.full", .what = "the disk is full"};
    }
    if (piece.empty()) ++seen_.empty_pieces;
    if (mode_ == "throw") throw std::runtime_error("secret path /var/x");
    if (mode_ == "slow") std::this_thread::sleep_for(20ms);
    seen_.bytes += piece.size();
    seen_.largest = std::max(seen_.largest.load(), piece.size());
    seen_.hash = hashed(seen_.hash, piece);
    return {};
  }
  Response finish() override {
    if (mode_ == "late") throw std::runtime_error("too late");
    ++seen_.finished;
    return text(std::to_string(seen_.bytes), 201);
  }
  void abort() override { ++seen_.aborted; }

 private:
  Seen& seen_;
  std::string mode_;
};

Router routes(Seen& seen, std::uint64_t limit = default_upload_limit) {
  Router router;
  router.upload(
      "PUT", "/api/files/{mode}",
      [&seen](const Request& r) -> Result<std::unique_ptr<UploadSink>> {
        if (r.param("mode") == "no") return Error{.fault = Fault::refused, .code = "files.no"};
        return std::unique_ptr<UploadSink>(new Sink(seen, std::string(r.param("mode"))));
      },
      limit);
  router.get("/api/ok", [](const Request&) { return text("ok"); });
  return router;
}

std::string put(const std::string& mode, std::uint64_t size) {
  return "PUT /api/files/" + mode +
         " HTTP/1.1\r\nHost: localhost\r\nX-Platemark: 1\r\nContent-Length: " +
         std::to_string(size) + "\r\n\r\n";
}

/// A line of /proc/self/status in kB.
long memoryKb(const std::string& name) {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);) {
    if (line.rfind(name + ":", 0) == 0) return std::stol(line.substr(name.size() + 1));
  }
  return -1;
}

/// Makes the peak begin again at what is used now.
void forgetPeak() {
  std::ofstream("/proc/self/clear_refs") << "5";
  REQUIRE(memoryKb("VmHWM") - memoryKb("VmRSS") < 4096);
}

}  // namespace

TEST_CASE("300 MB pass in constant memory while others are served") {
  Seen seen;
  Running running(routes(seen));
  std::string block(1U << 20U, '\0');
  for (std::size_t i = 0; i < block.size(); ++i) block[i] = static_cast<char>(i * 31 + i / 251);
  std::uint64_t expected = seen.hash;
  forgetPeak();
  const long before = memoryKb("VmHWM");
  const auto begin = Clock::now();
  Client client(running.port());
  Client other(running.port());
  REQUIRE(client.send(put("ok", 300U << 20U)));
  double longest = 0;
  for (int i = 0; i < 300; ++i) {
    block[0] = static_cast<char>(i);
    expected = hashed(expected, block);
    REQUIRE(client.send(block));
    if (i % 50 != 0) continue;
    const auto asked = Clock::now();
    REQUIRE(other.ask(get("/api/ok")));
    longest = std::max(longest, millisecondsSince(asked));
  }
  const auto answer = client.read();
  REQUIRE(answer);
  MESSAGE("300 MB in ms: ", millisecondsSince(begin),
          ", memory peak grew by kB: ", memoryKb("VmHWM") - before,
          ", longest wait of another client ms: ", longest);
  CHECK(answer->status == 201);
  CHECK(answer->body == std::to_string(300U << 20U));
  CHECK(seen.hash == expected);
  CHECK(seen.largest <= 64 * 1024);
#ifndef __SANITIZE_ADDRESS__  // which keeps freed memory back on purpose
  CHECK(memoryKb("VmHWM") - before < 40 * 1024);
#endif
  CHECK(longest < 500);
  CHECK(seen.aborted == 0);
  CHECK(client.ask(get("/api/ok"))->body == "ok");  // the connection goes on
}

TEST_CASE("a slow sink holds the sender back") {
  Seen seen;
  Running running(routes(seen));
  Client client(running.port());
  REQUIRE(client.send(put("slow", 64U << 20U)));
  // The network's own buffers take some; a sink of 64 kB per 20 ms takes 3 MB in a second.
  const std::string block(64U << 20U, 'x');
  CHECK(!client.send(block, 1000ms));
  CHECK(seen.bytes < 8U << 20U);
  client.reset();
  CHECK(eventually([&] { return seen.aborted == 1; }));
}

TEST_CASE("a client that goes away mid-way leaves nothing: abort, once") {
  for (const bool reset : {false, true}) {
    Seen seen;
    Running running(routes(seen));
    Client client(running.port());
    REQUIRE(client.send(put("ok", 10'000'000) + std::string(500'000, 'x')));
    REQUIRE(eventually([&] { return seen.bytes > 400'000; }));
    reset ? client.reset() : client.close();
    CHECK(eventually([&] { return seen.destroyed == 1; }));
    CHECK(seen.aborted == 1);
    CHECK(seen.finished == 0);
  }
}

TEST_CASE("stopping gives a stalled upload its grace, then aborts it") {
  Seen seen;
  Running running(routes(seen), {.limits = {.stop_grace = 200ms}});
  Client client(running.port());
  REQUIRE(client.send(put("ok", 10'000'000) + std::string(100'000, 'x')));
  REQUIRE(eventually([&] { return seen.bytes > 60'000; }));
  running.server.stop();
  CHECK(seen.aborted == 1);
  CHECK(seen.destroyed == 1);
}

TEST_CASE("too much, told or found out") {
  Seen seen;
  Running running(routes(seen, 100'000));
  Client told(running.port());
  REQUIRE(told.send(put("ok", 100'001)));
  CHECK(told.read()->status == 413);
  CHECK(seen.opened == 0);
  Client found(running.port());
  REQUIRE(
      found.send("PUT /api/files/ok HTTP/1.1\r\nHost: localhost\r\nX-Platemark: 1\r\n"
                 "Transfer-Encoding: chunked\r\n\r\n30d40\r\n" +
                 std::string(200'000, 'x') + "\r\n0\r\n\r\n"));
  CHECK(found.read()->status == 413);
  CHECK(seen.aborted == 1);
  CHECK(seen.finished == 0);
}

TEST_CASE("a sink's error and a sink's exception end the upload with an answer") {
  std::atomic<int> logged = 0;
  Seen seen;
  Running running(routes(seen),
                  {.on_exception = [&](const std::string&, const std::string&) { ++logged; }});
  const std::string body(1'000'000, 'x');
  const std::vector<std::pair<std::string, int>> cases{
      {"no", 403}, {"full", 503}, {"throw", 500}, {"late", 500}};
  for (const auto& [mode, status] : cases) {
    Client client(running.port());
    REQUIRE(client.send(put(mode, body.size())));
    client.send(body);
    const auto answer = client.read();
    REQUIRE_MESSAGE(answer, mode);
    CHECK_MESSAGE(answer->status == status, mode);
    CHECK(answer->body.find("secret") == std::string::npos);
  }
  CHECK(seen.opened == 3);
  CHECK(seen.aborted == 3);
  CHECK(logged == 2);
}

TEST_CASE("an empty upload and a chunked one are whole") {
  Seen seen;
  Running running(routes(seen));
  Client client(running.port());
  CHECK(client.ask(put("ok", 0))->body == "0");
  CHECK(client
            .ask("PUT /api/files/ok HTTP/1.1\r\nHost: localhost\r\nX-Platemark: 1\r\n"
                 "Transfer-Encoding: chunked\r\n\r\n3\r\nabc\r\n0\r\n\r\n")
            ->body == "3");
  // The last chunk comes alone.
  REQUIRE(
      client.send("PUT /api/files/ok HTTP/1.1\r\nHost: localhost\r\nX-Platemark: 1\r\n"
                  "Transfer-Encoding: chunked\r\n\r\n3\r\nabc\r\n"));
  REQUIRE(eventually([&] { return seen.opened == 3; }));
  CHECK(client.ask("0\r\n\r\n")->body == "6");
  CHECK(seen.finished == 3);
  CHECK(seen.empty_pieces == 0);
}
