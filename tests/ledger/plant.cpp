#include "plant.h"

#include <doctest/doctest.h>
#include <sodium.h>
#include <unistd.h>

namespace ledger_test {
namespace {

struct Note {
  std::string text;
  std::optional<std::string> attachment;
  std::vector<std::string> attachments;
  Value more;
  template <class V>
  void describe(V& v) {
    v("text", text);
    v("attachment", attachment);
    v("attachments", attachments);
    v("more", more);
  }
};

struct Count {
  std::string thing;
  std::int64_t amount = 0;
  template <class V>
  void describe(V& v) {
    v("thing", thing);
    v("amount", amount);
  }
};

struct Seal {
  std::string meaning;
  template <class V>
  void describe(V& v) {
    v("meaning", meaning);
  }
};

template <class Body>
Result<void> check(const Value& body) {
  if (Result<Body> read = fromValue<Body>(body); !read) return read.error();
  return {};
}

/// A note's further words are whatever they are.
Result<void> checkNote(const Value& body) {
  const Value::Object* object = body.asObject();
  if (object == nullptr || body["text"].asString() == nullptr) return check<Note>(body);
  Value::Object known = *object;
  known.erase("more");
  known["more"] = Value::Object{};
  return check<Note>(known);
}

Value same(Value body, int) { return body; }

constexpr FactKind kinds[] = {
    {"note.made", 1, "a note was made", false, &checkNote, &same, &fieldsOf<Note>},
    {"count.added", 1, "a count was added", false, &check<Count>, &same, &fieldsOf<Count>},
    {"seal.set", 1, "a seal was set", true, &check<Seal>, &same, &fieldsOf<Seal>},
};

std::int64_t numberIn(const std::optional<Value>& state) {
  const std::int64_t* n = state ? (*state)["sum"].asInteger() : nullptr;
  return n == nullptr ? 0 : *n;
}

void foldTotal(const Fact& fact, ProjectionView& view) {
  if (fact.kind != "count.added") return;
  const std::string thing = fact.body.text("thing");
  const std::int64_t sum = numberIn(view.get("total", thing)) + *fact.body["amount"].asInteger();
  if (sum == 0)
    view.erase(thing);
  else
    view.put(thing, Value(Value::Object{{"sum", sum}, {"last", fact.sequence}}));
}

void foldParity(const Fact& fact, ProjectionView& view) {
  if (fact.kind != "count.added") return;
  const std::string thing = fact.body.text("thing");
  view.put(thing, Value(numberIn(view.get("total", thing)) % 2 == 0 ? "even" : "odd"));
}

NewFact factOf(const std::string& kind, std::vector<Subject> subjects, Value body) {
  return {kind,
          1,
          {Instant::fromUnixMs(1'789'999'940'000), "Europe/Berlin", "", {}},
          12,
          std::move(subjects),
          std::move(body)};
}

}  // namespace

Folder::Folder() {
  std::string pattern = (std::filesystem::temp_directory_path() / "platemark-XXXXXX").string();
  REQUIRE(::mkdtemp(pattern.data()) != nullptr);
  path_ = pattern;
}

Folder::~Folder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

const FactKind* findTestKind(std::string_view name) {
  for (const FactKind& kind : kinds)
    if (kind.name == name) return &kind;
  return findFactKind(name);
}

std::vector<Projection> testProjections() {
  return {{"total", foldTotal}, {"thing.parity", foldParity}};
}

StoreOptions testOptions(std::shared_ptr<Clock> clock, const std::string& plant) {
  StoreOptions options;
  options.plant = plant;
  options.projections = testProjections();
  options.clock = std::move(clock);
  options.find_kind = findTestKind;
  options.key_issued = nullptr;  // these kinds know no people
  return options;
}

NewFact note(const std::string& text) {
  return factOf("note.made", {{"note", text.substr(0, 8)}}, Value::Object{{"text", text}});
}

NewFact noteWith(const std::string& text, const std::string& attachment) {
  NewFact fact = note(text);
  fact.body = Value::Object{{"text", text}, {"attachment", attachment}};
  return fact;
}

NewFact count(const std::string& thing, std::int64_t amount) {
  return factOf("count.added", {{"thing", thing}},
                Value::Object{{"thing", thing}, {"amount", amount}});
}

NewFact seal(const std::string& meaning) {
  return factOf("seal.set", {{"seal", "1"}}, Value::Object{{"meaning", meaning}});
}

Act actOf(std::vector<NewFact> facts, const std::string& token) {
  Act act;
  act.name = "test";
  act.token = token;
  act.request = "request of " + token;
  act.person = 12;
  act.decide = [facts = std::move(facts)](const Snapshot&) -> Decision { return facts; };
  return act;
}

Signer testSigner(unsigned char seed_byte) {
  unsigned char seed[crypto_sign_SEEDBYTES];
  std::fill(std::begin(seed), std::end(seed), seed_byte);
  std::string public_key(crypto_sign_PUBLICKEYBYTES, '\0'),
      secret(crypto_sign_SECRETKEYBYTES, '\0');
  crypto_sign_seed_keypair(reinterpret_cast<unsigned char*>(public_key.data()),
                           reinterpret_cast<unsigned char*>(secret.data()), seed);
  return {public_key, [secret](std::string_view bytes) {
            std::string signature(crypto_sign_BYTES, '\0');
            crypto_sign_detached(reinterpret_cast<unsigned char*>(signature.data()), nullptr,
                                 reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size(),
                                 reinterpret_cast<const unsigned char*>(secret.data()));
            return signature;
          }};
}

Receipt must(const Result<Receipt>& result) {
  REQUIRE_MESSAGE(static_cast<bool>(result), (result ? std::string() : describe(result.error())));
  return *result;
}

Attachment attachText(Store& store, std::string_view text) {
  const std::unique_ptr<AttachmentSink> sink = store.attach();
  REQUIRE(sink->write(std::as_bytes(std::span(text.data(), text.size()))));
  const Result<Attachment> done = sink->finish();
  REQUIRE(done);
  return *done;
}

std::vector<Fact> allFacts(const Store& store) {
  const std::unique_ptr<Snapshot> snapshot = store.read();
  return snapshot->factsAfter(0, static_cast<std::size_t>(snapshot->sequence()));
}

std::unique_ptr<Store> InSqlite::openAt(const std::string& folder, std::shared_ptr<Clock> clock) {
  Result<std::unique_ptr<Store>> store = openSqliteStore(folder, testOptions(std::move(clock)));
  REQUIRE_MESSAGE(static_cast<bool>(store), (store ? std::string() : describe(store.error())));
  return std::move(*store);
}

}  // namespace ledger_test
