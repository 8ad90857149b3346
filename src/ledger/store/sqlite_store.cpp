#include <fmt/format.h>
#include <sodium.h>

#include <filesystem>
#include <mutex>

#include "attachments.h"
#include "backup.h"
#include "engine.h"
#include "platemark/ledger/chain.h"
#include "sqlite_tables.h"

namespace platemark::ledger {
namespace {

namespace fs = std::filesystem;

/// The facts that could be read fit, or none could; the file around them does not hold together.
Verification damagedFile(Verification found, const std::string& fault) {
  found.sound = false;
  found.what =
      fmt::format("The database file is damaged: {}. Restore the newest sound back-up.", fault);
  return found;
}

constexpr std::size_t most_idle = 8;

/// Connections that wait to be read from again. A snapshot may outlive the store: it holds the
/// pool.
class ReaderPool : public std::enable_shared_from_this<ReaderPool> {
 public:
  ReaderPool(std::string file, std::string plant, DatabaseSettings settings)
      : file_(std::move(file)), plant_(std::move(plant)), settings_(std::move(settings)) {}

  /// A connection in a read transaction; it goes back to the pool when the last holder lets go.
  std::shared_ptr<const SqliteTables> take() {
    std::unique_ptr<SqliteTables> tables = idleOrNew();
    tables->beginRead();
    return {tables.release(), [pool = shared_from_this()](const SqliteTables* done) {
              pool->giveBack(std::unique_ptr<SqliteTables>(const_cast<SqliteTables*>(done)));
            }};
  }

 private:
  std::unique_ptr<SqliteTables> idleOrNew() {
    const std::lock_guard lock(mutex_);
    if (idle_.empty())
      return std::make_unique<SqliteTables>(file_, plant_, SqliteTables::Use::read, settings_);
    std::unique_ptr<SqliteTables> tables = std::move(idle_.back());
    idle_.pop_back();
    return tables;
  }
  /// A connection whose transaction does not end well is closed instead.
  void giveBack(std::unique_ptr<SqliteTables> tables) {
    try {
      tables->endRead();
    } catch (const SQLite::Exception&) {
      return;
    }
    const std::lock_guard lock(mutex_);
    if (idle_.size() < most_idle) idle_.push_back(std::move(tables));
  }

  std::string file_, plant_;
  DatabaseSettings settings_;
  std::mutex mutex_;
  std::vector<std::unique_ptr<SqliteTables>> idle_;
};

class SqliteStore final : public Store {
 public:
  SqliteStore(std::string folder, StoreOptions options, const DatabaseSettings& settings)
      : folder_(std::move(folder)),
        options_(options),
        writer_(databaseFile(folder_), options.plant, SqliteTables::Use::write, settings),
        readers_(std::make_shared<ReaderPool>(databaseFile(folder_), options.plant, settings)),
        engine_(writer_, std::move(options)) {}

  std::unique_ptr<Snapshot> read() const override {
    return std::make_unique<TablesSnapshot>(readers_->take(), options_, options_.clock->now(),
                                            shelf_);
  }
  Result<Receipt> submit(Act act) override { return engine_.submit(std::move(act)); }

  std::unique_ptr<AttachmentSink> attach() override {
    return fileSink(attachmentFolder(folder_), options_.files,
                    [this](const Attachment& attachment) {
                      return engine_.exclusively([&](WritableTables& tables) {
                        tables.addAttachment(attachment);
                        return Result<void>{};
                      });
                    });
  }

  Result<std::string> attachmentPath(std::string_view hash) const override {
    const bool named =
        hash.size() == 64 && hash.find_first_not_of("0123456789abcdef") == std::string_view::npos;
    if (named && readers_->take()->attachmentSize(hash))
      return attachmentFile(attachmentFolder(folder_), hash);
    Error error = storeError("attachment.unknown", fmt::format("There is no attachment {}.", hash),
                             "Check the hash.", "");
    error.fault = Fault::not_found;
    return error;
  }
  Result<std::string> attachment(std::string_view hash) const override {
    const Result<std::string> path = attachmentPath(hash);
    if (!path) return path.error();
    return readWhole(*path);
  }

  Verification verify(const std::optional<Anchor>& anchor) const override {
    const auto attachment_fault = [this](const std::string& hash) {
      return attachmentFileFault(attachmentFolder(folder_), hash);
    };
    try {
      const std::shared_ptr<const SqliteTables> tables = readers_->take();
      Verification found = verifyChain(*tables, options_, anchor, attachment_fault);
      if (const std::string fault = found.sound ? tables->integrity() : ""; !fault.empty())
        return damagedFile(found, fault);
      return found;
    } catch (const std::exception& e) {
      return damagedFile({}, e.what());
    }
  }

  Result<void> rebuildProjections() override {
    return engine_.exclusively(
        [this](WritableTables& tables) { return rebuild(tables, options_); });
  }
  /// A migration that changes the form of states empties them.
  Result<void> makeEmptiedStates() {
    const auto emptied = [](const SqliteTables& tables) {
      return tables.lastRow() && !tables.hasStates();
    };
    if (options_.projections.empty() || !emptied(*readers_->take())) return {};
    return engine_.exclusively([&](WritableTables& tables) {
      return emptied(writer_) ? rebuild(tables, options_) : Result<void>{};
    });
  }
  std::string projectionDigest() const override { return digestOfStates(*readers_->take()); }

  Result<void> backUp(const std::string& to) const override { return backUpRecord(folder_, to); }

 private:
  std::string folder_;
  StoreOptions options_;
  SqliteTables writer_;
  std::shared_ptr<ReaderPool> readers_;
  std::shared_ptr<StateShelf> shelf_ = std::make_shared<StateShelf>();
  Engine engine_;
};

}  // namespace

Result<std::unique_ptr<Store>> openSqliteStore(const std::string& folder, StoreOptions options,
                                               const DatabaseSettings& settings) {
  if (sodium_init() < 0)
    return storeError("store.cannot_open", "The cryptographic library did not start.",
                      "Start the program again.", folder);
  try {
    fs::create_directories(attachmentFolder(folder));
    for (const std::string& made : {folder, fs::absolute(folder).parent_path().string()})
      if (Result<void> synced = options.files->syncFolder(made); !synced) return synced.error();
    options.files->removeAbandoned(incomingFolder(attachmentFolder(folder)));
    const std::string plant =
        SqliteTables(databaseFile(folder), options.plant, SqliteTables::Use::write, settings)
            .plantOnRecord();
    if (!plant.empty() && plant != options.plant)
      return storeError(
          "store.wrong_plant",
          fmt::format("The record belongs to plant '{}', not to '{}'.", plant, options.plant),
          "Open the folder of the right plant.", folder);
    auto store = std::make_unique<SqliteStore>(folder, std::move(options), settings);
    if (const Result<void> made = store->makeEmptiedStates(); !made)
      return storeError("store.cannot_open",
                        fmt::format("The record cannot be opened: {}", made.error().what),
                        made.error().remedy, folder);
    return std::unique_ptr<Store>(std::move(store));
  } catch (const NewerFormat&) {
    return storeError("store.newer_format",
                      "The record was written by a newer version of the program.",
                      "Install that version or a later one.", folder);
  } catch (const std::exception& e) {
    return storeError("store.cannot_open", fmt::format("The record cannot be opened: {}", e.what()),
                      "Check that the folder is there and may be written.", folder);
  }
}

Result<std::unique_ptr<Store>> openSqliteStore(const std::string& folder, StoreOptions options) {
  return openSqliteStore(folder, std::move(options), DatabaseSettings{});
}

}  // namespace platemark::ledger
