/// A line of the plan against results in every unit, statistic and distance from its limits.
#include <doctest/doctest.h>

#include "files.h"
#include "support/cases.h"

namespace platemark::test {
namespace {

using gate::judgeLot;

std::string trimmed(const std::string& text) {
  const auto first = text.find_first_not_of(' ');
  return first == std::string::npos ? ""
                                    : text.substr(first, text.find_last_not_of(' ') - first + 1);
}

std::vector<std::string> parted(const std::string& text, const std::string& by) {
  std::vector<std::string> parts;
  std::size_t from = 0;
  for (auto at = text.find(by); at != std::string::npos; at = text.find(by, from)) {
    parts.push_back(trimmed(text.substr(from, at - from)));
    from = at + by.size();
  }
  parts.push_back(trimmed(text.substr(from)));
  return parts;
}

/// "300 N/cm2"; the unit is taken as it stands, known or not.
std::optional<Measure> measureOf(const std::string& text) {
  if (text.empty()) return {};
  const auto at = text.find(' ');
  return mea(text.substr(0, at), text.substr(at + 1));
}

/// "300 N/cm2 ± 3 N/cm2 #1"
Evidence resultOf(Sequence figure, const std::string& text) {
  const std::vector<std::string> named = parted(text, "#"), uncertain = parted(named[0], "±");
  return shear(figure, *measureOf(uncertain[0]), named.size() > 1 ? named[1] : "",
               measureOf(uncertain.size() > 1 ? uncertain[1] : ""));
}

std::vector<Evidence> resultsOf(const std::string& cell) {
  std::vector<Evidence> results;
  for (const std::string& text : parted(cell, ";"))
    if (!text.empty()) results.push_back(resultOf(static_cast<Sequence>(results.size()) + 1, text));
  return results;
}

template <class Enum>
Enum enumOf(const std::string& name) {
  for (std::size_t i = 0; i < EnumWords<Enum>::words.size(); ++i)
    if (EnumWords<Enum>::words[i] == name) return static_cast<Enum>(i);
  throw std::runtime_error("no such word: " + name);
}

PlanLine lineOf(const Case& row) {
  PlanLine line = shearLine(limit(measureOf(row.text("lower")), measureOf(row.text("upper"))),
                            enumOf<Statistic>(row.text("statistic")),
                            static_cast<std::int64_t>(row.number("samples")));
  if (!row.text("probability").empty()) line.probability = dec(row.text("probability"));
  return line;
}

/// Spaces that do not break are written as plain ones in the rows.
std::string plain(std::string text) {
  for (const std::string space : {"\u00a0", "\u202f", "\u2009"})
    for (auto at = text.find(space); at != std::string::npos; at = text.find(space))
      text.replace(at, space.size(), " ");
  return text;
}

void checkMeasure(const std::optional<Measure>& found, const std::string& expected) {
  const std::optional<Measure> wanted = measureOf(expected);
  REQUIRE(found.has_value() == wanted.has_value());
  if (!wanted) return;
  CHECK(found->unit == wanted->unit);
  CHECK(found->value.value() == doctest::Approx(wanted->value.value()).epsilon(1e-12));
}

Finding only(const gate::LotFile& file) {
  const VerdictGiven verdict = judgeLot(file);
  REQUIRE(verdict.findings.size() == 1);
  return verdict.findings.front();
}

Evidence bounded(std::optional<Measure> at_least, std::optional<Measure> at_most,
                 std::string unit = "N/cm2") {
  Evidence evidence = shear(1, mea("300", std::move(unit)));
  FigureValue& value = evidence.values.front();
  value.determined = false;
  value.why = "The rig lost a channel.";
  value.at_least = std::move(at_least);
  value.at_most = std::move(at_most);
  return evidence;
}

}  // namespace

TEST_CASE("each row: the word, what stands against the limit, and the sentence") {
  eachCase("gate/cases/compare.csv", [](const Case& row) {
    const Finding finding = only(lotWith(lineOf(row), resultsOf(row.text("results"))));
    CHECK(finding.word == enumOf<FindingWord>(row.text("word")));
    checkMeasure(finding.result, row.text("result"));
    checkMeasure(finding.u, row.text("u"));
    if (!row.text("sentence").empty()) CHECK(plain(finding.sentence) == row.text("sentence"));
    CHECK(plain(finding.note.value_or("")) == row.text("note"));
  });
}

TEST_CASE("each row: what the decision rule of a line says") {
  eachCase("gate/cases/decision_rule.csv", [](const Case& row) {
    PlanLine line = shearLine(limit(measureOf(row.text("lower")), measureOf(row.text("upper"))));
    if (!row.text("rule").empty()) line.rule = enumOf<DecisionRule>(row.text("rule"));
    if (!row.text("probability").empty()) line.probability = dec(row.text("probability"));
    const Finding finding = only(lotWith(line, resultsOf(row.text("results"))));
    const std::string sentence = plain(finding.sentence);
    CAPTURE(sentence);
    CHECK(finding.word == enumOf<FindingWord>(row.text("word")));
    CHECK(sentence.find(row.text("says")) != std::string::npos);
    CHECK((sentence.find("Probability of conformity") == std::string::npos) ==
          (row.text("rule").empty() || !finding.u.has_value()));
  });
}

TEST_CASE("a bound speaks in its own unit, and only beyond the limit it has") {
  const Limit from_to = limit(mea("250", "N/cm2"), mea("600", "N/cm2"));
  const Finding below = only(lotWith(shearLine(from_to), {bounded({}, mea("2.4", "MPa"))}));
  CHECK(below.word == FindingWord::outside_below);
  CHECK(plain(below.sentence) ==
        "Shear strength: at most 240 N/cm², outside (250 to 600 N/cm² [Works standard 12, issue 2, "
        "4.1]). The rig lost a channel.");
  const Finding above = only(lotWith(shearLine(from_to), {bounded(mea("6.1", "MPa"), {})}));
  CHECK(above.word == FindingWord::outside_above);
  CHECK(plain(above.sentence) ==
        "Shear strength: at least 610 N/cm², outside (250 to 600 N/cm² [Works standard 12, issue "
        "2, 4.1]). The rig lost a channel.");
  CHECK(above.at_least == mea("6.1", "MPa"));
  CHECK_FALSE(above.at_most);
  const auto wordOf = [](const Limit& with, const Evidence& result) {
    return only(lotWith(shearLine(with), {result})).word;
  };
  CHECK(wordOf(from_to, bounded(mea("600", "N/cm2"), {})) == FindingWord::missing);
  CHECK(wordOf(from_to, bounded({}, mea("2.6", "MPa"))) == FindingWord::missing);
  CHECK(wordOf(from_to, bounded(mea("5.9", "MPa"), {})) == FindingWord::missing);
  const Limit at_least = limit(mea("250", "N/cm2"), {}), at_most = limit({}, mea("600", "N/cm2"));
  CHECK(wordOf(at_least, bounded(mea("1", "N/cm2"), {})) == FindingWord::missing);
  CHECK(wordOf(at_most, bounded({}, mea("900", "N/cm2"))) == FindingWord::missing);
}

TEST_CASE("bounds are told of the one result that is there, if they can be compared") {
  const PlanLine line = shearLine(limit({}, mea("600", "N/cm2")));
  const Evidence result = bounded(mea("300", "N/cm2"), mea("400", "N/cm2"));
  const Finding known = only(lotWith(line, {result}));
  CHECK(known.at_least == mea("300", "N/cm2"));
  CHECK(known.at_most == mea("400", "N/cm2"));
  CHECK(known.sentence == "Shear strength: 0 of 1 result. The rig lost a channel.");
  Evidence doubted = shear(2, mea("300", "N/cm2"));
  doubted.doubts = {"gauge FM-1 was dropped"};
  const Finding of_two = only(lotWith(line, {result, doubted}));
  CHECK_FALSE(of_two.at_least);
  CHECK(of_two.sentence ==
        "Shear strength: 0 of 1 result. The rig lost a channel. The result does not count: gauge "
        "FM-1 was dropped");
  const Finding of_minutes =
      only(lotWith(shearLine(limit(mea("100", "min"), {})), {bounded({}, mea("400", "N/cm2"))}));
  CHECK(of_minutes.word == FindingWord::missing);
  CHECK_FALSE(of_minutes.at_most);
}

TEST_CASE("an unconfirmed limit that was adopted is heard against a bound too") {
  gate::LotFile file =
      lotWith(shearLine(limit(mea("250", "N/cm2"), {}, false)), {bounded({}, mea("240", "N/cm2"))});
  CHECK(only(file).word == FindingWord::missing);
  file.adoptions = {{50, {"CP-1", 1, "shear", "the document", ""}, 7}};
  CHECK(only(file).word == FindingWord::outside_below);
}

TEST_CASE("an adoption is of one plan, one issue and one characteristic") {
  gate::LotFile file =
      lotWith(shearLine(limit(mea("250", "N/cm2"), {}, false)), {shear(1, mea("300", "N/cm2"))});
  const auto wordWith = [&](const std::string& plan, std::int64_t issue,
                            const std::string& characteristic) {
    file.adoptions = {{50, {plan, issue, characteristic, "the document", ""}, 7}};
    return only(file).word;
  };
  CHECK(wordWith("CP-1", 1, "shear") == FindingWord::inside);
  CHECK(wordWith("CP-2", 1, "shear") == FindingWord::unconfirmed);
  CHECK(wordWith("CP-1", 2, "shear") == FindingWord::unconfirmed);
  CHECK(wordWith("CP-1", 1, "hardness") == FindingWord::unconfirmed);
}

TEST_CASE("evidence serves the line of its method, and of its characteristic when it names one") {
  const PlanLine line = shearLine(limit(mea("250", "N/cm2"), {}));
  const auto wordOf = [&](const std::string& method, const std::string& characteristic) {
    Evidence evidence = shear(1, mea("300", "N/cm2"), "1");
    evidence.method = method;
    evidence.characteristic = characteristic;
    return only(lotWith(line, {evidence}));
  };
  CHECK(wordOf("bench.shear", "shear").word == FindingWord::inside);
  CHECK(wordOf("bench.shear", "").word == FindingWord::inside);
  CHECK(wordOf("bench.shear", "hot shear").figures.empty());
  CHECK(wordOf("bench.hardness", "shear").figures.empty());
  CHECK(wordOf("bench.hardness", "").figures.empty());
}

TEST_CASE("what is kept and not counted is said, by its sample where it has one") {
  const PlanLine line = shearLine(limit(mea("250", "N/cm2"), {}));
  Evidence doubted = shear(1, mea("300", "N/cm2"), "4");
  doubted.doubts = {"it was wet"};
  CHECK(only(lotWith(line, {doubted})).sentence ==
        "Shear strength: 0 of 1 result. Sample 4 does not count: it was wet");
  Evidence another = shear(1, mea("300", "N/cm2"));
  another.values.front().name = "force";
  CHECK(only(lotWith(line, {another})).sentence ==
        "Shear strength: 0 of 1 result. The result does not hold shear_strength.");
  Evidence open = shear(1, mea("300", "N/cm2"));
  open.values.front().determined = false;
  CHECK(only(lotWith(line, {open})).sentence ==
        "Shear strength: 0 of 1 result. The result could not be determined.");
}

TEST_CASE("a source is named as far as it is known") {
  const auto sourceOf = [](const std::string& edition, const std::string& clause) {
    Limit with = limit(mea("250", "N/cm2"), {});
    with.source.edition = edition;
    with.source.clause = clause;
    return only(lotWith(shearLine(with), {})).source;
  };
  CHECK(sourceOf("", "") == "Works standard 12");
  CHECK(sourceOf("issue 2", "") == "Works standard 12, issue 2");
  CHECK(sourceOf("", "4.1") == "Works standard 12, 4.1");
}

TEST_CASE("a line of another gate is not asked; one without a limit is named") {
  gate::LotFile file =
      lotWith(shearLine(limit(mea("250", "N/cm2"), {})), {shear(1, mea("300", "N/cm2"))});
  PlanLine later = file.plan.lines.front();
  later.gate = Gate::final;
  file.plan.lines.push_back(later);
  CHECK(judgeLot(file).findings.size() == 1);
  file.plan.lines.front().limits.clear();
  const Finding bare = only(file);
  CHECK(bare.word == FindingWord::no_limit);
  CHECK(bare.sentence == "Shear strength: no limit is on file.");
  file.plan.lines.erase(file.plan.lines.begin());
  CHECK(only(file).sentence == "No control plan with a line for the lot gate is on file.");
}

}  // namespace platemark::test
