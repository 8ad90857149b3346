#include "platemark/catalogue/catalogue.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "entries/entries.h"

namespace platemark::catalogue {
namespace {

Error inputError(std::string_view code, std::string field, std::string what, std::string expected,
                 std::string remedy) {
  Error error;
  error.code = "catalogue." + std::string(code);
  error.what = std::move(what);
  error.where.field = std::move(field);
  error.expected = std::move(expected);
  error.remedy = std::move(remedy);
  return error;
}

std::string fieldOf(const Input& input) { return "numbers." + input.name; }

/// The names of inputs or choices, or "none".
template <class Named>
std::string namesOf(const std::vector<Named>& list) {
  std::string names;
  for (const Named& named : list) names += (names.empty() ? "" : ", ") + named.name;
  return names.empty() ? "none" : names;
}

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
  return text;
}

std::string rangeWords(const Input& input) {
  const Result<UnitRow> unit = findUnit(input.unit);
  const std::string symbol = unit && !unit->symbol.empty() ? " " + std::string(unit->symbol) : "";
  if (input.min && input.max) return fmt::format("{} to {}{}", *input.min, *input.max, symbol);
  if (input.min) return fmt::format("at least {}{}", *input.min, symbol);
  if (input.max) return fmt::format("at most {}{}", *input.max, symbol);
  return "";
}

/// `field` is that of the value itself, in a list with its place.
Result<void> checkValue(const Input& input, const Measure& measure, const std::string& field) {
  const Result<double> si = siValue(measure, input.kind);
  if (!si) return Error(si.error()).at({"", 0, "", field});
  const Result<UnitRow> unit = findUnit(input.unit);
  const double value = (*si - unit->offset) / unit->factor;
  // A bound that was typed in another unit may have lost its last bits on the way.
  const double slack = 1e-12 * std::abs(value);
  const bool inside =
      (!input.min || value >= *input.min - slack) && (!input.max || value <= *input.max + slack);
  if (inside) return {};
  const std::string range = rangeWords(input);
  return inputError("out_of_range", field,
                    fmt::format("{} is {}; it can be {}.", input.words, format(measure), range),
                    range, "Check the value and its unit on the instrument and enter it again.");
}

Result<void> checkValues(const Input& input, const std::vector<Measure>& values) {
  for (std::size_t i = 0; i < values.size(); ++i) {
    const std::string place = input.list ? fmt::format("[{}]", i) : "";
    if (Result<void> value = checkValue(input, values[i], fieldOf(input) + place); !value)
      return value;
  }
  return {};
}

Result<void> checkInput(const Input& input, const Inputs& given) {
  const auto found = given.numbers.find(input.name);
  const bool absent = found == given.numbers.end() || found->second.empty();
  if (absent && input.optional) return {};
  const std::string wanted =
      std::string(input.list ? "values, each " : "") + std::string(kindName(input.kind));
  if (absent)
    return inputError("missing_input", fieldOf(input),
                      fmt::format("{} ({}) is missing.", input.words, input.name), wanted,
                      "Enter it with its unit.");
  if (!input.list && found->second.size() != 1)
    return inputError(
        "one_value", fieldOf(input),
        fmt::format("{} takes one value; {} were given.", input.words, found->second.size()),
        wanted, "Enter the one that counts.");
  return checkValues(input, found->second);
}

template <class Named>
const Named* namedIn(const std::vector<Named>& list, const std::string& name) {
  const auto found =
      std::find_if(list.begin(), list.end(), [&](const Named& n) { return n.name == name; });
  return found == list.end() ? nullptr : &*found;
}

Result<void> checkUnknown(const Entry& entry, const Inputs& given) {
  for (const auto& [name, values] : given.numbers)
    if (namedIn(entry.inputs, name) == nullptr)
      return inputError("unknown_input", "numbers." + name,
                        fmt::format("{} takes no '{}'.", entry.title, name), namesOf(entry.inputs),
                        "Leave it out, or enter it under the name it has here.");
  return {};
}

Result<void> checkChoice(const Entry& entry, const std::string& name, const std::string& option) {
  const std::string field = "choices." + name;
  const Choice* choice = namedIn(entry.choices, name);
  if (choice == nullptr)
    return inputError("unknown_choice", field,
                      fmt::format("{} has no choice '{}'.", entry.title, name),
                      namesOf(entry.choices), "Leave it out.");
  if (std::count(choice->options.begin(), choice->options.end(), option) > 0) return {};
  return inputError("unknown_choice", field,
                    fmt::format("'{}' cannot be chosen for '{}'.", option, name),
                    joined(choice->options), "Choose one of these.");
}

/// The choices as made, with the fall-backs filled in.
Result<Inputs> withChoices(const Entry& entry, Inputs given) {
  for (const auto& [name, option] : given.choices)
    if (Result<void> known = checkChoice(entry, name, option); !known) return known.error();
  for (const Choice& choice : entry.choices) {
    if (given.choices.contains(choice.name)) continue;
    if (choice.fallback.empty())
      return inputError("missing_input", "choices." + choice.name,
                        fmt::format("{} ({}) must be chosen.", choice.words, choice.name),
                        joined(choice.options), "Choose one of these.");
    given.choices[choice.name] = choice.fallback;
  }
  return given;
}

const std::vector<Entry>& all() {
  static const std::vector<Entry> list = [] {
    std::vector<Entry> gathered;
    for (auto make :
         {powderEntries, benchEntries, waterEntries, compoundEntries, packingEntries,
          statisticsEntries, frictionEntries, frictionMachineEntries, cureEntries, cureModelEntries,
          brakeEntries, gaugeEntries, sizesEntries, assayEntries, plateEntries, padEntries,
          decisionEntries, controlChartEntries, pressEntries}) {
      std::vector<Entry> more = make();
      gathered.insert(gathered.end(), std::make_move_iterator(more.begin()),
                      std::make_move_iterator(more.end()));
    }
    return gathered;
  }();
  return list;
}

const Output& outputNamed(const Entry& entry, std::string_view name) {
  return *std::find_if(entry.outputs.begin(), entry.outputs.end(),
                       [&](const Output& o) { return o.name == name; });
}

Decimal shortestExact(double value) {
  // Shortest text that gives the double back: replays bit for bit.
  return Decimal::fromDouble(value);
}

}  // namespace

