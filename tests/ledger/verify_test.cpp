/// A doubter's tests of the chain: whatever is changed, removed or put in is found and named.
#include <doctest/doctest.h>

#include <SQLiteCpp/SQLiteCpp.h>

#include "plant.h"
#include "platemark/plant/digest.h"
#include "platemark/plant/event.h"
#include "store/engine.h"
#include "store/memory_tables.h"
#include "support/cases.h"
#include "support/hex.h"

using namespace ledger_test;

namespace {

/// Five facts; the third is signed.
std::vector<FactRow> soundRows() {
  InMemory kind;
  (void)must(kind.store->submit(actOf({note("one"), count("ax", 2)}, "t1")));
  Act signed_act = actOf({seal("I release this")}, "t2");
  signed_act.signer = testSigner();
  (void)must(kind.store->submit(signed_act));
  kind.clock->ms += 1;
  (void)must(kind.store->submit(actOf({note("four"), note("five")}, "t3")));
  std::vector<FactRow> rows;
  for (const Fact& f : allFacts(*kind.store))
    rows.push_back({f.sequence, f.bytes, f.signer, f.signature, f.hash});
  return rows;
}

Verification verifyRows(const std::vector<FactRow>& rows,
                        const std::optional<Anchor>& anchor = {}) {
  MemoryTables tables;
  for (const FactRow& row : rows) tables.add(row);
  return verifyChain(tables, testOptions(), anchor,
                     [](const std::string&) { return std::string(); });
}

void rehash(FactRow& row) { row.hash = factHash(row.bytes, row.signer, row.signature); }

/// What somebody does who may write to the file: mends every hash and link behind a change.
void rebuildFrom(std::vector<FactRow>& rows, std::size_t first) {
  for (std::size_t i = first; i < rows.size(); ++i) {
    if (i > first) {
      const std::string before = readFact(rows[i].bytes, "", "", "")->previous;
      rows[i].bytes.replace(rows[i].bytes.find(before), 64, rows[i - 1].hash);
    }
    rehash(rows[i]);
  }
}

void replaceIn(std::string& text, std::string_view from, std::string_view to) {
  REQUIRE(text.find(from) != std::string::npos);
  text.replace(text.find(from), from.size(), to);
}

}  // namespace

TEST_CASE("a sound record verifies and says so") {
  const std::vector<FactRow> rows = soundRows();
  const Verification v = verifyRows(rows, Anchor{4, rows[3].hash});
  CHECK(v.sound);
  CHECK(v.facts == 5);
  CHECK(v.head == rows.back().hash);
  CHECK_FALSE(v.first_broken);
  CHECK(v.what == "5 facts, each fits the one before; fact 4 is the one the anchor names.");
}

TEST_CASE("any single changed bit of what is stored is found, at its fact") {
  const std::vector<FactRow> rows = soundRows();
  int flips = 0;
  for (std::size_t i = 0; i < rows.size(); ++i)
    for (std::string FactRow::*member :
         {&FactRow::bytes, &FactRow::signer, &FactRow::signature, &FactRow::hash})
      for (std::size_t at = 0; at < (rows[i].*member).size(); ++at) {
        std::vector<FactRow> changed = rows;
        (changed[i].*member)[at] = static_cast<char>((changed[i].*member)[at] ^ (1 << (at % 8)));
        const Verification v = verifyRows(changed);
        ++flips;
        if (v.sound || v.first_broken != rows[i].sequence) FAIL("not found in fact " << i + 1);
      }
  CHECK(flips > 2000);
}

TEST_CASE("a fact changed together with its hash is found at the next one's link") {
  std::vector<FactRow> rows = soundRows();
  replaceIn(rows[0].bytes, "\"one\"", "\"two\"");
  rehash(rows[0]);
  const Verification v = verifyRows(rows);
  CHECK_FALSE(v.sound);
  CHECK(v.first_broken == 2);
  CHECK(v.what == "Fact 2: it names another fact 1 than the one that stands there.");
}

TEST_CASE("a chain built anew behind a signed fact breaks at its signature") {
  std::vector<FactRow> rows = soundRows();
  replaceIn(rows[0].bytes, "\"one\"", "\"two\"");
  rebuildFrom(rows, 0);
  const Verification v = verifyRows(rows);
  CHECK_FALSE(v.sound);
  CHECK(v.first_broken == 3);
  CHECK(v.what == "Fact 3: its signature does not fit its bytes.");
}

TEST_CASE("a signature taken off or given by another key is found") {
  std::vector<FactRow> rows = soundRows();
  rows[2].signer.clear();
  rows[2].signature.clear();
  rebuildFrom(rows, 2);
  CHECK(verifyRows(rows).what == "Fact 3: it must be signed and is not.");
  rows = soundRows();
  rows[2].signature = testSigner(9).sign(rows[2].bytes);
  rebuildFrom(rows, 2);
  CHECK(verifyRows(rows).what == "Fact 3: its signature does not fit its bytes.");
}

