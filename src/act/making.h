/// What the verbs up to pressing share.
#pragma once

#include "support.h"

namespace platemark::act {

/// The batch and its part, at the issue the batch was opened with.
struct BatchAndPart {
  BatchState batch;
  Part part;
};
/// Errors: batch.unknown, part.unknown.
[[nodiscard]] Result<BatchAndPart> batchAndPart(const Context& context, const std::string& id);

/// What stands in the way of a step on a machine. It does not hold for the step's own correction:
/// the step is on record then.
[[nodiscard]] gate::Obstacles mayDo(const Context& context, Step step, const BatchAndPart& of,
                                    const std::string& machine, const Remark& remark,
                                    Instant began);

/// What is used in place of what the route or the part names.
struct Instead {
  std::string batch;
  std::string part;
  Step step = Step::press;
  std::string_view what;  ///< "programme", "adhesive"
};
/// Nothing when it is the one named; otherwise what each deviation that was named lacks, or that
/// none was. Errors: deviation.unknown.
[[nodiscard]] Result<gate::Obstacles> insteadOf(const Context& context, const Instead& of,
                                                const std::string& named, const std::string& used,
                                                const std::vector<std::string>& deviations);

/// A corrected report is measured anew, and its first figure does not count any more.
[[nodiscard]] Remark measuredAnew(const Context& context, const Remark& remark,
                                  const BatchState& batch, std::string_view characteristic);

}  // namespace platemark::act
