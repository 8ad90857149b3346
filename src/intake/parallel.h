/// The same work for several parts at once.
#pragma once

#include <thread>
#include <vector>

namespace platemark::intake {

/// Calls work(0) … work(parts − 1), each on a thread of its own; work(0) on the caller's.
template <class Work>
void inParallel(int parts, Work work) {
  std::vector<std::jthread> others;
  others.reserve(static_cast<std::size_t>(parts));
  for (int part = 1; part < parts; ++part) others.emplace_back([&work, part] { work(part); });
  work(0);
}

}  // namespace platemark::intake
