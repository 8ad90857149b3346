/// Labels and sheets for the floor, drawn from the record when asked and not stored: the same
/// record gives the same bytes.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "platemark/service/house.h"

namespace platemark::service {

struct DrawnLabel {
  std::vector<std::byte> pdf;
  std::string name;  ///< "lot-R-2310.pdf"
};

/// `what`: lot, mix, sample, clamp, box, carton, charge-sheet, load-sheet, traveller; `id` its
/// number, of a sample its batch, of a clamp its load; `part` the sample or the clamp.
/// Errors: label.unknown, <kind>.unknown, sample.unknown, clamp.unknown, sscc.*, paper.*.
[[nodiscard]] Result<DrawnLabel> drawLabel(const House& house, const std::string& what,
                                           const std::string& id, const std::string& part = "");

}  // namespace platemark::service
