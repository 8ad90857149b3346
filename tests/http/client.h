/// A client of raw sockets: it can do what a well-behaved library would not let it. Every wait has
/// a deadline.
#pragma once

#include <chrono>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "platemark/http/server.h"

namespace platemark::http::testing {

using namespace std::chrono_literals;
using Milliseconds = std::chrono::milliseconds;
using Clock = std::chrono::steady_clock;

struct Answer {
  int status = 0;
  std::string head;
  std::map<std::string, std::string> headers;  ///< lower-case names
  std::string body;

  [[nodiscard]] std::string header(const std::string& name) const {
    const auto found = headers.find(name);
    return found == headers.end() ? std::string() : found->second;
  }
};

class Client {
 public:
  explicit Client(std::uint16_t port, int receive_buffer = 0);
  ~Client();
  Client(Client&& other) noexcept
      : socket_(std::exchange(other.socket_, -1)), pending_(std::move(other.pending_)) {}
  Client& operator=(Client&&) = delete;

  /// False when the other end has closed or does not take it all in time.
  bool send(std::string_view text, Milliseconds within = 5000ms);
  /// One whole answer (with its body unless it answers HEAD), or none in time.
  std::optional<Answer> read(bool head_only = false, Milliseconds within = 5000ms);
  std::optional<Answer> ask(const std::string& request);
  /// Waits for `text` to have arrived; what came stays readable in received().
  bool waitFor(std::string_view text, Milliseconds within = 5000ms);
  /// Reads until the other end closes; false when it has not in time.
  bool waitForClose(Milliseconds within = 5000ms);
  [[nodiscard]] const std::string& received() const { return pending_; }
  /// The same, and forgets it.
  std::string take() { return std::exchange(pending_, {}); }
  [[nodiscard]] int socket() const { return socket_; }
  void close();
  /// Closes with a reset, as a machine that crashed would.
  void reset();

 private:
  enum class Got { bytes, nothing, closed };
  Got receive(Milliseconds within);

  int socket_ = -1;
  std::string pending_;
};

/// "GET /path" with Host and the lines given (each ending in CRLF).
std::string get(const std::string& path, const std::string& lines = {});
std::string post(const std::string& path, const std::string& body, const std::string& lines = {});

/// A started server on a free port of the own machine.
struct Running {
  Server server;
  explicit Running(Router router, ServerOptions options = {});
  [[nodiscard]] std::uint16_t port() const { return server.port(); }
};

/// Polls until the condition holds.
template <class Condition>
bool eventually(Condition condition, Milliseconds within = 5000ms) {
  const auto end = Clock::now() + within;
  while (!condition()) {
    if (Clock::now() > end) return false;
    struct timespec pause {
      0, 2'000'000
    };
    nanosleep(&pause, nullptr);
  }
  return true;
}

inline double millisecondsSince(Clock::time_point begin) {
  return std::chrono::duration<double, std::milli>(Clock::now() - begin).count();
}

}  // namespace platemark::http::testing
