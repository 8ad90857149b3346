#include "platemark/http/server.h"

#include <algorithm>
#include <array>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/ip/address.hpp>
#include <exception>
#include <map>
#include <random>
#include <set>
#include <thread>
#include <utility>

#include "engine.h"
#include "platemark/http/problem.h"
#include "session.h"
#include "wire.h"

namespace platemark::http {
namespace {

using asio::ip::tcp;

constexpr std::chrono::milliseconds accept_pause{50};

/// Tells apart the requests of two runs of the server in one log.
std::string randomPrefix() {
  constexpr std::string_view letters = "bcdfghjkmnpqrstvwxyz";
  std::random_device random;
  std::uniform_int_distribution<std::size_t> any(0, letters.size() - 1);
  std::string prefix;
  for (int i = 0; i < 6; ++i) prefix += letters[any(random)];
  return prefix + "-";
}

std::string addressOf(const tcp::socket& socket) {
  error_code error;
  const tcp::endpoint peer = socket.remote_endpoint(error);
  return error ? std::string() : peer.address().to_string();
}

/// Best effort: a new connection's send buffer takes these few bytes without waiting.
void turnAway(tcp::socket& socket) {
  const Response response = problem({.fault = Fault::environment,
                                     .code = "http.too_many_connections",
                                     .what = "too many connections are open",
                                     .remedy = "try again in a moment"});
  const std::string answer = headText(response, {}) + response.body;
  error_code ignored;
  socket.non_blocking(true, ignored);
  socket.write_some(asio::buffer(answer), ignored);
  socket.shutdown(tcp::socket::shutdown_send, ignored);
}

}  // namespace

Engine::Engine(ServerOptions settings, Router routes)
    : options(std::move(settings)),
      router(std::move(routes)),
      id_prefix(randomPrefix()),
      workers(std::max<std::size_t>(options.workers, 1)) {}

asio::awaitable<void> Engine::onWorker(const std::function<void()>& job) {
  // The timer never runs out by itself: its cancelling is the sign that the job is done, and it
  // can only come after the wait below has begun, because both belong to the network thread.
  asio::steady_timer done(io, Clock::time_point::max());
  asio::post(workers, [&] {
    job();
    asio::post(io, [&] { done.cancel(); });
  });
  error_code ignored;
  co_await done.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
}

struct Server::Core {
  Engine engine;
  tcp::acceptor acceptor{engine.io};
  asio::steady_timer grace{engine.io};
  std::set<std::shared_ptr<Session>> sessions;
  std::map<std::string, std::size_t> per_address;
  std::thread network;
  std::uint16_t port = 0;
  bool started = false;

  Core(ServerOptions options, Router router) : engine(std::move(options), std::move(router)) {}

