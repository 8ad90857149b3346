/// The projections of the plant: how the facts add up to the states of plant/state.h.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "platemark/ledger/store.h"
#include "platemark/plant/state.h"

namespace platemark::ledger {

/// In the order in which they fold a fact: a later one may read an earlier one's state.
[[nodiscard]] std::vector<Projection> plantProjections();

/// The state of `key`, read as T; nothing when there is none.
template <class T>
[[nodiscard]] std::optional<T> stateAs(const Snapshot& snapshot, std::string_view projection,
                                       std::string_view key) {
  const auto state =
      std::static_pointer_cast<const T>(snapshot.stateOf(projection, key, state_type<T>));
  return state ? std::optional<T>(*state) : std::nullopt;
}

/// Every state whose key starts with `prefix`, by key; what cannot be read as T is left out.
template <class T>
[[nodiscard]] std::vector<std::pair<std::string, std::shared_ptr<const T>>> allStates(
    const Snapshot& snapshot, std::string_view projection, std::string_view prefix = "") {
  std::vector<std::pair<std::string, std::shared_ptr<const T>>> list;
  for (std::string& key : snapshot.keys(projection, prefix))
    if (auto state =
            std::static_pointer_cast<const T>(snapshot.stateOf(projection, key, state_type<T>)))
      list.emplace_back(std::move(key), std::move(state));
  return list;
}

/// Keys of issued nouns: the newest, and every issue.
[[nodiscard]] std::string nowKey(std::string_view code);
[[nodiscard]] std::string issueKey(std::string_view code, std::int64_t issue);

/// The issue in force on a day: the newest whose effective day has come. Nothing when there is
/// none.
template <class Noun>
[[nodiscard]] std::optional<Issued<Noun>> issueInForce(const Snapshot& snapshot,
                                                       std::string_view projection,
                                                       std::string_view code, Day day) {
  auto issued = stateAs<Issued<Noun>>(snapshot, projection, nowKey(code));
  while (issued && issued->effective && day < *issued->effective)
    issued = stateAs<Issued<Noun>>(snapshot, projection, issueKey(code, issued->issue - 1));
  return issued;
}

}  // namespace platemark::ledger
