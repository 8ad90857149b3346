/// May this machine be used for this batch now, and is it still time? Pure.
#pragma once

#include "platemark/gate/permission.h"
#include "platemark/plant/line.h"
#include "platemark/plant/set_up.h"

namespace platemark::gate {

/// A mixer needs clearing between compounds; a coater, a press and a finishing machine between
/// parts. Ovens, friction machines, and a machine never used before need none.
/// `compound` is what a mixer is to be used for.
[[nodiscard]] Obstacles mayStartOn(const Machine& machine, const std::optional<LineState>& last,
                                   const BatchState& batch, const std::string& compound);

/// Of each compound that the batch's layers ask for, is a finished mix on record?
[[nodiscard]] Obstacles mixedForAllLayers(const BatchState& batch,
                                          const std::vector<MixState>& mixes);

/// The windows of a route's step: how long ago the work before it may have ended at `when`. What a
/// window runs from and is not on record stands in the way too. Of several mixes, press runs or
/// loads the oldest counts; with an underlayer mixes of both compounds must be on record.
[[nodiscard]] Obstacles withinWindows(const Part& part, Step step, const BatchState& batch,
                                      const std::vector<MixState>& mixes, Instant when);

/// May the run begin? If the plan has lines at the set-up gate for this operation, the newest
/// set-up of the batch on the machine must conform and nothing have come since.
[[nodiscard]] Obstacles mayRun(const ControlPlan& plan, const std::string& operation,
                               const std::string& machine, const std::optional<SetUpState>& newest);

}  // namespace platemark::gate
