/// How far a gauge is trusted: studies, acceptance, a gauge found wrong, and what becomes of its
/// results.
#include "platemark/plant/gauge_trust.h"

#include <map>
#include <sstream>

#include "act/order.h"
#include "platemark/plant/gauge_check.h"
#include "support/cases.h"

namespace platemark::test {
namespace {

/// Readings of one part by one appraiser.
std::string row(const std::string& appraiser, int part, const std::string& readings) {
  return R"({"appraiser":")" + appraiser + R"(","part":")" + std::to_string(part) +
         R"(","readings":[)" + readings + "]}";
}

std::string study(const std::string& rows, const std::string& more = "") {
  return R"({"gauge":"FM-1","characteristic":"shear","readings":[)" + rows + "]" + more +
         R"(,"remark":{}})";
}

/// Parts a gram apart, read to a hundredth: a gauge that tells them apart.
std::string goodRows() {
  std::string rows;
  for (const std::string who : {"A", "B"})
    for (int part = 1; part <= 10; ++part)
      rows += (rows.empty() ? "" : ",") +
              row(who, part,
                  "\"" + std::to_string(part) + ".00 g\",\"" + std::to_string(part) + ".01 g\"");
  return rows;
}

/// The published example of 10 parts, 3 appraisers and 3 trials.
std::string publishedRows(const std::string& unit = "g") {
  const Case published = loadCases("method/cases/gauge_study.csv").rows.front();
  std::istringstream words(published.text("inputs"));
  std::string word, rows;
  std::vector<std::string> values;
  while (words >> word) {
    const std::string number = word.substr(word.find('=') + 1);
    values.push_back(number.substr(0, number.find(';')));
    if (word.ends_with(';')) break;
  }
  REQUIRE(values.size() == 90);
  for (std::size_t i = 0; i < values.size(); i += 3)
    rows += (rows.empty() ? "" : ",") +
            row(std::string(1, static_cast<char>('A' + i / 30)), static_cast<int>(i / 3 % 10),
                "\"" + values[i] + " " + unit + "\",\"" + values[i + 1] + " " + unit + "\",\"" +
                    values[i + 2] + " " + unit + "\"");
  return rows;
}

struct Laboratory : Plant {
  using Plant::Plant;
  /// Outcome and every sentence.
  std::string judged(const std::string& batch, const std::string& gate = "cure") {
    const Sequence verdict =
        done("batch judge", R"({"batch":")" + batch + R"(","gate":")" + gate + R"("})");
    const Value body = store->read()->fact(verdict)->body;
    std::string said = body.text("outcome");
    for (const Value& finding : *body["findings"].asArray())
      said += "\n" + finding.text("sentence");
    return said;
  }
  Result<ledger::Receipt> foundWrong(const std::string& gauge, const std::string& more = "") {
    return ask("gauge found-wrong", R"({"gauge":")" + gauge + R"(","found":"its cell is bent")" +
                                        more + R"(,"remark":{}})");
  }
  Result<ledger::Receipt> assess(const std::string& gauge, Sequence report,
                                 const std::string& outcome, const std::string& more = "") {
    return sign("gauge assess", R"({"gauge":")" + gauge + R"(","found_wrong":)" +
                                    std::to_string(report) + R"(,"outcome":")" + outcome +
                                    R"(","reason":"measured beside another")" + more + "}");
  }
  GaugeTrust trust(const std::string& gauge) {
    return state<GaugeTrust>(projection::gauge_trust, gauge);
  }
  void later() { clock->forward(60'000); }
  void calibrated(const std::string& gauge) {
    done("gauge issue", R"({"noun":{"code":")" + gauge +
                            R"(","name":"gauge","unit":"g","resolution":"1 g",)" +
                            R"("calibration_due":"2026-12-31","calibration":"K-2"},"why":"new"})");
  }
};

bool says(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

int openHolds(const BatchState& batch) {
  int open = 0;
  for (const Hold& hold : batch.holds) open += hold.lifted_by ? 0 : 1;
  return open;
}

std::string sampledWithShear(Laboratory& lab) {
  const std::string batch = lab.batchUpTo("sampled");
  lab.shear(batch, "1");
  lab.shear(batch, "2");
  return batch;
}

void askForStudies(Laboratory& lab) {
  Value plan = lab.state<Value>(projection::plan, ledger::nowKey("CP-1"))["noun"];
  for (Value& line : *plan.asObject()->at("lines").asArray())
    if (line.text("characteristic") == "shear")
      line.asObject()->insert_or_assign("gauge_study", "required");
  lab.done("plan issue", canonicalJson(Value::Object{{"noun", plan}, {"why", "ask"}}));
}

}  // namespace

