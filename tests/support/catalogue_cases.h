/// Check cases that name a catalogue entry: the row says inputs and output, the entry computes.
///
/// Columns: id, entry, inputs, output, expected, unit, tolerance, origin, mark, from.
///   inputs    "apertures=250 180 um; pan=4.87 g; denominator=initial": numbers with one unit at
///             the end (none: a plain number), or the option of a choice
///   expected  a number; or "error:<code>"; or the reason why an output is only a bound
#pragma once

#include <iterator>

#include "platemark/catalogue/catalogue.h"
#include "support/cases.h"

namespace platemark::test {

inline std::string trimmed(const std::string& text) {
  const auto begin = text.find_first_not_of(' '), end = text.find_last_not_of(' ');
  return begin == std::string::npos ? "" : text.substr(begin, end - begin + 1);
}

inline bool startsNumber(const std::string& word) {
  return word.find_first_of("0123456789") <= 1 && word.find_first_of("+-.0123456789") == 0;
}

inline void addInput(catalogue::Inputs& inputs, const std::string& name, const std::string& text) {
  std::istringstream words(text);
  std::vector<std::string> list{std::istream_iterator<std::string>(words), {}};
  if (list.size() == 1 && !startsNumber(list.front())) {
    inputs.choices[name] = list.front();
    return;
  }
  std::string unit = "1";
  if (!list.empty() && !startsNumber(list.back())) {
    unit = list.back();
    list.pop_back();
  }
  std::vector<Measure>& values = inputs.numbers[name];
  for (const std::string& word : list)
    values.push_back({*Decimal::parse(word, DecimalMark::point), unit});
}

inline catalogue::Inputs inputsOf(const Case& row) {
  catalogue::Inputs inputs;
  std::istringstream parts(row.text("inputs"));
  for (std::string part; std::getline(parts, part, ';');) {
    const auto equals = part.find('=');
    if (equals == std::string::npos) throw std::runtime_error(row.place + ": no '=' in " + part);
    addInput(inputs, trimmed(part.substr(0, equals)), trimmed(part.substr(equals + 1)));
  }
  return inputs;
}

inline const catalogue::OutputValue* outputNamed(const catalogue::Evaluation& evaluation,
                                                 const std::string& name) {
  for (const catalogue::OutputValue& value : evaluation.outputs)
    if (value.name == name) return &value;
  return nullptr;
}

inline void checkOutput(const Case& row, const catalogue::OutputValue& value) {
  CHECK(value.value.unit == row.text("unit"));
  if (startsNumber(row.text("expected"))) {
    CHECK(value.determined);
    checkNumber(row, value.value.value.value());
    return;
  }
  CHECK_FALSE(value.determined);
  CHECK(value.why == row.text("expected"));
}

inline void checkCase(const Case& row) {
  const catalogue::Entry* entry = catalogue::find(row.text("entry"));
  REQUIRE(entry != nullptr);
  const Result<catalogue::Evaluation> evaluation = catalogue::evaluate(*entry, inputsOf(row));
  const std::string& expected = row.text("expected");
  if (expected.starts_with("error:")) {
    REQUIRE_FALSE(evaluation);
    CHECK("error:" + evaluation.error().code == expected);
    return;
  }
  const std::string failure = evaluation ? "" : describe(evaluation.error());
  REQUIRE_MESSAGE(evaluation, failure);
  const catalogue::OutputValue* value = outputNamed(*evaluation, row.text("output"));
  REQUIRE(value != nullptr);
  checkOutput(row, *value);
}

inline void checkCases(const std::string& path) { eachCase(path, checkCase); }

}  // namespace platemark::test
