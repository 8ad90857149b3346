#include "connection.h"

#include <sqlite3.h>

#include <chrono>
#include <thread>

namespace platemark::ledger {
namespace {

/// SQLite does not wait when two connections turn a new file into one with a log; so we do.
void useLog(SQLite::Database& db) {
  constexpr int pause_ms = 5;
  for (int waited_ms = 0;; waited_ms += pause_ms) {
    try {
      db.exec("PRAGMA journal_mode = WAL");
      return;
    } catch (const SQLite::Exception& e) {
      if (e.getErrorCode() != SQLITE_BUSY || waited_ms >= busy_ms) throw;
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(pause_ms));
  }
}

}  // namespace

void prepareConnection(SQLite::Database& db, const DatabaseSettings& settings) {
  db.setBusyTimeout(busy_ms);
  useLog(db);
  db.exec("PRAGMA synchronous = " + settings.synchronous);
  db.exec("PRAGMA foreign_keys = ON");
  db.exec("PRAGMA trusted_schema = OFF");
  db.exec("PRAGMA wal_autocheckpoint = " + std::to_string(settings.checkpoint_pages));
  if (settings.largest_pages > 0)
    db.exec("PRAGMA max_page_count = " + std::to_string(settings.largest_pages));
}

}  // namespace platemark::ledger
