#include "platemark/catalogue/catalogue.h"

#include <doctest/doctest.h>

#include <array>
#include <set>

#include "entries/entries.h"

using namespace platemark;
using namespace platemark::catalogue;

namespace {

Error errorOf(const Entry& entry, const Inputs& inputs) {
  const Result<Evaluation> result = evaluate(entry, inputs);
  REQUIRE_FALSE(result);
  return result.error();
}

/// What the person at the form needs: where, what is allowed and what to do.
void checkHelpful(const Error& error, const std::string& code, const std::string& field) {
  CAPTURE(describe(error));
  CHECK(error.code == code);
  CHECK(error.where.field == field);
  CHECK_FALSE(error.what.empty());
  CHECK_FALSE(error.expected.empty());
  CHECK_FALSE(error.remedy.empty());
}

/// The error of one input set to one value, if it is about its range.
bool refusedByRange(const Entry& entry, const Input& input, const Measure& measure) {
  Inputs inputs = entry.example;
  inputs.numbers[input.name] = {measure};
  const Result<Evaluation> result = evaluate(entry, inputs);
  return !result && result.error().code == "catalogue.out_of_range";
}

/// A value of the input's own unit, brought to every unit of its kind.
template <class Check>
void inEveryUnit(const Input& input, double value, Check check) {
  for (const UnitRow& row : unitRows()) {
    if (row.kind != input.kind) continue;
    const Measure own{Decimal::fromDouble(value), input.unit};
    check(*convert(own, row.code, 9));
  }
}

}  // namespace

TEST_CASE("A bound belongs to its range in every unit it can be typed in") {
  int bounds = 0;
  for (const Entry& entry : entries()) {
    if (entry.evaluate == nullptr) continue;
    for (const Input& input : entry.inputs) {
      for (const std::optional<double>& bound : {input.min, input.max}) {
        if (!bound) continue;
        ++bounds;
        inEveryUnit(input, *bound, [&](const Measure& measure) {
          CAPTURE(entry.id);
          CAPTURE(input.name);
          CAPTURE(format(measure));
          CHECK_FALSE(refusedByRange(entry, input, measure));
        });
      }
    }
  }
  CHECK(bounds > 20);
}

TEST_CASE("A value beyond its bound is refused in every unit it can be typed in") {
  for (const Entry& entry : entries()) {
    if (entry.evaluate == nullptr) continue;
    for (const Input& input : entry.inputs) {
      const auto refused = [&](const Measure& measure) {
        CAPTURE(entry.id);
        CAPTURE(input.name);
        CAPTURE(format(measure));
        CHECK(refusedByRange(entry, input, measure));
      };
      if (input.min) inEveryUnit(input, *input.min - 0.01, refused);
      if (input.max) inEveryUnit(input, *input.max + 0.01, refused);
    }
  }
}

TEST_CASE("Every refusal names the field, what is allowed and what to do") {
  const Entry& porosity = *find("bench.porosity");
  Inputs inputs = porosity.example;
  inputs.numbers.erase("dry");
  checkHelpful(errorOf(porosity, inputs), "catalogue.missing_input", "numbers.dry");
  inputs.numbers["dry"] = {};
  checkHelpful(errorOf(porosity, inputs), "catalogue.missing_input", "numbers.dry");
  inputs.numbers["dry"] = {*parseMeasure("1 g"), *parseMeasure("2 g")};
  checkHelpful(errorOf(porosity, inputs), "catalogue.one_value", "numbers.dry");
  inputs.numbers["dry"] = {*parseMeasure("-1 g")};
  checkHelpful(errorOf(porosity, inputs), "catalogue.out_of_range", "numbers.dry");
  CHECK(errorOf(porosity, inputs).what.find(format(*parseMeasure("-1 g"))) != std::string::npos);
  inputs.numbers["dry"] = {*parseMeasure("1 mm")};
  checkHelpful(errorOf(porosity, inputs), "unit.wrong_kind", "numbers.dry");
  inputs = porosity.example;
  inputs.numbers["colour"] = {*parseMeasure("1 mm")};
  checkHelpful(errorOf(porosity, inputs), "catalogue.unknown_input", "numbers.colour");
}

