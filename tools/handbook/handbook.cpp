#include "handbook.h"

#include <fmt/format.h>

#include <algorithm>

namespace platemark::handbook {
namespace {

using namespace catalogue;

/// A cell of a Markdown table: the sign that parts cells is written out.
std::string cell(std::string text) {
  for (std::size_t at = 0; (at = text.find('|', at)) != std::string::npos; at += 2)
    text.replace(at, 1, "\\|");
  return text;
}

std::string symbolOf(const std::string& unit_code) {
  const Result<UnitRow> unit = findUnit(unit_code);
  return unit ? std::string(unit->symbol) : unit_code;
}

std::string rangeOf(const Input& input) {
  if (input.min && input.max) return fmt::format("{} to {}", *input.min, *input.max);
  if (input.min) return fmt::format("at least {}", *input.min);
  if (input.max) return fmt::format("at most {}", *input.max);
  return "";
}

std::string howMany(const Input& input) {
  if (input.list) return input.optional ? "several, or none" : "several";
  return input.optional ? "one, or none" : "one";
}

std::string inputTable(const Entry& entry) {
  std::string text =
      "## Inputs\n\n| Name | Symbol | What | Unit | Range | How many "
      "|\n|---|---|---|---|---|---|\n";
  for (const Input& input : entry.inputs)
    text += fmt::format("| `{}` | {} | {} | {} | {} | {} |\n", input.name, cell(input.symbol),
                        cell(input.words), symbolOf(input.unit), rangeOf(input), howMany(input));
  return text + "\n";
}

std::string choiceTable(const Entry& entry) {
  if (entry.choices.empty()) return "";
  std::string text = "| Choice | What | Options | Taken when none is made |\n|---|---|---|---|\n";
  for (const Choice& choice : entry.choices)
    text += fmt::format("| `{}` | {} | {} | {} |\n", choice.name, cell(choice.words),
                        fmt::join(choice.options, ", "),
                        choice.fallback.empty() ? "must be made" : choice.fallback);
  return text + "\n";
}

std::string outputTable(const Entry& entry) {
  std::string text = "## Outputs\n\n| Name | Symbol | What | Unit |\n|---|---|---|---|\n";
  for (const Output& output : entry.outputs)
    text += fmt::format("| `{}` | {} | {} | {} |\n", output.name, cell(output.symbol),
                        cell(output.words), symbolOf(output.unit));
  return text + "\n";
}

std::string listed(const std::vector<Measure>& measures) {
  std::string text;
  for (const Measure& measure : measures) text += (text.empty() ? "" : "; ") + format(measure);
  return text;
}

int decimalsOf(const Entry& entry, const std::string& name) {
  const auto found = std::find_if(entry.outputs.begin(), entry.outputs.end(),
                                  [&](const Output& output) { return output.name == name; });
  return found == entry.outputs.end() ? 2 : found->decimals;
}

std::string shown(const Entry& entry, const OutputValue& value) {
  const int decimals = decimalsOf(entry, value.name);
  const auto rounded = [&](const Measure& m) {
    return format({Decimal::fixed(m.value.value(), decimals), m.unit});
  };
  if (!value.determined) return value.why;
  if (!value.standard_uncertainty) return rounded(value.value);
  return rounded(value.value) + ", standard uncertainty " + rounded(*value.standard_uncertainty);
}

std::string exampleGiven(const Entry& entry) {
  std::string text = "| Given | Value |\n|---|---|\n";
  for (const Input& input : entry.inputs)
    if (const auto found = entry.example.numbers.find(input.name);
        found != entry.example.numbers.end())
      text += fmt::format("| `{}` | {} |\n", input.name, listed(found->second));
  for (const auto& [name, option] : entry.example.choices)
    text += fmt::format("| `{}` | {} |\n", name, option);
  return text + "\n";
}

std::string exampleFound(const Entry& entry, const Evaluation& evaluation) {
  std::string text = "| Found | Value |\n|---|---|\n";
  for (const OutputValue& value : evaluation.outputs)
    text += fmt::format("| `{}` | {} |\n", value.name, cell(shown(entry, value)));
  text += "\n";
  if (!evaluation.substituted_formula.empty())
    text += fmt::format("    {}\n\n", evaluation.substituted_formula);
  for (const std::string& note : evaluation.notes) text += note + "\n\n";
  return text;
}

Result<std::string> example(const Entry& entry) {
  if (entry.evaluate == nullptr)
    return std::string("## Example\n\nThe method reads a recorded series, not typed values.\n\n");
  const Result<Evaluation> evaluation = evaluate(entry, entry.example);
  if (!evaluation) return evaluation.error();
  return "## Example\n\n" + exampleGiven(entry) + exampleFound(entry, *evaluation);
}

/// Some sources are lists of titles: closed with a full stop on a page.
std::string closed(const std::string& text) { return text.ends_with('.') ? text : text + "."; }

std::string grounds(const Entry& entry) {
  return fmt::format(
      "## Where it holds\n\n{}\n\n## Uncertainty\n\n{}\n\n## Source\n\n{}\n\nMark: {}.\n\n"
      "Checked against the outside in `tests/{}`.\n\n",
      entry.validity, entry.uncertainty, closed(entry.source), words(entry.mark),
      entry.outside_check);
}

}  // namespace

Result<std::string> page(const Entry& entry) {
  const Result<std::string> worked = example(entry);
  if (!worked) return worked.error();
  std::string text = fmt::format("# {}\n\n`{}`, version {}\n\n{}\n\n## Formula\n\n    {}\n\n",
                                 entry.title, entry.id, entry.version, entry.words, entry.formula);
  text += inputTable(entry) + choiceTable(entry) + outputTable(entry);
  return text + grounds(entry) + *worked + std::string(kept_below) + "\n";
}

std::string fileName(const Entry& entry) {
  const Entry* newest = find(entry.id);
  if (newest == nullptr || newest->version == entry.version) return entry.id + ".md";
  return fmt::format("{}.v{}.md", entry.id, entry.version);
}

Parts partsOf(const std::string& file) {
  const auto mark = file.find(kept_below);
  if (mark == std::string::npos) return {file, ""};
  const auto end = std::min(file.size(), mark + kept_below.size() + 1);
  return {file.substr(0, end), file.substr(end)};
}

}  // namespace platemark::handbook