namespace {

/// Kinds of the plant itself, whose people have keys.
StoreOptions withPeople(std::shared_ptr<Clock> clock) {
  StoreOptions options = testOptions(std::move(clock));
  options.find_kind = findFactKind;
  options.key_issued = keyIssued;
  return options;
}
NewFact issueOf(PersonNumber number, const Signer& key, std::int64_t issue) {
  const Person person{number, "quality manager", test::hexOf(key.public_key), {}};
  return {"person.issued",
          1,
          {Instant::fromUnixMs(1), "Etc/UTC", "", {}},
          1,
          {{"person", std::to_string(number)}},
          toValue(Issued<Person>{person, issue, {}, "issued"})};
}
NewFact releaseBy(PersonNumber number) {
  const Subject batch{"batch", "K7M4J-7"};
  return {
      "release.signed",
      1,
      {Instant::fromUnixMs(1), "Etc/UTC", "", {}},
      number,
      {batch},
      toValue(ReleaseSigned{Gate::cure, batch, 1, std::string(64, 'a'), Outcome::conforms, "yes"})};
}

/// The facts as rows; the key each release is signed with is the caller's.
struct Signing {
  std::shared_ptr<HandClock> clock = std::make_shared<HandClock>();
  std::unique_ptr<Store> store = openMemoryStore(withPeople(clock));
  int tokens = 0;
  void add(NewFact fact, const std::optional<Signer>& signer = {}) {
    Act act = actOf({std::move(fact)}, std::to_string(++tokens));
    act.signer = signer;
    (void)must(store->submit(act));
  }
  [[nodiscard]] Verification verify() const { return store->verify({}); }
};

}  // namespace

TEST_CASE("a signature counts with the key that the person's issue carried when it was given") {
  Signing record;
  record.add(issueOf(12, testSigner(7), 1));
  record.add(releaseBy(12), testSigner(7));
  record.add(issueOf(12, testSigner(8), 2));
  record.add(releaseBy(12), testSigner(8));
  CHECK(record.verify().sound);
  // The key that was good before the new issue is not good after it.
  record.add(releaseBy(12), testSigner(7));
  CHECK(record.verify().first_broken == 5);
  CHECK(record.verify().what == "Fact 5: its key is not the one that person 12 had then.");
}

TEST_CASE("a swapped key is found though signature, hashes and links all fit") {
  Signing record;
  record.add(issueOf(12, testSigner(7), 1));
  record.add(issueOf(13, testSigner(9), 1));
  record.add(releaseBy(12), testSigner(7));
  REQUIRE(record.verify().sound);
  // Whoever may write the file signs in another's name with a key of their own, and mends the rest.
  std::vector<FactRow> rows;
  for (const Fact& f : allFacts(*record.store))
    rows.push_back({f.sequence, f.bytes, f.signer, f.signature, f.hash});
  rows[2].signer = testSigner(9).public_key;
  rows[2].signature = testSigner(9).sign(rows[2].bytes);
  rehash(rows[2]);
  MemoryTables tables;
  for (const FactRow& row : rows) tables.add(row);
  const auto found = [&](const StoreOptions& options) {
    return verifyChain(tables, options, {}, [](const std::string&) { return std::string(); });
  };
  const Verification v = found(withPeople(record.clock));
  CHECK_FALSE(v.sound);
  CHECK(v.first_broken == 3);
  CHECK(v.what == "Fact 3: its key is not the one that person 12 had then.");
  StoreOptions blind = withPeople(record.clock);
  blind.key_issued = nullptr;
  CHECK(found(blind).sound);  // nothing else would have shown it
}

TEST_CASE("a signature for somebody without a key on record is found") {
  Signing record;
  record.add(releaseBy(12), testSigner(7));
  record.add(issueOf(12, testSigner(7), 1));
  CHECK(record.verify().what ==
        "Fact 1: it is signed for person 12, who had no key on record then.");
}

TEST_CASE("a chain built anew where nothing is signed is found with an anchor only") {
  std::vector<FactRow> rows = soundRows();
  const Anchor anchor{5, rows[4].hash};
  replaceIn(rows[3].bytes, "\"four\"", "\"fire\"");
  rebuildFrom(rows, 3);
  CHECK(verifyRows(rows).sound);
  const Verification v = verifyRows(rows, anchor);
  CHECK_FALSE(v.sound);
  CHECK(v.first_broken == 5);
  CHECK(v.what.find("built anew") != std::string::npos);
}

TEST_CASE("a cut tail is found with an anchor only") {
  std::vector<FactRow> rows = soundRows();
  const Anchor anchor{5, rows[4].hash};
  rows.pop_back();
  CHECK(verifyRows(rows).sound);
  const Verification v = verifyRows(rows, anchor);
  CHECK_FALSE(v.sound);
  CHECK(v.first_broken == 5);
  CHECK(v.what.find("cut off") != std::string::npos);
  rows.clear();
  CHECK_FALSE(verifyRows(rows, anchor).sound);
}

