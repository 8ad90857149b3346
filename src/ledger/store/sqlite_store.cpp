#include <fmt/format.h>

#include <filesystem>
#include <mutex>

#include "attachments.h"
#include "engine.h"
#include "platemark/ledger/chain.h"
#include "sqlite_tables.h"

namespace platemark::ledger {
namespace {

namespace fs = std::filesystem;

std::string databaseFile(const std::string& folder) { return folder + "/record.sqlite"; }
std::string attachmentFolder(const std::string& folder) { return folder + "/attachments"; }

Error storeError(std::string_view code, std::string what, std::string remedy, const std::string& folder) {
  Error error;
  error.fault = Fault::environment;
  error.code = std::string(code);
  error.what = std::move(what);
  error.remedy = std::move(remedy);
  error.where.file = folder;
  return error;
}

/// Connections that wait to be read from again.
class ReaderPool {
 public:
  ReaderPool(std::string file, std::string plant) : file_(std::move(file)), plant_(std::move(plant)) {}

  /// A connection in a read transaction; it goes back to the pool when the last holder lets go.
  std::shared_ptr<const Tables> take() {
    std::unique_ptr<SqliteTables> tables = idleOrNew();
    tables->beginRead();
    return {tables.release(), [this](const SqliteTables* done) { giveBack(std::unique_ptr<SqliteTables>(const_cast<SqliteTables*>(done))); }};
  }

 private:
  std::unique_ptr<SqliteTables> idleOrNew() {
    const std::lock_guard lock(mutex_);
    if (idle_.empty()) return std::make_unique<SqliteTables>(file_, plant_, SqliteTables::Use::read);
    std::unique_ptr<SqliteTables> tables = std::move(idle_.back());
    idle_.pop_back();
    return tables;
  }
  void giveBack(std::unique_ptr<SqliteTables> tables) {
    tables->endRead();
    const std::lock_guard lock(mutex_);
    idle_.push_back(std::move(tables));
  }

  std::string file_, plant_;
  std::mutex mutex_;
  std::vector<std::unique_ptr<SqliteTables>> idle_;
};

class SqliteStore final : public Store {
 public:
  SqliteStore(std::string folder, StoreOptions options)
      : folder_(std::move(folder)), options_(options), writer_(databaseFile(folder_), options.plant, SqliteTables::Use::write), readers_(databaseFile(folder_), options.plant),
        engine_(writer_, std::move(options)) {}

  std::unique_ptr<Snapshot> read() const override { return std::make_unique<TablesSnapshot>(readers_.take(), options_.plant, options_.clock->now()); }
  Result<Receipt> submit(Act act) override { return engine_.submit(std::move(act)); }

  std::unique_ptr<AttachmentSink> attach() override {
    return fileSink(attachmentFolder(folder_), options_.files, [this](const Attachment& attachment) {
      return engine_.exclusively([&](WritableTables& tables) {
        tables.addAttachment(attachment);
        return Result<void>{};
      });
    });
  }

  Result<std::string> attachmentPath(std::string_view hash) const override {
    const bool named = hash.size() == 64 && hash.find_first_not_of("0123456789abcdef") == std::string_view::npos;
    if (named && readers_.take()->attachmentSize(hash)) return attachmentFile(attachmentFolder(folder_), hash);
    Error error = storeError("attachment.unknown", fmt::format("There is no attachment {}.", hash), "Check the hash.", "");
    error.fault = Fault::not_found;
    return error;
  }
  Result<std::string> attachment(std::string_view hash) const override {
    const Result<std::string> path = attachmentPath(hash);
    if (!path) return path.error();
    return readWhole(*path);
  }

  Verification verify(const std::optional<Anchor>& anchor) const override {
    return verifyChain(*readers_.take(), options_.plant, anchor, [this](const std::string& hash) { return attachmentFileFault(attachmentFolder(folder_), hash); });
  }

  Result<void> rebuildProjections() override {
    return engine_.exclusively([this](WritableTables& tables) { return rebuild(tables, options_.projections); });
  }
  std::string projectionDigest() const override { return digestOfStates(*readers_.take()); }

  /// Database first, attachments second: every attachment a copied fact names was stored before it.
  Result<void> backUp(const std::string& to) const override {
    try {
      fs::create_directories(to);
      if (fs::exists(databaseFile(to))) return storeError("backup.not_empty", "There is a record in the folder already.", "Name an empty folder.", to);
      SqliteTables(databaseFile(folder_), options_.plant, SqliteTables::Use::read).backUpTo(databaseFile(to));
      if (fs::exists(attachmentFolder(folder_)))
        fs::copy(attachmentFolder(folder_), attachmentFolder(to), fs::copy_options::recursive | fs::copy_options::skip_existing);
      for (const char* beside : {"plant.json", "people.sqlite"})
        if (fs::exists(folder_ + "/" + beside)) fs::copy_file(folder_ + "/" + beside, to + "/" + beside, fs::copy_options::overwrite_existing);
    } catch (const std::exception& e) {
      return storeError("backup.failed", fmt::format("The back-up failed: {}", e.what()), "Check room and rights in the folder, then start it again.", to);
    }
    return {};
  }

 private:
  std::string folder_;
  StoreOptions options_;
  SqliteTables writer_;
  mutable ReaderPool readers_;
  Engine engine_;
};

}  // namespace

Result<std::unique_ptr<Store>> openSqliteStore(const std::string& folder, StoreOptions options) {
  try {
    fs::create_directories(attachmentFolder(folder));
    const std::string plant = SqliteTables::plantOf(databaseFile(folder));
    if (!plant.empty() && plant != options.plant)
      return storeError("store.wrong_plant", fmt::format("The record belongs to plant '{}', not to '{}'.", plant, options.plant), "Open the folder of the right plant.", folder);
    return std::unique_ptr<Store>(std::make_unique<SqliteStore>(folder, std::move(options)));
  } catch (const std::exception& e) {
    if (std::string_view(e.what()) == "store.newer_format")
      return storeError("store.newer_format", "The record was written by a newer version of the program.", "Install that version or a later one.", folder);
    return storeError("store.cannot_open", fmt::format("The record cannot be opened: {}", e.what()), "Check that the folder is there and may be written.", folder);
  }
}

Result<Verification> restore(const std::string& backup, const std::string& folder, StoreOptions options, const std::optional<Anchor>& anchor) {
  try {
    if (fs::exists(databaseFile(folder))) return storeError("restore.not_empty", "There is a record in the folder already.", "Name an empty folder.", folder);
    if (!fs::exists(databaseFile(backup))) return storeError("restore.none", "There is no record in the back-up.", "Name the folder that the back-up was written to.", backup);
    fs::create_directories(folder);
    fs::copy(backup, folder, fs::copy_options::recursive | fs::copy_options::skip_existing);
  } catch (const std::exception& e) {
    return storeError("restore.failed", fmt::format("The back-up could not be copied: {}", e.what()), "Check room and rights in the folder.", folder);
  }
  Result<std::unique_ptr<Store>> store = openSqliteStore(folder, std::move(options));
  if (!store) return store.error();
  return (*store)->verify(anchor);
}

}  // namespace platemark::ledger
