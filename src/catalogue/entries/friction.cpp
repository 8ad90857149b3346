#include "platemark/method/friction/letters.h"

#include <fmt/ranges.h>

#include "entries.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

using namespace method::friction;

std::vector<Share> sharesOf(const Inputs& inputs, const std::string& name) {
  std::vector<Share> list;
  for (const double value : siList(inputs, name)) list.push_back(Share::of(value, unit::one));
  return list;
}

std::string meanInNumbers(const Inputs& inputs, const std::string& name, Share mean) {
  std::vector<std::string> numbers;
  for (const Measure& measure : inputs.numbers.at(name)) numbers.push_back(numberIn(measure, "1"));
  return fmt::format("({})/{} = {:.3f}", fmt::join(numbers, " + "), numbers.size(),
                     mean.in(unit::one));
}

std::vector<WorkingLine> readingLines(const Inputs& inputs, const std::string& name,
                                      const std::string& symbol) {
  std::vector<WorkingLine> lines;
  for (const Measure& measure : inputs.numbers.at(name)) {
    const std::string index = std::to_string(lines.size() + 1);
    lines.push_back(line(symbol + "," + index, name + " reading " + index, measure));
  }
  return lines;
}

Result<Evaluation> evaluateLetters(const Entry& entry, const Inputs& inputs) {
  const Result<FrictionCode> code =
      frictionCode(sharesOf(inputs, "normal"), sharesOf(inputs, "hot"));
  if (!code) return atInput(code.error());
  Evaluation result;
  result.outputs = {output(entry, "normal", code->normal.in(unit::one)),
                    output(entry, "hot", code->hot.in(unit::one))};
  result.substituted_formula = "µ_n = " + meanInNumbers(inputs, "normal", code->normal) +
                               "; µ_h = " + meanInNumbers(inputs, "hot", code->hot);
  result.working = readingLines(inputs, "normal", "µ_n");
  for (WorkingLine& hot : readingLines(inputs, "hot", "µ_h"))
    result.working.push_back(std::move(hot));
  result.notes = {"SAE J866: " + code->letters};
  if (!code->as_the_test)
    result.notes.push_back(
        fmt::format("The test has 4 normal and 10 hot readings; these are {} and {}.",
                    inputs.numbers.at("normal").size(), inputs.numbers.at("hot").size()));
  return result;
}

Entry letters() {
  Entry entry;
  entry.id = "friction.letters";
  entry.version = friction_letters_version;
  entry.title = "Friction letters";
  entry.words =
      "Normal and hot coefficient of friction of a small-sample drum test and their code letters.";
  entry.formula =
      "µ = mean of the readings; C ≤ 0.15 < D ≤ 0.25 < E ≤ 0.35 < F ≤ 0.45 < G ≤ 0.55 < H";
  entry.inputs = {listOf(value("normal", "µ_n", "normal readings", Kind::number, "1", 0, 2)),
                  listOf(value("hot", "µ_h", "hot readings", Kind::number, "1", 0, 2))};
  entry.outputs = {{"normal", "µ_n", "normal coefficient of friction", Kind::number, "1", 3},
                   {"hot", "µ_h", "hot coefficient of friction", Kind::number, "1", 3}};
  entry.validity =
      "Readings of SAE J661: four normal, ten hot. The letter is taken on the mean before "
      "rounding; an upper bound belongs to its letter. The letters set no requirement and do not "
      "predict how a vehicle brakes.";
  entry.uncertainty =
      "Readings at different temperatures are no repeats, so none follows from one test; take it "
      "from repeated tests of one lot.";
  entry.source =
      "SAE J866 (2019), letters and counts of readings, through another text; that the letter is "
      "taken before rounding is a definition of this project";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/friction_letters.csv";
  entry.example.numbers = {{"normal", typedList({"0.38", "0.40", "0.41", "0.39"}, "1")},
                           {"hot", typedList({"0.40", "0.39", "0.37", "0.36", "0.33", "0.31",
                                              "0.30", "0.34", "0.36", "0.38"},
                                             "1")}};
  entry.evaluate = evaluateLetters;
  return entry;
}

}  // namespace

std::vector<Entry> frictionEntries() { return {letters()}; }

}  // namespace platemark::catalogue
