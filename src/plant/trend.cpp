#include "platemark/plant/trend.h"

#include <fmt/format.h>

namespace platemark {

std::string trendKey(const std::string& plan, const std::string& characteristic, Instant happened) {
  return fmt::format("{}/{}/{:015}", plan, characteristic, happened.unixMs());
}

}  // namespace platemark
