#include "mutant.h"

#include <array>
#include <atomic>
#include <cstdlib>

#include "reached.h"

namespace pm {
namespace {

constexpr int most = 50'000;

std::array<std::atomic<bool>, most> reached_now, reached_for_good;

int active() {
  static const int mutant = [] {
    const char* named = std::getenv("PLATEMARK_MUTANT");
    return named == nullptr ? 0 : std::atoi(named);
  }();
  return mutant;
}

}  // namespace

bool on(int mutant) {
  reached_now.at(static_cast<std::size_t>(mutant)).store(true, std::memory_order_relaxed);
  return mutant == active();
}

bool onForGood(int mutant) {
  reached_for_good.at(static_cast<std::size_t>(mutant)).store(true, std::memory_order_relaxed);
  return mutant == active();
}

void forgetReached() {
  for (std::atomic<bool>& r : reached_now) r.store(false, std::memory_order_relaxed);
}

std::vector<int> reached() {
  std::vector<int> list;
  for (int i = 0; i < most; ++i)
    if (reached_now[static_cast<std::size_t>(i)] || reached_for_good[static_cast<std::size_t>(i)])
      list.push_back(i);
  return list;
}

}  // namespace pm