TEST_CASE("the published study comes out as printed, and its categories are cut to four") {
  Laboratory lab;
  const Sequence by_variance = lab.done("gauge study", study(publishedRows()));
  const auto kept = fromValue<GaugeStudied>(lab.store->read()->fact(by_variance)->body);
  REQUIRE(bool(kept));
  CHECK(kept->standing == GaugeStanding::blocked);
  CHECK(kept->readings.size() == 30);
  CHECK(kept->unit == "g");
  std::map<std::string, double> found;
  for (const FigureValue& v : kept->values) found[v.name] = v.value.value.value();
  CHECK(found["share"] == doctest::Approx(27.86065).epsilon(1e-6));
  CHECK(found["categories"] == 4);
  CHECK(says(kept->notes.front(), "4 categories (4.86 before the cut)"));
  const Sequence by_ranges =
      lab.done("gauge study", study(publishedRows(), R"(,"by_ranges":true)"));
  CHECK(lab.store->read()->fact(by_ranges)->body.text("standing") == "needs acceptance");
}

TEST_CASE("a study's own spread of the tolerance counts where the tolerance is named") {
  Laboratory lab;
  const auto standing = [&](const std::string& tolerance) {
    const Sequence fact =
        lab.done("gauge study", study(goodRows(), R"(,"tolerance":")" + tolerance + "\""));
    return lab.store->read()->fact(fact)->body.text("standing");
  };
  // Six times the gauge's spread is 0.04 g: 4 %, 21 % and 42 % of the tolerance.
  CHECK(standing("1 g") == "usable");
  CHECK(standing("0.2 g") == "needs acceptance");
  CHECK(standing("200 mg") == "needs acceptance");
  CHECK(standing("0.1 g") == "blocked");
}

TEST_CASE("results of a gauge whose newest study blocks are kept and not counted") {
  Laboratory lab;
  const std::string batch = sampledWithShear(lab);
  lab.release(batch, "cure");
  lab.later();
  lab.done("gauge study", study(publishedRows()));
  CHECK(lab.batch(batch).cure.overtaken_by.has_value());
  CHECK(lab.batch(batch).evidence.size() == 3);  // a charge weight and two shear results
  const std::string said = lab.judged(batch);
  CHECK(says(said, "cannot decide"));
  CHECK(says(said, "gauge FM-1 cannot tell one from another for shear"));
  CHECK(says(said, "4 categories"));
  // A later study that is usable does not mend what was taken before.
  lab.later();
  lab.done("gauge study", study(goodRows()));
  CHECK(says(lab.judged(batch), "cannot decide"));
  lab.later();
  const std::string next = sampledWithShear(lab);
  CHECK(says(lab.judged(next), "conforms"));
}

TEST_CASE("a study that was mended speaks no more") {
  Laboratory lab;
  const std::string batch = sampledWithShear(lab);
  const Sequence wrong = lab.done("gauge study", study(publishedRows()));
  CHECK(says(lab.judged(batch), "cannot decide"));
  const std::string mend = R"({"gauge":"FM-1","characteristic":"shear","readings":[)" + goodRows() +
                           R"(],"remark":{"corrects":)" + std::to_string(wrong) +
                           R"(,"why":"a slip"}})";
  lab.done("gauge study", mend);
  CHECK(says(lab.judged(batch), "conforms"));
  checkCode(lab.ask("gauge study", mend), "correction.mended");
}

TEST_CASE("between the bounds a gauge counts when quality has signed for it") {
  Laboratory lab;
  const std::string batch = sampledWithShear(lab);
  lab.later();
  const Sequence made = lab.done("gauge study", study(publishedRows(), R"(,"by_ranges":true)"));
  // What was taken before it is not touched; what comes after it needs the signature.
  CHECK(says(lab.judged(batch), "conforms"));
  lab.later();
  const std::string next = sampledWithShear(lab);
  CHECK(says(lab.judged(next), "gauge FM-1 needs quality's acceptance for shear"));
  const auto accept = [&](Sequence study_fact, const std::string& reason = "good enough") {
    return lab.sign("gauge accept", R"({"gauge":"FM-1","characteristic":"shear","study":)" +
                                        std::to_string(study_fact) + R"(,"reason":")" + reason +
                                        R"("})");
  };
  checkCode(accept(made, ""), "gauge.accept_reason");
  checkRefused(accept(made - 1), "The newest study for shear is fact " + std::to_string(made));
  REQUIRE(bool(accept(made)));
  CHECK(says(lab.judged(next), "conforms"));
  checkRefused(accept(made), "It was accepted by fact");
  const Sequence usable = lab.done("gauge study", study(goodRows()));
  checkRefused(accept(usable), "The study asks for no acceptance");
  const Sequence blocked = lab.done("gauge study", study(publishedRows()));
  checkRefused(accept(blocked), "The study blocks the gauge");
}

