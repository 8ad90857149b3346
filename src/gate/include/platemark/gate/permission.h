/// May I? Each question is answered by the list of what stands in the way,
/// with who can supply it and how; an empty list is a yes. Pure.
#pragma once

#include <vector>

#include "platemark/gate/judge.h"
#include "platemark/plant/gauge_check.h"

namespace platemark::gate {

using Obstacles = std::vector<Missing>;

/// May this lot be used, as this material, on this day?
[[nodiscard]] Obstacles mayUseLot(const LotState& lot, std::string_view wanted_material, Day today);
/// May this step of the route be done: is it on the route, and are the steps before it done?
[[nodiscard]] Obstacles mayDoStep(Step step, const BatchState& batch, const Part& part);
/// May the batch be finished? It must have passed the cure gate.
[[nodiscard]] Obstacles mayFinish(const BatchState& batch);
/// May the marking that this operation puts on be put on, on this day? "plates" is an operation
/// too.
[[nodiscard]] Obstacles mayMark(const Part& part, std::string_view operation,
                                const CoverFile& cover, Day today);
/// May it be boxed? Final gate passed, no hold, approval cover on this day.
[[nodiscard]] Obstacles mayLeave(const BatchState& batch, const Part& part, const CoverFile& cover,
                                 Day today);
/// May it be shipped to this customer? The same, with the cover that this customer asks for.
[[nodiscard]] Obstacles mayShip(const BatchState& batch, const Part& part, const CoverFile& cover,
                                const std::string& customer, Day today);
/// What is outside the approvals that are needed, dimension by dimension.
[[nodiscard]] Obstacles coverObstacles(const std::vector<Cover>& covers);
/// May this recording be of this load? One that ends before the load was built, or later than now
/// by more than a clock's slack of five minutes, is another load's or of a wrong clock.
[[nodiscard]] Obstacles mayBeOf(const LoadState& load, const CureRecorded& recorded, Instant now,
                                std::string_view zone);
/// May this person do this operation on this day?
[[nodiscard]] Obstacles mayOperate(const Person& person, Operation operation, Day today);
/// Holds that nobody has lifted.
[[nodiscard]] Obstacles openHolds(const std::vector<Hold>& holds);
/// The same of the lots that a batch is made from.
[[nodiscard]] Obstacles heldLots(const std::vector<LotState>& lots);

/// Why a reading of this gauge, taken on this day, cannot count; empty when it can. `check` is the
/// newest daily check of that day.
[[nodiscard]] std::vector<std::string> gaugeDoubts(const Gauge& gauge,
                                                   const std::optional<GaugeCheckState>& check,
                                                   Day taken);
/// May the lot's use-by day be moved? Its newest verdict must conform, have seen everything, and
/// rest on results taken again since the day was set.
[[nodiscard]] Obstacles mayExtend(const LotState& lot, const Material& material, Day use_by,
                                  Day today);

/// The refusal that an act gives when something stands in the way.
[[nodiscard]] Error refusal(std::string what, Obstacles obstacles);

}  // namespace platemark::gate
