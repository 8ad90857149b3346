/// The same work for several parts at once.
#pragma once

#include <algorithm>
#include <atomic>
#include <thread>
#include <vector>

namespace platemark::intake {

/// Calls work(0) … work(parts − 1) on at most `threads` threads, the caller's
/// among them. Each thread takes the next part when it is done with one.
template <class Work>
void inParallel(int threads, int parts, Work work) {
  std::atomic<int> next{0};
  const auto takeParts = [&] {
    for (int part = next++; part < parts; part = next++) work(part);
  };
  std::vector<std::jthread> others;
  for (int i = 1; i < std::min(threads, parts); ++i) others.emplace_back(takeParts);
  takeParts();
}

}  // namespace platemark::intake
