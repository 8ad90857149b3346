/// A press run by its own times: what does not fit with what else is on record. Pure.
#pragma once

#include "platemark/gate/permission.h"

namespace platemark::gate {

/// A run as its batch has it.
struct RunOnPress {
  std::string batch;
  StepDone run;
};

/// Another run that stands may not have been on the same station at the same time; runs may touch.
/// No more pads than the strokes have filled cavities, where they are named. `runs` are those of
/// the machine; `corrected` does not count.
[[nodiscard]] Obstacles mayHaveRun(const RunOnPress& now, const std::vector<RunOnPress>& runs,
                                   std::optional<Sequence> corrected);
/// Nothing is pressed of a mix before it is mixed: the first of each layer must be finished then.
[[nodiscard]] Obstacles mixedBefore(const std::vector<MixState>& mixes, Instant started);

}  // namespace platemark::gate
