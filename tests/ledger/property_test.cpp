/// Random acts: both stores keep the same record, byte for byte.
#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <SQLiteCpp/SQLiteCpp.h>

#include "plant.h"

using namespace ledger_test;

namespace {

/// One thing that happens to a store.
struct Move {
  std::vector<NewFact> facts;
  std::string token;
  bool signs = false;
  bool refuses = false;
  std::int64_t clock_ms = 0;
};

NewFact anyFact() {
  const std::string thing = "t" + std::to_string(*rc::gen::inRange(0, 5));
  switch (*rc::gen::inRange(0, 5)) {
    case 0:
      return note(*rc::gen::container<std::string>(rc::gen::inRange<char>(1, 127)));
    case 1:
      return seal(thing);
    case 2: {
      NewFact unknown = note(thing);
      unknown.kind = "no.such";
      return unknown;
    }
    default:
      return count(thing, *rc::gen::inRange(-3, 4));
  }
}

Move anyMove() {
  Move move;
  const int facts = *rc::gen::inRange(0, 4);
  for (int i = 0; i < facts; ++i) move.facts.push_back(anyFact());
  if (*rc::gen::inRange(0, 2) == 0) move.token = "token " + std::to_string(*rc::gen::inRange(0, 6));
  move.signs = *rc::gen::inRange(0, 4) != 0;
  move.refuses = *rc::gen::inRange(0, 8) == 0;
  move.clock_ms = *rc::gen::inRange(-20, 1000);
  return move;
}

Act actOf(const Move& move) {
  Act act = ledger_test::actOf(move.facts, move.token);
  act.request = canonicalJson(Value::Array{static_cast<std::int64_t>(move.facts.size())});
  if (move.signs) act.signer = testSigner();
  if (move.refuses)
    act.decide = [](const Snapshot&) -> Decision {
      Error error;
      error.code = "lot.not_cleared";
      return error;
    };
  return act;
}

std::string wordsOf(const Result<Receipt>& result) {
  if (!result) return result.error().code;
  std::string words =
      result->head + (result->repeated ? " repeated" : "") + " " + formatInstant(result->recorded);
  for (const Sequence s : result->sequences) words += " " + std::to_string(s);
  return words;
}

void perform(Store& store, HandClock& clock, const std::vector<Move>& moves,
             std::vector<std::string>& answers) {
  for (const Move& move : moves) {
    clock.ms += move.clock_ms;
    answers.push_back(wordsOf(store.submit(actOf(move))));
  }
}

std::vector<Move> anyMoves() {
  std::vector<Move> moves;
  const int n = *rc::gen::inRange(0, 14);
  for (int i = 0; i < n; ++i) moves.push_back(anyMove());
  return moves;
}

}  // namespace

TEST_CASE("memory and SQLite keep the same record; it verifies and rebuilds to the same") {
  CHECK(rc::check("same acts, same record", [] {
    const std::vector<Move> moves = anyMoves();
    InMemory memory;
    InSqlite sqlite;
    std::vector<std::string> in_memory, in_sqlite;
    perform(*memory.store, *memory.clock, moves, in_memory);
    perform(*sqlite.store, *sqlite.clock, moves, in_sqlite);
    RC_ASSERT(in_memory == in_sqlite);
    const std::vector<Fact> one = allFacts(*memory.store), other = allFacts(*sqlite.store);
    RC_ASSERT(one.size() == other.size());
    for (std::size_t i = 0; i < one.size(); ++i) {
      RC_ASSERT(one[i].bytes == other[i].bytes);
      RC_ASSERT(one[i].hash == other[i].hash);
    }
    const std::string digest = memory.store->projectionDigest();
    RC_ASSERT(digest == sqlite.store->projectionDigest());
    for (Store* store : {memory.store.get(), sqlite.store.get()}) {
      RC_ASSERT(store->verify({}).sound);
      RC_ASSERT(static_cast<bool>(store->rebuildProjections()));
      RC_ASSERT(store->projectionDigest() == digest);
    }
  }));
}

TEST_CASE("a byte flipped anywhere in the stored facts is found") {
  InSqlite kind;
  Act act = ledger_test::actOf({note("a"), seal("b"), count("c", 1)});
  act.signer = testSigner();
  for (int i = 0; i < 4; ++i) (void)must(kind.store->submit(act));
  SQLite::Database db(kind.folder.at() + "/record.sqlite", SQLite::OPEN_READWRITE, 1000);
  CHECK(rc::check("one byte", [&] {
    const int sequence = *rc::gen::inRange(1, 13);
    const std::string which = *rc::gen::element<std::string>("bytes", "signer", "signature");
    const std::string where = " FROM fact WHERE sequence = " + std::to_string(sequence);
    std::string blob = db.execAndGet("SELECT " + which + where).getString();
    RC_PRE(!blob.empty());
    const std::string sound = blob;
    const auto at = *rc::gen::inRange<std::size_t>(0, blob.size());
    blob[at] = static_cast<char>(blob[at] ^ *rc::gen::inRange(1, 256));
    const auto put = [&](const std::string& bytes) {
      SQLite::Statement s(db, "UPDATE fact SET " + which + " = ? WHERE sequence = ?");
      s.bind(1, bytes.data(), static_cast<int>(bytes.size()));
      s.bind(2, sequence);
      s.exec();
    };
    put(blob);
    const Verification found = kind.store->verify({});
    put(sound);
    RC_ASSERT(!found.sound);
    RC_ASSERT(found.first_broken == sequence);
  }));
  CHECK(kind.store->verify({}).sound);
}