TEST_CASE("a plan may ask for a study, and without one nothing counts") {
  Laboratory lab;
  const std::string before = sampledWithShear(lab);
  askForStudies(lab);
  const std::string batch = sampledWithShear(lab);
  CHECK(says(lab.judged(before), "conforms"));  // its plan did not ask
  CHECK(says(lab.judged(batch), "has no study for shear, and the control plan asks for one"));
  lab.later();
  lab.done("gauge study", study(goodRows()));
  CHECK(says(lab.judged(batch), "conforms"));
}

TEST_CASE("a gauge found wrong: its results no longer count and what is in the house is held") {
  Laboratory lab;
  const std::string shipped = lab.wholeBatch();
  const std::string released = lab.batchUpTo("released");
  const std::string other = lab.batchUpTo("pressed");
  lab.later();
  const auto report = lab.foundWrong("FM-1", R"(,"off":"3 g")");
  REQUIRE(bool(report));
  const auto said =
      fromValue<GaugeFoundWrong>(lab.store->read()->fact(report->sequences.front())->body);
  REQUIRE(bool(said));
  CHECK(said->results.size() == 4);  // two shear readings of each sheared batch
  for (const std::string& batch : {shipped, released}) {
    CHECK(lab.batch(batch).cure.overtaken_by == report->sequences.front());
    CHECK(lab.batch(batch).final.overtaken_by == report->sequences.front());
    CHECK(openHolds(lab.batch(batch)) == 1);  // both have pads here still
  }
  CHECK_FALSE(lab.batch(other).cure.overtaken_by);
  CHECK(openHolds(lab.batch(other)) == 0);
  checkRefused(
      lab.ask("box pack", R"({"batch":")" + released + R"(","pads":8,"sets":2,"remark":{}})"),
      "gauge FM-1 was found wrong: its cell is bent");
  const std::string verdict = lab.judged(released);
  CHECK(says(verdict, "cannot decide"));
  CHECK(says(verdict, "nobody has signed yet what becomes of its results"));
}

TEST_CASE("a batch that has left whole is not held, but its verdict is overtaken") {
  Laboratory lab;
  const std::string batch = lab.batchUpTo("released");
  const std::string box = lab.box(batch, 38);
  lab.done("shipment send",
           R"({"customer":"a customer","order":"1","boxes":[")" + box + R"("],"remark":{}})");
  REQUIRE(bool(lab.foundWrong("FM-1")));
  CHECK(openHolds(lab.batch(batch)) == 0);
  CHECK(lab.batch(batch).final.overtaken_by.has_value());
}

TEST_CASE("only the final gate is overtaken where only its results are touched") {
  Laboratory lab;
  const std::string batch = lab.batchUpTo("cure released");
  lab.later();
  lab.done(
      "batch finish",
      R"({"batch":")" + batch +
          R"(","operation":"grind","machine":"grinder","counts":{"good":38,"samples":0,"rework":0},"remark":{}})");
  lab.done("gauge issue", R"({"noun":{"code":"MI-1","name":"g","unit":"um","resolution":"1 um",)"
                          R"("calibration_due":"2026-12-31","calibration":"K-1"},"why":""})");
  lab.done(
      "reading take",
      R"({"subject":{"kind":"batch","id":")" + batch +
          R"("},"characteristic":"flatness","sample":"","gauges":["MI-1"],"numbers":{"readings":["20 um"]},"remark":{}})");
  lab.release(batch, "final");
  lab.later();
  lab.done("gauge study", R"({"gauge":"MI-1","characteristic":"flatness","readings":[)" +
                              publishedRows("um") + R"(],"remark":{}})");
  CHECK_FALSE(lab.batch(batch).cure.overtaken_by);
  CHECK(lab.batch(batch).final.overtaken_by.has_value());
}

