/// How the record's database is opened. The defaults are the promise that the
/// record makes; tests and measurements look at what happens without it.
#pragma once

#include <memory>
#include <string>

#include "platemark/ledger/store.h"

namespace platemark::ledger {

struct DatabaseSettings {
  std::string vfs;                   ///< SQLite's file layer by name; "" for the system's
  std::string synchronous = "FULL";  ///< a commit is on disk before anybody hears of it
  int largest_pages = 0;             ///< how large the database may grow; 0: as SQLite lets it
  int checkpoint_pages = 1000;       ///< the log goes into the database when it has grown so long
};

[[nodiscard]] Result<std::unique_ptr<Store>> openSqliteStore(const std::string& folder,
                                                             StoreOptions options,
                                                             const DatabaseSettings& settings);

}  // namespace platemark::ledger
