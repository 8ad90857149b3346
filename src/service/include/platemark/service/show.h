/// Questions that pages and terminal ask alike.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "platemark/service/house.h"

namespace platemark::service {

struct Shown {
  Value value;
  int exit_status = 0;  ///< 0 conforms or released, 1 does not conform, 2 cannot decide
};
/// what: today, shift (the hand-over), yield (of batches opened since the day `id`), batch, lot,
/// load, mix (its charge sheet), part, approval, machine (of a press its output), fact, find,
/// judgement ("cure/batch/K7M4J-7"), formula
/// ("heron-3/1/2": what changed between two issues). Errors: use, and those of the view.
[[nodiscard]] Result<Shown> show(const House& house, const std::string& what,
                                 const std::string& id);

/// What the tool knows without a plant. what: acts, act (its name in `id`), methods; nothing when
/// it is another question.
[[nodiscard]] std::optional<Result<Shown>> showWithoutPlant(const std::string& what,
                                                            const std::string& id);
/// What a code names, as `what` and `id` of show(). Errors: those of the search.
[[nodiscard]] Result<std::pair<std::string, std::string>> named(const House& house,
                                                                const std::string& code);

/// name='value unit' assignments, several values with ';' between; choices by their name.
[[nodiscard]] Result<Value> evaluateTyped(const std::string& method,
                                          const std::vector<std::string>& assignments);

/// Asks any act, also those whose input is computed first (cure record, paper issue).
[[nodiscard]] Result<ledger::Receipt> askAny(House& house, Asked asked);
/// What an act did, in words, with the thing it made.
[[nodiscard]] Value receiptValue(const House& house, const ledger::Receipt& receipt);
/// 0, or for a verdict its outcome: 1 does not conform, 2 cannot decide.
[[nodiscard]] int exitOf(const House& house, const ledger::Receipt& receipt);

/// The card of the plant in a folder. Errors: house.none, house.bad_card.
[[nodiscard]] Result<PlantCard> readCard(const std::string& folder);

}  // namespace platemark::service
