/// What every store must do, whatever it keeps its rows in.
#include <doctest/doctest.h>

#include <future>
#include <thread>

#include "plant.h"
#include "platemark/plant/digest.h"
#include "platemark/plant/event.h"

using namespace ledger_test;

#define BOTH_STORES InMemory, InSqlite

TEST_CASE_TEMPLATE("an empty record has sequence 0 and a head of zeros", Kind, BOTH_STORES) {
  Kind kind;
  const auto snapshot = kind.store->read();
  CHECK(snapshot->plant() == "marrowfen");
  CHECK(snapshot->sequence() == 0);
  CHECK(snapshot->head() == std::string(64, '0'));
  CHECK(snapshot->now() == kind.clock->now());
  CHECK_FALSE(snapshot->fact(1));
  CHECK(snapshot->factsAfter(0, 10).empty());
  const Verification verified = kind.store->verify(Anchor{0, std::string(64, '0')});
  CHECK(verified.sound);
  CHECK(verified.facts == 0);
}

TEST_CASE_TEMPLATE("facts are kept as told, chained and found again", Kind, BOTH_STORES) {
  Kind kind;
  NewFact first = note("Vogelsang – ok, 12 µm");
  first.happened.as_typed = "yesterday 14:30";
  first.happened.late_because = "the tablet had no network";
  const Receipt receipt = must(kind.store->submit(actOf({first, count("ax", 3)}, "t-1")));
  CHECK(receipt.sequences == std::vector<Sequence>{1, 2});
  CHECK(receipt.recorded == kind.clock->now());
  CHECK_FALSE(receipt.repeated);

  const auto snapshot = kind.store->read();
  const Fact one = *snapshot->fact(1), two = *snapshot->fact(2);
  CHECK(one.plant == "marrowfen");
  CHECK(one.kind == "note.made");
  CHECK(one.body.text("text") == "Vogelsang – ok, 12 µm");
  CHECK(one.happened.as_typed == "yesterday 14:30");
  CHECK(one.happened.late_because == "the tablet had no network");
  CHECK(one.person == 12);
  CHECK(one.token == "t-1");
  CHECK(one.recorded == kind.clock->now());
  CHECK(one.previous == std::string(64, '0'));
  CHECK(two.previous == one.hash);
  CHECK(one.hash == sha256Hex(one.bytes));
  CHECK(snapshot->head() == two.hash);
  CHECK(receipt.head == two.hash);
  CHECK(canonicalJson(*parseJson(one.bytes)) == one.bytes);
  CHECK(snapshot->factsOf({"thing", "ax"}, 0, 10).size() == 1);
  CHECK(snapshot->factsOf({"thing", "ax"}, 2, 10).empty());
  CHECK(snapshot->factsAfter(1, 10).front().sequence == 2);
  CHECK(snapshot->factsAfter(0, 1).size() == 1);
}

TEST_CASE_TEMPLATE("states follow in the fact's own transaction, in key order", Kind, BOTH_STORES) {
  Kind kind;
  (void)must(kind.store->submit(
      actOf({count("bx", 2), count("ax", 3), count("ax1", 1), count("ax2", 5), count("ay", 4)})));
  const auto snapshot = kind.store->read();
  CHECK(canonicalJson(*snapshot->state("total", "ax")) == R"({"last":2,"sum":3})");
  CHECK(*snapshot->state("thing.parity", "bx") == Value("even"));
  CHECK_FALSE(snapshot->state("total", "none"));
  const auto keys = [&](std::string_view prefix, std::string_view after, std::size_t limit) {
    std::string all;
    for (const State& s : snapshot->states("total", prefix, after, limit)) all += s.key + " ";
    return all;
  };
  CHECK(keys("", "", 99) == "ax ax1 ax2 ay bx ");
  CHECK(keys("ax", "", 99) == "ax ax1 ax2 ");
  CHECK(keys("ax", "ax1", 99) == "ax2 ");
  CHECK(keys("", "ay", 99) == "bx ");
  CHECK(keys("", "", 2) == "ax ax1 ");
  CHECK(keys("c", "", 99).empty());
  CHECK(keys("a", "b", 99).empty());
  using Keys = std::vector<std::string>;
  CHECK(snapshot->keys("total", "") == Keys{"ax", "ax1", "ax2", "ay", "bx"});
  CHECK(snapshot->keys("total", "ax") == Keys{"ax", "ax1", "ax2"});
  CHECK(snapshot->keys("total", "c").empty());
  CHECK(snapshot->keys("none", "").empty());
  (void)must(kind.store->submit(actOf({count("ax", -3)})));
  CHECK(kind.store->read()->keys("total", "ax") == Keys{"ax1", "ax2"});
  CHECK(snapshot->keys("total", "ax").size() == 3);
  CHECK(snapshot->state("total", "ax"));
  CHECK_FALSE(kind.store->read()->state("total", "ax"));
}

