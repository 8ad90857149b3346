/// A verdict is not a disposition: rework, concession and scrap are signed within the plan's
/// reactions, count down, and end.
#include "platemark/plant/disposition.h"
#include "act/order.h"

namespace platemark::test {
namespace {

std::string line(const std::string& name, const std::string& gate, const std::string& method,
                 const std::string& output, const std::string& limit,
                 const std::string& reactions) {
  return R"({"characteristic":")" + name + R"(","words":")" + name + R"(","gate":")" + gate +
         R"(","method":")" + method + R"(","output":")" + output +
         R"(","statistic":"each","samples":1,"limits":[{)" + limit +
         R"(,"source":{"document":"Works standard","confirmed":true}}],"reactions":[)" + reactions +
         "]}";
}

/// The fixture's plant with a plan that allows one rework and concessions on flatness, concessions
/// on shear.
struct Office : Plant {
  Office() {
    done("plan issue", R"({"noun":{"code":"CP-1","name":"pads","rework_loops":1,"lines":[)" +
                           line("shear", "cure", "bench.shear", "shear_strength",
                                R"("lower":"250 N/cm2")", R"("concession")") +
                           "," +
                           line("flatness", "final", "statistics.summary", "max",
                                R"("upper":"50 um")", R"("rework","concession","scrap")") +
                           R"(]},"why":"reactions"})");
  }
  void flatness(const std::string& batch, const std::string& worst) {
    done(
        "reading take",
        R"({"subject":{"kind":"batch","id":")" + batch +
            R"("},"characteristic":"flatness","sample":"","gauges":[],"numbers":{"readings":["20 um",")" +
            worst + R"("]},"repeat_because":"again","remark":{}})");
  }
  Sequence judged(const std::string& batch, const std::string& outcome,
                  const std::string& gate = "final") {
    const Sequence verdict =
        done("batch judge", R"({"batch":")" + batch + R"(","gate":")" + gate + R"("})");
    const std::string given = prettyJson(store->read()->fact(verdict)->body);
    REQUIRE_MESSAGE(store->read()->fact(verdict)->body.text("outcome") == outcome, given);
    return verdict;
  }
  /// Finished, cure gate released, and not flat.
  std::string bowed() {
    const std::string batch = batchUpTo("cure released");
    done("batch finish", R"({"batch":")" + batch +
                             R"(","operation":"grind","machine":"grinder","counts":{"good":38},)" +
                             R"("remark":{}})");
    flatness(batch, "80 um");
    return batch;
  }
  Result<ledger::Receipt> rework(const std::string& batch, Sequence verdict,
                                 const std::string& of = "flatness") {
    return sign("rework order", R"({"batch":")" + batch + R"(","gate":"final","verdict":)" +
                                    std::to_string(verdict) + R"(,"characteristics":[")" + of +
                                    R"("],"instruction":"grind 0.05 mm more"})");
  }
  Result<ledger::Receipt> concession(const std::string& batch, Sequence verdict,
                                     const std::string& of = R"("flatness")",
                                     const std::string& until = "2026-03-31",
                                     const std::string& gate = "final") {
    return sign(
        "concession grant",
        R"({"batch":")" + batch + R"(","gate":")" + gate + R"(","verdict":)" +
            std::to_string(verdict) + R"(,"characteristics":[)" + of +
            R"(],"authority":"a customer's quality","reference":"CR 88","pads":20,"until":")" +
            until + R"("})");
  }
  DispositionState dispositions(const std::string& batch) {
    return state<DispositionState>(projection::disposition, batch);
  }
  std::string boxInput(const std::string& batch, int pads) {
    return R"({"batch":")" + batch + R"(","pads":)" + std::to_string(pads) +
           R"(,"sets":2,"remark":{}})";
  }
};

/// The same plan with two loops of rework.
void plan2(Office& office) {
  office.done("plan issue", R"({"noun":{"code":"CP-1","name":"pads","rework_loops":2,"lines":[)" +
                                line("shear", "cure", "bench.shear", "shear_strength",
                                     R"("lower":"250 N/cm2")", R"("concession")") +
                                "," +
                                line("flatness", "final", "statistics.summary", "max",
                                     R"("upper":"50 um")", R"("rework")") +
                                R"(]},"why":"two loops"})");
}

std::string reported(const std::string& rework, const std::string& counts,
                     const std::string& remark = "{}") {
  return R"({"rework":")" + rework + R"(","machine":"grinder","counts":)" + counts +
         R"(,"remark":)" + remark + "}";
}

}  // namespace

