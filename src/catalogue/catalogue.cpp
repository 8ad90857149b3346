#include "platemark/catalogue/catalogue.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>

#include "entries/entries.h"

namespace platemark::catalogue {
namespace {

Error inputError(std::string_view code, const std::string& name, std::string what, std::string expected = "") {
  Error error;
  error.code = "catalogue." + std::string(code);
  error.what = std::move(what);
  error.where.field = "numbers." + name;
  error.expected = std::move(expected);
  return error;
}

std::string rangeWords(const Input& input) {
  const Result<UnitRow> unit = findUnit(input.unit);
  const std::string symbol = unit && !unit->symbol.empty() ? " " + std::string(unit->symbol) : "";
  if (input.min && input.max) return fmt::format("{} to {}{}", *input.min, *input.max, symbol);
  if (input.min) return fmt::format("at least {}{}", *input.min, symbol);
  if (input.max) return fmt::format("at most {}{}", *input.max, symbol);
  return "";
}

Result<void> checkValue(const Input& input, const Measure& measure) {
  const Result<double> si = siValue(measure, input.kind);
  if (!si) return Error(si.error()).at({"", 0, "", "numbers." + input.name});
  const Result<UnitRow> unit = findUnit(input.unit);
  const double value = (*si - unit->offset) / unit->factor;
  if ((input.min && value < *input.min) || (input.max && value > *input.max)) {
    Error error = inputError("out_of_range", input.name, fmt::format("{} is {}; it can be {}.", input.words, format(measure), rangeWords(input)), rangeWords(input));
    error.remedy = "Check the value and its unit on the instrument and enter it again.";
    return error;
  }
  return {};
}

Result<void> checkInput(const Input& input, const Inputs& given) {
  const auto found = given.numbers.find(input.name);
  const bool absent = found == given.numbers.end() || found->second.empty();
  if (absent && input.optional) return {};
  if (absent) return inputError("missing_input", input.name, fmt::format("{} ({}) is missing.", input.words, input.name));
  if (!input.list && found->second.size() != 1)
    return inputError("one_value", input.name, fmt::format("{} takes one value; {} were given.", input.words, found->second.size()));
  for (const Measure& measure : found->second)
    if (Result<void> checked = checkValue(input, measure); !checked) return checked;
  return {};
}

Result<void> checkUnknown(const Entry& entry, const Inputs& given) {
  for (const auto& [name, values] : given.numbers) {
    const bool known = std::any_of(entry.inputs.begin(), entry.inputs.end(), [&](const Input& i) { return i.name == name; });
    if (known) continue;
    std::string names;
    for (const Input& input : entry.inputs) names += (names.empty() ? "" : ", ") + input.name;
    return inputError("unknown_input", name, fmt::format("{} takes no '{}'.", entry.title, name), names);
  }
  return {};
}

/// The choices as made, with the fall-backs filled in.
Result<Inputs> withChoices(const Entry& entry, Inputs given) {
  for (const auto& [name, option] : given.choices) {
    const auto choice = std::find_if(entry.choices.begin(), entry.choices.end(), [&](const Choice& c) { return c.name == name; });
    const bool known = choice != entry.choices.end() && std::find(choice->options.begin(), choice->options.end(), option) != choice->options.end();
    if (known) continue;
    Error error = inputError("unknown_choice", name, fmt::format("'{}' cannot be chosen for '{}'.", option, name));
    error.where.field = "choices." + name;
    if (choice != entry.choices.end())
      for (const std::string& o : choice->options) error.expected += (error.expected.empty() ? "" : ", ") + o;
    return error;
  }
  for (const Choice& choice : entry.choices) {
    if (given.choices.contains(choice.name)) continue;
    if (choice.fallback.empty()) {
      Error error = inputError("missing_input", choice.name, fmt::format("{} ({}) must be chosen.", choice.words, choice.name));
      error.where.field = "choices." + choice.name;
      return error;
    }
    given.choices[choice.name] = choice.fallback;
  }
  return given;
}

const std::vector<Entry>& all() {
  static const std::vector<Entry> list = [] {
    std::vector<Entry> gathered;
    for (auto make : {powderEntries, benchEntries, compoundEntries, statisticsEntries, frictionEntries, cureEntries}) {
      std::vector<Entry> more = make();
      gathered.insert(gathered.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
    }
    return gathered;
  }();
  return list;
}

const Output& outputNamed(const Entry& entry, std::string_view name) {
  return *std::find_if(entry.outputs.begin(), entry.outputs.end(), [&](const Output& o) { return o.name == name; });
}

Decimal shortestExact(double value) {
  // Shortest text that gives the double back: replays bit for bit.
  return Decimal::fromDouble(value);
}

}  // namespace

std::string_view words(Mark mark) {
  static constexpr std::array<std::string_view, 4> list{"read in the source", "read through another text that quotes the source", "remembered, not verified", "definition of this project"};
  return list[static_cast<std::size_t>(mark)];
}

std::span<const Entry> entries() { return all(); }

const Entry* find(std::string_view id, int version) {
  const Entry* best = nullptr;
  for (const Entry& entry : all()) {
    if (entry.id != id) continue;
    if (entry.version == version) return &entry;
    if (version == 0 && (best == nullptr || entry.version > best->version)) best = &entry;
  }
  return best;
}

Result<Evaluation> evaluate(const Entry& entry, const Inputs& inputs) {
  if (entry.evaluate == nullptr) return inputError("not_callable", "", fmt::format("{} works on a recorded series, not on typed values.", entry.title));
  if (Result<void> known = checkUnknown(entry, inputs); !known) return known.error();
  for (const Input& input : entry.inputs)
    if (Result<void> checked = checkInput(input, inputs); !checked) return checked.error();
  const Result<Inputs> complete = withChoices(entry, inputs);
  if (!complete) return complete.error();
  return entry.evaluate(entry, *complete);
}

const Measure& one(const Inputs& inputs, const std::string& name) { return inputs.numbers.at(name).front(); }

double si(const Measure& measure) {
  const Result<UnitRow> unit = findUnit(measure.unit);
  return measure.value.value() * unit->factor + unit->offset;
}

std::vector<double> siList(const Inputs& inputs, const std::string& name) {
  std::vector<double> list;
  const auto found = inputs.numbers.find(name);
  if (found == inputs.numbers.end()) return list;
  for (const Measure& measure : found->second) list.push_back(si(measure));
  return list;
}

Measure fromSi(double si_value, std::string_view unit_code) {
  const Result<UnitRow> unit = findUnit(unit_code);
  return {shortestExact((si_value - unit->offset) / unit->factor), std::string(unit->code)};
}

Measure differenceFromSi(double si_value, std::string_view unit_code) {
  const Result<UnitRow> unit = findUnit(unit_code);
  return {shortestExact(si_value / unit->factor), std::string(unit->code)};
}

OutputValue output(const Entry& entry, std::string_view name, double si_value) {
  return {std::string(name), fromSi(si_value, outputNamed(entry, name).unit), {}, true, ""};
}

OutputValue output(const Entry& entry, std::string_view name, double si_value, double u) {
  OutputValue value = output(entry, name, si_value);
  value.standard_uncertainty = differenceFromSi(u, outputNamed(entry, name).unit);
  return value;
}

}  // namespace platemark::catalogue
