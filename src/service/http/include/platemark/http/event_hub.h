/// Server-sent events: one hub tells every listening page what has happened.
///
/// Publishing never waits for a client. Each client has a bounded queue; one that does not keep up
/// is cut off and comes back by itself with Last-Event-ID, so it misses nothing that the replay
/// can give.
#pragma once

#include <cstddef>
#include <cstdint>
#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

namespace platemark::http {

struct Event {
  std::string name = {};  ///< empty: the browser's "message"
  std::string data = {};  ///< any text; line breaks arrive as "\n"
  std::string id = {};    ///< comes back as Last-Event-ID; empty: none
};

/// How far a client may fall behind.
struct QueueLimit {
  std::size_t events = 1024;
  std::size_t bytes = std::size_t{1} << 20U;
};

/// All members may be called from any thread. The hub outlives its subscriptions.
class EventHub {
 public:
  /// An event as it goes over the wire, written once for all clients.
  struct Wire {
    std::string id;
    std::string text;
  };
  class Subscription;

  explicit EventHub(QueueLimit limit = {}) : limit_(limit) {}
  EventHub(const EventHub&) = delete;
  EventHub& operator=(const EventHub&) = delete;

  void publish(const Event& event);

  [[nodiscard]] std::size_t clients() const;
  /// Clients cut off for not keeping up, since the hub was made.
  [[nodiscard]] std::uint64_t dropped() const;

  /// For the server: `wake` is called under the hub's lock after each change of the queue.
  [[nodiscard]] std::unique_ptr<Subscription> subscribe(std::function<void()> wake);

  [[nodiscard]] static Wire write(const Event& event);

 private:
  using Shared = std::shared_ptr<const Wire>;

  QueueLimit limit_;
  mutable std::mutex mutex_;
  std::vector<Subscription*> subscriptions_;
  std::uint64_t dropped_ = 0;
};

/// One client's queue; leaves the hub when destroyed.
class EventHub::Subscription {
 public:
  Subscription(EventHub& hub, std::function<void()> wake);
  ~Subscription();
  Subscription(const Subscription&) = delete;
  Subscription& operator=(const Subscription&) = delete;

  /// Takes all that is queued; empty once dropped.
  [[nodiscard]] std::deque<std::shared_ptr<const Wire>> take();
  [[nodiscard]] bool dropped() const;

 private:
  friend class EventHub;
  bool offer(const Shared& wire);

  EventHub& hub_;
  std::function<void()> wake_;
  std::deque<Shared> queue_;
  std::size_t bytes_ = 0;
  bool dropped_ = false;
};

}  // namespace platemark::http
