#include "memory_tables.h"

#include <algorithm>
#include <mutex>

namespace platemark::ledger {

std::optional<FactRow> MemoryView::row(Sequence sequence) const {
  const std::shared_lock lock(rows_->mutex);
  if (sequence < 1 || sequence > last_) return {};
  return rows_->facts[static_cast<std::size_t>(sequence - 1)];
}

std::vector<FactRow> MemoryView::rowsAfter(Sequence after, std::size_t limit) const {
  const std::shared_lock lock(rows_->mutex);
  std::vector<FactRow> list;
  for (Sequence s = std::max<Sequence>(0, after); s < last_ && list.size() < limit; ++s)
    list.push_back(rows_->facts[static_cast<std::size_t>(s)]);
  return list;
}

std::vector<Sequence> MemoryView::sequencesOf(const Subject& subject, Sequence after,
                                              std::size_t limit) const {
  const std::shared_lock lock(rows_->mutex);
  std::vector<Sequence> list;
  const auto found = rows_->subjects.find(subject);
  if (found == rows_->subjects.end()) return list;
  for (const Sequence s : found->second)
    if (s > after && s <= last_ && list.size() < limit) list.push_back(s);
  return list;
}

std::optional<TokenRow> MemoryView::token(std::string_view token) const {
  const std::shared_lock lock(rows_->mutex);
  const auto found = rows_->tokens.find(token);
  if (found == rows_->tokens.end() || found->second.last > last_) return {};
  return found->second;
}

/// The newest text that this moment knows.
const std::optional<std::string>& MemoryView::textAt(
    const std::vector<MemoryRows::Text>& texts) const {
  static const std::optional<std::string> none;
  for (auto i = texts.rbegin(); i != texts.rend(); ++i)
    if (i->commit <= commit_) return i->text;
  return none;
}

std::optional<std::string> MemoryView::state(std::string_view projection,
                                             std::string_view key) const {
  const std::shared_lock lock(rows_->mutex);
  const auto found = rows_->states.find({std::string(projection), std::string(key)});
  return found == rows_->states.end() ? std::nullopt : textAt(found->second);
}

std::vector<std::pair<std::string, std::string>> MemoryView::states(std::string_view projection,
                                                                    std::string_view prefix,
                                                                    std::string_view after,
                                                                    std::size_t limit) const {
  const std::shared_lock lock(rows_->mutex);
  std::vector<std::pair<std::string, std::string>> list;
  const MemoryRows::Key from{projection, std::max(prefix, after)};
  for (auto i = rows_->states.lower_bound(from); i != rows_->states.end(); ++i) {
    const auto& [name, key] = i->first;
    if (list.size() >= limit || name != projection) break;
    if (!key.starts_with(prefix)) break;
    const std::optional<std::string>& text = textAt(i->second);
    if (text && (after.empty() || key > after)) list.emplace_back(key, *text);
  }
  return list;
}

std::vector<std::string> MemoryView::stateKeys(std::string_view projection,
                                               std::string_view prefix) const {
  const std::shared_lock lock(rows_->mutex);
  std::vector<std::string> list;
  const MemoryRows::Key from{projection, prefix};
  for (auto i = rows_->states.lower_bound(from); i != rows_->states.end(); ++i) {
    const auto& [name, key] = i->first;
    if (name != projection || !key.starts_with(prefix)) break;
    if (textAt(i->second)) list.push_back(key);
  }
  return list;
}

void MemoryView::eachState(
    const std::function<void(std::string_view, std::string_view, std::string_view)>& visit) const {
  const std::shared_lock lock(rows_->mutex);
  for (const auto& [key, texts] : rows_->states)
    if (const std::optional<std::string>& text = textAt(texts)) visit(key.first, key.second, *text);
}

std::optional<std::int64_t> MemoryView::attachmentSize(std::string_view hash) const {
  const std::shared_lock lock(rows_->mutex);
  const auto found = rows_->attachments.find(hash);
  return found == rows_->attachments.end() ? std::nullopt
                                           : std::optional<std::int64_t>(found->second);
}

std::shared_ptr<const Tables> MemoryTables::view() const {
  return std::make_shared<MemoryView>(rows_, static_cast<Sequence>(rows_->facts.size()), commit_);
}

MemoryView MemoryTables::now() const {
  return {rows_, static_cast<Sequence>(rows_->facts.size()), commit_};
}

void MemoryTables::begin() {
  undo_.clear();
  savepoint_ = 0;
  ++commit_;
}

void MemoryTables::commit() { undo_.clear(); }

void MemoryTables::undoTo(std::size_t mark) {
  for (; undo_.size() > mark; undo_.pop_back()) undo_.back()();
}

void MemoryTables::change(const std::function<void(MemoryRows&)>& doing,
                          std::function<void(MemoryRows&)> undoing) {
  {
    const std::unique_lock lock(rows_->mutex);
    doing(*rows_);
  }
  undo_.push_back([rows = rows_, undoing = std::move(undoing)] {
    const std::unique_lock lock(rows->mutex);
    undoing(*rows);
  });
}

void MemoryTables::add(const FactRow& row) {
  change([&](MemoryRows& rows) { rows.facts.push_back(row); },
         [](MemoryRows& rows) { rows.facts.pop_back(); });
}

void MemoryTables::index(const Subject& subject, Sequence sequence) {
  const auto known = rows_->subjects.find(subject);
  if (known != rows_->subjects.end() && known->second.back() == sequence) return;
  change([&](MemoryRows& rows) { rows.subjects[subject].push_back(sequence); },
         [subject](MemoryRows& rows) {
           const auto found = rows.subjects.find(subject);
           found->second.pop_back();
           if (found->second.empty()) rows.subjects.erase(found);
         });
}

void MemoryTables::addToken(std::string_view token, const TokenRow& row) {
  change([&](MemoryRows& rows) { rows.tokens.emplace(token, row); },
         [token = std::string(token)](MemoryRows& rows) { rows.tokens.erase(token); });
}

void MemoryTables::extendToken(std::string_view token, Sequence last) {
  const Sequence before = rows_->tokens.find(token)->second.last;
  change([&](MemoryRows& rows) { rows.tokens.find(token)->second.last = last; },
         [token = std::string(token), before](MemoryRows& rows) {
           rows.tokens.find(token)->second.last = before;
         });
}

void MemoryTables::setState(MemoryRows::Key key, std::optional<std::string> text) {
  change(
      [&](MemoryRows& rows) {
        rows.states[key].push_back({commit_, std::move(text)});
      },
      [key](MemoryRows& rows) {
        const auto found = rows.states.find(key);
        found->second.pop_back();
        if (found->second.empty()) rows.states.erase(found);
      });
}

void MemoryTables::putState(std::string_view projection, std::string_view key, std::string text) {
  setState({std::string(projection), std::string(key)}, std::move(text));
}

void MemoryTables::eraseState(std::string_view projection, std::string_view key) {
  if (state(projection, key)) setState({std::string(projection), std::string(key)}, std::nullopt);
}

/// Goes on with fresh rows; readers keep the old ones as long as they look.
void MemoryTables::dropDerived() {
  auto fresh = std::make_shared<MemoryRows>();
  fresh->facts = rows_->facts;
  fresh->attachments = rows_->attachments;
  undo_.push_back([this, old = rows_] { rows_ = old; });
  rows_ = std::move(fresh);
}

void MemoryTables::addAttachment(const Attachment& attachment) {
  if (attachmentSize(attachment.hash)) return;
  change([&](MemoryRows& rows) { rows.attachments[attachment.hash] = attachment.size; },
         [hash = attachment.hash](MemoryRows& rows) { rows.attachments.erase(hash); });
}

}  // namespace platemark::ledger