TEST_CASE("an assessment lets results stand, or has them repeated") {
  Laboratory lab;
  const std::string batch = lab.batchUpTo("cure released");
  const std::string second = sampledWithShear(lab);
  lab.later();
  const Sequence report = lab.foundWrong("FM-1")->sequences.front();
  checkCode(lab.assess("FM-1", report + 1, "repeat"), "gauge.not_found_wrong");
  checkCode(lab.assess("SC-1", report, "repeat"), "gauge.not_found_wrong");
  checkCode(lab.assess("FM-1", report, "repeat", R"(,"except":[1])"), "gauge.except");
  const Sequence kept_out = *lab.batch(second).evidence.back().reading;
  REQUIRE(bool(lab.assess("FM-1", report, "results stand",
                          R"(,"except":[)" + std::to_string(kept_out) + "]")));
  CHECK(openHolds(lab.batch(batch)) == 0);
  CHECK(says(lab.judged(batch), "conforms"));
  CHECK(says(lab.judged(second), "it is to be repeated"));
  checkCode(lab.assess("FM-1", report, "repeat"), "gauge.assessed");

  const std::string third = sampledWithShear(lab);  // with a gauge that is not right again
  CHECK(says(lab.judged(third), "did not know this result"));
  lab.later();
  lab.calibrated("FM-1");
  const std::string fourth = sampledWithShear(lab);
  CHECK(says(lab.judged(fourth), "conforms"));
  CHECK(lab.trust("FM-1").wrong.front().right_again.has_value());
}

TEST_CASE("since when a gauge may be wrong: the newest moment it was right, or one that is named") {
  Laboratory lab;
  const std::string early = sampledWithShear(lab);
  lab.later();
  lab.calibrated("FM-1");
  const Sequence calibration = lab.store->read()->sequence();
  lab.later();
  const std::string late = sampledWithShear(lab);
  lab.later();
  checkCode(lab.foundWrong("FM-1", R"(,"last_right":3)"), "gauge.last_right");
  checkCode(lab.foundWrong("FM-1", R"(,"off":"3 mm")"), "unit.wrong_kind");
  checkCode(lab.foundWrong("FM-9"), "gauge.unknown");
  const Sequence report = lab.foundWrong("FM-1")->sequences.front();
  const WrongOnFile wrong = lab.trust("FM-1").wrong.front();
  CHECK(wrong.report.last_right == calibration);
  CHECK(wrong.report.results.size() == 2);
  CHECK(says(lab.judged(early), "conforms"));
  CHECK(says(lab.judged(late), "was found wrong on 2026-03-02 (fact " + std::to_string(report)));
}

TEST_CASE("what a scale found wrong has weighed is not known, and it weighs no more") {
  Laboratory lab;
  const std::string batch = sampledWithShear(lab);
  const Sequence opened = lab.done("mix open", R"({"batch":")" + lab.openBatch() +
                                                   R"(","machine":"mixer","remark":{"why":"x"}})");
  const std::string mix = lab.store->read()->fact(opened)->body.text("mix");
  lab.later();
  REQUIRE(bool(lab.foundWrong("SC-1")));
  const std::string said = lab.judged(batch);
  CHECK(says(said, "cannot decide"));
  CHECK(says(said, "resin does not count: gauge SC-1 was found wrong"));
  CHECK(openHolds(lab.batch(batch)) == 1);
  const std::string weighing = R"({"mix":")" + mix +
                               R"(","material":"resin","lot":"R-1","mass":"10.02 kg",)"
                               R"("gauge":"SC-1","remark":{}})";
  checkRefused(lab.ask("mix weigh", weighing), "is not right again");
  lab.later();
  lab.calibrated("SC-1");
  const auto again = lab.ask("mix weigh", weighing);
  CHECK(says(again ? "" : missingWords(again.error()), "is not right again") == false);
}

TEST_CASE("a daily check that fails asks the same question, and a mended one takes it back") {
  Laboratory lab;
  lab.done("gauge issue",
           R"({"noun":{"code":"FM-1","name":"gauge","unit":"g","resolution":"1 g",)"
           R"("calibration_due":"2026-12-31","calibration":"K-1","daily_check":)"
           R"({"reference":"weight","nominal":"100 g","tolerance":"1 g"}},"why":"daily"})");
  const auto check = [&](const std::string& reading, const std::string& remark = "{}") {
    const auto answer = lab.ask("gauge check", R"({"gauge":"FM-1","readings":[")" + reading +
                                                   R"("],"remark":)" + remark + "}");
    REQUIRE(bool(answer));
    return answer->sequences.front();
  };
  check("100 g");
  lab.later();
  const std::string batch = sampledWithShear(lab);
  lab.later();
  const Sequence failed = check("102 g");
  REQUIRE(lab.trust("FM-1").wrong.size() == 1);
  CHECK(lab.trust("FM-1").wrong.front().report.check == failed);
  CHECK(openHolds(lab.batch(batch)) == 1);
  check("102 g");  // the same question, asked once
  CHECK(lab.trust("FM-1").wrong.size() == 1);
  CHECK(says(lab.judged(batch), "was found wrong"));
  check("100 g", R"({"corrects":)" + std::to_string(failed) + R"(,"why":"read upside down"})");
  CHECK(lab.trust("FM-1").wrong.front().withdrawn_by.has_value());
  CHECK(openHolds(lab.batch(batch)) == 0);
  lab.later();
  check("100 g");
  CHECK(says(lab.judged(batch), "conforms"));

  lab.later();
  const Sequence report = check("97 g") + 1;
  lab.later();
  check("100 g");
  const WrongOnFile wrong = lab.trust("FM-1").wrong.back();
  CHECK(wrong.fact == report);
  CHECK(wrong.right_again.has_value());
  CHECK_FALSE(wrong.assessed_by);  // that it passes now says nothing about what it read before
  lab.later();
  const std::string after = sampledWithShear(lab);
  CHECK(says(lab.judged(after), "conforms"));
}