TEST_CASE("a rework needs its plan's leave, is done once, and is measured anew") {
  Office office;
  const std::string batch = office.bowed();
  const Sequence verdict = office.judged(batch, "does not conform");
  checkRefused(office.rework(batch, verdict - 1), "The newest verdict is fact");
  checkRefused(office.rework(batch, verdict, "shear"), "does not stand against the batch");
  checkCode(office.ask("rework order", R"({"batch":")" + batch +
                                           R"(","gate":"final","verdict":1,"characteristics":[],)" +
                                           R"("instruction":"x"})"),
            "act.signature_needed");
  REQUIRE(bool(office.rework(batch, verdict)));
  CHECK(office.batch(batch).final.overtaken_by.has_value());
  CHECK(office.batch(batch).cure.open());

  // Ordered, not done, not measured: nobody knows.
  office.judged(batch, "cannot decide");
  checkRefused(office.ask("rework report", reported("W-0001", R"({"good":30})")),
               "38 pads, 30 are accounted for");
  office.done("rework report", reported("W-0001", R"({"good":36,"scrap":{"cracked":2}})"));
  checkRefused(office.ask("rework report", reported("W-0001", R"({"good":36})")),
               "was reported by fact");
  const Sequence still = office.judged(batch, "cannot decide");
  CHECK(prettyJson(office.store->read()->fact(still)->body).find("is from before rework W-0001") !=
        std::string::npos);
  office.flatness(batch, "40 um");
  office.release(batch, "final");
  checkRefused(office.ask("box pack", office.boxInput(batch, 37)), "36 good pads left");
  office.box(batch, 36);
}

TEST_CASE("no more loops than the plan allows, and none that it does not list") {
  Office office;
  const std::string batch = office.bowed();
  REQUIRE(bool(office.rework(batch, office.judged(batch, "does not conform"))));
  office.done("rework report", reported("W-0001", R"({"good":38})"));
  office.flatness(batch, "70 um");
  const Sequence again = office.judged(batch, "does not conform");
  checkRefused(office.rework(batch, again), "allows 1 rework loop for one batch; 1 was ordered");

  Plant plain;  // whose plan lists nothing but scrap, and no loops
  const std::string other = plain.batchUpTo("cure released");
  plain.done("batch finish",
             R"({"batch":")" + other +
                 R"(","operation":"grind","machine":"grinder","counts":{"good":38},"remark":{}})");
  plain.done(
      "reading take",
      R"({"subject":{"kind":"batch","id":")" + other +
          R"("},"characteristic":"flatness","sample":"","gauges":[],"numbers":{"readings":["80 um","90 um"]},"remark":{}})");
  const Sequence verdict =
      plain.done("batch judge", R"({"batch":")" + other + R"(","gate":"final"})");
  const auto answer =
      plain.sign("rework order", R"({"batch":")" + other + R"(","gate":"final","verdict":)" +
                                     std::to_string(verdict) +
                                     R"(,"characteristics":["flatness"],"instruction":"x"})");
  checkRefused(answer, "does not allow rework for 'flatness'");
  checkRefused(answer, "allows 0 rework loops");
}

TEST_CASE("a concession opens the gate for so many pads until its day, and no further") {
  Office office;
  const std::string batch = office.bowed();
  const Sequence verdict = office.judged(batch, "does not conform");
  checkRefused(office.ask("box pack", office.boxInput(batch, 8)), "final gate says 'does not");
  checkRefused(office.concession(batch, verdict, R"("flatness")", "2026-03-01"),
               "ended on 2026-03-01");
  REQUIRE(bool(office.concession(batch, verdict)));
  CHECK(office.batch(batch).final.open());
  CHECK_FALSE(office.batch(batch).final.release.has_value());
  CHECK(office.batch(batch).final.outcome == Outcome::does_not_conform);
  checkCode(office.ask("batch judge", R"({"batch":")" + batch + R"(","gate":"final"})"),
            "gate.open");
  office.box(batch, 12);
  checkRefused(office.ask("box pack", office.boxInput(batch, 9)),
               "covers 20 pads; 12 are boxed under it, 9 more are too many");
  office.box(batch, 8);
  CHECK(office.dispositions(batch).concessions.front().packed == 20);
  checkRefused(office.ask("box pack", office.boxInput(batch, 1)), "20 are boxed under it");

  const std::string later = office.bowed();
  REQUIRE(bool(office.concession(later, office.judged(later, "does not conform"))));
  office.clock->forward(29 * one_day_ms);  // 2026-03-31, the last day
  office.box(later, 4);
  office.clock->forward(one_day_ms);
  checkRefused(office.ask("box pack", office.boxInput(later, 4)), "ended on 2026-03-31");
}

