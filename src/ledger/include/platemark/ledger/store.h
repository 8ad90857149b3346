/// The append-only record of one plant: facts in a hash chain, attachments by
/// content, projections that can be dropped and rebuilt.
///
/// There is one way to write: submit an act. Its decide() runs on the single
/// writer, inside the transaction, on a snapshot that already holds everything
/// accepted before it; it returns facts or a refusal. Acts that wait together
/// are committed together; each is acknowledged only after the commit is on disk.
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "platemark/ledger/files.h"
#include "platemark/plant/fact.h"

namespace platemark::ledger {

/// The time seam.
class Clock {
 public:
  virtual ~Clock() = default;
  [[nodiscard]] virtual Instant now() const = 0;
};
[[nodiscard]] std::shared_ptr<Clock> systemClock();

/// One state of a projection.
struct State {
  std::string key;
  Value value;
};

/// How a state's own type becomes a value and back. The address of `state_type<T>` is T's name, so
/// that the writer can keep a state as T between facts instead of reading it anew each time.
struct StateType {
  Value (*toValue)(const void* state);
  Result<std::shared_ptr<const void>> (*fromValue)(const Value& value);
};
template <class T>
inline constexpr StateType state_type{
    [](const void* state) { return platemark::toValue(*static_cast<const T*>(state)); },
    [](const Value& value) -> Result<std::shared_ptr<const void>> {
      Result<T> state = platemark::fromValue<T>(value);
      if (!state) return state.error();
      return std::shared_ptr<const void>(std::make_shared<const T>(std::move(*state)));
    }};
/// A state that is kept as the value it is.
template <>
inline constexpr StateType state_type<Value>{
    [](const void* state) { return *static_cast<const Value*>(state); },
    [](const Value& value) -> Result<std::shared_ptr<const void>> {
      return std::shared_ptr<const void>(std::make_shared<const Value>(value));
    }};

/// Acts, queries and verdicts read the record through this. A snapshot does
/// not change while it lives; reading snapshots must be short (5 s). It may outlive its store.
class Snapshot {
 public:
  virtual ~Snapshot() = default;
  [[nodiscard]] virtual const std::string& plant() const = 0;
  /// The newest fact this snapshot holds; 0 for an empty record.
  [[nodiscard]] virtual Sequence sequence() const = 0;
  /// Hash of that fact; 64 zeros for an empty record.
  [[nodiscard]] virtual std::string head() const = 0;
  /// The moment of the decision (acts) or of the opening (queries).
  [[nodiscard]] virtual Instant now() const = 0;

  [[nodiscard]] virtual std::optional<Value> state(std::string_view projection,
                                                   std::string_view key) const = 0;
  /// The state as `type` reads it; null when there is none or it is no such state.
  [[nodiscard]] virtual std::shared_ptr<const void> stateOf(std::string_view projection,
                                                            std::string_view key,
                                                            const StateType& type) const = 0;
  /// States whose key starts with `prefix` and comes after `after`, by key, at most `limit`.
  [[nodiscard]] virtual std::vector<State> states(std::string_view projection,
                                                  std::string_view prefix, std::string_view after,
                                                  std::size_t limit) const = 0;
  /// The keys of all states whose key starts with `prefix`, in order.
  [[nodiscard]] virtual std::vector<std::string> keys(std::string_view projection,
                                                      std::string_view prefix) const = 0;
  [[nodiscard]] virtual std::optional<Fact> fact(Sequence sequence) const = 0;
  [[nodiscard]] virtual std::vector<Fact> factsOf(const Subject& subject, Sequence after,
                                                  std::size_t limit) const = 0;
  [[nodiscard]] virtual std::vector<Fact> factsAfter(Sequence after, std::size_t limit) const = 0;
};

/// What a projection's fold may do: read any state, write its own.
class ProjectionView {
 public:
  virtual ~ProjectionView() = default;
  /// Null when there is none. A state that `type` cannot read means a broken program or record:
  /// throws std::logic_error.
  [[nodiscard]] virtual std::shared_ptr<const void> get(std::string_view projection,
                                                        std::string_view key,
                                                        const StateType& type) const = 0;
  virtual void put(std::string_view key, std::shared_ptr<const void> state,
                   const StateType& type) = 0;
  virtual void erase(std::string_view key) = 0;