TEST_CASE_TEMPLATE("a snapshot does not change while it lives", Kind, BOTH_STORES) {
  Kind kind;
  (void)must(kind.store->submit(actOf({count("ax", 1)})));
  const auto before = kind.store->read();
  for (int i = 0; i < 20; ++i) (void)must(kind.store->submit(actOf({count("ax", 1), note("n")})));
  REQUIRE(kind.store->rebuildProjections());
  CHECK(before->sequence() == 1);
  CHECK(before->head() == before->fact(1)->hash);
  CHECK(*(*before->state("total", "ax"))["sum"].asInteger() == 1);
  CHECK(before->factsAfter(0, 99).size() == 1);
  CHECK(before->factsOf({"thing", "ax"}, 0, 99).size() == 1);
  CHECK_FALSE(before->fact(2));
  CHECK(*(*kind.store->read()->state("total", "ax"))["sum"].asInteger() == 21);
}

TEST_CASE_TEMPLATE("a state that was read is read once, and by each snapshot as of its moment",
                   Kind, BOTH_STORES) {
  Kind kind;
  const auto sumIn = [](const Snapshot& snapshot) {
    const auto state =
        std::static_pointer_cast<const Value>(snapshot.stateOf("total", "ax", state_type<Value>));
    return state ? *(*state)["sum"].asInteger() : 0;
  };
  (void)must(kind.store->submit(actOf({count("ax", 1)})));
  const auto before = kind.store->read();
  CHECK(sumIn(*before) == 1);
  CHECK(before->stateOf("total", "ax", state_type<Value>) ==
        kind.store->read()->stateOf("total", "ax", state_type<Value>));
  (void)must(kind.store->submit(actOf({count("ax", 4)})));
  const auto after = kind.store->read();
  for (int i = 0; i < 3; ++i) {
    CHECK(sumIn(*after) == 5);
    CHECK(sumIn(*before) == 1);
  }
  CHECK(after->stateOf("total", "none", state_type<Value>) == nullptr);
  // Another type that cannot read it is told so, whatever was read before.
  CHECK(after->stateOf("total", "ax", state_type<Counts>) == nullptr);
  CHECK(sumIn(*after) == 5);
}

TEST_CASE_TEMPLATE("a snapshot may outlive its store", Kind, BOTH_STORES) {
  Kind kind;
  (void)must(kind.store->submit(actOf({count("ax", 1)})));
  const auto snapshot = kind.store->read();
  kind.store.reset();
  CHECK(snapshot->fact(1)->kind == "count.added");
}

TEST_CASE_TEMPLATE("a repeated token gets the first answer; a reused one is refused", Kind,
                   BOTH_STORES) {
  Kind kind;
  (void)must(kind.store->submit(actOf({note("before")})));
  const Receipt first = must(kind.store->submit(actOf({count("ax", 1), count("ax", 1)}, "t")));
  (void)must(kind.store->submit(actOf({note("after")})));
  kind.clock->ms += 5000;
  bool asked = false;
  Act again = actOf({}, "t");
  again.decide = [&](const Snapshot&) -> Decision {
    asked = true;
    return std::vector<NewFact>{};
  };
  for (const bool rebuilt : {false, true}) {
    if (rebuilt) REQUIRE(kind.store->rebuildProjections());
    const Receipt second = must(kind.store->submit(again));
    CHECK(second.repeated);
    CHECK(second.sequences == first.sequences);
    CHECK(second.head == first.head);
    CHECK(second.recorded == first.recorded);
    CHECK_FALSE(asked);
    Act other = again;
    other.request = "something else";
    const Result<Receipt> reused = kind.store->submit(other);
    REQUIRE_FALSE(reused);
    CHECK(reused.error().code == "token.reused");
    CHECK(reused.error().fault == Fault::conflict);
  }
  CHECK(kind.store->read()->sequence() == 4);
}

