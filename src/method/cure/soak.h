/// When the coldest channel was in the band, and how surely.
#pragma once

#include <optional>

#include "prepare.h"

namespace platemark::method::cure {

/// The soak by one reading of the evidence.
struct Soak {
  double minutes = 0;
  std::optional<Stretch> span{};  ///< from soak start to soak end
};

struct SoakFindings {
  Soak certain{};   ///< unknown stretches taken as out of the band
  Soak possible{};  ///< unknown stretches taken as in the band
  bool truncated = false;
  Figure start_minute{};
  Figure end_minute{};
  Figure minutes{};

  /// The longest span that may be the soak; the whole chart when there is none.
  [[nodiscard]] Stretch window(const Chart& chart) const {
    return possible.span.value_or(chart.whole());
  }
};

[[nodiscard]] SoakFindings findSoak(Chart& chart);

}  // namespace platemark::method::cure
