#include "engine.h"

#include <fmt/format.h>

#include <algorithm>

#include "platemark/ledger/chain.h"
#include "platemark/plant/digest.h"
#include "platemark/plant/event.h"

namespace platemark::ledger {
namespace {

constexpr std::size_t largest_group = 256;

/// A fold's window on the states.
class FoldView final : public ProjectionView {
 public:
  FoldView(StateCache& states, std::string_view own) : states_(states), own_(own) {}
  using ProjectionView::get;
  using ProjectionView::put;
  [[nodiscard]] std::shared_ptr<const void> get(std::string_view projection, std::string_view key,
                                                const StateType& type) const override {
    return states_.find(projection, key, type);
  }
  void put(std::string_view key, std::shared_ptr<const void> state,
           const StateType& type) override {
    states_.put(own_, key, std::move(state), type);
  }
  void erase(std::string_view key) override { states_.erase(own_, key); }

 private:
  StateCache& states_;
  std::string_view own_;
};

/// The writer's tables, as they are within the transaction, as a snapshot's: borrowed, not owned.
std::shared_ptr<const Tables> borrowed(const WritableTables& tables) {
  return {std::shared_ptr<const Tables>(), &tables};
}

/// The writer's snapshot: the newest states stand in the cache before they stand in the tables.
class WriterSnapshot final : public TablesSnapshot {
 public:
  WriterSnapshot(const WritableTables& tables, StateCache& states, const StoreOptions& options,
                 Instant now, Sequence sequence, std::string head)
      : TablesSnapshot(borrowed(tables), options, now, sequence, std::move(head)),
        states_(states) {}
  [[nodiscard]] std::optional<Value> state(std::string_view projection,
                                           std::string_view key) const override {
    const auto value =
        std::static_pointer_cast<const Value>(states_.find(projection, key, state_type<Value>));
    return value ? std::optional<Value>(*value) : std::nullopt;
  }
  [[nodiscard]] std::shared_ptr<const void> stateOf(std::string_view projection,
                                                    std::string_view key,
                                                    const StateType& type) const override {
    return states_.find(projection, key, type);
  }
  [[nodiscard]] std::vector<State> states(std::string_view projection, std::string_view prefix,
                                          std::string_view after,
                                          std::size_t limit) const override {
    states_.show(projection);
    return TablesSnapshot::states(projection, prefix, after, limit);
  }
  [[nodiscard]] std::vector<std::string> keys(std::string_view projection,
                                              std::string_view prefix) const override {
    states_.show(projection);
    return TablesSnapshot::keys(projection, prefix);
  }

