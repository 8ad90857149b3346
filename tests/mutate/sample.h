/// A few questions of the kind that the gate answers, for the self-test of tools/mutate.
#pragma once

#include <string>
#include <vector>

namespace platemark {

struct Missing {
  std::string what;
};

namespace unit {
struct Time {
  int seconds;
};
inline constexpr Time second{1}, minute{60};
}  // namespace unit

namespace sample {

/// Edges included: from `low` to `high`.
[[nodiscard]] bool isInside(int value, int low, int high);
[[nodiscard]] int secondsLeft(int minutes_allowed, int seconds_passed);
[[nodiscard]] std::vector<Missing> mayPack(int pads, bool released, bool held);

}  // namespace sample
}  // namespace platemark