  template <class T = Value>
  [[nodiscard]] std::optional<T> get(std::string_view projection, std::string_view key) const {
    const auto state = std::static_pointer_cast<const T>(get(projection, key, state_type<T>));
    return state ? std::optional<T>(*state) : std::nullopt;
  }
  /// Copies: the key is often a member of the state.
  template <class T>
  void put(std::string_view key, const T& state) {
    put(key, std::make_shared<const T>(state), state_type<T>);
  }
};

/// A state derived from the facts alone: fold must be pure. Facts arrive in
/// sequence; projections fold each fact in the order of the list.
struct Projection {
  std::string_view name;
  std::function<void(const Fact&, ProjectionView&)> fold;
};

/// What signs a fact whose kind must be signed; called inside the transaction
/// with the bytes to sign (they hold the hash of the fact before).
struct Signer {
  std::string public_key;                                   ///< raw 32 bytes
  std::function<std::string(std::string_view bytes)> sign;  ///< raw 64 bytes of Ed25519
};

using Decision = Result<std::vector<NewFact>>;

struct Act {
  std::string name;  ///< "lot clear"
  std::string
      token;  ///< chosen by the sender; a repeat with the same request gets the first answer again
  std::string request;  ///< what was asked, to tell a repeat from a reuse of the token
  PersonNumber person = 0;
  std::function<Decision(const Snapshot&)> decide;
  std::optional<Signer> signer;
};

struct Receipt {
  std::vector<Sequence> sequences;  ///< of the facts appended
  std::string head;                 ///< after them
  Instant recorded;
  bool repeated = false;  ///< the token was known: this is the first answer again
};

/// A known place in the chain, kept outside the record (printed, mailed).
struct Anchor {
  Sequence sequence = 0;
  std::string head;
};

/// What verify() found. `first_broken` names the first fact at which the record cannot be trusted;
/// none, though not sound, when the file around the facts is damaged.
struct Verification {
  bool sound = false;
  Sequence facts = 0;
  std::string head;
  std::optional<Sequence> first_broken;
  std::string
      what;  ///< one sentence: "fact 412: its bytes do not give the hash that fact 413 names"
};

/// Attachments are known by the SHA-256 of their bytes.
struct Attachment {
  std::string hash;  ///< 64 hex digits
  std::int64_t size = 0;
};

/// A place that takes a streamed attachment: write() as often as needed, then finish().
/// Destroyed unfinished: nothing is kept.
class AttachmentSink {
 public:
  virtual ~AttachmentSink() = default;
  [[nodiscard]] virtual Result<void> write(std::span<const std::byte> bytes) = 0;
  /// Makes the file durable (file and folder synced) before it returns.
  [[nodiscard]] virtual Result<Attachment> finish() = 0;
};

class Store {
 public:
  virtual ~Store() = default;

  /// A snapshot of now; from any thread.
  [[nodiscard]] virtual std::unique_ptr<Snapshot> read() const = 0;
  /// Blocks until the act is durable or refused; from any thread, but not from within a decide().
  /// When the clock has stepped back, decide() is asked a second time, behind the fact that says
  /// so. Errors: what decide() said; token.reused; fact.unknown_kind, fact.bad_version,
  /// fact.bad_body (a fractional number), value.* (what the kind refuses, with the path),
  /// fact.unreadable (text that is no UTF-8, a whole number beyond 2^53, more than 64 levels),
  /// fact.not_signed, fact.attachment_missing; store.cannot_write: it may have been kept all the
  /// same, so send the same token again.
  [[nodiscard]] virtual Result<Receipt> submit(Act act) = 0;

  [[nodiscard]] virtual std::unique_ptr<AttachmentSink> attach() = 0;
  [[nodiscard]] virtual Result<std::string> attachment(std::string_view hash) const = 0;
  /// Path of the file, for streaming readers; Error attachment.unknown.
  [[nodiscard]] virtual Result<std::string> attachmentPath(std::string_view hash) const = 0;

  /// Re-hashes every stored byte from the first fact on, checks links, attachments, and signatures
  /// against the key that the signer's issue carried when it was signed; with an anchor also finds
  /// a cut tail and a rebuilt chain.
  [[nodiscard]] virtual Verification verify(const std::optional<Anchor>& anchor) const = 0;
  [[nodiscard]] virtual Result<void> rebuildProjections() = 0;
  /// SHA-256 over all projection states in key order: equal after a rebuild.
  [[nodiscard]] virtual std::string projectionDigest() const = 0;
  /// Copies the record while it is in use: database first, attachments second.
  [[nodiscard]] virtual Result<void> backUp(const std::string& folder) const = 0;
};

/// A person's key, hex, from the fact on that issues it.
struct KeyIssue {
  PersonNumber person = 0;
  std::string public_key;
};
/// What "person.issued" says; nothing for other facts.
[[nodiscard]] std::optional<KeyIssue> keyIssued(const Fact& fact);

struct StoreOptions {
  std::string plant;
  std::vector<Projection> projections;
  std::shared_ptr<Clock> clock = systemClock();
  std::shared_ptr<Files> files = systemFiles();
  /// Which kinds of fact there are; tests bring their own.
  const FactKind* (*find_kind)(std::string_view) = findFactKind;
  /// How verify() learns whose key is whose; null where the kinds know no people.
  std::optional<KeyIssue> (*key_issued)(const Fact&) = keyIssued;
  /// Called when an act stands in the writer's queue, on the thread that submits it: tests order
  /// two writers by it.
  std::function<void(const std::string& name)> queued;
};

[[nodiscard]] std::unique_ptr<Store> openMemoryStore(StoreOptions options);

/// Opens or makes the record in `folder`. Errors: store.cannot_open, store.wrong_plant,
/// store.newer_format, each with the remedy.
[[nodiscard]] Result<std::unique_ptr<Store>> openSqliteStore(const std::string& folder,
                                                             StoreOptions options);
/// Puts a back-up into an empty folder and verifies it, against the anchor when there is one.
[[nodiscard]] Result<Verification> restore(const std::string& backup, const std::string& folder,
                                           StoreOptions options,
                                           const std::optional<Anchor>& anchor);

}  // namespace platemark::ledger