  Result<void> listen();
  asio::awaitable<void> acceptAll();
  void take(tcp::socket socket);
  [[nodiscard]] bool isFull(const std::string& peer);
  void begin(tcp::socket socket, const std::string& peer);
  void report(const std::exception_ptr& thrown);
  void end(const std::shared_ptr<Session>& session, const std::string& peer);
  void windDown();
  void cutAll();
};

Result<void> Server::Core::listen() {
  const ServerOptions& options = engine.options;
  error_code error;
  const auto address = asio::ip::make_address(options.address, error);
  if (error) {
    return Error{.code = "http.bad_address",
                 .what = "'" + options.address + "' is not an address to listen on",
                 .expected = "a numeric address such as 127.0.0.1"};
  }
  const tcp::endpoint endpoint(address, options.port);
  acceptor.open(endpoint.protocol(), error);
  if (!error) acceptor.set_option(tcp::acceptor::reuse_address(true), error);
  if (!error) acceptor.bind(endpoint, error);
  if (!error) acceptor.listen(asio::socket_base::max_listen_connections, error);
  if (!error) port = acceptor.local_endpoint(error).port();
  if (!error) return {};
  error_code ignored;
  acceptor.close(ignored);
  return Error{.fault = Fault::environment,
               .code = "http.cannot_listen",
               .what = "cannot listen on " + options.address + " port " +
                       std::to_string(options.port) + ": " + error.message(),
               .remedy = "stop what uses the port, or choose another"};
}

asio::awaitable<void> Server::Core::acceptAll() {
  while (!engine.stopping) {
    tcp::socket socket(engine.io);
    error_code error;
    co_await acceptor.async_accept(socket, asio::redirect_error(asio::use_awaitable, error));
    if (!error) {
      take(std::move(socket));
      continue;
    }
    if (engine.stopping) co_return;
    // Out of descriptors, perhaps: connections that end will give some back.
    asio::steady_timer pause(engine.io, accept_pause);
    co_await pause.async_wait(asio::redirect_error(asio::use_awaitable, error));
  }
}

void Server::Core::take(tcp::socket socket) {
  const std::string peer = addressOf(socket);
  if (peer.empty() || engine.stopping) return;
  error_code ignored;
  socket.set_option(tcp::no_delay(true), ignored);
  if (isFull(peer))
    turnAway(socket);
  else
    begin(std::move(socket), peer);
}

bool Server::Core::isFull(const std::string& peer) {
  const auto known = per_address.find(peer);
  const std::size_t of_peer = known == per_address.end() ? 0 : known->second;
  return sessions.size() >= engine.limits().connections ||
         of_peer >= engine.limits().connections_per_address;
}

void Server::Core::begin(tcp::socket socket, const std::string& peer) {
  auto session = std::make_shared<Session>(std::move(socket), engine, peer);
  sessions.insert(session);
  ++per_address[peer];
  asio::co_spawn(
      engine.io, [session] { return session->run(); },
      [this, session, peer](const std::exception_ptr& thrown) {
        if (thrown) report(thrown);
        end(session, peer);
      });
}

/// Only our own faults and a lack of memory come here; they cost one connection.
void Server::Core::report(const std::exception_ptr& thrown) {
  if (!engine.options.on_exception) return;
  try {
    std::rethrow_exception(thrown);
  } catch (const std::exception& exception) {
    engine.options.on_exception("connection", exception.what());
  }
}

void Server::Core::end(const std::shared_ptr<Session>& session, const std::string& peer) {
  session->cut();
  sessions.erase(session);
  if (--per_address[peer] == 0) per_address.erase(peer);
  if (sessions.empty()) grace.cancel();
}

/// Copies the set, because ending a session takes it out.
void Server::Core::windDown() {
  engine.stopping = true;
  error_code ignored;
  acceptor.close(ignored);
  for (const auto& session : std::set(sessions)) session->windDown();
  if (sessions.empty()) return;
  grace.expires_after(engine.limits().stop_grace);
  grace.async_wait([this](error_code cancelled) {
    if (!cancelled) cutAll();
  });
}

void Server::Core::cutAll() {
  for (const auto& session : std::set(sessions)) session->cut();
}

Server::Server(ServerOptions options, Router router)
    : core_(std::make_unique<Core>(std::move(options), std::move(router))) {}

Server::~Server() { stop(); }

Result<void> Server::start() {
  if (core_->started) {
    return Error{.fault = Fault::conflict,
                 .code = "http.already_started",
                 .what = "the server has been started before"};
  }
  if (auto listening = core_->listen(); !listening) return listening;
  core_->started = true;
  Core& core = *core_;
  asio::co_spawn(
      core.engine.io, [&core] { return core.acceptAll(); },
      [](const std::exception_ptr& thrown) {
        if (thrown)
          std::rethrow_exception(thrown);  // a server that cannot accept must not look alive
      });
  core.network = std::thread([&core] { core.engine.io.run(); });
  return {};
}

void Server::stop() {
  if (!core_->network.joinable()) return;
  asio::post(core_->engine.io, [this] { core_->windDown(); });
  core_->network.join();
  core_->engine.workers.join();
}

std::uint16_t Server::port() const { return core_->port; }

}  // namespace platemark::http
