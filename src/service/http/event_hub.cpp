#include "platemark/http/event_hub.h"

#include <algorithm>
#include <utility>

namespace platemark::http {
namespace {

/// A name or id stands on one line.
std::string oneLine(std::string text) {
  std::erase_if(text, [](char c) { return c == '\n' || c == '\r' || c == '\0'; });
  return text;
}

/// Calls `each` for every line; "\r\n", "\n" and "\r" end one.
template <class Each>
void forEachLine(std::string_view text, Each each) {
  for (;;) {
    const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
    each(text.substr(0, end));
    if (end == text.size()) return;
    text.remove_prefix(end + (text.substr(end).starts_with("\r\n") ? 2 : 1));
  }
}

}  // namespace

EventHub::Wire EventHub::write(const Event& event) {
  Wire wire{oneLine(event.id), {}};
  if (!event.name.empty()) wire.text += "event: " + oneLine(event.name) + "\n";
  if (!wire.id.empty()) wire.text += "id: " + wire.id + "\n";
  forEachLine(event.data,
              [&](std::string_view line) { wire.text.append("data: ").append(line).append("\n"); });
  wire.text += "\n";
  return wire;
}

void EventHub::publish(const Event& event) {
  const auto wire = std::make_shared<const Wire>(write(event));
  const std::lock_guard lock(mutex_);
  for (Subscription* subscription : subscriptions_) {
    if (!subscription->offer(wire)) ++dropped_;
  }
}

std::size_t EventHub::clients() const {
  const std::lock_guard lock(mutex_);
  return subscriptions_.size();
}

std::uint64_t EventHub::dropped() const {
  const std::lock_guard lock(mutex_);
  return dropped_;
}

std::unique_ptr<EventHub::Subscription> EventHub::subscribe(std::function<void()> wake) {
  return std::make_unique<Subscription>(*this, std::move(wake));
}

EventHub::Subscription::Subscription(EventHub& hub, std::function<void()> wake)
    : hub_(hub), wake_(std::move(wake)) {
  const std::lock_guard lock(hub_.mutex_);
  hub_.subscriptions_.push_back(this);
}

EventHub::Subscription::~Subscription() {
  const std::lock_guard lock(hub_.mutex_);
  std::erase(hub_.subscriptions_, this);
}

std::deque<EventHub::Shared> EventHub::Subscription::take() {
  const std::lock_guard lock(hub_.mutex_);
  bytes_ = 0;
  return std::exchange(queue_, {});
}

bool EventHub::Subscription::dropped() const {
  const std::lock_guard lock(hub_.mutex_);
  return dropped_;
}

/// Under the hub's lock. False when this event is the one too many.
bool EventHub::Subscription::offer(const Shared& wire) {
  if (dropped_) return true;
  bytes_ += wire->text.size();
  dropped_ = queue_.size() >= hub_.limit_.events || bytes_ > hub_.limit_.bytes;
  if (dropped_)
    queue_.clear();
  else
    queue_.push_back(wire);
  wake_();
  return !dropped_;
}

}  // namespace platemark::http
