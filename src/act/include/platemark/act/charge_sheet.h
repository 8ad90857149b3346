/// What a mix asks of each line of its formula.
#pragma once

#include "platemark/plant/noun.h"
#include "platemark/plant/state.h"

namespace platemark::act {

/// Wanted mass M·m_i/Σm of one line in this mix, to a gram, and its tolerance as
/// a mass in the same unit; the other members are left empty. The same numbers
/// are recorded by `mix weigh`.
[[nodiscard]] Weighed wantedOf(const Compound& compound, const FormulaLine& line,
                               const MixState& mix);

}  // namespace platemark::act
