/// The verbs of the trade: the only way to write.
///
/// Every act is one pure function decide(context, input) → facts or refusal,
/// run by the ledger inside the writer's transaction. A permission ('may I?')
/// is refused with what is missing; a report ('this happened') is kept even
/// when it should not have been, if remark.why says why; everything it touches
/// is then held.
#pragma once

#include <algorithm>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "platemark/ledger/projections.h"
#include "platemark/ledger/store.h"
#include "platemark/plant/noun.h"

namespace platemark::act {

/// What an act decides on.
struct Context {
  const ledger::Snapshot& snapshot;
  PersonNumber person = 0;
  Happened happened;
  /// The calendar day of the happening in the plant's zone; a clock that runs ahead of the plant's
  /// by minutes does not reach into tomorrow.
  [[nodiscard]] Day day() const {
    return std::min(dayIn(happened.instant, happened.zone), today());
  }
  /// The day of asking: judging and signing are done now, whatever time is typed.
  [[nodiscard]] Day today() const { return dayIn(snapshot.now(), happened.zone); }
};

struct Kind {
  std::string_view name;   ///< "lot receive"
  Operation operation;     ///< the permit it needs
  std::string_view words;  ///< "record that a lot has arrived"
  bool must_be_signed = false;
  /// Computed elsewhere before it is asked (reading a recorder's file): no person types its input.
  bool prepared = false;
  std::vector<Field> (*fields)();
  ledger::Decision (*decide)(const Context& context, const Value& input);
  /// The permit for this very input, where it is not always `operation`.
  Operation (*operation_for)(const Value& input) = nullptr;
};

[[nodiscard]] std::span<const Kind> kinds();
[[nodiscard]] const Kind* find(std::string_view name);

/// What a person asks.
struct Request {
  std::string name;
  Value input;
  std::string token;
  PersonNumber person = 0;
  std::string zone;  ///< of the plant
  std::optional<std::string>
      at;  ///< when it happened, as typed: an instant with offset; now when absent
  std::optional<std::string> late_because;  ///< needed when `at` is more than half an hour ago
  std::optional<ledger::Signer> signer;
};

/// The act as the ledger takes it: person's permit, time and input are checked
/// inside the transaction, then the verb decides.
/// Errors: act.unknown, act.token_missing, act.signature_needed.
[[nodiscard]] Result<ledger::Act> prepare(Request request);

/// Several inputs of one kind as one act: all are kept or none.
[[nodiscard]] ledger::Act issueTogether(const Kind& kind, std::vector<Value> inputs,
                                        std::string token, PersonNumber person, std::string zone);

/// The first act of an empty record: makes the first person, who may issue documents and people.
[[nodiscard]] ledger::Act foundPlant(const Person& first, std::string token, std::string zone);

/// All states of a noun, newest issues only.
template <class Noun>
[[nodiscard]] std::vector<Issued<Noun>> allOf(const ledger::Snapshot& snapshot,
                                              std::string_view projection) {
  std::vector<Issued<Noun>> list;
  for (const auto& [key, issued] : ledger::allStates<Issued<Noun>>(snapshot, projection, "now/"))
    list.push_back(*issued);
  return list;
}

}  // namespace platemark::act