std::string_view words(Mark mark) {
  static constexpr std::array<std::string_view, 4> list{
      "read in the source", "read through another text that quotes the source",
      "remembered, not verified", "definition of this project"};
  return list[static_cast<std::size_t>(mark)];
}

std::span<const Entry> entries() { return all(); }

const Entry* find(std::string_view id, int version) { return findIn(all(), id, version); }

const Entry* findIn(std::span<const Entry> list, std::string_view id, int version) {
  const Entry* best = nullptr;
  for (const Entry& entry : list) {
    if (entry.id != id) continue;
    if (entry.version == version) return &entry;
    if (version == 0 && (best == nullptr || entry.version > best->version)) best = &entry;
  }
  return best;
}

Result<Evaluation> evaluate(const Entry& entry, const Inputs& inputs) {
  if (entry.evaluate == nullptr)
    return inputError(
        "not_callable", "",
        fmt::format("{} works on a recorded series, not on typed values.", entry.title),
        "a recorded series", "Read the recorder's file in.");
  if (Result<void> known = checkUnknown(entry, inputs); !known) return known.error();
  for (const Input& input : entry.inputs)
    if (Result<void> checked = checkInput(input, inputs); !checked) return checked.error();
  const Result<Inputs> complete = withChoices(entry, inputs);
  if (!complete) return complete.error();
  return entry.evaluate(entry, *complete);
}

const Measure& one(const Inputs& inputs, const std::string& name) {
  return inputs.numbers.at(name).front();
}

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
