/// Small words the entries are written with.
#pragma once

#include <fmt/format.h>

#include <string>
#include <vector>

#include "entries.h"

namespace platemark::catalogue {

/// A value of an example; `text` is written here in the source, so it parses.
inline Measure typed(const char* text, const char* unit) {
  return {*Decimal::parse(text, DecimalMark::point), unit};
}

inline std::vector<Measure> typedList(std::initializer_list<const char*> texts, const char* unit) {
  std::vector<Measure> list;
  for (const char* text : texts) list.push_back(typed(text, unit));
  return list;
}

inline Input value(std::string name, std::string symbol, std::string words, Kind kind,
                   std::string unit, std::optional<double> min = {},
                   std::optional<double> max = {}) {
  return {std::move(name), std::move(symbol), std::move(words), kind, std::move(unit), min, max};
}

inline Input listOf(Input input) {
  input.list = true;
  return input;
}

inline Input ifKnown(Input input) {
  input.optional = true;
  return input;
}

inline bool isGiven(const Inputs& inputs, const std::string& name) {
  const auto found = inputs.numbers.find(name);
  return found != inputs.numbers.end() && !found->second.empty();
}

/// As typed when it was typed in `unit`, else brought to it.
inline std::string numberIn(const Measure& measure, std::string_view unit) {
  if (measure.unit == unit) return measure.value.text();
  return fmt::format("{:.10g}", fromSi(si(measure), unit).value.value());
}

inline WorkingLine line(std::string symbol, std::string words, Measure measure) {
  return {std::move(symbol), std::move(words), std::move(measure), {}, 0};
}

/// Each input that was given, as it was typed, in the entry's order.
inline std::vector<WorkingLine> asTyped(const Entry& entry, const Inputs& inputs) {
  std::vector<WorkingLine> lines;
  for (const Input& input : entry.inputs)
    if (isGiven(inputs, input.name))
      for (const Measure& given : inputs.numbers.at(input.name))
        lines.push_back(line(input.symbol, input.words, given));
  return lines;
}

inline Error missingInput(const std::string& name, std::string what) {
  Error error;
  error.code = "catalogue.missing_input";
  error.what = std::move(what);
  error.where.field = "numbers." + name;
  error.remedy = "Enter it, or leave out what needs it.";
  return error;
}

/// A method names its own inputs; a caller of the catalogue sent them under numbers.
inline Error atInput(Error error) {
  error.where.field = "numbers." + error.where.field;
  return error;
}

}  // namespace platemark::catalogue
