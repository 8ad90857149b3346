#include "state_shelf.h"

namespace platemark::ledger {
namespace {

/// Of text; what was read from it takes two to three times as much. A quarter of a plant is some
/// ten million bytes.
constexpr std::size_t most_bytes = 48'000'000;

std::shared_ptr<const void> readState(const std::string& text, const StateType& type) {
  const Result<Value> value = parseJson(text);
  if (!value) return nullptr;
  Result<std::shared_ptr<const void>> state = type.fromValue(*value);
  return state ? std::move(*state) : nullptr;
}

}  // namespace

std::shared_ptr<const void> StateShelf::read(std::string_view projection, std::string_view key,
                                             std::string text, const StateType& type) {
  std::string name = std::string(projection) + '\n' + std::string(key);
  if (auto state = kept(name, text, type)) return state;
  std::shared_ptr<const void> state = readState(text, type);
  if (state) keep(std::move(name), {&type, std::move(text), state});
  return state;
}

std::shared_ptr<const void> StateShelf::kept(const std::string& name, const std::string& text,
                                             const StateType& type) {
  const std::lock_guard lock(mutex_);
  const auto found = kept_.find(name);
  const bool same =
      found != kept_.end() && found->second.type == &type && found->second.text == text;
  return same ? found->second.state : nullptr;
}

void StateShelf::keep(std::string name, Kept state) {
  const std::lock_guard lock(mutex_);
  Kept& place = kept_[std::move(name)];
  bytes_ += state.text.size();
  bytes_ -= place.text.size();
  place = std::move(state);
  if (bytes_ <= most_bytes) return;
  kept_.clear();
  bytes_ = 0;
}

}  // namespace platemark::ledger
