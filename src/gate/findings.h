/// Helpers that the sources of this room share.
#pragma once

#include <iterator>
#include <string>
#include <vector>

#include "platemark/gate/judge.h"

namespace platemark::gate {

template <class Item>
void append(std::vector<Item>& to, std::vector<Item> more) {
  to.insert(to.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

/// Findings about the batch itself: steps of the route, lots, weighings, mixes, counts, holds,
/// cover.
[[nodiscard]] std::vector<Finding> batchFindings(Gate gate, const BatchFile& file);

/// Lots that were used: refused, not cleared, overtaken or on hold. All well: one finding that says
/// so; no lots: none.
[[nodiscard]] std::vector<Finding> lotFindings(const std::vector<LotState>& lots);

/// At the final gate: what finishing put on, held against what the part asks.
[[nodiscard]] std::vector<Finding> finishingFindings(const BatchFile& file);

/// The bake that an operation asks for: on record for every pad, known, and with a limit on file.
[[nodiscard]] std::vector<Finding> bakeFindings(const BatchFile& file, const FinishingNeed& need);
/// Lines of the plan that name the pieces they want measured.
[[nodiscard]] std::vector<Finding> pieceFindings(const BatchFile& file);

/// Outside a limit that counts, or a requirement that was broken.
[[nodiscard]] bool speaksAgainst(FindingWord word);

/// A finding without a limit: something that must be so.
[[nodiscard]] Finding requirement(std::string characteristic, std::string title, FindingWord word,
                                  std::string sentence, std::string who = "",
                                  std::vector<Sequence> facts = {});

}  // namespace platemark::gate
