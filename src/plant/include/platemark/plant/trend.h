/// Where to find the results of one characteristic across batches and lots.
#pragma once

#include "platemark/plant/fact.h"

namespace platemark {

/// One result: the thing measured and the fact of its figure.
struct TrendEntry {
  Subject subject;
  Sequence figure = 0;
  template <class V>
  void describe(V& v) {
    v("subject", subject);
    v("figure", figure);
  }
};

/// The key up to a time: by control plan and characteristic, then in the order of time.
[[nodiscard]] std::string trendKey(const std::string& plan, const std::string& characteristic,
                                   Instant happened);

namespace projection {
/// By trendKey() and the fact.
inline constexpr std::string_view trend = "trend";
}  // namespace projection

}  // namespace platemark
