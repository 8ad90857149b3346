#pragma once

#include <map>
#include <mutex>

#include "tables.h"

namespace platemark::ledger {

/// All rows in memory. Readers get a copy that never changes; the writer copies
/// before it changes what a reader still holds.
class MemoryTables final : public WritableTables {
 public:
  [[nodiscard]] std::shared_ptr<const Tables> view() const;

  [[nodiscard]] std::optional<FactRow> row(Sequence sequence) const override;
  [[nodiscard]] std::optional<FactRow> lastRow() const override;
  [[nodiscard]] std::vector<FactRow> rowsAfter(Sequence after, std::size_t limit) const override;
  [[nodiscard]] std::vector<Sequence> sequencesOf(const Subject& subject, Sequence after, std::size_t limit) const override;
  [[nodiscard]] std::optional<TokenRow> token(std::string_view token) const override;
  [[nodiscard]] std::optional<std::string> state(std::string_view projection, std::string_view key) const override;
  [[nodiscard]] std::vector<std::pair<std::string, std::string>> states(std::string_view projection, std::string_view prefix, std::string_view after, std::size_t limit) const override;
  void eachState(const std::function<void(std::string_view, std::string_view, std::string_view)>& visit) const override;
  [[nodiscard]] std::optional<std::int64_t> attachmentSize(std::string_view hash) const override;

  void begin() override { before_ = rows_; }
  void commit() override {}
  void rollback() override { rows_ = before_; }
  void savepoint() override { saved_ = rows_; }
  void release() override {}
  void rollbackToSavepoint() override { rows_ = saved_; }
  void add(const FactRow& row) override { rows_.facts.push_back(row); }
  void index(const Subject& subject, Sequence sequence) override { rows_.subjects[subject].push_back(sequence); }
  void addToken(std::string_view token, const TokenRow& row) override { rows_.tokens.emplace(token, row); }
  void extendToken(std::string_view token, Sequence last) override { rows_.tokens.find(token)->second.last = last; }
  void putState(std::string_view projection, std::string_view key, std::string text) override;
  void eraseState(std::string_view projection, std::string_view key) override;
  void dropDerived() override;
  void addAttachment(const Attachment& attachment) override { rows_.attachments[attachment.hash] = attachment.size; }

 private:
  using Key = std::pair<std::string, std::string>;
  struct Rows {
    std::vector<FactRow> facts;
    std::map<Subject, std::vector<Sequence>> subjects;
    std::map<std::string, TokenRow, std::less<>> tokens;
    std::map<Key, std::string> states;
    std::map<std::string, std::int64_t, std::less<>> attachments;
  };
  Rows rows_, before_, saved_;
};

}  // namespace platemark::ledger
