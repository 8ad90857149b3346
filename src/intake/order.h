/// The autumn hour, and whether time runs forward.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "chunk.h"

namespace platemark::intake {

/// Settles which of its two moments each row of a repeated hour is.
void settleFolds(std::span<std::int64_t> times, std::span<const std::uint32_t> lines,
                 std::vector<FoldRun> runs, const RowPlan& plan, Report& report);
/// The first row that is earlier than the row before.
[[nodiscard]] std::optional<Error> clockBackwards(std::span<const std::int64_t> times,
                                                  std::span<const std::uint32_t> lines,
                                                  const RowPlan& plan);

}  // namespace platemark::intake
