#include "state_cache.h"

#include <stdexcept>

namespace platemark::ledger {
namespace {

/// Enough for what a shift works on; beyond it reading anew costs less than keeping.
constexpr std::size_t most_kept = 4096;

[[noreturn]] void throwUnreadable(std::string_view projection, std::string_view key,
                                  const Error& why) {
  throw std::logic_error("state " + std::string(projection) + "/" + std::string(key) + ": " +
                         describe(why));
}

}  // namespace

StateCache::Kept& StateCache::kept(std::string_view projection, std::string_view key) {
  const auto [at, is_new] = kept_.try_emplace({std::string(projection), std::string(key)}, Kept{});
  if (!is_new) return at->second;
  std::optional<std::string> text = tables_.state(projection, key);
  at->second.text = text.value_or("");
  if (!text) return at->second;
  Result<Value> value = parseJson(*text);
  if (!value) throwUnreadable(projection, key, value.error());
  at->second.state = std::make_shared<const Value>(std::move(*value));
  at->second.type = &state_type<Value>;
  return at->second;
}

std::shared_ptr<const void> StateCache::find(std::string_view projection, std::string_view key,
                                             const StateType& type) {
  Kept& found = kept(projection, key);
  if (found.state == nullptr || found.type == &type) return found.state;
  Result<std::shared_ptr<const void>> read = type.fromValue(found.type->toValue(found.state.get()));
  if (!read) throwUnreadable(projection, key, read.error());
  // A plain look at a state does not make its owner read it again.
  if (&type == &state_type<Value>) return *read;
  found.state = std::move(*read);
  found.type = &type;
  return found.state;
}

void StateCache::change(const Name& name, std::shared_ptr<const void> state,
                        const StateType* type) {
  Kept& now = kept(name.first, name.second);
  undo_.emplace_back(name, now);
  now.state = std::move(state);
  now.type = type;
  changed_.insert(name);
}

void StateCache::put(std::string_view projection, std::string_view key,
                     std::shared_ptr<const void> state, const StateType& type) {
  change({std::string(projection), std::string(key)}, std::move(state), &type);
}

void StateCache::erase(std::string_view projection, std::string_view key) {
  change({std::string(projection), std::string(key)}, nullptr, nullptr);
}

/// Backwards, so that the oldest memory of a name is the one that stays.
void StateCache::undo() {
  for (auto at = undo_.rbegin(); at != undo_.rend(); ++at) kept_[at->first] = std::move(at->second);
  undo_.clear();
}

std::string StateCache::textOf(const Kept& kept) {
  return kept.state == nullptr ? "" : canonicalJson(kept.type->toValue(kept.state.get()));
}

void StateCache::putOnTables(const Name& name, const std::string& text) {
  if (text.empty())
    tables_.eraseState(name.first, name.second);
  else
    tables_.putState(name.first, name.second, text);
}

/// What is shown may yet be rolled back with the act that asked: afterwards nobody knows what the
/// tables say, and write() writes it again.
void StateCache::show(std::string_view projection) {
  for (const Name& name : changed_) {
    if (name.first != projection) continue;
    Kept& shown = kept_.at(name);
    putOnTables(name, textOf(shown));
    shown.text.reset();
  }
}

void StateCache::write() {
  for (const Name& name : changed_) {
    Kept& changed = kept_.at(name);
    std::string text = textOf(changed);
    if (text != changed.text) putOnTables(name, text);
    changed.text = std::move(text);
  }
  changed_.clear();
  undo_.clear();
  if (kept_.size() > most_kept) kept_.clear();
}

void StateCache::forget() {
  kept_.clear();
  changed_.clear();
  undo_.clear();
}

}  // namespace platemark::ledger
