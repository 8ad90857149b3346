/// Approval cover as pages and terminal show it. A row of cover: {need, word, words, dimensions:
/// [{dimension, word, wanted, sentence}], approval?, until?}.
#pragma once

#include "view.h"

namespace platemark::service::view {

/// Each approval that the batch's part needs, against what the batch is made of, today.
[[nodiscard]] Value batchCover(const Look& look, const gate::BatchFile& file);
/// The same of a part as its newest documents say it; empty for an unknown one.
[[nodiscard]] Value partCover(const Look& look, const std::string& code);
/// One approval against each of its parts; `need` is the part.
[[nodiscard]] Value approvalCover(const Look& look, const std::string& code);
/// Approvals that end within the plant's notice, or ended so lately, and that a part's cover ends
/// with: lines of what is late or due.
void addEndingApprovals(const Look& look, Value::Array& rows);

}  // namespace platemark::service::view
