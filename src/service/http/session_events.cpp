/// The part of a connection that is an event stream.
#include <algorithm>
#include <set>
#include <utility>

#include "platemark/http/problem.h"
#include "session.h"
#include "wire.h"

namespace platemark::http {
namespace {

constexpr std::string_view heartbeat = ":\n\n";
constexpr std::string_view greeting = "retry: 3000\n\n";

using Queue = std::deque<std::shared_ptr<const EventHub::Wire>>;

/// All that is queued as one text, without what the replay has given already.
std::string joined(const Queue& queue, const std::set<std::string>& replayed) {
  std::string text;
  for (const auto& wire : queue) {
    if (wire->id.empty() || !replayed.contains(wire->id)) text += wire->text;
  }
  return text;
}

std::set<std::string> idsOf(const std::vector<Event>& events) {
  std::set<std::string> ids;
  for (const Event& event : events) ids.insert(event.id);
  return ids;
}

Response eventHead() { return {.content_type = "text/event-stream"}; }

}  // namespace

/// Listens before it replays, so that nothing falls between the two.
asio::awaitable<void> Session::stream(Exchange& exchange, const EventTarget& target) {
  subscription_ = target.hub->subscribe(waker());
  ReplayCall call(engine_.options, exchange.request);
  const std::function<void()> job = [&] { call.run(target.replay); };
  if (target.replay) co_await engine_.onWorker(job);
  exchange.keep_alive = false;
  if (call.refusal()) {
    co_await send(exchange, *call.refusal());
  } else if (exchange.request.method == "HEAD") {
    co_await send(exchange, eventHead());
  } else {
    phase_ = Phase::streaming;
    const std::uint64_t bytes = co_await sendEvents(exchange, call.missed());
    log(exchange, 200, bytes, true);
  }
  subscription_.reset();
}

asio::awaitable<std::uint64_t> Session::sendEvents(const Exchange& exchange,
                                                   const std::vector<Event>& missed) {
  const Clock::time_point end = Clock::now() + engine_.limits().event_life;
  const std::set<std::string> replayed = idsOf(missed);
  std::string head = headText(
      eventHead(),
      {.id = exchange.request.id, .behind_tls = engine_.options.behind_tls, .open_ended = true});
  std::string text(greeting);
  for (const Event& event : missed) text += EventHub::write(event).text;
  std::uint64_t bytes = 0;
  watchForHangUp();
  while (!text.empty()) {
    const bool sent = co_await write(head, text);
    if (!sent) break;
    head.clear();
    bytes += text.size();
    text = co_await nextEvents(end, replayed);
  }
  co_return bytes;
}

/// Waits for something to send, if only a heartbeat; empty when the stream is to end.
asio::awaitable<std::string> Session::nextEvents(Clock::time_point end,
                                                 const std::set<std::string>& replayed) {
  while (!gone_ && !engine_.stopping && Clock::now() < end) {
    std::string text = joined(subscription_->take(), replayed);
    if (!text.empty()) co_return text;
    const Clock::time_point next = std::min(end, Clock::now() + engine_.limits().heartbeat);
    const bool quiet = co_await isQuietUntil(next);
    if (quiet) co_return std::string(heartbeat);
  }
  co_return std::string();
}

asio::awaitable<bool> Session::isQuietUntil(Clock::time_point end) {
  error_code woken;
  wake_.expires_at(end);
  co_await wake_.async_wait(asio::redirect_error(asio::use_awaitable, woken));
  co_return !woken;
}

/// What the hub calls, on any thread: the queue is looked after on the network thread.
std::function<void()> Session::waker() {
  return [weak = weak_from_this(), &io = engine_.io] {
    asio::post(io, [weak] {
      if (const auto self = weak.lock()) self->wakeUp();
    });
  };
}

/// A client that was dropped may block in a write, which only closing the connection ends.
void Session::wakeUp() {
  if (subscription_ && subscription_->dropped())
    cut();
  else
    wake_.cancel();
}

/// The client of an event stream has nothing to say: whatever comes means that it has gone.
void Session::watchForHangUp() {
  stream_.socket().async_wait(asio::ip::tcp::socket::wait_read,
                              [self = shared_from_this()](error_code) {
                                self->gone_ = true;
                                self->wake_.cancel();
                              });
}

}  // namespace platemark::http
