/// The web server: plain HTTP/1.1, made to stay answerable when clients are slow or hostile.
///
/// One thread does all the network, handlers run on a pool of workers. TLS is done in front of it.
///
///     Router router;
///     router.get("/api/lots/{id}", [&](const Request& request) { return lot(request); });
///     Server server({.port = 8080}, std::move(router));
///     if (auto started = server.start(); !started) return started.error();
#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "platemark/http/router.h"
#include "platemark/quantity/result.h"

namespace platemark::http {

struct Limits {
  /// From the first byte of a request (or from connecting) to the end of its header.
  std::chrono::milliseconds header_deadline{5'000};
  /// Between two requests of a kept connection.
  std::chrono::milliseconds idle{60'000};
  /// A body, or an answer, of n bytes must pass within grace + n / slowest_rate.
  std::chrono::milliseconds grace{10'000};
  std::uint64_t slowest_rate = 16 * 1024;  ///< bytes per second
  std::size_t header_bytes = 8 * 1024;     ///< request line and header; more is answered 431
  std::size_t connections = 1024;          ///< at once; more are answered 503 and closed
  std::size_t connections_per_address = 512;
  std::chrono::milliseconds heartbeat{15'000};      ///< comment on a quiet event stream
  std::chrono::milliseconds event_life{1'800'000};  ///< longest event stream, 30 min
  std::chrono::milliseconds stop_grace{5'000};      ///< for running requests, when stopping
};

/// One line of the access log.
struct Access {
  std::string id;
  std::string peer;
  std::string method;  ///< empty when the request could not be read
  std::string path;    ///< without the query, which may hold what a log should not
  int status = 0;
  double milliseconds = 0;  ///< from the request's first line read to the answer sent
  std::uint64_t bytes = 0;  ///< of the answer's body
  bool delivered = false;   ///< the whole answer was handed to the network
};

struct ServerOptions {
  std::string address = "127.0.0.1";  ///< numeric
  std::uint16_t port = 0;             ///< 0: any free one
  std::size_t workers = 2;
  Limits limits = {};
  /// Names (without port) the server is called by, besides localhost, 127.0.0.1 and [::1]. A
  /// request for any other is refused, so that no foreign name can be pointed at us.
  std::vector<std::string> hosts = {};
  bool behind_tls = false;  ///< a proxy does TLS: adds Strict-Transport-Security
  /// Called on the network thread: must be quick and not throw.
  std::function<void(const Access&)> on_access = {};
  /// A handler threw: request id and the exception's text. Called on any thread.
  std::function<void(const std::string& id, const std::string& what)> on_exception = {};
};

class Server {
 public:
  Server(ServerOptions options, Router router);
  ~Server();  ///< stops
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;

  /// Listens and returns. Errors: http.bad_address, http.cannot_listen, http.already_started.
  [[nodiscard]] Result<void> start();
  /// Takes no more connections, closes idle ones and event streams, lets running requests finish
  /// for `stop_grace`, then cuts their connections; returns when every handler has returned. Not
  /// to be called from a handler. A stopped server stays stopped.
  void stop();
  /// The port listened on; 0 before start().
  [[nodiscard]] std::uint16_t port() const;

 private:
  struct Core;
  std::unique_ptr<Core> core_;
};

}  // namespace platemark::http
