/// How every connection to one of our databases is set up.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include "open.h"

namespace platemark::ledger {

inline constexpr int busy_ms = 10'000;

/// Waiting before anything else; then the log; then the promise that a commit is on disk.
void prepareConnection(SQLite::Database& db, const DatabaseSettings& settings);

}  // namespace platemark::ledger
