#include "memory_tables.h"

#include <algorithm>

namespace platemark::ledger {

std::shared_ptr<const Tables> MemoryTables::view() const {
  auto copy = std::make_shared<MemoryTables>();
  copy->rows_ = rows_;
  return copy;
}

std::optional<FactRow> MemoryTables::row(Sequence sequence) const {
  if (sequence < 1 || sequence > static_cast<Sequence>(rows_.facts.size())) return {};
  return rows_.facts[static_cast<std::size_t>(sequence - 1)];
}

std::optional<FactRow> MemoryTables::lastRow() const { return row(static_cast<Sequence>(rows_.facts.size())); }

std::vector<FactRow> MemoryTables::rowsAfter(Sequence after, std::size_t limit) const {
  const auto begin = std::min(rows_.facts.size(), static_cast<std::size_t>(std::max<Sequence>(0, after)));
  const auto end = std::min(rows_.facts.size(), begin + std::min(limit, rows_.facts.size()));
  return {rows_.facts.begin() + static_cast<std::ptrdiff_t>(begin), rows_.facts.begin() + static_cast<std::ptrdiff_t>(end)};
}

std::vector<Sequence> MemoryTables::sequencesOf(const Subject& subject, Sequence after, std::size_t limit) const {
  std::vector<Sequence> list;
  const auto found = rows_.subjects.find(subject);
  if (found == rows_.subjects.end()) return list;
  for (const Sequence s : found->second)
    if (s > after && list.size() < limit) list.push_back(s);
  return list;
}

std::optional<TokenRow> MemoryTables::token(std::string_view token) const {
  const auto found = rows_.tokens.find(token);
  return found == rows_.tokens.end() ? std::nullopt : std::optional<TokenRow>(found->second);
}

std::optional<std::string> MemoryTables::state(std::string_view projection, std::string_view key) const {
  const auto found = rows_.states.find({std::string(projection), std::string(key)});
  return found == rows_.states.end() ? std::nullopt : std::optional<std::string>(found->second);
}

std::vector<std::pair<std::string, std::string>> MemoryTables::states(std::string_view projection, std::string_view prefix, std::string_view after, std::size_t limit) const {
  std::vector<std::pair<std::string, std::string>> list;
  for (auto i = rows_.states.lower_bound({std::string(projection), std::string(std::max(prefix, after))}); i != rows_.states.end() && list.size() < limit; ++i) {
    if (i->first.first != projection || !i->first.second.starts_with(prefix)) break;
    if (i->first.second > after || after.empty()) list.emplace_back(i->first.second, i->second);
  }
  return list;
}

void MemoryTables::eachState(const std::function<void(std::string_view, std::string_view, std::string_view)>& visit) const {
  for (const auto& [key, text] : rows_.states) visit(key.first, key.second, text);
}

std::optional<std::int64_t> MemoryTables::attachmentSize(std::string_view hash) const {
  const auto found = rows_.attachments.find(hash);
  return found == rows_.attachments.end() ? std::nullopt : std::optional<std::int64_t>(found->second);
}

void MemoryTables::putState(std::string_view projection, std::string_view key, std::string text) {
  rows_.states[{std::string(projection), std::string(key)}] = std::move(text);
}

void MemoryTables::eraseState(std::string_view projection, std::string_view key) { rows_.states.erase({std::string(projection), std::string(key)}); }

void MemoryTables::dropDerived() {
  rows_.states.clear();
  rows_.subjects.clear();
  rows_.tokens.clear();
}

}  // namespace platemark::ledger
