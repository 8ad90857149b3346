/// What finishing and its rework share.
#pragma once

#include "platemark/gate/finishing.h"
#include "support.h"

namespace platemark::act {

/// Each place once, the threshold that of its paint; whether each lot may be put on goes to
/// `obstacles`. Errors: finish.spot_doubled, finish.threshold, finish.threshold_other.
[[nodiscard]] Result<void> checkSpots(const Context& context, std::vector<SpotPut>& spots,
                                      const FinishingNeed* need, gate::Obstacles& obstacles);

}  // namespace platemark::act
