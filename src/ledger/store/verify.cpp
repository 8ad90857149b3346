#include <fmt/format.h>

#include <map>
#include <set>

#include "engine.h"
#include "platemark/ledger/chain.h"
#include "platemark/plant/digest.h"
#include "platemark/plant/noun.h"

namespace platemark::ledger {
namespace {

constexpr std::size_t step = 500;

struct Walk {
  Verification found;
  std::string previous = noHash();
  std::set<std::string> attachments;
  std::map<PersonNumber, std::string> keys;  ///< as issued so far, hex
};

void breakAt(Walk& walk, Sequence sequence, std::string what) {
  walk.found.first_broken = sequence;
  walk.found.what = fmt::format("Fact {}: {}", sequence, what);
}

std::string hexOf(std::string_view raw) {
  std::string hex;
  for (const char c : raw) hex += fmt::format("{:02x}", static_cast<unsigned char>(c));
  return hex;
}

/// The signature may fit and be another's all the same.
std::string keyFault(const Walk& walk, const Fact& fact) {
  const auto issued = walk.keys.find(fact.person);
  if (issued == walk.keys.end())
    return fmt::format("it is signed for person {}, who had no key on record then.", fact.person);
  return hexOf(fact.signer) == issued->second
             ? ""
             : fmt::format("its key is not the one that person {} had then.", fact.person);
}

std::string signatureFault(const Walk& walk, const FactRow& row, const Fact& fact,
                           const StoreOptions& options) {
  const FactKind* kind = options.find_kind(fact.kind);
  const bool must = kind != nullptr && kind->must_be_signed;
  if (row.signature.empty() && row.signer.empty())
    return must ? "it must be signed and is not." : "";
  if (!verifySignature(row.signer, row.bytes, row.signature))
    return "its signature does not fit its bytes.";
  return options.key_issued != nullptr ? keyFault(walk, fact) : "";
}

/// What is wrong with one row, or "".
std::string rowFault(const Walk& walk, const FactRow& row, const StoreOptions& options) {
  if (row.sequence != walk.found.facts + 1)
    return fmt::format("fact {} is missing before it.", walk.found.facts + 1);
  if (factHash(row.bytes, row.signer, row.signature) != row.hash)
    return "its bytes do not give its hash.";
  const Result<Fact> fact = readFact(row.bytes, row.signer, row.signature, row.hash);
  if (!fact) return "its bytes cannot be read: " + fact.error().what;
  if (fact->previous != walk.previous)
    return fmt::format("it names another fact {} than the one that stands there.",
                       row.sequence - 1);
  if (fact->sequence != row.sequence || fact->plant != options.plant)
    return "it stands in another place than it says.";
  return signatureFault(walk, row, *fact, options);
}

bool stepThrough(Walk& walk, const FactRow& row, const StoreOptions& options,
                 const std::function<std::string(const std::string&)>& attachment_fault) {
  if (const std::string fault = rowFault(walk, row, options); !fault.empty()) {
    breakAt(walk, row.sequence, fault);
    return false;
  }
  const Fact fact =
      lifted(*readFact(row.bytes, row.signer, row.signature, row.hash), options.find_kind);
  if (const auto issue = options.key_issued ? options.key_issued(fact) : std::nullopt)
    walk.keys[issue->person] = issue->public_key;
  for (const std::string& hash : attachmentsNamed(fact.body)) {
    if (!walk.attachments.insert(hash).second) continue;
    if (const std::string fault = attachment_fault(hash); !fault.empty()) {
      breakAt(walk, row.sequence, fault);
      return false;
    }
  }
  walk.found.facts = row.sequence;
  walk.previous = row.hash;
  return true;
}

void compareWithAnchor(Walk& walk, const Tables& tables, const Anchor& anchor) {
  if (walk.found.facts < anchor.sequence)
    return breakAt(
        walk, walk.found.facts + 1,
        fmt::format("the record ends at fact {}, the anchor knows fact {}: its tail was cut off.",
                    walk.found.facts, anchor.sequence));
  const std::string hash = anchor.sequence == 0 ? noHash() : tables.row(anchor.sequence)->hash;
  if (hash != anchor.head)
    breakAt(walk, anchor.sequence,
            "its hash is not the one that the anchor names: the chain was built anew.");
}

}  // namespace

std::optional<KeyIssue> keyIssued(const Fact& fact) {
  if (fact.kind != "person.issued") return {};
  const Result<Issued<Person>> issue = fromValue<Issued<Person>>(fact.body);
  if (!issue) return {};
  return KeyIssue{issue->noun.number, issue->noun.public_key};
}

Verification verifyChain(const Tables& tables, const StoreOptions& options,
                         const std::optional<Anchor>& anchor,
                         const std::function<std::string(const std::string&)>& attachment_fault) {
  Walk walk;
  bool sound = true;
  for (std::vector<FactRow> rows = tables.rowsAfter(0, step); sound && !rows.empty();
       rows = tables.rowsAfter(walk.found.facts, step))
    for (const FactRow& row : rows)
      if (sound) sound = stepThrough(walk, row, options, attachment_fault);
  if (sound && anchor) compareWithAnchor(walk, tables, *anchor);
  walk.found.head = walk.previous;
  walk.found.sound = !walk.found.first_broken.has_value();
  if (walk.found.sound)
    walk.found.what = fmt::format(
        "{} facts, each fits the one before{}.", walk.found.facts,
        anchor ? fmt::format("; fact {} is the one the anchor names", anchor->sequence) : "");
  return walk.found;
}

Result<void> rebuild(WritableTables& tables, const StoreOptions& options) {
  tables.dropDerived();
  StateCache states(tables);
  Sequence after = 0;
  for (std::vector<FactRow> rows = tables.rowsAfter(0, step); !rows.empty();
       rows = tables.rowsAfter(after, step)) {
    for (const FactRow& row : rows) {
      Result<Fact> fact = readFact(row.bytes, row.signer, row.signature, row.hash);
      if (!fact) return fact.error();
      for (const Subject& subject : fact->subjects) tables.index(subject, row.sequence);
      if (!fact->token.empty()) {
        const std::optional<TokenRow> known = tables.token(fact->token);
        if (!known)
          tables.addToken(fact->token, {requestDigestOf(row.bytes), row.sequence, row.sequence});
        else
          tables.extendToken(fact->token, row.sequence);
      }
      foldFact(lifted(std::move(*fact), options.find_kind), options.projections, states);
      after = row.sequence;
    }
    states.write();
  }
  return {};
}

std::string digestOfStates(const Tables& tables) {
  std::string all;
  tables.eachState([&](std::string_view name, std::string_view key, std::string_view text) {
    // Lengths first, so that no two different lists of states give the same bytes.
    all += fmt::format("{}:{}:{}:", name.size(), key.size(), text.size());
    all.append(name).append(key).append(text);
  });
  return sha256Hex(all);
}

}  // namespace platemark::ledger
