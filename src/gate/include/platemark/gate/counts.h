/// How many pads went into a step and came out, over all its runs. Pure.
#pragma once

#include <string>
#include <vector>

#include "platemark/plant/disposition.h"
#include "platemark/plant/state.h"

namespace platemark::gate {

/// What all runs of one step, or of one finishing operation, report together, in pieces.
struct StepTotal {
  Step step = Step::plates;
  std::string operation;  ///< of finishing; empty else
  std::int64_t in = 0;    ///< good pads of the step before
  std::int64_t out = 0;   ///< good + scrap + samples + rework, summed over the runs
  std::int64_t good = 0;  ///< what the next step gets
  std::vector<Sequence> runs;
};

/// Steps that report counts and stand uncorrected, each where its first run stands. A drawing of
/// samples is a step of its own wherever it stands: it takes its samples away, and what it reports
/// as good follows from that. What a rework lost or a signature scrapped goes into no step after
/// it.
[[nodiscard]] std::vector<StepTotal> stepTotals(const BatchState& batch,
                                                const DispositionState& so_far);

/// Good pads after the last step that reports counts and all that was decided; the plates before
/// any has.
[[nodiscard]] std::int64_t goodPads(const BatchState& batch, const DispositionState& so_far);

/// Nothing of the batch is left in the house but what is boxed: signed scrap took the rest.
[[nodiscard]] bool allScrapped(const BatchState& batch, const DispositionState& so_far);

}  // namespace platemark::gate
