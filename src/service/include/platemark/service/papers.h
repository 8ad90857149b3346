/// Certificates and batch records: drawn once, stored by their hash, never drawn again.
#pragma once

#include <string>

#include "platemark/service/house.h"

namespace platemark::service {

/// Draws the paper ("certificate" or "batch record"), stores it and records that it was issued.
/// Errors: paper.unknown, paper.unsigned, batch.unknown, and refusals of 'paper issue'.
[[nodiscard]] Result<ledger::Receipt> issuePaper(House& house, const std::string& batch,
                                                 const std::string& paper, const std::string& token,
                                                 PersonNumber person);

}  // namespace platemark::service
