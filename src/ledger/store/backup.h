/// Where things lie in a record's folder, and copying it while it is in use.
#pragma once

#include <string>

#include "platemark/quantity/result.h"

namespace platemark::ledger {

[[nodiscard]] std::string databaseFile(const std::string& folder);      ///< record.sqlite
[[nodiscard]] std::string attachmentFolder(const std::string& folder);  ///< attachments/

[[nodiscard]] Error storeError(std::string_view code, std::string what, std::string remedy,
                               const std::string& folder);

/// Errors: backup.not_empty, backup.failed.
[[nodiscard]] Result<void> backUpRecord(const std::string& from, const std::string& to);

}  // namespace platemark::ledger