 private:
  StateCache& states_;
};

Error factError(std::string_view code, const std::string& kind, std::string_view what) {
  Error error;
  error.code = std::string(code);
  error.what = fmt::format("A fact '{}' cannot be kept: {}", kind, what);
  return error;
}

Error reused(const Act& act) {
  Error error;
  error.fault = Fault::conflict;
  error.code = "token.reused";
  error.what = fmt::format("The token of this '{}' was used for something else.", act.name);
  error.remedy = "Send the act again with a new token.";
  return error;
}

Error storeFault(const std::exception& e) {
  Error error;
  error.fault = Fault::environment;
  error.code = "store.cannot_write";
  error.what = fmt::format("The record could not be written: {}", e.what());
  error.remedy =
      "Check the disk, then send the act again with the same token: it is not kept twice.";
  return error;
}

}  // namespace

void foldFact(const Fact& fact, const std::vector<Projection>& projections, StateCache& states) {
  for (const Projection& projection : projections) {
    FoldView view(states, projection.name);
    projection.fold(fact, view);
  }
}

Engine::Engine(WritableTables& tables, StoreOptions options)
    : tables_(tables), states_(tables), options_(std::move(options)) {}

Result<Receipt> Engine::submit(Act act) {
  Waiting waiting;
  waiting.act = std::move(act);
  return answered(waiting);
}

Result<void> Engine::exclusively(std::function<Result<void>(WritableTables&)> work) {
  Waiting waiting;
  waiting.work = std::move(work);
  const Result<Receipt> done = answered(waiting);
  return done ? Result<void>{} : Result<void>{done.error()};
}

/// Whoever finds nobody writing writes for all who wait, itself among them; then the next one who
/// waits takes over. A lone sender so never waits for another thread to wake.
Result<Receipt> Engine::answered(Waiting& waiting) {
  {
    const std::lock_guard lock(mutex_);
    queue_.push_back(&waiting);
  }
  if (options_.queued && !waiting.work) options_.queued(waiting.act.name);
  std::unique_lock lock(mutex_);
  while (!waiting.answer) {
    if (writing_) {
      waiting.wake.wait(lock);
      continue;
    }
    writing_ = true;
    const std::vector<Waiting*> group = nextGroup();
    lock.unlock();
    std::vector<Result<Receipt>> answers = commitTogether(group);
    lock.lock();
    writing_ = false;
    hand(group, std::move(answers));
  }
  return std::move(*waiting.answer);
}

std::vector<Engine::Waiting*> Engine::nextGroup() {
  const auto size = static_cast<std::ptrdiff_t>(std::min(queue_.size(), largest_group));
  std::vector<Waiting*> group(queue_.begin(), queue_.begin() + size);
  queue_.erase(queue_.begin(), queue_.begin() + size);
  return group;
}

/// Gives each its answer, and wakes who shall write next.
void Engine::hand(const std::vector<Waiting*>& group, std::vector<Result<Receipt>> answers) {
  for (std::size_t i = 0; i < group.size(); ++i) {
    group[i]->answer = std::move(answers[i]);
    group[i]->wake.notify_one();
  }
  if (!queue_.empty()) queue_.front()->wake.notify_one();
}

/// Each is decided on what the ones before it left; one refusal undoes only itself. Nobody is told
/// before the commit is on disk.
std::vector<Result<Receipt>> Engine::commitTogether(const std::vector<Waiting*>& group) {
  std::vector<Result<Receipt>> answers;
  try {
    tables_.begin();
    readTail();
    for (const Waiting* waiting : group) answers.push_back(answerOne(*waiting));
    states_.write();
    tables_.commit();
  } catch (const std::exception& e) {
    // The whole group is undone and everybody in it is told: nothing is half kept.
    try {
      tables_.rollback();
    } catch (const std::exception&) {
      // No transaction was open any more: there is nothing left to undo.
    }
    tail_ = {};
    states_.forget();
    answers.assign(group.size(), storeFault(e));
  }
  if (after_commit) after_commit();
  return answers;
}

/// A refusal and a fault of the act undo this act alone; a fault of the disk, whose savepoint is
/// gone too, undoes the group.
Result<Receipt> Engine::answerOne(const Waiting& waiting) {
  if (waiting.work) states_.write();
  tables_.savepoint();
  states_.mark();
  const Tail before = tail_;
  Result<Receipt> answer = Receipt{};
  try {
    answer = waiting.work ? workOne(waiting.work) : decideOne(waiting.act);
  } catch (const std::exception& e) {
    answer = storeFault(e);
  }
  if (answer) {
    tables_.release();
  } else {
    tables_.rollbackToSavepoint();
    states_.undo();
    tail_ = before;
  }
  return answer;
}

/// Work on the tables themselves: what the states were before says nothing any more.
Result<Receipt> Engine::workOne(const std::function<Result<void>(WritableTables&)>& work) {
  states_.forget();
  const Result<void> done = work(tables_);
  return done ? Result<Receipt>{Receipt{}} : Result<Receipt>{done.error()};
}

Result<Receipt> Engine::decideOne(const Act& act) {
  if (!act.token.empty())
    if (const std::optional<TokenRow> known = tables_.token(act.token))
      return answerAgain(act, *known);
  const Instant now = options_.clock->now();
  const WriterSnapshot snapshot(tables_, states_, options_, now, tail_.sequence, tail_.head);
  Decision decision = act.decide(snapshot);
  if (!decision) return decision.error();
  return append(act, std::move(*decision), now);
}

Result<Receipt> Engine::answerAgain(const Act& act, const TokenRow& known) const {
  if (known.request_digest != sha256Hex(act.request)) return reused(act);
  Receipt receipt;
  receipt.repeated = true;
  for (Sequence s = known.first; s <= known.last; ++s) receipt.sequences.push_back(s);
  const FactRow last = *tables_.row(known.last);
  receipt.head = last.hash;
  receipt.recorded = readFact(last.bytes, last.signer, last.signature, last.hash)->recorded;
  return receipt;
}

/// A clock that steps back is itself a fact; the recorded times stay as the clock said.
std::optional<NewFact> Engine::clockStepBack(Instant now) const {
  if (tail_.sequence == 0 || now >= tail_.recorded) return {};
  return NewFact{"clock.stepped_back",
                 1,
                 {now, "Etc/UTC", "", {}},
                 0,
                 {},
                 toValue(ClockSteppedBack{tail_.recorded, now})};
}

void Engine::readTail() {
  const std::optional<FactRow> last = tables_.lastRow();
  if (last && last->hash == tail_.head) return;
  tail_ = {0, noHash(), {}};
  states_.forget();
  if (!last) return;
  const Result<Fact> fact = readFact(last->bytes, last->signer, last->signature, last->hash);
  if (!fact) throw std::runtime_error(describe(fact.error()));
  tail_ = {last->sequence, last->hash, fact->recorded};
}

Result<Receipt> Engine::append(const Act& act, std::vector<NewFact> facts, Instant now) {
  Receipt receipt;
  receipt.recorded = now;
  if (const std::optional<NewFact> step = facts.empty() ? std::nullopt : clockStepBack(now)) {
    // The act decided before this fact was known to stand in front of it.
    Act of_the_clock;
    if (Result<Sequence> appended = appendOne(*step, of_the_clock, sha256Hex(""), now); !appended)
      return appended.error();
    const WriterSnapshot snapshot(tables_, states_, options_, now, tail_.sequence, tail_.head);
    Decision again = act.decide(snapshot);
    if (!again) return again.error();
    facts = std::move(*again);
  }
  const std::string request_digest = sha256Hex(act.request);
  for (NewFact& fact : facts) {
    if (Result<void> sound = check(fact, act); !sound) return sound.error();
    Result<Sequence> appended = appendOne(std::move(fact), act, request_digest, now);
    if (!appended) return appended.error();
    receipt.sequences.push_back(*appended);
  }
  if (!act.token.empty() && !receipt.sequences.empty())
    tables_.addToken(act.token,
                     {request_digest, receipt.sequences.front(), receipt.sequences.back()});
  receipt.head = tail_.head;
  return receipt;
}

Result<void> Engine::check(const NewFact& fact, const Act& act) const {
  const FactKind* kind = options_.find_kind(fact.kind);
  if (kind == nullptr) return factError("fact.unknown_kind", fact.kind, "its kind is not known.");
  if (fact.version != kind->version)
    return factError(
        "fact.bad_version", fact.kind,
        fmt::format("its version is {}, the newest is {}.", fact.version, kind->version));
  if (const std::string path = firstFraction(fact.body); !path.empty())
    return factError("fact.bad_body", fact.kind,
                     fmt::format("'{}' is a fractional number; it must be decimal text.", path));
  if (Result<void> sound = kind->check(fact.body); !sound) return sound;
  if (kind->must_be_signed && !act.signer)
    return factError("fact.not_signed", fact.kind, "it must be signed.");
  for (const std::string& hash : attachmentsNamed(fact.body))
    if (!tables_.attachmentSize(hash))
      return factError("fact.attachment_missing", fact.kind,
                       fmt::format("attachment {} is not stored.", hash));
  return {};
}

Result<Sequence> Engine::appendOne(NewFact fact, const Act& act, const std::string& request_digest,
                                   Instant now) {
  const FactKind* kind = options_.find_kind(fact.kind);
  Result<Fact> made = factOf(std::move(fact), {options_.plant, tail_.sequence + 1, now, act.token,
                                               request_digest, tail_.head});
  if (!made) return made.error();
  if (kind != nullptr && kind->must_be_signed) {
    made->signer = act.signer->public_key;
    made->signature = act.signer->sign(made->bytes);
    if (!verifySignature(made->signer, made->bytes, made->signature))
      return factError("fact.not_signed", made->kind, "its signature does not verify.");
  }
  made->hash = factHash(made->bytes, made->signer, made->signature);
  tables_.add({made->sequence, made->bytes, made->signer, made->signature, made->hash});
  for (const Subject& subject : made->subjects) tables_.index(subject, made->sequence);
  foldFact(*made, options_.projections, states_);
  tail_ = {made->sequence, made->hash, now};
  return tail_.sequence;
}

}  // namespace platemark::ledger