TEST_CASE("what is not known cannot be conceded, and every finding must be named") {
  Office office;
  const std::string batch = office.batchUpTo("sampled");
  office.shear(batch, "1", "9000 N");
  const Sequence verdict = office.judged(batch, "does not conform", "cure");
  checkRefused(office.concession(batch, verdict, R"("flatness")", "2026-03-31", "cure"),
               "'shear' stands against the batch too");
  REQUIRE(bool(office.concession(batch, verdict, R"("shear")", "2026-03-31", "cure")));
  office.done("hold place",
              R"({"subject":{"kind":"batch","id":")" + batch + R"("},"why":"a customer asks"})");
  CHECK_FALSE(office.batch(batch).cure.open());
  const Sequence held = office.judged(batch, "does not conform", "cure");
  checkRefused(office.concession(batch, held, R"("shear")", "2026-03-31", "cure"),
               "Not known, so not to be conceded: On hold");
}

TEST_CASE("scrap takes pads away, never more than are there") {
  Office office;
  const std::string batch = office.batchUpTo("released");
  office.box(batch, 30);
  const auto scrap = [&](int pads) {
    return office.sign("scrap sign", R"({"batch":")" + batch + R"(","pads":)" +
                                         std::to_string(pads) + R"(,"reason":"dropped"})");
  };
  checkCode(scrap(9), "scrap.pads");
  checkCode(scrap(0), "scrap.pads");
  REQUIRE(bool(scrap(6)));
  CHECK(office.dispositions(batch).scrapped() == 6);
  checkRefused(office.ask("box pack", office.boxInput(batch, 3)),
               "2 good pads left to pack, not 3");
  office.box(batch, 2);
}

TEST_CASE("a deviation lets another programme be used, for so many batches, until its day") {
  Office office;
  office.done(
      "programme issue",
      R"({"noun":{"code":"P-170","name":"170","segments":[{"target":"170 Cel","tolerance":"5 K","ramp":"2 K/min","soak_minutes":180}],"longest_gap":"5 min","load_in_below":"60 Cel"},"why":""})");
  const auto allow = [&](const std::string& instead, int batches, const std::string& until) {
    return office.sign("deviation allow",
                       R"({"part":"MF-1","step":"cure","instead_of":")" + instead +
                           R"(","use":"P-170","reason":"North is under repair","batches":)" +
                           std::to_string(batches) + R"(,"from":"2026-03-02","until":")" + until +
                           R"("})");
  };
  checkCode(allow("P-1", 1, "2026-03-03"), "programme.unknown");
  checkCode(allow("P-180", 0, "2026-03-03"), "deviation.batches");
  checkCode(allow("P-180", 1, "2026-03-01"), "deviation.dates");
  REQUIRE(bool(allow("P-180", 1, "2026-03-03")));
  const auto load = [&](const std::string& batch, const std::string& deviations) {
    return office.ask("load build", R"({"oven":"O-1","clamps":[{"clamp":"1","batch":")" + batch +
                                        R"(","pads":40,"tier":1,"position":1}],"deviations":[)" +
                                        deviations + R"(],"remark":{}})");
  };
  const std::string first = office.batchUpTo("pressed"), second = office.batchUpTo("pressed");
  checkCode(load(first, R"("V-0009")"), "deviation.unknown");
  const auto built = load(first, R"("V-0001")");
  REQUIRE(bool(built));
  CHECK(office.store->read()->fact(built->sequences.front())->body.text("programme") == "P-170");
  checkRefused(load(second, R"("V-0001")"), "was for 1 batch, which are used up");
  REQUIRE(bool(allow("P-180", 2, "2026-03-03")));
  office.clock->forward(2 * one_day_ms);
  checkRefused(load(second, R"("V-0002")"), "holds from 2026-03-02 to 2026-03-03");
  REQUIRE(bool(load(second, "")));
}

