/// The chain over the facts: how the bytes of a fact are made, hashed and read back.
#pragma once

#include <string>
#include <string_view>

#include "platemark/plant/fact.h"
#include "platemark/quantity/result.h"

namespace platemark::ledger {

/// The hash that the first fact names as its predecessor.
[[nodiscard]] std::string noHash();  ///< 64 zeros

/// What stands around a fact besides what the act says.
struct Envelope {
  std::string plant;
  Sequence sequence = 0;
  Instant recorded;
  std::string token;
  std::string
      request_digest;  ///< SHA-256 of what was asked, to tell a repeat from a reuse of the token
  std::string previous;
};

/// The fact as readFact() would read it back; its bytes are canonical JSON (RFC 8785): what is
/// hashed and signed. `signer`, `signature` and `hash` are left to the caller. Error
/// fact.unreadable when the bytes could not be read back.
[[nodiscard]] Result<Fact> factOf(NewFact fact, const Envelope& envelope);
/// SHA-256 over bytes, signer's public key and signature, in that order; 64 hex digits.
[[nodiscard]] std::string factHash(std::string_view bytes, std::string_view signer,
                                   std::string_view signature);
/// Reads a fact back from its stored bytes. Errors: fact.unreadable.
[[nodiscard]] Result<Fact> readFact(std::string bytes, std::string signer, std::string signature,
                                    std::string hash);
/// Finds a kind of fact by its name; null when there is none.
using FindKind = const FactKind* (*)(std::string_view name);
/// The fact with its body lifted to the newest version of its kind; the bytes stay as they are.
[[nodiscard]] Fact lifted(Fact fact, FindKind find_kind = findFactKind);
/// Ed25519 (RFC 8032): raw 32-byte key, raw 64-byte signature.
[[nodiscard]] bool verifySignature(std::string_view public_key, std::string_view bytes,
                                   std::string_view signature);

/// Which request a stored fact answers.
[[nodiscard]] std::string requestDigestOf(std::string_view bytes);

/// Hashes of attachments named anywhere in a body.
[[nodiscard]] std::vector<std::string> attachmentsNamed(const Value& body);

}  // namespace platemark::ledger
