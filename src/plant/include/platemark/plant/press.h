/// What a press did and when, by its own times.
#pragma once

#include "platemark/plant/state.h"

namespace platemark {

/// Where a run that gives its times stands: among the steps of its batch.
struct PressedAt {
  std::string batch;
  Sequence fact = 0;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("fact", fact);
  }
};

namespace projection {
inline constexpr std::string_view pressed = "pressed";
}  // namespace projection

/// A machine's runs in the order of their starts.
[[nodiscard]] inline std::string pressedKey(const std::string& machine, Instant started) {
  return machine + "/" + formatInstant(started);
}
[[nodiscard]] inline std::string pressedKey(const std::string& machine, Instant started,
                                            Sequence fact) {
  return pressedKey(machine, started) + "/" + std::to_string(fact);
}

}  // namespace platemark
