/// From a load on record to what its pads saw, off the writer. Shared by pages and terminal.
#pragma once

#include <functional>
#include <string>

#include "platemark/intake/series.h"
#include "platemark/plant/state.h"
#include "platemark/service/house.h"

namespace platemark::service {

struct HeatAsked {
  std::string load;
  template <class V>
  void describe(V& v) {
    v("load", load);
  }
};

/// Told the share done, 0…1; answers whether to go on.
using HeatProgress = std::function<bool(double)>;
[[nodiscard]] inline bool goOn(double) { return true; }

/// The input of the act 'load heat'. Errors: load.unknown, heat.missing, heat.channel,
/// heat.cancelled, layout.*, intake.*, cure.*.
[[nodiscard]] Result<Value> heatInput(const House& house, const HeatAsked& asked,
                                      const HeatProgress& progress = goOn);

/// The recording of a load as it was read. Errors: layout.*, intake.*, attachment.unknown.
[[nodiscard]] Result<intake::Series> recordedSeries(const House& house,
                                                    const ledger::Snapshot& snapshot,
                                                    const CureRecorded& recorded);

}  // namespace platemark::service