TEST_CASE("bias, linearity and agreement are kept with their figures") {
  Laboratory lab;
  const auto figures = [&](const std::string& act, const std::string& input) {
    const Sequence fact = lab.done(act, input);
    std::map<std::string, double> found;
    const auto kept = fromValue<GaugeStudied>(lab.store->read()->fact(fact)->body);
    REQUIRE(bool(kept));
    CHECK_FALSE(kept->standing);
    for (const FigureValue& v : kept->values) found[v.name] = v.value.value.value();
    return found;
  };
  auto bias = figures(
      "gauge bias",
      R"({"gauge":"FM-1","characteristic":"shear","reference":"10 g","readings":["10.2 g","10.4 g","0.0103 kg"],"remark":{}})");
  CHECK(bias["bias"] == doctest::Approx(0.3));
  auto line = figures(
      "gauge linearity",
      R"({"gauge":"FM-1","characteristic":"shear","references":[{"reference":"2 g","readings":["2.1 g","2.1 g"]},{"reference":"10 g","readings":["10.5 g","10.6 g"]}],"remark":{}})");
  CHECK(line["slope"] == doctest::Approx(0.45 / 8));
  auto two = figures(
      "gauge agreement",
      R"({"gauge":"FM-1","characteristic":"shear","appraisers":["A","B"],"parts":[{"part":"1","classes":["good","good"]},{"part":"2","classes":["bad","bad"]},{"part":"3","classes":["good","bad"]},{"part":"4","classes":["bad","bad"],"known":"bad"}],"remark":{}})");
  CHECK(two["agreed"] == doctest::Approx(75));
  CHECK(two["kappa"] == doctest::Approx(0.5));  // by chance (2·1 + 2·3)/16 = 1/2
  auto three = figures(
      "gauge agreement",
      R"({"gauge":"FM-1","characteristic":"shear","appraisers":["A","B","C"],"parts":[{"part":"1","classes":["good","good","good"]},{"part":"2","classes":["bad","bad","bad"]}],"remark":{}})");
  CHECK(three["kappa"] == doctest::Approx(1));
}

TEST_CASE("who writes first, who writes second: a wrong gauge, a release, an acceptance") {
  const Ask wrong{"gauge found-wrong", R"({"gauge":"FM-1","found":"bent","remark":{}})"};
  const auto release = [](Laboratory& lab, const std::string& batch) {
    const Sequence verdict =
        lab.done("batch judge", R"({"batch":")" + batch + R"(","gate":"cure"})");
    return Ask{"batch release",
               R"({"batch":")" + batch + R"(","gate":"cure","verdict":)" + std::to_string(verdict) +
                   R"(,"meaning":"I release it"})",
               true};
  };
  Laboratory taken, used;
  const Ask first = release(taken, sampledWithShear(taken));
  takenFirst(taken, wrong, first, "is overtaken");
  usedFirst(used, release(used, sampledWithShear(used)), wrong);

  const Ask again{"gauge study", study(goodRows())};
  const auto accept = [](Laboratory& lab) {
    const Sequence made = lab.done("gauge study", study(publishedRows(), R"(,"by_ranges":true)"));
    return Ask{"gauge accept",
               R"({"gauge":"FM-1","characteristic":"shear","study":)" + std::to_string(made) +
                   R"(,"reason":"good enough"})",
               true};
  };
  Laboratory studied, accepted;
  takenFirst(studied, again, accept(studied), "The newest study for shear is fact");
  usedFirst(accepted, accept(accepted), again);
}

}  // namespace platemark::test
