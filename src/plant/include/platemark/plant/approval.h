/// What may be marked, boxed and shipped: approvals and what each covers.
#pragma once

#include "platemark/plant/describe.h"
#include "platemark/plant/fact.h"
#include "platemark/plant/layer.h"

namespace platemark {

enum class ApprovalKind { type_approval, customer_approval };
template <>
struct EnumWords<ApprovalKind> {
  static constexpr std::array<std::string_view, 2> words{"type approval", "customer approval"};
};

/// Issues of one compound, both ends included.
struct ApprovedCompound {
  std::string compound;
  std::int64_t issue_from = 1;
  std::int64_t issue_to = 1;
  Layer layer = Layer::friction;
  template <class V>
  void describe(V& v) {
    v("compound", compound);
    v("issue_from", issue_from);
    v("issue_to", issue_to);
    v.defaulted("layer", layer);
  }
};

/// What an approval covers: inside it a pad may be marked, boxed and shipped. Every part with every
/// compound issue, plate and adhesive that is named; with an underlayer only where one is named.
struct Approval {
  std::string code;  ///< the approval's number
  ApprovalKind kind = ApprovalKind::type_approval;
  std::string by;                      ///< the authority, or the customer; "" when not on record
  std::optional<std::string> marking;  ///< what pads carry under it; its number when not named
  std::vector<std::string> parts;
  std::vector<ApprovedCompound> compounds;
  std::vector<std::string> plates;     ///< material codes
  std::vector<std::string> adhesives;  ///< material codes; none: pads without adhesive only
  std::vector<std::string> plants;     ///< short names; none: the plant whose record it stands in
  Day valid_from;                      ///< the first day
  std::optional<Day> valid_until;      ///< the last day
  std::optional<Day> withdrawn_from;   ///< the first day on which it covers nothing any more
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("kind", kind);
    v.defaulted("by", by);
    v("marking", marking);
    v("parts", parts);
    v("compounds", compounds);
    v("plates", plates);
    v("adhesives", adhesives);
    v("plants", plants);
    v("valid_from", valid_from);
    v("valid_until", valid_until);
    v("withdrawn_from", withdrawn_from);
  }
};

}  // namespace platemark
