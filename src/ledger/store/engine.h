/// The one writer: takes acts from a queue, decides each on what is there,
/// appends, folds, signs, and commits those that waited together as one. It has no thread of its
/// own: one of those who wait writes for all of them, never two at a time.
#pragma once

#include <condition_variable>
#include <deque>
#include <mutex>

#include "state_cache.h"

namespace platemark::ledger {

class Engine {
 public:
  /// Whoever is writing has `tables` to itself.
  Engine(WritableTables& tables, StoreOptions options);
  Engine(const Engine&) = delete;
  Engine& operator=(const Engine&) = delete;

  [[nodiscard]] Result<Receipt> submit(Act act);
  /// Runs as the writer, alone, within a transaction.
  [[nodiscard]] Result<void> exclusively(std::function<Result<void>(WritableTables&)> work);
  /// Called by the writer after each commit, before anybody is told of it.
  std::function<void()> after_commit;

 private:
  struct Waiting {
    Act act;
    std::function<Result<void>(WritableTables&)> work;
    std::optional<Result<Receipt>> answer;
    std::condition_variable wake;  ///< answered, or its turn to write
  };

  Result<Receipt> answered(Waiting& waiting);
  std::vector<Waiting*> nextGroup();
  std::vector<Result<Receipt>> commitTogether(const std::vector<Waiting*>& group);
  void hand(const std::vector<Waiting*>& group, std::vector<Result<Receipt>> answers);
  Result<Receipt> answerOne(const Waiting& waiting);
  Result<Receipt> decideOne(const Act& act);
  Result<Receipt> workOne(const std::function<Result<void>(WritableTables&)>& work);
  Result<Receipt> answerAgain(const Act& act, const TokenRow& known) const;
  Result<Receipt> append(const Act& act, std::vector<NewFact> facts, Instant now);
  Result<void> check(const NewFact& fact, const Act& act) const;
  Result<Sequence> appendOne(NewFact fact, const Act& act, const std::string& request_digest,
                             Instant now);
  std::optional<NewFact> clockStepBack(Instant now) const;
  void readTail();

  /// Where the chain ends within the open transaction; read anew for each group, because another
  /// program may have appended.
  struct Tail {
    Sequence sequence = 0;
    std::string head;
    Instant recorded;
  };

  WritableTables& tables_;
  StateCache states_;
  StoreOptions options_;
  std::mutex mutex_;  ///< over the next two and every answer
  std::deque<Waiting*> queue_;
  bool writing_ = false;
  Tail tail_;  ///< of whoever is writing, as are tables_ and states_
};

/// Folds one fact through every projection.
void foldFact(const Fact& fact, const std::vector<Projection>& projections, StateCache& states);
/// Derived rows from the facts alone: subjects, tokens, states.
Result<void> rebuild(WritableTables& tables, const StoreOptions& options);
[[nodiscard]] std::string digestOfStates(const Tables& tables);
/// Links, hashes, signatures; `attachment_fault` says what is wrong with an attachment, or "".
[[nodiscard]] Verification verifyChain(
    const Tables& tables, const StoreOptions& options, const std::optional<Anchor>& anchor,
    const std::function<std::string(const std::string& hash)>& attachment_fault);

}  // namespace platemark::ledger
