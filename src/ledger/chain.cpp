#include "platemark/ledger/chain.h"

#include <sodium.h>

#include "platemark/plant/digest.h"

namespace platemark::ledger {
namespace {

/// The stored form of a fact; its members' names are part of the enduring format.
struct Stored {
  std::string plant;
  Sequence sequence = 0;
  std::string kind;
  std::int64_t version = 1;
  Happened happened;
  Instant recorded;
  PersonNumber person = 0;
  std::string token;
  std::string request_digest;
  std::vector<Subject> subjects;
  std::string previous;
  Value body;
  template <class V>
  void describe(V& v) {
    v("plant", plant);
    v("sequence", sequence);
    v("kind", kind);
    v("version", version);
    v("happened", happened);
    v("recorded", recorded);
    v("person", person);
    v("token", token);
    v("request_digest", request_digest);
    v("subjects", subjects);
    v("previous", previous);
    v("body", body);
  }
};

Error unreadable(const Error& why) {
  Error error;
  error.fault = Fault::environment;
  error.code = "fact.unreadable";
  error.what = "A stored fact cannot be read: " + why.what;
  error.where = why.where;
  error.remedy = "Verify the record and restore it from the newest sound back-up.";
  return error;
}

Error cannotBeKept(const std::string& kind, const Error& why) {
  Error error = why;
  error.code = "fact.unreadable";
  error.what = "A fact '" + kind + "' could not be read back: " + why.what;
  return error;
}

void collectAttachments(const Value& value, std::vector<std::string>& out) {
  if (const Value::Array* array = value.asArray())
    for (const Value& item : *array) collectAttachments(item, out);
  const Value::Object* object = value.asObject();
  if (object == nullptr) return;
  for (const auto& [name, member] : *object) {
    if (const std::string* hash = member.asString(); hash != nullptr && name == "attachment")
      out.push_back(*hash);
    if (const Value::Array* list = member.asArray(); list != nullptr && name == "attachments")
      for (const Value& item : *list)
        if (const std::string* hash = item.asString()) out.push_back(*hash);
    collectAttachments(member, out);
  }
}

}  // namespace

std::string noHash() { return std::string(64, '0'); }

Result<Fact> factOf(NewFact fact, const Envelope& e) {
  Value whole =
      toValue(Stored{e.plant, e.sequence, fact.kind, fact.version, fact.happened, e.recorded,
                     fact.person, e.token, e.request_digest, fact.subjects, e.previous, Value()});
  // The body is lent to the whole and taken back: it may be large, and is needed as it is.
  Value& body = (*whole.asObject())["body"];
  body = std::move(fact.body);
  if (const Result<void> readable = checkReadable(whole); !readable)
    return cannotBeKept(fact.kind, readable.error());
  Fact made;
  made.bytes = canonicalJson(whole);
  made.plant = e.plant;
  made.sequence = e.sequence;
  made.kind = std::move(fact.kind);
  made.version = fact.version;
  made.happened = std::move(fact.happened);
  made.recorded = e.recorded;
  made.person = fact.person;
  made.token = e.token;
  made.subjects = std::move(fact.subjects);
  made.body = std::move(body);
  made.previous = e.previous;
  return made;
}

std::string factHash(std::string_view bytes, std::string_view signer, std::string_view signature) {
  std::string all(bytes);
  all.append(signer).append(signature);
  return sha256Hex(all);
}

Result<Fact> readFact(std::string bytes, std::string signer, std::string signature,
                      std::string hash) {
  const Result<Value> value = parseJson(bytes);
  if (!value) return unreadable(value.error());
  Result<Stored> stored = fromValue<Stored>(*value);
  if (!stored) return unreadable(stored.error());
  return Fact{std::move(stored->plant),
              stored->sequence,
              std::move(stored->kind),
              static_cast<int>(stored->version),
              std::move(stored->happened),
              stored->recorded,
              stored->person,
              std::move(stored->token),
              std::move(stored->subjects),
              std::move(stored->body),
              std::move(stored->previous),
              std::move(bytes),
              std::move(signature),
              std::move(signer),
              std::move(hash)};
}

Fact lifted(Fact fact, FindKind find_kind) {
  const FactKind* kind = find_kind(fact.kind);
  if (kind == nullptr || kind->version == fact.version) return fact;
  fact.body = kind->lift(std::move(fact.body), fact.version);
  fact.version = kind->version;
  return fact;
}

bool verifySignature(std::string_view public_key, std::string_view bytes,
                     std::string_view signature) {
  if (public_key.size() != crypto_sign_PUBLICKEYBYTES || signature.size() != crypto_sign_BYTES)
    return false;
  const auto raw = [](std::string_view s) {
    return reinterpret_cast<const unsigned char*>(s.data());
  };
  return crypto_sign_verify_detached(raw(signature), raw(bytes), bytes.size(), raw(public_key)) ==
         0;
}

std::string requestDigestOf(std::string_view bytes) {
  const Result<Value> value = parseJson(bytes);
  return value ? value->text("request_digest") : "";
}

std::vector<std::string> attachmentsNamed(const Value& body) {
  std::vector<std::string> list;
  collectAttachments(body, list);
  return list;
}

}  // namespace platemark::ledger