TEST_CASE("A wrong or missing choice is refused with the options") {
  const Entry& compression = *find("bench.compressibility");
  Inputs inputs = compression.example;
  inputs.choices.clear();
  checkHelpful(errorOf(compression, inputs), "catalogue.missing_input", "choices.pressure_basis");
  inputs.choices = {{"pressure_basis", "both"}};
  checkHelpful(errorOf(compression, inputs), "catalogue.unknown_choice", "choices.pressure_basis");
  CHECK(errorOf(compression, inputs).expected == "line, specific");
  inputs = compression.example;
  inputs.choices["colour"] = "red";
  checkHelpful(errorOf(compression, inputs), "catalogue.unknown_choice", "choices.colour");
  const Entry& porosity = *find("bench.porosity");
  inputs = porosity.example;
  inputs.choices["colour"] = "red";
  checkHelpful(errorOf(porosity, inputs), "catalogue.unknown_choice", "choices.colour");
}

TEST_CASE("A wrong value in a list is refused at its place") {
  const Entry& sieve = *find("powder.sieve");
  Inputs inputs = sieve.example;
  inputs.numbers["retained"][2] = *parseMeasure("-1 g");
  checkHelpful(errorOf(sieve, inputs), "catalogue.out_of_range", "numbers.retained[2]");
  inputs.numbers["retained"][2] = *parseMeasure("1 mm");
  checkHelpful(errorOf(sieve, inputs), "unit.wrong_kind", "numbers.retained[2]");
}

TEST_CASE("A method on a recorded series is described, not computed from typed values") {
  const Entry* cure = find("cure.chart");
  REQUIRE(cure != nullptr);
  CHECK(errorOf(*cure, {}).code == "catalogue.not_callable");
}

TEST_CASE("An entry is found by id and version, the newest by id alone") {
  std::set<std::pair<std::string, int>> keys;
  for (const Entry& entry : entries()) {
    CAPTURE(entry.id);
    CHECK(keys.insert({entry.id, entry.version}).second);
    CHECK(find(entry.id, entry.version) == &entry);
    REQUIRE(find(entry.id) != nullptr);
    CHECK(find(entry.id)->version >= entry.version);
    CHECK(find(entry.id, entry.version + 1000) == nullptr);
  }
  CHECK(find("bench.unheard_of") == nullptr);
}

TEST_CASE("An old version stays callable beside a newer one, in whatever order they stand") {
  for (const auto& versions : {std::array{1, 2, 3}, {3, 1, 2}, {2, 3, 1}}) {
    std::vector<Entry> list(4);
    list[0].id = "made.other";
    list[0].version = 9;
    for (std::size_t i = 0; i < versions.size(); ++i) {
      list[i + 1].id = "made.up";
      list[i + 1].version = versions[i];
    }
    CHECK(findIn(list, "made.up", 0)->version == 3);
    for (const int version : versions) CHECK(findIn(list, "made.up", version)->version == version);
    CHECK(findIn(list, "made.up", 4) == nullptr);
    CHECK(findIn(list, "made.down", 0) == nullptr);
  }
}

TEST_CASE("The same inputs give the same text, and the text gives the number back") {
  for (const Entry& entry : entries()) {
    if (entry.evaluate == nullptr) continue;
    CAPTURE(entry.id);
    const Result<Evaluation> first = evaluate(entry, entry.example);
    const Result<Evaluation> again = evaluate(entry, entry.example);
    REQUIRE(first);
    REQUIRE(again);
    REQUIRE(first->outputs.size() == again->outputs.size());
    for (std::size_t i = 0; i < first->outputs.size(); ++i) {
      const Measure& value = first->outputs[i].value;
      CHECK(value.value.text() == again->outputs[i].value.value.text());
      CHECK(Decimal::parse(value.value.text(), DecimalMark::point)->value() == value.value.value());
    }
  }
}
