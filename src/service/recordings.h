/// Recordings read from their files, and what was computed from them, the last few kept: a chart is
/// zoomed many times.
#pragma once

#include <list>
#include <memory>
#include <mutex>
#include <string>

#include "platemark/intake/series.h"

namespace platemark::service {

template <class T>
class Shelf {
 public:
  using Series = std::shared_ptr<const T>;
  [[nodiscard]] Series find(const std::string& key) {
    const std::lock_guard lock(mutex_);
    for (auto i = shelf_.begin(); i != shelf_.end(); ++i)
      if (i->first == key) {
        shelf_.splice(shelf_.begin(), shelf_, i);
        return i->second;
      }
    return nullptr;
  }
  void keep(const std::string& key, Series series) {
    const std::lock_guard lock(mutex_);
    shelf_.emplace_front(key, std::move(series));
    if (shelf_.size() > kept) shelf_.pop_back();
  }

 private:
  static constexpr std::size_t kept = 6;
  std::mutex mutex_;
  std::list<std::pair<std::string, Series>> shelf_;
};
using RecordingShelf = Shelf<intake::Series>;

}  // namespace platemark::service
