/// Approval cover: does a live approval hold part × compound issue × plate × adhesive × plant on
/// this day, and if not, which of them is outside it? Pure.
///
/// A day is covered from `valid_from` to `valid_until`, both included, and before
/// `withdrawn_from`. What a part needs stands in the part: a type approval for each of its
/// markings, and the approval of each customer it names. A part that says nothing needs one
/// approval of any kind: no need on file is never a pass.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "platemark/plant/state.h"

namespace platemark::gate {

/// What pads are made of, as far as an approval asks.
struct MadeOf {
  std::string part;
  std::string compound;
  std::int64_t compound_issue = 0;
  std::vector<std::string> plates;
  std::vector<std::string> adhesives;  ///< none: made without
  std::string plant;
  std::optional<CompoundIssue> underlayer;  ///< none: made without
};
/// As the part's document and these issues of its compounds say it.
[[nodiscard]] MadeOf madeAs(const Part& part, std::int64_t compound_issue, std::string plant,
                            std::optional<std::int64_t> underlayer_issue = {});
/// As the record has it: plate and adhesive of the lots that were used, those of the part before
/// any are. `lots` holds at least the lots of the plates' step.
[[nodiscard]] MadeOf madeOf(const BatchState& batch, const Part& part,
                            const std::vector<LotState>& lots, std::string plant);

enum class CoverOf { part, compound, underlayer, plate, adhesive, plant, days };
/// One dimension of an approval against what was made.
struct CoverLine {
  CoverOf of = CoverOf::part;
  bool covered = false;
  std::string wanted;    ///< "adhesive A-2"
  std::string sentence;  ///< "Adhesive A-2 is not in type approval TA-1, which covers A-1 only."
};
/// All dimensions, in order; the underlayer where the pad or the approval has one.
[[nodiscard]] std::vector<CoverLine> coverBy(const Issued<Approval>& approval, const MadeOf& made,
                                             Day day);

/// An approval that is asked for. Without a kind any approval answers that is not another
/// customer's; `of` holds the markings or customers of which one is enough.
struct ApprovalNeed {
  std::optional<ApprovalKind> kind;
  std::vector<std::string> of;
};
/// For the marking that this operation puts on: "plates", or a finishing operation.
[[nodiscard]] std::vector<ApprovalNeed> needsToMark(const Part& part, std::string_view operation);
/// For the final gate and for boxing: every marking; without markings one of the customers'.
[[nodiscard]] std::vector<ApprovalNeed> needsToLeave(const Part& part);
/// For a shipment: every marking, and the approval of this customer where the part names it, or
/// does not say that its markings are enough for others.
[[nodiscard]] std::vector<ApprovalNeed> needsToShip(const Part& part, const std::string& customer);
/// Everything the part names, each for itself.
[[nodiscard]] std::vector<ApprovalNeed> allNeeds(const Part& part);
/// "type approval TA-0417", "approval of customer Greyling Motor Factors", "approval of any kind"
[[nodiscard]] std::string needWords(const ApprovalNeed& need);

/// How one need is met: by the approval that covers longest, else by the nearest on file.
struct Cover {
  ApprovalNeed need;
  std::optional<Issued<Approval>> approval;  ///< none: none on file answers the need
  std::vector<CoverLine> lines;              ///< of that approval
  [[nodiscard]] bool covered() const;
  /// In words, whether or not: the approval with its issue and days, or what is outside it.
  [[nodiscard]] std::vector<std::string> sentences() const;
};
[[nodiscard]] std::vector<Cover> coverOf(const std::vector<ApprovalNeed>& needs, const MadeOf& made,
                                         const std::vector<Issued<Approval>>& approvals, Day day);

/// The last day on which an approval covers; none: no end is known.
[[nodiscard]] std::optional<Day> lastDay(const Approval& approval);
/// "type approval TA-0417 issue 2"
[[nodiscard]] std::string approvalWords(const Issued<Approval>& approval);

/// What permissions about a batch's cover rest on.
struct CoverFile {
  MadeOf made;
  std::vector<Issued<Approval>> approvals;
};

}  // namespace platemark::gate
