/// Helpers that the sources of this room share.
#pragma once

#include <string>
#include <vector>

#include "platemark/gate/judge.h"

namespace platemark::gate {

/// Findings about the batch itself: steps of the route, lots, weighings, mixes, counts, holds,
/// cover.
[[nodiscard]] std::vector<Finding> batchFindings(Gate gate, const BatchFile& file);

/// Outside a limit that counts, or a requirement that was broken.
[[nodiscard]] bool speaksAgainst(FindingWord word);

/// A finding without a limit: something that must be so.
[[nodiscard]] Finding requirement(std::string characteristic, std::string title, FindingWord word,
                                  std::string sentence, std::string who = "",
                                  std::vector<Sequence> facts = {});

}  // namespace platemark::gate
