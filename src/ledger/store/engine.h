/// The one writer: takes acts from a queue, decides each on what is there,
/// appends, folds, signs, and commits those that waited together as one.
#pragma once

#include <condition_variable>
#include <deque>
#include <future>
#include <mutex>
#include <thread>

#include "tables.h"

namespace platemark::ledger {

class Engine {
 public:
  /// `tables` is used by the writer's thread alone.
  Engine(WritableTables& tables, StoreOptions options);
  ~Engine();
  Engine(const Engine&) = delete;
  Engine& operator=(const Engine&) = delete;

  [[nodiscard]] Result<Receipt> submit(Act act);
  /// Runs on the writer's thread, alone, in its own transaction.
  [[nodiscard]] Result<void> exclusively(std::function<Result<void>(WritableTables&)> work);
  /// Called on the writer's thread after each commit, before anybody is told of it.
  std::function<void()> after_commit;

 private:
  struct Waiting {
    Act act;
    std::function<Result<void>(WritableTables&)> work;
    std::promise<Result<Receipt>> answer;
  };

  void run();
  void commitTogether(std::vector<Waiting>& group);
  Result<Receipt> answerOne(Waiting& waiting);
  Result<Receipt> decideOne(const Act& act);
  Result<Receipt> answerAgain(const Act& act, const TokenRow& known) const;
  Result<Receipt> append(const Act& act, std::vector<NewFact> facts, Instant now);
  Result<void> check(const NewFact& fact, const Act& act) const;
  Result<Sequence> appendOne(const NewFact& fact, const Act& act, Instant now);
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
  StoreOptions options_;
  std::mutex mutex_;
  std::condition_variable wake_;
  std::deque<Waiting> queue_;
  bool stopping_ = false;
  Tail tail_;  ///< of the writer's thread
  std::thread writer_;
};

/// Folds one fact through every projection.
void foldFact(const Fact& fact, const std::vector<Projection>& projections, WritableTables& tables);
/// Derived rows from the facts alone: subjects, tokens, states.
Result<void> rebuild(WritableTables& tables, const StoreOptions& options);
[[nodiscard]] std::string digestOfStates(const Tables& tables);
/// Links, hashes, signatures; `attachment_fault` says what is wrong with an attachment, or "".
[[nodiscard]] Verification verifyChain(
    const Tables& tables, const StoreOptions& options, const std::optional<Anchor>& anchor,
    const std::function<std::string(const std::string& hash)>& attachment_fault);

}  // namespace platemark::ledger
