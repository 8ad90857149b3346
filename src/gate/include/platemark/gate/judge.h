/// The one room that judges. Pure: it compares figures on record with the
/// limits of a control plan and says conforms, does not conform or cannot
/// decide, with a finding in words for each thing compared.
///
/// Not known is not a pass: missing, doubtful or undetermined evidence, no
/// limit on file, or an unconfirmed limit that quality has not adopted give
/// 'cannot decide'. A result outside a limit that counts gives 'does not
/// conform', whatever else is missing.
#pragma once

#include <vector>

#include "platemark/gate/cover.h"
#include "platemark/plant/disposition.h"
#include "platemark/plant/gauge_trust.h"
#include "platemark/plant/set_up.h"

namespace platemark::gate {

/// Everything a lot's verdict rests on.
struct LotFile {
  LotState lot;
  Material material;
  ControlPlan plan;
  std::int64_t plan_issue = 0;
  std::vector<Adoption> adoptions;
  GaugeTrusts gauges;  ///< those that its results were taken with
  Sequence seen = 0;
};

/// Everything a batch's verdict rests on.
struct BatchFile {
  BatchState batch;
  Part part;
  Compound compound;
  std::optional<Compound> underlayer;
  ControlPlan plan;
  std::int64_t plan_issue = 0;
  std::vector<MixState> mixes;
  std::vector<LoadState> loads;
  std::vector<LotState> lots;            ///< of plates and mixes
  std::vector<LotState> finishing_lots;  ///< of what finishing put on
  CoverFile cover;
  std::vector<Adoption> adoptions;
  DispositionState dispositions;
  GaugeTrusts gauges;
  Day today;
  Sequence seen = 0;
};

/// Everything a set-up's verdict rests on.
struct SetUpFile {
  SetUpState set_up;
  ControlPlan plan;
  std::int64_t plan_issue = 0;
  std::vector<Adoption> adoptions;
  GaugeTrusts gauges;
  Sequence seen = 0;
};

[[nodiscard]] VerdictGiven judgeLot(const LotFile& file);
/// The first piece against the plan's lines for its operation at the set-up gate.
[[nodiscard]] VerdictGiven judgeSetUp(const SetUpFile& file);
/// `gate` is cure or final.
[[nodiscard]] VerdictGiven judgeBatch(Gate gate, const BatchFile& file);

/// SHA-256 over the canonical form of the verdict without its digest.
[[nodiscard]] std::string verdictDigest(VerdictGiven verdict);

/// The findings of the plan's lines for one gate; what judgeLot and judgeBatch share. Results that
/// a rework made old, or whose gauge cannot be trusted, are kept and not counted.
[[nodiscard]] std::vector<Finding> compareWithPlan(Gate gate, const ControlPlan& plan,
                                                   std::int64_t plan_issue,
                                                   const std::vector<Evidence>& evidence,
                                                   const std::vector<Adoption>& adoptions,
                                                   const DispositionState& dispositions = {},
                                                   const GaugeTrusts& gauges = {});

}  // namespace platemark::gate
