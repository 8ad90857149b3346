#include "sessions.h"

#include <fmt/format.h>
#include <sodium.h>

#include <algorithm>

namespace platemark::service {
namespace {

constexpr std::int64_t idle_ms = 30LL * 60 * 1000;
constexpr std::int64_t absolute_ms = 10LL * 60 * 60 * 1000;
constexpr int free_tries = 5;
constexpr std::int64_t longest_wait_ms = 60'000;
constexpr std::size_t remembered = 10'000;

std::int64_t waitAfter(int failures) {
  if (failures < free_tries) return 0;
  return std::min<std::int64_t>(longest_wait_ms, 1000LL << std::min(failures - free_tries, 6));
}

}  // namespace

std::string Sessions::begin(PersonNumber person, Instant now) {
  unsigned char random[32];
  randombytes_buf(random, sizeof random);
  char hex[2 * sizeof random + 1];
  sodium_bin2hex(hex, sizeof hex, random, sizeof random);
  const std::lock_guard lock(mutex_);
  std::erase_if(
      open_, [&](const auto& s) { return now.unixMs() - s.second.begun.unixMs() > absolute_ms; });
  open_[hex] = {person, now, now};
  return hex;
}

std::optional<PersonNumber> Sessions::person(std::string_view token, Instant now, Use use) {
  const std::lock_guard lock(mutex_);
  const auto found = open_.find(token);
  if (found == open_.end()) return {};
  Open& session = found->second;
  if (now.unixMs() - session.used.unixMs() > idle_ms ||
      now.unixMs() - session.begun.unixMs() > absolute_ms) {
    open_.erase(found);
    return {};
  }
  if (use == Use::counts) session.used = now;
  return session.person;
}

void Sessions::end(std::string_view token) {
  const std::lock_guard lock(mutex_);
  if (const auto found = open_.find(token); found != open_.end()) open_.erase(found);
}

Result<void> Sessions::mayTry(const std::string& who, Instant now) {
  const std::lock_guard lock(mutex_);
  const auto found = failures_.find(who);
  if (found == failures_.end()) return {};
  const std::int64_t left =
      waitAfter(found->second.count) - (now.unixMs() - found->second.last.unixMs());
  if (left <= 0) return {};
  Error error;
  error.fault = Fault::refused;
  error.code = "session.too_many";
  error.what = fmt::format("Too many wrong passwords; wait {} s.", (left + 999) / 1000);
  error.remedy = "Wait, then try again. Nobody is locked out for longer than a minute.";
  return error;
}

void Sessions::failed(const std::string& who, Instant now) {
  const std::lock_guard lock(mutex_);
  if (failures_.size() > remembered) failures_.clear();
  Failures& failures = failures_[who];
  failures.count += 1;
  failures.last = now;
}

void Sessions::succeeded(const std::string& who) {
  const std::lock_guard lock(mutex_);
  failures_.erase(who);
}

}  // namespace platemark::service
