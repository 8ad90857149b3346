/// One connection: reads requests, has them answered, keeps every deadline.
#pragma once

#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "body_reader.h"
#include "engine.h"
#include "worker_call.h"

namespace platemark::http {

/// Lives on the network thread; owned by its running coroutine.
///
/// In the coroutines every co_await stands in a statement of its own, never in a condition: GCC 12
/// made wrong code of a `while (co_await …)` here, which ended in an illegal instruction.
class Session : public std::enable_shared_from_this<Session> {
 public:
  Session(asio::ip::tcp::socket socket, Engine& engine, std::string peer);

  /// Until the connection ends.
  [[nodiscard]] asio::awaitable<void> run();
  /// The server is stopping: ends at once unless a request is being served.
  void windDown();
  /// Ends the connection now, whatever it is doing.
  void cut();

 private:
  /// One request and its answer.
  struct Exchange {
    Request request;
    Clock::time_point begin;
    bool keep_alive = false;
    bool expects_continue = false;
  };
  enum class Phase { waiting, serving, streaming };

  asio::awaitable<bool> serveNext();
  asio::awaitable<bool> awaitFirstByte();
  asio::awaitable<error_code> readHeader(Parser& parser);
  asio::awaitable<void> refuseHeader(error_code error);
  Exchange newExchange(Parser& parser);
  asio::awaitable<bool> answer(Exchange& exchange, Parser& parser);

  asio::awaitable<std::optional<Response>> askDoorkeeper(const Exchange& exchange,
                                                         const Route& route);
  asio::awaitable<std::optional<Response>> handle(Exchange& exchange, BodyReader& body,
                                                  const Handler& handler);
  asio::awaitable<Piece::Kind> collect(BodyReader& body, std::string& into);
  asio::awaitable<std::optional<Response>> upload(Exchange& exchange, BodyReader& body,
                                                  const UploadTarget& target);
  asio::awaitable<void> feed(BodyReader& body, UploadCall& call);

  asio::awaitable<void> stream(Exchange& exchange, const EventTarget& target);
  asio::awaitable<std::uint64_t> sendEvents(const Exchange& exchange,
                                            const std::vector<Event>& missed);
  asio::awaitable<std::string> nextEvents(Clock::time_point end,
                                          const std::set<std::string>& replayed);
  asio::awaitable<bool> isQuietUntil(Clock::time_point end);
  std::function<void()> waker();
  void wakeUp();
  void watchForHangUp();

  asio::awaitable<bool> sendContinue(const Exchange& exchange);
  asio::awaitable<void> send(Exchange& exchange, const Response& response);
  asio::awaitable<bool> write(std::string_view head, std::string_view body);
  asio::awaitable<void> linger();
  void log(const Exchange& exchange, int status, std::uint64_t bytes, bool delivered);

  Engine& engine_;
  std::string peer_;
  beast::tcp_stream stream_;
  beast::flat_buffer buffer_;
  asio::steady_timer wake_;
  Phase phase_ = Phase::waiting;
  std::uint64_t served_ = 0;
  std::unique_ptr<EventHub::Subscription> subscription_;  ///< while streaming
  bool gone_ = false;  ///< an event stream's client has hung up, or is to be
};

}  // namespace platemark::http
