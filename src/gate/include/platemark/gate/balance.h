/// Do the counts of a batch balance? Step by step: what went in against good, scrap, samples and
/// rework that came out. Pure.
///
/// Formula      difference = in − (good + Σ scrap + samples + rework)
///              in of the first step is the count of plates; of every other, the good of the one
///              before; a difference above 0 is missing, below 0 too many
///              yield = good / in
#pragma once

#include <map>
#include <string>
#include <vector>

#include "platemark/plant/disposition.h"
#include "platemark/plant/state.h"

namespace platemark::gate {

struct BalanceLine {
  Sequence fact = 0;  ///< the report, the last of several runs; 0 for the boxes together
  std::string step;   ///< "press", "finish, grind", "rework W-0001", "pack"
  std::int64_t in = 0;
  Counts counts;  ///< of boxes: good are the pads boxed, and nothing else
  std::int64_t difference = 0;
};

struct Balance {
  std::vector<BalanceLine> lines;  ///< in the order of the chain
  std::int64_t plates = 0;
  std::int64_t good = 0;  ///< after the last step and what was decided, boxed or not
  std::int64_t samples = 0;
  std::int64_t rework = 0;                    ///< set aside to be reworked
  std::map<std::string, std::int64_t> scrap;  ///< of all steps, by reason
  [[nodiscard]] std::int64_t scrapped() const;
  [[nodiscard]] bool balances() const;
};

/// Reports that were corrected do not count. A rework and a signed scrap stand where they happened
/// among the steps. Boxes are a line when there are any; pads that wait to be boxed are no
/// difference, more boxed than there are is one.
[[nodiscard]] Balance balanceOf(const BatchState& batch, const DispositionState& so_far);

}  // namespace platemark::gate
