/// What may be done with a batch whose verdict does not conform. A verdict is
/// not a disposition: rework, concession and scrap are signed by people, within
/// the reactions that the control plan lists for the characteristics concerned.
/// Pure.
#pragma once

#include <vector>

#include "platemark/gate/permission.h"
#include "platemark/plant/disposition.h"

namespace platemark::gate {

/// What a disposition rests on: the newest verdict of the gate, whole.
struct DispositionFile {
  std::string batch;
  Gate gate = Gate::final;
  GateState state;
  Sequence verdict_named = 0;  ///< the one that the person read
  VerdictGiven verdict;        ///< of `verdict_named`
  ControlPlan plan;
  DispositionState so_far;
  std::vector<std::string> characteristics;  ///< the ones to be reworked or conceded
  std::vector<std::string> redo;             ///< "print", "spots": what the part lets be redone
  Day today;
};

/// Every characteristic named must stand against the batch and list rework as a reaction, or be a
/// print or spots that the part lets be redone; the loops already ordered must be fewer than the
/// plan allows, and none may be open.
[[nodiscard]] Obstacles mayRework(const DispositionFile& file);

/// Every finding that speaks against the batch must be named and list concession as a reaction;
/// what is not known cannot be conceded.
[[nodiscard]] Obstacles mayConcede(const DispositionFile& file, Day until);

/// May so many pads be boxed under the batch's concessions on this day? Empty without any.
[[nodiscard]] Obstacles concessionCovers(const BatchState& batch, const DispositionState& so_far,
                                         std::int64_t pads, Day today);
/// The concession that a box packed now would count against: of the gates that are open by one.
[[nodiscard]] const Concession* concessionInForce(const BatchState& batch,
                                                  const DispositionState& so_far);

/// May the step be done with this code in place of the one that the route names?
[[nodiscard]] Obstacles deviationCovers(const DeviationState& deviation, const std::string& part,
                                        const std::string& batch, Step step,
                                        const std::string& instead_of, const std::string& use,
                                        Day today);

/// What is ordered and not reported done, as a finding each.
[[nodiscard]] std::vector<Finding> reworkFindings(Gate gate, const DispositionState& so_far);

/// The order of a rework that made this result old for this characteristic: it was computed before
/// the order, and the order names the characteristic. Null when it counts.
[[nodiscard]] const Rework* madeOldBy(const Evidence& evidence, const std::string& characteristic,
                                      const DispositionState& so_far);

}  // namespace platemark::gate
