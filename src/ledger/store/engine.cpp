#include "engine.h"

#include <fmt/format.h>

#include <iterator>

#include "platemark/ledger/chain.h"
#include "platemark/plant/digest.h"
#include "platemark/plant/event.h"

namespace platemark::ledger {
namespace {

constexpr std::size_t largest_group = 256;

/// A fold's window on the tables.
class FoldView final : public ProjectionView {
 public:
  FoldView(WritableTables& tables, std::string_view own) : tables_(tables), own_(own) {}
  [[nodiscard]] std::optional<Value> get(std::string_view projection,
                                         std::string_view key) const override {
    const std::optional<std::string> text = tables_.state(projection, key);
    if (!text) return {};
    Result<Value> value = parseJson(*text);
    return value ? std::optional<Value>(std::move(*value)) : std::nullopt;
  }
  void put(std::string_view key, Value value) override {
    tables_.putState(own_, key, canonicalJson(value));
  }
  void erase(std::string_view key) override { tables_.eraseState(own_, key); }

 private:
  WritableTables& tables_;
  std::string_view own_;
};

/// The writer's snapshot: the tables themselves, as they are within the transaction.
std::shared_ptr<const Tables> borrowed(const WritableTables& tables) {
  return {std::shared_ptr<const Tables>(), &tables};
}

Error factError(std::string_view code, const NewFact& fact, std::string what) {
  Error error;
  error.code = std::string(code);
  error.what = fmt::format("A fact '{}' cannot be kept: {}", fact.kind, what);
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

void foldFact(const Fact& fact, const std::vector<Projection>& projections,
              WritableTables& tables) {
  for (const Projection& projection : projections) {
    FoldView view(tables, projection.name);
    projection.fold(fact, view);
  }
}

Engine::Engine(WritableTables& tables, StoreOptions options)
    : tables_(tables), options_(std::move(options)), writer_([this] { run(); }) {}

Engine::~Engine() {
  {
    const std::lock_guard lock(mutex_);
    stopping_ = true;
  }
  wake_.notify_all();
  writer_.join();
}

Result<Receipt> Engine::submit(Act act) {
  std::future<Result<Receipt>> answer;
  const std::string name = act.name;
  {
    const std::lock_guard lock(mutex_);
    queue_.push_back({std::move(act), {}, {}});
    answer = queue_.back().answer.get_future();
  }
  wake_.notify_one();
  if (options_.queued) options_.queued(name);
  return answer.get();
}

Result<void> Engine::exclusively(std::function<Result<void>(WritableTables&)> work) {
  std::future<Result<Receipt>> answer;
  {
    const std::lock_guard lock(mutex_);
    queue_.push_back({{}, std::move(work), {}});
    answer = queue_.back().answer.get_future();
  }
  wake_.notify_one();
  const Result<Receipt> done = answer.get();
  return done ? Result<void>{} : Result<void>{done.error()};
}

void Engine::run() {
  for (;;) {
    std::vector<Waiting> group;
    {
      std::unique_lock lock(mutex_);
      wake_.wait(lock, [this] { return stopping_ || !queue_.empty(); });
      if (queue_.empty()) return;
      while (!queue_.empty() && group.size() < largest_group) {
        group.push_back(std::move(queue_.front()));
        queue_.pop_front();
      }
    }
    commitTogether(group);
  }
}

/// Each is decided on what the ones before it left; one refusal undoes only itself. Nobody is told
/// before the commit is on disk.
void Engine::commitTogether(std::vector<Waiting>& group) {
  std::vector<Result<Receipt>> answers;
  try {
    tables_.begin();
    readTail();
    for (Waiting& waiting : group) answers.push_back(answerOne(waiting));
    tables_.commit();
  } catch (const std::exception& e) {
    // The whole group is undone and everybody in it is told: nothing is half kept.
    try {
      tables_.rollback();
    } catch (const std::exception&) {
      // No transaction was open any more: there is nothing left to undo.
    }
    tail_ = {};
    answers.assign(group.size(), storeFault(e));
  }
  if (after_commit) after_commit();
  for (std::size_t i = 0; i < group.size(); ++i) group[i].answer.set_value(std::move(answers[i]));
}

/// A refusal and a fault of the act undo this act alone; a fault of the disk, whose savepoint is
/// gone too, undoes the group.
Result<Receipt> Engine::answerOne(Waiting& waiting) {
  tables_.savepoint();
  const Tail before = tail_;
  Result<Receipt> answer = Receipt{};
  try {
    if (!waiting.work)
      answer = decideOne(waiting.act);
    else if (const Result<void> done = waiting.work(tables_); !done)
      answer = done.error();
  } catch (const std::exception& e) {
    answer = storeFault(e);
  }
  if (answer) {
    tables_.release();
  } else {
    tables_.rollbackToSavepoint();
    tail_ = before;
  }
  return answer;
}

Result<Receipt> Engine::decideOne(const Act& act) {
  if (!act.token.empty())
    if (const std::optional<TokenRow> known = tables_.token(act.token))
      return answerAgain(act, *known);
  const Instant now = options_.clock->now();
  const TablesSnapshot snapshot(borrowed(tables_), options_, now);
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
    if (Result<Sequence> appended = appendOne(*step, of_the_clock, now); !appended)
      return appended.error();
    const TablesSnapshot snapshot(borrowed(tables_), options_, now);
    Decision again = act.decide(snapshot);
    if (!again) return again.error();
    facts = std::move(*again);
  }
  for (const NewFact& fact : facts) {
    if (Result<void> sound = check(fact, act); !sound) return sound.error();
    Result<Sequence> appended = appendOne(fact, act, now);
    if (!appended) return appended.error();
    receipt.sequences.push_back(*appended);
  }
  if (!act.token.empty() && !receipt.sequences.empty())
    tables_.addToken(act.token,
                     {sha256Hex(act.request), receipt.sequences.front(), receipt.sequences.back()});
  receipt.head = tail_.head;
  return receipt;
}

Result<void> Engine::check(const NewFact& fact, const Act& act) const {
  const FactKind* kind = options_.find_kind(fact.kind);
  if (kind == nullptr) return factError("fact.unknown_kind", fact, "its kind is not known.");
  if (fact.version != kind->version)
    return factError(
        "fact.bad_version", fact,
        fmt::format("its version is {}, the newest is {}.", fact.version, kind->version));
  if (const std::string path = firstFraction(fact.body); !path.empty())
    return factError("fact.bad_body", fact,
                     fmt::format("'{}' is a fractional number; it must be decimal text.", path));
  if (Result<void> sound = kind->check(fact.body); !sound) return sound;
  if (kind->must_be_signed && !act.signer)
    return factError("fact.not_signed", fact, "it must be signed.");
  for (const std::string& hash : attachmentsNamed(fact.body))
    if (!tables_.attachmentSize(hash))
      return factError("fact.attachment_missing", fact,
                       fmt::format("attachment {} is not stored.", hash));
  return {};
}

Result<Sequence> Engine::appendOne(const NewFact& fact, const Act& act, Instant now) {
  const FactKind* kind = options_.find_kind(fact.kind);
  FactRow row;
  row.sequence = tail_.sequence + 1;
  row.bytes = factBytes(
      fact, {options_.plant, row.sequence, now, act.token, sha256Hex(act.request), tail_.head});
  if (kind != nullptr && kind->must_be_signed) {
    row.signer = act.signer->public_key;
    row.signature = act.signer->sign(row.bytes);
    if (!verifySignature(row.signer, row.bytes, row.signature))
      return factError("fact.not_signed", fact, "its signature does not verify.");
  }
  row.hash = factHash(row.bytes, row.signer, row.signature);
  tables_.add(row);
  // What was written is read back before it counts as written.
  const std::optional<FactRow> kept = tables_.row(row.sequence);
  if (!kept || factHash(kept->bytes, kept->signer, kept->signature) != row.hash)
    throw std::runtime_error("a fact just written reads back differently");
  for (const Subject& subject : fact.subjects) tables_.index(subject, row.sequence);
  Result<Fact> read = readFact(row.bytes, row.signer, row.signature, row.hash);
  if (!read) return read.error();
  foldFact(*read, options_.projections, tables_);
  tail_ = {row.sequence, row.hash, now};
  return row.sequence;
}

}  // namespace platemark::ledger
