/// What finishing puts on the pad: may it be used, and does it agree with what the part asks? Pure.
#pragma once

#include "platemark/gate/permission.h"

namespace platemark::gate {

/// "print" and "spots", where the part lets them be taken off and put on again.
[[nodiscard]] std::vector<std::string> redoOf(const Part& part);
/// The need whose print or spots may be redone; none: nothing of that may.
[[nodiscard]] const FinishingNeed* needToRedo(const Part& part, std::string_view characteristic);
/// The run of an operation as reworks since have left its print and spots.
[[nodiscard]] StepDone asRedone(const StepDone& run, const Part& part,
                                const DispositionState& so_far);

/// A lot named in a finishing report, as far as it is on record.
struct NamedLot {
  std::string lot;
  std::optional<LotState> state;
};

/// What the part asks of the operation; none: nothing is put on.
[[nodiscard]] const FinishingNeed* needOf(const Part& part, const std::string& operation);

/// May these lots be put on? Each must be of a material that the operation asks for and fit for use
/// on this day, and each material asked for needs its lot. `need`: null when nothing is asked.
[[nodiscard]] Obstacles mayPutOn(const FinishingNeed* need, const std::string& operation,
                                 const std::vector<NamedLot>& lots, Day today);
/// The same for the lot of one spot of thermal paint.
[[nodiscard]] Obstacles mayPutSpot(const FinishingNeed* need, const std::string& place,
                                   const NamedLot& lot, Day today);

/// May this be a bake of the batch? Its coat must be on record, for as many pads; a recording that
/// ends before the coat was put on, or later than now by more than a clock's slack of five minutes,
/// is another one's or of a wrong clock.
[[nodiscard]] Obstacles mayBake(const BatchState& batch, const BakeRecorded& bake, Instant now,
                                std::string_view zone);

/// The text that is to be printed on this batch's pads.
[[nodiscard]] std::string printWanted(const std::string& print, const std::string& batch);

}  // namespace platemark::gate
