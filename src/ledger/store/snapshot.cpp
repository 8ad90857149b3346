#include <stdexcept>

#include "platemark/ledger/chain.h"
#include "tables.h"

namespace platemark::ledger {
namespace {

Value parsed(const std::string& text) {
  Result<Value> value = parseJson(text);
  if (!value) throw std::runtime_error("a stored state is not JSON: " + describe(value.error()));
  return std::move(*value);
}

Fact readOrThrow(FactRow row, FindKind find_kind) {
  Result<Fact> fact = readFact(std::move(row.bytes), std::move(row.signer),
                               std::move(row.signature), std::move(row.hash));
  if (!fact) throw std::runtime_error(describe(fact.error()));
  return lifted(std::move(*fact), find_kind);
}

}  // namespace

TablesSnapshot::TablesSnapshot(std::shared_ptr<const Tables> tables, const StoreOptions& options,
                               Instant now, std::shared_ptr<StateShelf> shelf)
    : TablesSnapshot(std::move(tables), options, now, 0, noHash()) {
  shelf_ = std::move(shelf);
  if (std::optional<FactRow> last = tables_->lastRow()) {
    sequence_ = last->sequence;
    head_ = std::move(last->hash);
  }
}

TablesSnapshot::TablesSnapshot(std::shared_ptr<const Tables> tables, const StoreOptions& options,
                               Instant now, Sequence sequence, std::string head)
    : tables_(std::move(tables)),
      plant_(options.plant),
      find_kind_(options.find_kind),
      now_(now),
      sequence_(sequence),
      head_(std::move(head)) {}

std::optional<Value> TablesSnapshot::state(std::string_view projection,
                                           std::string_view key) const {
  const std::optional<std::string> text = tables_->state(projection, key);
  return text ? std::optional<Value>(parsed(*text)) : std::nullopt;
}

std::shared_ptr<const void> TablesSnapshot::stateOf(std::string_view projection,
                                                    std::string_view key,
                                                    const StateType& type) const {
  std::optional<std::string> text = tables_->state(projection, key);
  return text ? shelf_->read(projection, key, std::move(*text), type) : nullptr;
}

std::vector<std::string> TablesSnapshot::keys(std::string_view projection,
                                              std::string_view prefix) const {
  return tables_->stateKeys(projection, prefix);
}

std::vector<State> TablesSnapshot::states(std::string_view projection, std::string_view prefix,
                                          std::string_view after, std::size_t limit) const {
  std::vector<State> list;
  for (auto& [key, text] : tables_->states(projection, prefix, after, limit))
    list.push_back({std::move(key), parsed(text)});
  return list;
}

std::optional<Fact> TablesSnapshot::fact(Sequence sequence) const {
  std::optional<FactRow> row = tables_->row(sequence);
  return row ? std::optional<Fact>(readOrThrow(std::move(*row), find_kind_)) : std::nullopt;
}

std::vector<Fact> TablesSnapshot::factsOf(const Subject& subject, Sequence after,
                                          std::size_t limit) const {
  std::vector<Fact> list;
  for (const Sequence sequence : tables_->sequencesOf(subject, after, limit))
    list.push_back(*fact(sequence));
  return list;
}

std::vector<Fact> TablesSnapshot::factsAfter(Sequence after, std::size_t limit) const {
  std::vector<Fact> list;
  for (FactRow& row : tables_->rowsAfter(after, limit))
    list.push_back(readOrThrow(std::move(row), find_kind_));
  return list;
}

}  // namespace platemark::ledger
