/// What all connections share: the settings, the network thread's loop and the workers.
#pragma once

#include <utility>  // before Asio: 1.74 forgets it in its awaitable header

#include <boost/asio/awaitable.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <cstdint>
#include <functional>
#include <string>

#include "platemark/http/server.h"

namespace platemark::http {

namespace asio = boost::asio;
using boost::system::error_code;
using Clock = std::chrono::steady_clock;

/// Everything but the workers' jobs happens on the one thread that runs `io`, so no member needs
/// a lock.
struct Engine {
  ServerOptions options;
  Router router;
  std::string id_prefix;
  std::uint64_t last_id = 0;
  bool stopping = false;
  asio::io_context io{1};
  asio::thread_pool workers;

  Engine(ServerOptions settings, Router routes);

  [[nodiscard]] std::string newId() { return id_prefix + std::to_string(++last_id); }
  [[nodiscard]] const Limits& limits() const { return options.limits; }

  /// Runs the job on a worker while the network goes on. The job must not throw.
  [[nodiscard]] asio::awaitable<void> onWorker(const std::function<void()>& job);
};

}  // namespace platemark::http
