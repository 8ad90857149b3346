#include "platemark/plant/gauge_trust.h"

#include <fmt/format.h>

namespace platemark {

std::string gaugeUseKey(const std::string& gauge, Instant happened) {
  // As many digits for every time, so that keys stand in the order of time.
  return fmt::format("{}/{:015}", gauge, happened.unixMs());
}

}  // namespace platemark
