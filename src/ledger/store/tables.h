/// What a store must be able to keep; the engine above knows the rules, the
/// tables below it only rows. Two kinds: in memory and SQLite.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "state_shelf.h"

namespace platemark::ledger {

/// A fact as it is kept.
struct FactRow {
  Sequence sequence = 0;
  std::string bytes;
  std::string signer;
  std::string signature;
  std::string hash;
};

/// The answer an act was given, found again by its token.
struct TokenRow {
  std::string request_digest;
  Sequence first = 0;
  Sequence last = 0;
};

/// One consistent view of the rows; the writer's also changes them.
class Tables {
 public:
  virtual ~Tables() = default;
  [[nodiscard]] virtual std::optional<FactRow> row(Sequence sequence) const = 0;
  [[nodiscard]] virtual std::optional<FactRow> lastRow() const = 0;
  [[nodiscard]] virtual std::vector<FactRow> rowsAfter(Sequence after, std::size_t limit) const = 0;
  [[nodiscard]] virtual std::vector<Sequence> sequencesOf(const Subject& subject, Sequence after,
                                                          std::size_t limit) const = 0;
  [[nodiscard]] virtual std::optional<TokenRow> token(std::string_view token) const = 0;
  [[nodiscard]] virtual std::optional<std::string> state(std::string_view projection,
                                                         std::string_view key) const = 0;
  [[nodiscard]] virtual std::vector<std::pair<std::string, std::string>> states(
      std::string_view projection, std::string_view prefix, std::string_view after,
      std::size_t limit) const = 0;
  [[nodiscard]] virtual std::vector<std::string> stateKeys(std::string_view projection,
                                                           std::string_view prefix) const = 0;
  /// Every state of every projection, by name and key.
  virtual void eachState(const std::function<void(std::string_view name, std::string_view key,
                                                  std::string_view text)>& visit) const = 0;
  [[nodiscard]] virtual std::optional<std::int64_t> attachmentSize(std::string_view hash) const = 0;
};

class WritableTables : public Tables {
 public:
  virtual void begin() = 0;
  virtual void commit() = 0;
  virtual void rollback() = 0;
  virtual void savepoint() = 0;
  virtual void release() = 0;
  virtual void rollbackToSavepoint() = 0;
  virtual void add(const FactRow& row) = 0;
  virtual void index(const Subject& subject, Sequence sequence) = 0;
  virtual void addToken(std::string_view token, const TokenRow& row) = 0;
  virtual void extendToken(std::string_view token, Sequence last) = 0;
  virtual void putState(std::string_view projection, std::string_view key, std::string text) = 0;
  virtual void eraseState(std::string_view projection, std::string_view key) = 0;
  virtual void dropDerived() = 0;
  virtual void addAttachment(const Attachment& attachment) = 0;
};

/// A snapshot over tables; keeps them alive.
class TablesSnapshot : public Snapshot {
 public:
  TablesSnapshot(std::shared_ptr<const Tables> tables, const StoreOptions& options, Instant now,
                 std::shared_ptr<StateShelf> shelf);
  /// For who knows already where the tables' chain ends.
  TablesSnapshot(std::shared_ptr<const Tables> tables, const StoreOptions& options, Instant now,
                 Sequence sequence, std::string head);
  [[nodiscard]] const std::string& plant() const override { return plant_; }
  [[nodiscard]] Sequence sequence() const override { return sequence_; }
  [[nodiscard]] std::string head() const override { return head_; }
  [[nodiscard]] Instant now() const override { return now_; }
  [[nodiscard]] std::optional<Value> state(std::string_view projection,
                                           std::string_view key) const override;
  [[nodiscard]] std::vector<State> states(std::string_view projection, std::string_view prefix,
                                          std::string_view after, std::size_t limit) const override;
  [[nodiscard]] std::shared_ptr<const void> stateOf(std::string_view projection,
                                                    std::string_view key,
                                                    const StateType& type) const override;
  [[nodiscard]] std::vector<std::string> keys(std::string_view projection,
                                              std::string_view prefix) const override;
  [[nodiscard]] std::optional<Fact> fact(Sequence sequence) const override;
  [[nodiscard]] std::vector<Fact> factsOf(const Subject& subject, Sequence after,
                                          std::size_t limit) const override;
  [[nodiscard]] std::vector<Fact> factsAfter(Sequence after, std::size_t limit) const override;

 private:
  std::shared_ptr<const Tables> tables_;
  std::shared_ptr<StateShelf> shelf_;
  std::string plant_;
  const FactKind* (*find_kind_)(std::string_view);
  Instant now_;
  Sequence sequence_ = 0;
  std::string head_;
};

}  // namespace platemark::ledger
