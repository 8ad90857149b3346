/// The runs of a press that gave their own times.
#pragma once

#include "platemark/gate/press.h"
#include "platemark/ledger/projections.h"

namespace platemark::act {

/// Those that began from one moment to the other, both included, in the order of their starts; a
/// corrected one names what corrects it.
[[nodiscard]] std::vector<gate::RunOnPress> pressRuns(const ledger::Snapshot& snapshot,
                                                      const std::string& machine, Instant from,
                                                      Instant to);

}  // namespace platemark::act
