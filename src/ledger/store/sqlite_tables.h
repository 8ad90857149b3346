#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <memory>
#include <stdexcept>
#include <unordered_map>

#include "open.h"
#include "tables.h"

namespace platemark::ledger {

/// The file is of a newer format than this program knows.
struct NewerFormat : std::runtime_error {
  NewerFormat() : std::runtime_error("the record is of a newer format") {}
};
/// The file is a database of something else.
struct NotARecord : std::runtime_error {
  NotARecord() : std::runtime_error("the database is not a record of this program") {}
};

/// One connection to the record's database, and its prepared statements.
class SqliteTables final : public WritableTables {
 public:
  enum class Use { write, read };
  /// Opens; with Use::write makes or migrates the schema. Throws SQLite::Exception, NewerFormat,
  /// NotARecord.
  SqliteTables(const std::string& file, std::string plant, Use use,
               const DatabaseSettings& settings = {});

  /// Starts a read transaction: what is read until endRead() is one moment.
  void beginRead();
  void endRead();
  /// Which plant the record belongs to; "" for a new one.
  [[nodiscard]] std::string plantOnRecord() const;
  [[nodiscard]] bool hasStates() const;
  /// The value of a PRAGMA on this connection.
  [[nodiscard]] std::string setting(const std::string& pragma) const;
  /// SQLite's own check of the file; "" when it is well.
  [[nodiscard]] std::string integrity() const;

  [[nodiscard]] std::optional<FactRow> row(Sequence sequence) const override;
  [[nodiscard]] std::optional<FactRow> lastRow() const override;
  [[nodiscard]] std::vector<FactRow> rowsAfter(Sequence after, std::size_t limit) const override;
  [[nodiscard]] std::vector<Sequence> sequencesOf(const Subject& subject, Sequence after,
                                                  std::size_t limit) const override;
  [[nodiscard]] std::optional<TokenRow> token(std::string_view token) const override;
  [[nodiscard]] std::optional<std::string> state(std::string_view projection,
                                                 std::string_view key) const override;
  [[nodiscard]] std::vector<std::pair<std::string, std::string>> states(
      std::string_view projection, std::string_view prefix, std::string_view after,
      std::size_t limit) const override;
  [[nodiscard]] std::vector<std::string> stateKeys(std::string_view projection,
                                                   std::string_view prefix) const override;
  void eachState(const std::function<void(std::string_view, std::string_view, std::string_view)>&
                     visit) const override;
  [[nodiscard]] std::optional<std::int64_t> attachmentSize(std::string_view hash) const override;

  void begin() override;
  void commit() override;
  void rollback() override;
  void savepoint() override;
  void release() override;
  void rollbackToSavepoint() override;
  void add(const FactRow& row) override;
  void index(const Subject& subject, Sequence sequence) override;
  void addToken(std::string_view token, const TokenRow& row) override;
  void extendToken(std::string_view token, Sequence last) override;
  void putState(std::string_view projection, std::string_view key, std::string text) override;
  void eraseState(std::string_view projection, std::string_view key) override;
  void dropDerived() override;
  void addAttachment(const Attachment& attachment) override;

 private:
  /// The statement, prepared once, reset and without bindings. `sql` is a literal: its address is
  /// its name.
  SQLite::Statement& statement(const char* sql) const;
  void run(const char* sql);
  static FactRow read(SQLite::Statement& s);

  std::string plant_;
  mutable SQLite::Database db_;
  mutable std::unordered_map<const char*, std::unique_ptr<SQLite::Statement>> statements_;
};

}  // namespace platemark::ledger
