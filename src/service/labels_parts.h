// What labels and sheets share.
#pragma once

#include <fmt/format.h>

#include "platemark/paper/label.h"
#include "view/view.h"

namespace platemark::service::labels {

using view::Look;

[[nodiscard]] Error unknown(std::string_view kind, const std::string& id);
[[nodiscard]] Error noPart(std::string_view kind, const std::string& name, const std::string& of);

template <class State>
Result<State> required(const Look& look, std::string_view projection, const std::string& id) {
  auto state = ledger::stateAs<State>(look.snapshot, projection, id);
  if (!state) return unknown(projection, id);
  return std::move(*state);
}

/// "Phenolic resin": the name of the newest issue, or the code when there is none.
template <class Noun>
std::string nameOf(const Look& look, std::string_view projection, const std::string& code) {
  const auto noun = ledger::stateAs<Issued<Noun>>(look.snapshot, projection, ledger::nowKey(code));
  return noun ? noun->noun.name : code;
}

[[nodiscard]] std::string partWords(const Look& look, const std::string& part);
[[nodiscard]] std::string compoundWords(const Look& look, const std::string& compound,
                                        std::int64_t issue);
[[nodiscard]] Instant happened(const Look& look, Sequence fact);
[[nodiscard]] std::string foot(const Look& look);
[[nodiscard]] std::string program();

[[nodiscard]] Result<paper::FloorSheet> chargeSheet(const Look& look, const std::string& mix);
[[nodiscard]] Result<paper::FloorSheet> loadSheet(const Look& look, const std::string& load);
[[nodiscard]] Result<paper::FloorSheet> traveller(const Look& look, const std::string& batch);

}  // namespace platemark::service::labels