TEST_CASE_TEMPLATE("the same token twice in one group is one act", Kind, BOTH_STORES) {
  Kind kind;
  std::vector<std::future<Result<Receipt>>> answers;
  for (int i = 0; i < 16; ++i)
    answers.push_back(std::async(
        std::launch::async, [&] { return kind.store->submit(actOf({count("ax", 1)}, "once")); }));
  int fresh = 0;
  for (auto& answer : answers) {
    const Receipt receipt = must(answer.get());
    CHECK(receipt.sequences == std::vector<Sequence>{1});
    fresh += receipt.repeated ? 0 : 1;
  }
  CHECK(fresh == 1);
  CHECK(kind.store->read()->sequence() == 1);
}

TEST_CASE_TEMPLATE("a refusal leaves nothing, neither facts nor token nor state", Kind,
                   BOTH_STORES) {
  Kind kind;
  Act act = actOf({}, "t");
  act.decide = [](const Snapshot&) -> Decision {
    Error error;
    error.fault = Fault::refused;
    error.code = "lot.not_cleared";
    return error;
  };
  const Result<Receipt> refused = kind.store->submit(act);
  REQUIRE_FALSE(refused);
  CHECK(refused.error().code == "lot.not_cleared");
  const std::string digest = kind.store->projectionDigest();
  // The second fact cannot be kept, so the first is not kept either.
  NewFact odd = count("ax", 1);
  odd.kind = "no.such";
  CHECK_FALSE(kind.store->submit(actOf({count("ax", 1), odd}, "t")));
  CHECK(kind.store->read()->sequence() == 0);
  CHECK(kind.store->projectionDigest() == digest);
  CHECK(kind.store->read()->factsOf({"thing", "ax"}, 0, 9).empty());
  CHECK_FALSE(must(kind.store->submit(actOf({count("ax", 1)}, "t"))).repeated);
}