TEST_CASE("order: two box under one concession, two load under one deviation") {
  Office office;
  const std::string batch = office.bowed();
  REQUIRE(bool(office.concession(batch, office.judged(batch, "does not conform"))));
  takenFirst(office, {"box pack", office.boxInput(batch, 12)},
             {"box pack", office.boxInput(batch, 9)}, "12 are boxed under it");

  office.done(
      "programme issue",
      R"({"noun":{"code":"P-170","name":"170","segments":[{"target":"170 Cel","tolerance":"5 K","ramp":"2 K/min","soak_minutes":180}],"longest_gap":"5 min","load_in_below":"60 Cel"},"why":""})");
  REQUIRE(bool(office.sign(
      "deviation allow",
      R"({"part":"MF-1","step":"cure","instead_of":"P-180","use":"P-170","reason":"x","batches":1,"from":"2026-03-02","until":"2026-03-03"})")));
  const auto load = [&](const std::string& of) -> Ask {
    return {"load build",
            R"({"oven":"O-1","clamps":[{"clamp":"1","batch":")" + of +
                R"(","pads":40,"tier":1,"position":1}],"deviations":["V-0001"],"remark":{}})"};
  };
  const std::string first = office.batchUpTo("pressed"), second = office.batchUpTo("pressed");
  takenFirst(office, load(first), load(second), "which are used up");
}

TEST_CASE("order: two orders of rework, where the plan allows one loop") {
  Office office;
  const std::string batch = office.bowed();
  const Sequence verdict = office.judged(batch, "does not conform");
  const Ask order{"rework order",
                  R"({"batch":")" + batch + R"(","gate":"final","verdict":)" +
                      std::to_string(verdict) +
                      R"(,"characteristics":["flatness"],"instruction":"grind 0.05 mm more"})",
                  true};
  const Answers answers = inOrder(office, order, order);
  CHECK(bool(answers.first));
  CHECK_FALSE(bool(answers.second));
}

TEST_CASE("a rework's report accounts for good, scrap, samples and what is set aside") {
  Office office;
  const std::string batch = office.bowed();
  REQUIRE(bool(office.rework(batch, office.judged(batch, "does not conform"))));
  checkCode(office.ask("rework report", reported("W-0001", R"({"good":-1})")), "counts.negative");
  const std::string whole = R"({"good":34,"scrap":{"cracked":1},"samples":2,"rework":1})";
  const auto other =
      office.ask("rework report", reported("W-0001", whole, R"({"corrects":1,"why":"misread"})"));
  checkCode(other, "correction.other_kind");
  const Sequence first = office.done("rework report", reported("W-0001", whole));
  CHECK(office.batch(batch).holds.empty());
  // Corrected, it is counted against what there was before it.
  office.done("rework report",
              reported("W-0001", R"({"good":38})",
                       R"({"corrects":)" + std::to_string(first) + R"(,"why":"misread"})"));
  CHECK(office.batch(batch).holds.empty());
  const auto off =
      office.ask("rework report", reported("W-0001", R"({"good":1})", R"({"why":"it was so"})"));
  REQUIRE(bool(off));
  CHECK(office.batch(batch).holds.size() == 1);
}

TEST_CASE("a second rework is counted against what the first left, and only it") {
  Office office;
  plan2(office);
  const std::string batch = office.bowed();
  REQUIRE(bool(office.rework(batch, office.judged(batch, "does not conform"))));
  office.done("rework report", reported("W-0001", R"({"good":36,"scrap":{"cracked":2}})"));
  office.flatness(batch, "80 um");
  REQUIRE(bool(office.rework(batch, office.judged(batch, "does not conform"))));
  checkRefused(office.ask("rework report", reported("W-0002", R"({"good":38})")),
               "36 pads, 38 are accounted for");
  office.done("rework report", reported("W-0002", R"({"good":36})"));
}

TEST_CASE("all pads that are not boxed may be scrapped; a deviation may last one day") {
  Office office;
  const std::string batch = office.bowed();
  const auto scrap = [&](int pads) {
    return office.sign("scrap sign", R"({"batch":")" + batch + R"(","pads":)" +
                                         std::to_string(pads) + R"(,"reason":"bowed"})");
  };
  checkCode(scrap(39), "scrap.pads");
  CHECK(bool(scrap(38)));
  CHECK(bool(
      office.sign("deviation allow",
                  R"({"part":"MF-1","step":"cure","instead_of":"P-180","use":"P-180","reason":"x",)"
                  R"("batches":1,"from":"2026-03-02","until":"2026-03-02"})")));
}

}  // namespace platemark::test
