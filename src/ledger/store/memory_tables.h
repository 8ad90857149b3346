#pragma once

#include <deque>
#include <map>
#include <shared_mutex>

#include "tables.h"

namespace platemark::ledger {

/// All rows of a record in memory. A state keeps its older texts beside the commit
/// that brought each, so that a reader goes on seeing its own moment.
struct MemoryRows {
  using Key = std::pair<std::string, std::string>;  ///< projection, key
  struct Text {
    std::int64_t commit = 0;
    std::optional<std::string> text;  ///< none: erased
  };
  mutable std::shared_mutex mutex;
  std::deque<FactRow> facts;
  std::map<Subject, std::vector<Sequence>> subjects;
  std::map<std::string, TokenRow, std::less<>> tokens;
  std::map<Key, std::vector<Text>> states;
  std::map<std::string, std::int64_t, std::less<>> attachments;
};

/// What the rows were after one commit.
class MemoryView final : public Tables {
 public:
  MemoryView(std::shared_ptr<const MemoryRows> rows, Sequence last, std::int64_t commit)
      : rows_(std::move(rows)), last_(last), commit_(commit) {}
  [[nodiscard]] std::optional<FactRow> row(Sequence sequence) const override;
  [[nodiscard]] std::optional<FactRow> lastRow() const override { return row(last_); }
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

 private:
  [[nodiscard]] const std::optional<std::string>& textAt(
      const std::vector<MemoryRows::Text>& texts) const;

  std::shared_ptr<const MemoryRows> rows_;
  Sequence last_;
  std::int64_t commit_;
};

/// The writer's side: changes rows and remembers how to undo each change.
class MemoryTables final : public WritableTables {
 public:
  /// What was committed last; does not change afterwards.
  [[nodiscard]] std::shared_ptr<const Tables> view() const;

  [[nodiscard]] std::optional<FactRow> row(Sequence s) const override { return now().row(s); }
  [[nodiscard]] std::optional<FactRow> lastRow() const override { return now().lastRow(); }
  [[nodiscard]] std::vector<FactRow> rowsAfter(Sequence after, std::size_t limit) const override {
    return now().rowsAfter(after, limit);
  }
  [[nodiscard]] std::vector<Sequence> sequencesOf(const Subject& subject, Sequence after,
                                                  std::size_t limit) const override {
    return now().sequencesOf(subject, after, limit);
  }
  [[nodiscard]] std::optional<TokenRow> token(std::string_view t) const override {
    return now().token(t);
  }
  [[nodiscard]] std::optional<std::string> state(std::string_view projection,
                                                 std::string_view key) const override {
    return now().state(projection, key);
  }
  [[nodiscard]] std::vector<std::pair<std::string, std::string>> states(
      std::string_view projection, std::string_view prefix, std::string_view after,
      std::size_t limit) const override {
    return now().states(projection, prefix, after, limit);
  }
  [[nodiscard]] std::vector<std::string> stateKeys(std::string_view projection,
                                                   std::string_view prefix) const override {
    return now().stateKeys(projection, prefix);
  }
  void eachState(const std::function<void(std::string_view, std::string_view, std::string_view)>&
                     visit) const override {
    now().eachState(visit);
  }
  [[nodiscard]] std::optional<std::int64_t> attachmentSize(std::string_view hash) const override {
    return now().attachmentSize(hash);
  }

  void begin() override;
  void commit() override;
  void rollback() override { undoTo(0); }
  void savepoint() override { savepoint_ = undo_.size(); }
  void release() override {}
  void rollbackToSavepoint() override { undoTo(savepoint_); }
  void add(const FactRow& row) override;
  void index(const Subject& subject, Sequence sequence) override;
  void addToken(std::string_view token, const TokenRow& row) override;
  void extendToken(std::string_view token, Sequence last) override;
  void putState(std::string_view projection, std::string_view key, std::string text) override;
  void eraseState(std::string_view projection, std::string_view key) override;
  void dropDerived() override;
  void addAttachment(const Attachment& attachment) override;

 private:
  [[nodiscard]] MemoryView now() const;
  void change(const std::function<void(MemoryRows&)>& doing,
              std::function<void(MemoryRows&)> undoing);
  void undoTo(std::size_t mark);
  void setState(MemoryRows::Key key, std::optional<std::string> text);

  std::shared_ptr<MemoryRows> rows_ = std::make_shared<MemoryRows>();
  std::vector<std::function<void()>> undo_;
  std::size_t savepoint_ = 0;
  std::int64_t commit_ = 0;  ///< number of the transaction that is open, or was the last
};

}  // namespace platemark::ledger