TEST_CASE_TEMPLATE("what cannot be kept is refused by name", Kind, BOTH_STORES) {
  Kind kind;
  const auto codeOf = [&](NewFact fact) {
    const Result<Receipt> result = kind.store->submit(actOf({std::move(fact)}));
    REQUIRE_FALSE(result);
    return result.error().code;
  };
  const auto noteBody = [&](Value more) {
    NewFact fact = note("n");
    fact.body = Value::Object{{"text", "n"}, {"more", std::move(more)}};
    return fact;
  };
  NewFact unknown = note("n");
  unknown.kind = "no.such";
  CHECK(codeOf(unknown) == "fact.unknown_kind");
  NewFact old = note("n");
  old.version = 2;
  CHECK(codeOf(old) == "fact.bad_version");
  CHECK(codeOf(noteBody(Value::Object{{"mass", 1.5}})) == "fact.bad_body");
  CHECK(codeOf(noteBody(Value::Array{1, Value::Array{2.0}})) == "fact.bad_body");
  NewFact strange = count("ax", 1);
  strange.body = Value::Object{{"thing", "ax"}, {"amount", 1}, {"colour", "red"}};
  CHECK(codeOf(strange) == "value.unknown_member");
  CHECK(codeOf(seal("released")) == "fact.not_signed");
  CHECK(codeOf(noteWith("n", std::string(64, 'a'))) == "fact.attachment_missing");
  CHECK(codeOf(noteBody(Value::Object{
            {"deep", Value::Object{{"attachments", Value::Array{std::string(64, 'b')}}}}})) ==
        "fact.attachment_missing");
  // Not JSON once written: text that is no UTF-8, a whole number beyond 2^53, 70 levels.
  CHECK(codeOf(noteBody("\xff\xfe")) == "fact.unreadable");
  CHECK(codeOf(noteBody(std::int64_t{9'007'199'254'740'993})) == "fact.unreadable");
  Value deep = "x";
  for (int i = 0; i < 70; ++i) deep = Value::Array{deep};
  CHECK(codeOf(noteBody(deep)) == "fact.unreadable");
  CHECK(kind.store->read()->sequence() == 0);
  CHECK(kind.store->verify({}).sound);
}

TEST_CASE_TEMPLATE("signed facts carry a signature over bytes that name the fact before", Kind,
                   BOTH_STORES) {
  Kind kind;
  (void)must(kind.store->submit(actOf({note("n")})));
  Act act = actOf({seal("I release this"), note("beside it")});
  act.signer = testSigner();
  (void)must(kind.store->submit(act));
  const auto snapshot = kind.store->read();
  const Fact fact = *snapshot->fact(2);
  CHECK(fact.signer == testSigner().public_key);
  CHECK(fact.signature.size() == 64);
  CHECK(verifySignature(fact.signer, fact.bytes, fact.signature));
  CHECK(fact.bytes.find(snapshot->fact(1)->hash) != std::string::npos);
  CHECK(fact.hash == sha256Hex(fact.bytes + fact.signer + fact.signature));
  CHECK(snapshot->fact(3)->signature.empty());
  CHECK(kind.store->verify({}).sound);
  // A key that does not belong to the signature is found before anything is kept.
  act.signer->public_key = testSigner(8).public_key;
  const Result<Receipt> wrong = kind.store->submit(act);
  REQUIRE_FALSE(wrong);
  CHECK(wrong.error().code == "fact.not_signed");
  CHECK(kind.store->read()->sequence() == 3);
}

TEST_CASE_TEMPLATE("an act that throws undoes itself, not its neighbours", Kind, BOTH_STORES) {
  Kind kind;
  std::promise<void> gate;
  std::shared_future<void> open = gate.get_future().share();
  Act holds_up = actOf({note("first")});
  holds_up.decide = [open](const Snapshot&) -> Decision {
    open.wait();
    return std::vector<NewFact>{note("first")};
  };
  auto first = std::async(std::launch::async, [&] { return kind.store->submit(holds_up); });
  std::this_thread::sleep_for(std::chrono::milliseconds(20));
  // These three wait together and become one group.
  auto before =
      std::async(std::launch::async, [&] { return kind.store->submit(actOf({count("ax", 1)})); });
  auto throwing = std::async(std::launch::async, [&] {
    Act act = actOf({});
    act.decide = [](const Snapshot&) -> Decision { throw std::runtime_error("a bug"); };
    return kind.store->submit(act);
  });
  auto after =
      std::async(std::launch::async, [&] { return kind.store->submit(actOf({count("ax", 1)})); });
  std::this_thread::sleep_for(std::chrono::milliseconds(50));
  gate.set_value();
  (void)must(first.get());
  (void)must(before.get());
  (void)must(after.get());
  const Result<Receipt> failed = throwing.get();
  REQUIRE_FALSE(failed);
  CHECK(failed.error().fault == Fault::environment);
  CHECK(kind.store->read()->sequence() == 3);
  CHECK(kind.store->verify({}).sound);
}

TEST_CASE_TEMPLATE("each act is decided on what was accepted before it: two takers, one taken",
                   Kind, BOTH_STORES) {
  Kind kind;
  (void)must(kind.store->submit(actOf({count("oven", 1)})));
  Act take = actOf({});
  take.decide = [](const Snapshot& snapshot) -> Decision {
    if (snapshot.state("total", "oven")) return std::vector<NewFact>{count("oven", -1)};
    Error error;
    error.fault = Fault::refused;
    error.code = "oven.taken";
    return error;
  };
  std::vector<std::future<Result<Receipt>>> answers;
  for (int i = 0; i < 12; ++i)
    answers.push_back(std::async(std::launch::async, [&] { return kind.store->submit(take); }));
  int taken = 0;
  for (auto& answer : answers) taken += answer.get() ? 1 : 0;
  CHECK(taken == 1);
}

TEST_CASE_TEMPLATE("an act sees the head and time of its own decision", Kind, BOTH_STORES) {
  Kind kind;
  const Receipt first = must(kind.store->submit(actOf({note("n")})));
  kind.clock->ms += 1234;
  Act act = actOf({});
  act.decide = [&](const Snapshot& snapshot) -> Decision {
    CHECK(snapshot.sequence() == 1);
    CHECK(snapshot.head() == first.head);
    CHECK(snapshot.now() == kind.clock->now());
    return std::vector<NewFact>{};
  };
  const Receipt nothing = must(kind.store->submit(act));
  CHECK(nothing.sequences.empty());
  CHECK(nothing.head == first.head);
}

TEST_CASE_TEMPLATE("a clock that steps back is itself a fact, before what follows it", Kind,
                   BOTH_STORES) {
  Kind kind;
  (void)must(kind.store->submit(actOf({note("n")})));
  const Instant before = kind.clock->now();
  kind.clock->ms -= 3'600'000;
  const Receipt nothing = must(kind.store->submit(actOf({})));
  CHECK(nothing.sequences.empty());
  const Receipt receipt = must(kind.store->submit(actOf({count("ax", 1)}, "t")));
  CHECK(receipt.sequences == std::vector<Sequence>{3});
  const auto snapshot = kind.store->read();
  const Fact step = *snapshot->fact(2);
  CHECK(step.kind == "clock.stepped_back");
  CHECK(step.body.text("from") == formatInstant(before));
  CHECK(step.body.text("to") == formatInstant(kind.clock->now()));
  CHECK(step.token.empty());
  CHECK(snapshot->fact(3)->recorded == kind.clock->now());
  // Told once; the next fact follows the new time.
  (void)must(kind.store->submit(actOf({count("ax", 1)})));
  CHECK(kind.store->read()->sequence() == 4);
  CHECK(must(kind.store->submit(actOf({count("ax", 1)}, "t"))).sequences == receipt.sequences);
  CHECK(kind.store->verify({}).sound);
}

TEST_CASE_TEMPLATE("attachments are known by their content", Kind, BOTH_STORES) {
  Kind kind;
  const Attachment empty = attachText(*kind.store, "");
  CHECK(empty.hash == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  CHECK(empty.size == 0);
  const Attachment abc = attachText(*kind.store, "abc");
  CHECK(abc.hash == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(abc.size == 3);
  CHECK(attachText(*kind.store, "abc").hash == abc.hash);
  CHECK(*kind.store->attachment(abc.hash) == "abc");
  for (const std::string& bad : {std::string(64, 'c'), std::string("../../etc/passwd"),
                                 std::string(), std::string(64, '/')}) {
    const Result<std::string> none = kind.store->attachment(bad);
    REQUIRE_FALSE(none);
    CHECK(none.error().code == "attachment.unknown");
    CHECK(none.error().fault == Fault::not_found);
  }
  (void)must(kind.store->submit(actOf({noteWith("certificate", abc.hash)})));
  CHECK(kind.store->verify({}).sound);
  // Given up half-way: nothing is kept.
  {
    const auto sink = kind.store->attach();
    REQUIRE(sink->write(std::as_bytes(std::span("xyz", 3))));
  }
  CHECK_FALSE(kind.store->attachment(sha256Hex("xyz")));
}

TEST_CASE_TEMPLATE("projections are dropped and rebuilt to the same", Kind, BOTH_STORES) {
  Kind kind;
  for (int i = 0; i < 40; ++i)
    (void)must(kind.store->submit(
        actOf({count("t" + std::to_string(i % 7), i % 5 - 2), note("n" + std::to_string(i))},
              "t" + std::to_string(i))));
  const std::string live = kind.store->projectionDigest();
  const std::size_t about = kind.store->read()->factsOf({"thing", "t3"}, 0, 99).size();
  REQUIRE(kind.store->rebuildProjections());
  CHECK(kind.store->projectionDigest() == live);
  CHECK(kind.store->read()->factsOf({"thing", "t3"}, 0, 99).size() == about);
  CHECK(about > 0);
  (void)must(kind.store->submit(actOf({count("t1", 1)})));
  CHECK(kind.store->projectionDigest() != live);
}

TEST_CASE_TEMPLATE("many writers: every act once, in one chain", Kind, BOTH_STORES) {
  Kind kind;
  constexpr int threads = 8, each = 25;
  std::vector<std::thread> writers;
  std::atomic<int> kept{0};
  for (int t = 0; t < threads; ++t)
    writers.emplace_back([&, t] {
      for (int i = 0; i < each; ++i)
        if (kind.store->submit(
                actOf({count("ax", 1)}, std::to_string(t) + "-" + std::to_string(i))))
          ++kept;
    });
  for (int i = 0; i < 50; ++i) {
    // Whatever moment a reader catches, the state it sees is that of the facts it sees.
    const auto snapshot = kind.store->read();
    const std::optional<Value> total = snapshot->state("total", "ax");
    CHECK((total ? *(*total)["sum"].asInteger() : 0) == snapshot->sequence());
  }
  for (std::thread& writer : writers) writer.join();
  CHECK(kept == threads * each);
  CHECK(kind.store->read()->sequence() == threads * each);
  CHECK(kind.store->verify({}).sound);
}
