/// A result between two studies, and a result within the time in which its gauge may have been
/// wrong.
#include "platemark/gate/gauge_trust.h"

#include <doctest/doctest.h>

#include "support/cases.h"

namespace platemark::test {
namespace {

Instant minute(int n) { return Instant::fromUnixMs(60'000LL * n); }

StudyOnFile studyAt(int when, GaugeStanding standing, Sequence fact = 10) {
  StudyOnFile study;
  study.fact = fact;
  study.characteristic = "hardness";
  study.happened = minute(when);
  study.standing = standing;
  study.found = "figures";
  return study;
}

/// "b50 n80 a20": a study that blocks at minute 50, one that needs acceptance at 80, one accepted
/// at 20; u: usable; x: blocks, and was mended; o: blocks, for another characteristic.
GaugeTrust trustFrom(const std::string& text) {
  GaugeTrust trust;
  std::istringstream words(text);
  for (std::string word; words >> word;) {
    const char kind = word[0];
    StudyOnFile study = studyAt(std::stoi(word.substr(1)), kind == 'u' ? GaugeStanding::usable
                                                           : kind == 'n' || kind == 'a'
                                                               ? GaugeStanding::needs_acceptance
                                                               : GaugeStanding::blocked);
    if (kind == 'a') study.accepted_by = 99;
    if (kind == 'x') study.corrected_by = 98;
    if (kind == 'o') study.characteristic = "density";
    trust.studies.push_back(study);
  }
  return trust;
}

FigureValue figureOf(const std::string& name, const std::string& value, const std::string& unit) {
  FigureValue figure;
  figure.name = name;
  figure.value = {*Decimal::parse(value, DecimalMark::point), unit};
  return figure;
}

}  // namespace

TEST_CASE("which studies let a result count") {
  for (const Case& row : loadCases("gate/cases/gauge_study.csv").rows) {
    INFO(describeCase(row));
    const std::vector<std::string> doubts =
        gate::studyDoubts({"HR-1", "hardness", minute(60), 5}, trustFrom(row.text("studies")),
                          row.text("required") == "yes");
    if (row.text("doubt").empty())
      CHECK(doubts.empty());
    else
      CHECK((!doubts.empty() && doubts.front().find(row.text("doubt")) != std::string::npos));
  }
}

TEST_CASE("a study's standing by its shares and categories") {
  for (const Case& row : loadCases("gate/cases/gauge_standing.csv").rows) {
    INFO(describeCase(row));
    std::vector<FigureValue> values;
    for (const char* name : {"share", "tolerance_share"})
      if (!row.text(name).empty()) values.push_back(figureOf(name, row.text(name), "%"));
    if (!row.text("categories").empty())
      values.push_back(figureOf("categories", row.text("categories"), "1"));
    CHECK(word(gate::studyStanding(values)) == row.text("standing"));
  }
}

TEST_CASE("a gauge found wrong reaches from when it was right to when it is right again") {
  WrongOnFile wrong;
  wrong.fact = 30;
  wrong.report.last_right_at = minute(10);
  wrong.happened = minute(20);
  const auto doubts = [&](int taken, Sequence fact = 5) {
    GaugeTrust trust;
    trust.wrong = {wrong};
    return gate::wrongDoubts({"HR-1", "hardness", minute(taken), fact}, trust).size();
  };
  CHECK(doubts(9) == 0);
  CHECK(doubts(10) == 1);
  CHECK(doubts(20) == 1);
  CHECK(doubts(1000) == 1);
  wrong.right_again = minute(40);
  CHECK(doubts(39) == 1);
  CHECK(doubts(40) == 0);

  wrong.assessed_by = 31;
  wrong.assessed = GaugeAssessed{"HR-1", 30, GaugeAssessment::results_stand, {6}, {5, 6}, "x"};
  CHECK(doubts(15, 5) == 0);
  CHECK(doubts(15, 6) == 1);
  CHECK(doubts(15, 7) == 1);  // nobody who signed knew of it
  wrong.assessed->outcome = GaugeAssessment::repeat;
  CHECK(doubts(15, 5) == 1);
  CHECK(doubts(15, 6) == 0);
  CHECK(doubts(15, 7) == 1);

  wrong.withdrawn_by = 32;
  CHECK(doubts(15, 7) == 0);
}

TEST_CASE("a gauge found wrong is not used before it is right again") {
  GaugeTrust trust;
  CHECK(gate::mayUseGauge(trust, "HR-1").empty());
  trust.wrong.emplace_back();
  REQUIRE(gate::mayUseGauge(trust, "HR-1").size() == 1);
  CHECK(gate::mayUseGauge(trust, "HR-1").front().how.find("calibrated") != std::string::npos);
  trust.wrong.front().report.check = 7;
  CHECK(gate::mayUseGauge(trust, "HR-1").front().how.find("check it again") != std::string::npos);
  trust.wrong.front().assessed_by = 8;  // what it read is settled; that it is right is not
  CHECK(gate::mayUseGauge(trust, "HR-1").size() == 1);
  trust.wrong.front().right_again = minute(1);
  CHECK(gate::mayUseGauge(trust, "HR-1").empty());
}

}  // namespace platemark::test
