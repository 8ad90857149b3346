/// Today looks at every batch of the house; fifty pages that ask within a minute get one look.
#pragma once

#include <memory>
#include <mutex>

#include "view/view.h"

namespace platemark::service {

/// Keeps the newest Today until a fact is added or the minute that it shows is over. While it is
/// made anew, who asks is shown the minute before; after a new fact everybody waits for the new
/// one. Today is the same for whoever looks.
class TodayShelf {
 public:
  [[nodiscard]] std::shared_ptr<const Value> of(const view::Look& look) {
    const Kept before = kept();
    if (before.is(look)) return before.value;
    std::unique_lock making(making_, std::defer_lock);
    const bool only_the_minute = before.value && before.sequence == look.snapshot.sequence();
    if (!only_the_minute)
      making.lock();
    else if (!making.try_lock())
      return before.value;
    if (const Kept meanwhile = kept(); meanwhile.is(look)) return meanwhile.value;
    return keep({look.snapshot.sequence(), minuteOf(look),
                 std::make_shared<const Value>(view::today(look))});
  }

 private:
  static std::int64_t minuteOf(const view::Look& look) {
    return look.snapshot.now().unixMs() / 60'000;
  }

  struct Kept {
    Sequence sequence = 0;
    std::int64_t minute = 0;
    std::shared_ptr<const Value> value;
    [[nodiscard]] bool is(const view::Look& look) const {
      return value && sequence == look.snapshot.sequence() && minute == minuteOf(look);
    }
  };

  Kept kept() {
    const std::lock_guard lock(mutex_);
    return kept_;
  }
  std::shared_ptr<const Value> keep(Kept made) {
    const std::lock_guard lock(mutex_);
    kept_ = std::move(made);
    return kept_.value;
  }

  std::mutex making_;
  std::mutex mutex_;
  Kept kept_;
};

}  // namespace platemark::service
