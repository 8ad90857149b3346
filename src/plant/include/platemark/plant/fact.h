/// The envelope of a fact: what every entry of the record has, whatever it is about.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "platemark/plant/describe.h"
#include "platemark/plant/value.h"
#include "platemark/quantity/time.h"

namespace platemark {

/// People are numbers in the record; names live outside it and can be erased.
using PersonNumber = std::int64_t;
/// 1-based place in the record.
using Sequence = std::int64_t;

/// When something happened, with the zone of the plant and as a person typed it.
struct Happened {
  Instant instant;
  std::string zone;      ///< IANA name, e.g. "Europe/Berlin"
  std::string as_typed;  ///< "" when the clock said it
  std::optional<std::string> late_because;  ///< why it is entered long after it happened
  template <class V>
  void describe(V& v) { v("instant", instant); v("zone", zone); v("as_typed", as_typed); v("late_because", late_because); }
};

/// What a fact is about: {"batch", "K7M4J-7"}.
struct Subject {
  std::string kind;
  std::string id;
  friend auto operator<=>(const Subject&, const Subject&) = default;
  template <class V>
  void describe(V& v) { v("kind", kind); v("id", id); }
};

/// A fact that an act wants to append.
struct NewFact {
  std::string kind;  ///< "lot.received"
  int version = 1;
  Happened happened;
  PersonNumber person = 0;
  std::vector<Subject> subjects;  ///< found again under each of these
  Value body;
};

/// A fact on record. `bytes` is what was hashed; the other members were read from it.
struct Fact {
  std::string plant;
  Sequence sequence = 0;
  std::string kind;
  int version = 1;
  Happened happened;
  Instant recorded;
  PersonNumber person = 0;
  std::string token;  ///< the one that made the act safe to repeat
  std::vector<Subject> subjects;
  Value body;
  std::string previous;   ///< hash of the fact before, 64 hex digits; zeros for the first
  std::string bytes;      ///< canonical JSON of all the above
  std::string signature;  ///< raw 64 bytes of Ed25519, or "" for an unsigned fact
  std::string signer;     ///< raw 32-byte public key, or ""
  std::string hash;       ///< SHA-256 over bytes, signer and signature, 64 hex digits
};

/// What a kind of fact is: its words, how an old version is lifted, and how its body is checked.
struct FactKind {
  std::string_view name;     ///< "lot.received"
  int version = 1;           ///< the newest
  std::string_view words;    ///< "a lot was received"
  bool must_be_signed = false;
  /// Reads the body strictly (unknown members refused); Error with the path.
  Result<void> (*check)(const Value& body);
  /// Lifts a body of `from` to the newest version; pure and permanent.
  Value (*lift)(Value body, int from);
  std::vector<Field> (*fields)();
};

[[nodiscard]] std::span<const FactKind> factKinds();
[[nodiscard]] const FactKind* findFactKind(std::string_view name);

}  // namespace platemark