TEST_CASE("facts that changed places, left or came in are found") {
  const std::vector<FactRow> rows = soundRows();
  std::vector<FactRow> swapped = rows;
  std::swap(swapped[3], swapped[4]);
  std::swap(swapped[3].sequence, swapped[4].sequence);
  CHECK(verifyRows(swapped).first_broken == 4);

  std::vector<FactRow> gap = rows;
  gap.erase(gap.begin() + 1);
  CHECK(verifyRows(gap).first_broken == 3);
  CHECK(verifyRows(gap).what == "Fact 3: fact 2 is missing before it.");

  std::vector<FactRow> closed = gap;
  for (std::size_t i = 0; i < closed.size(); ++i) closed[i].sequence = static_cast<Sequence>(i + 1);
  CHECK(verifyRows(closed).first_broken == 2);

  std::vector<FactRow> twice = rows;
  twice.insert(twice.begin() + 2, rows[1]);
  for (std::size_t i = 0; i < twice.size(); ++i) twice[i].sequence = static_cast<Sequence>(i + 1);
  CHECK(verifyRows(twice).first_broken == 3);
}

TEST_CASE("another plant's fact is found") {
  std::vector<FactRow> rows = soundRows();
  replaceIn(rows[4].bytes, "\"marrowfen\"", "\"marrowfem\"");
  rebuildFrom(rows, 4);
  CHECK(verifyRows(rows).what == "Fact 5: it stands in another place than it says.");
}

TEST_CASE("hash and link agree with an independently worked chain") {
  std::string previous = noHash();
  for (const test::Case& row : test::loadCases("ledger/cases/hash_chain.csv").rows) {
    const std::string bytes = test::bytesOf(row.text("bytes_hex"));
    CHECK(static_cast<double>(bytes.size()) == row.number("size"));
    const Result<Value> value = parseJson(bytes);
    REQUIRE(value);
    CHECK(canonicalJson(*value) == bytes);
    CHECK(value->text("prev") == previous);
    previous = factHash(bytes, "", "");
    CHECK(previous == row.text("sha256"));
  }
}

TEST_CASE("signatures agree with RFC 8032") {
  for (const test::Case& row : test::loadCases("ledger/cases/ed25519.csv").rows) {
    CAPTURE(row.text("test"));
    const std::string message = test::bytesOf(row.text("message"));
    const std::string key = test::bytesOf(row.text("public_key"));
    std::string signature = test::bytesOf(row.text("signature"));
    CHECK(verifySignature(key, message, signature));
    CHECK_FALSE(verifySignature(key, message + "x", signature));
    CHECK_FALSE(verifySignature(key.substr(1), message, signature));
    for (std::size_t i = 0; i < signature.size(); ++i) {
      std::string changed = signature;
      changed[i] = static_cast<char>(changed[i] ^ 1);
      CHECK_FALSE(verifySignature(key, message, changed));
    }
  }
}

TEST_CASE("a flipped byte, exchanged rows and a deleted row in the file are found") {
  const auto spoil = [](const char* sql) {
    InSqlite kind;
    for (int i = 0; i < 6; ++i)
      (void)must(kind.store->submit(actOf({note("n" + std::to_string(i))})));
    REQUIRE(kind.store->verify({}).sound);
    SQLite::Database db(kind.folder.at() + "/record.sqlite", SQLite::OPEN_READWRITE, 1000);
    db.exec(sql);
    return kind.store->verify({});
  };
  CHECK(spoil("UPDATE fact SET bytes = CAST(replace(CAST(bytes AS TEXT), '\"n3\"', '\"n8\"') AS "
              "BLOB) WHERE sequence = 4")
            .first_broken == 4);
  CHECK(spoil("UPDATE fact SET signature = x'00' WHERE sequence = 2").first_broken == 2);
  CHECK(spoil("UPDATE fact SET sequence = sequence + 100 WHERE sequence IN (2, 3);"
              "UPDATE fact SET sequence = 3 WHERE sequence = 102; UPDATE fact SET sequence = 2 "
              "WHERE sequence = 103")
            .first_broken == 2);
  CHECK(spoil("DELETE FROM fact WHERE sequence = 3").first_broken == 4);
  CHECK(spoil("DELETE FROM fact WHERE sequence = 1").first_broken == 2);
}

TEST_CASE("an attachment that is missing or changed is found at the fact that names it first") {
  for (const bool missing : {true, false}) {
    InSqlite kind;
    (void)must(kind.store->submit(actOf({note("before")})));
    const Attachment abc = attachText(*kind.store, "abc");
    (void)must(
        kind.store->submit(actOf({noteWith("first", abc.hash), noteWith("again", abc.hash)})));
    REQUIRE(kind.store->verify({}).sound);
    const std::string path = *kind.store->attachmentPath(abc.hash);
    if (missing)
      std::filesystem::remove(path);
    else
      std::ofstream(path) << "abd";
    const Verification v = kind.store->verify({});
    CHECK_FALSE(v.sound);
    CHECK(v.first_broken == 2);
    CHECK(v.what ==
          "Fact 2: " + (missing ? "its attachment " + abc.hash + " is missing."
                                : "the bytes of its attachment " + abc.hash + " were changed."));
  }
}
