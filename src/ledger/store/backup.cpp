#include "backup.h"

#include <SQLiteCpp/Backup.h>
#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>

#include <filesystem>
#include <stdexcept>

#include "connection.h"
#include "platemark/ledger/store.h"

namespace platemark::ledger {
namespace {

namespace fs = std::filesystem;

bool emptyOrNone(const std::string& folder) {
  return !fs::exists(folder) || (fs::is_directory(folder) && fs::is_empty(folder));
}

/// One step over the whole database: the copy is of one moment, whoever writes meanwhile. It is one
/// plain file, without a log beside it, so that it can be kept on a medium that is never written
/// again.
void copyDatabase(const std::string& from, const std::string& to) {
  SQLite::Database source(from, SQLite::OPEN_READWRITE, busy_ms);
  SQLite::Database target(to, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
  SQLite::Backup copying(target, source);
  copying.executeStep(-1);
  target.exec("PRAGMA journal_mode = DELETE");
}

void syncOrThrow(Files& files, const std::string& folder) {
  if (const Result<void> synced = files.syncFolder(folder); !synced)
    throw std::runtime_error(synced.error().what);
}

void copyDurably(Files& files, const std::string& from, const std::string& to) {
  fs::copy_file(from, to);
  if (const Result<void> synced = files.sync(to); !synced)
    throw std::runtime_error(synced.error().what);
}

/// Each shelf holds files by their hash; what is still coming in belongs to no fact yet.
void copyAttachments(Files& files, const std::string& from, const std::string& to) {
  fs::create_directories(to);
  for (const fs::directory_entry& shelf : fs::directory_iterator(from)) {
    if (!shelf.is_directory() || shelf.path().filename() == "incoming") continue;
    const fs::path copy = fs::path(to) / shelf.path().filename();
    fs::create_directories(copy);
    for (const fs::directory_entry& file : fs::directory_iterator(shelf.path()))
      copyDurably(files, file.path().string(), (copy / file.path().filename()).string());
    syncOrThrow(files, copy.string());
  }
  syncOrThrow(files, to);
}

/// Database first, attachments second: every attachment that a copied fact names was stored before
/// the fact, so it is there when the attachments are copied.
void copyRecord(const std::string& from, const std::string& to) {
  const std::shared_ptr<Files> files = systemFiles();
  fs::create_directories(to);
  copyDatabase(databaseFile(from), databaseFile(to));
  copyAttachments(*files, attachmentFolder(from), attachmentFolder(to));
  if (const std::string people = "/people.sqlite"; fs::exists(from + people))
    copyDatabase(from + people, to + people);
  if (const std::string card = "/plant.json"; fs::exists(from + card))
    copyDurably(*files, from + card, to + card);
  syncOrThrow(*files, to);
}

}  // namespace

std::string databaseFile(const std::string& folder) { return folder + "/record.sqlite"; }
std::string attachmentFolder(const std::string& folder) { return folder + "/attachments"; }

Error storeError(std::string_view code, std::string what, std::string remedy,
                 const std::string& folder) {
  Error error;
  error.fault = Fault::environment;
  error.code = std::string(code);
  error.what = std::move(what);
  error.remedy = std::move(remedy);
  error.where.file = folder;
  return error;
}

Result<void> backUpRecord(const std::string& from, const std::string& to) {
  try {
    if (!emptyOrNone(to))
      return storeError("backup.not_empty", "The folder holds something already.",
                        "Name an empty folder or a new one.", to);
    copyRecord(from, to);
  } catch (const std::exception& e) {
    return storeError("backup.failed", fmt::format("The back-up failed: {}", e.what()),
                      "Check room and rights in the folder, empty it, then start again.", to);
  }
  return {};
}

Result<Verification> restore(const std::string& backup, const std::string& folder,
                             StoreOptions options, const std::optional<Anchor>& anchor) {
  try {
    if (!fs::exists(databaseFile(backup)))
      return storeError("restore.none", "There is no record in the back-up.",
                        "Name the folder that the back-up was written to.", backup);
    if (!emptyOrNone(folder))
      return storeError("restore.not_empty", "The folder holds something already.",
                        "Name an empty folder or a new one.", folder);
    copyRecord(backup, folder);
  } catch (const std::exception& e) {
    return storeError("restore.failed",
                      fmt::format("The back-up could not be copied: {}", e.what()),
                      "Check room and rights in the folder, empty it, then start again.", folder);
  }
  const Result<std::unique_ptr<Store>> store = openSqliteStore(folder, std::move(options));
  if (!store) return store.error();
  return (*store)->verify(anchor);
}

}  // namespace platemark::ledger
