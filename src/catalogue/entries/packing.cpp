#include "platemark/method/packing/box_choice.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

Error edgeMissing(std::size_t lengths, std::size_t widths, std::size_t heights) {
  Error error;
  error.code = "box_choice.edges_differ";
  error.what =
      fmt::format("{} lengths, {} widths and {} heights are given.", lengths, widths, heights);
  error.where.field = "numbers.box_length";
  error.expected = "three edges for each box";
  error.remedy = "Give length, width and height of each box, in the same order.";
  return error;
}

Length lengthOf(double metres) { return Length::of(metres, unit::metre); }
Length lengthNamed(const Inputs& inputs, const std::string& name) {
  return lengthOf(si(one(inputs, name)));
}

Result<std::vector<method::Block>> boxesFrom(const Inputs& inputs) {
  const std::vector<double> lengths = siList(inputs, "box_length"),
                            widths = siList(inputs, "box_width"),
                            heights = siList(inputs, "box_height");
  if (lengths.size() != widths.size() || lengths.size() != heights.size())
    return edgeMissing(lengths.size(), widths.size(), heights.size());
  std::vector<method::Block> boxes;
  for (std::size_t i = 0; i < lengths.size(); ++i)
    boxes.push_back({lengthOf(lengths[i]), lengthOf(widths[i]), lengthOf(heights[i])});
  return boxes;
}

double millimetres(Length length) { return length.in(unit::millimetre); }

/// "⌊(300 − 2·2)/140⌋" along one edge.
std::string counted(Length edge, Length clearance, Length set) {
  return fmt::format("⌊({:g} − 2·{:g})/{:g}⌋", millimetres(edge), millimetres(clearance),
                     millimetres(set));
}

Result<Evaluation> evaluateBoxChoice(const Entry& entry, const Inputs& inputs) {
  const Result<std::vector<method::Block>> boxes = boxesFrom(inputs);
  if (!boxes) return boxes.error();
  const method::Block set{lengthNamed(inputs, "set_length"), lengthNamed(inputs, "set_width"),
                          lengthNamed(inputs, "set_height")};
  const Length clearance = lengthNamed(inputs, "clearance");
  const double wanted = si(one(inputs, "sets"));
  if (wanted != static_cast<double>(static_cast<std::int64_t>(wanted))) {
    Error error = missingInput("sets", fmt::format("{:g} sets are no whole number.", wanted));
    error.code = "box_choice.sets";
    error.expected = "a whole number";
    return error;
  }
  const auto chosen = method::chooseBox(*boxes, set, clearance, static_cast<std::int64_t>(wanted));
  if (!chosen) return atInput(chosen.error());

  const method::BoxFit& fit = chosen->fit;
  const method::Block& box = (*boxes)[chosen->box];
  Evaluation evaluation;
  evaluation.outputs = {output(entry, "box", static_cast<double>(chosen->box + 1)),
                        output(entry, "sets_per_box", static_cast<double>(fit.sets)),
                        output(entry, "fill", chosen->fill.in(unit::one))};
  static constexpr const char* edges[] = {"length", "width", "height"};
  std::string factors;
  for (std::size_t i = 0; i < box.size(); ++i) {
    factors += (i == 0 ? "" : " · ") + counted(box[i], clearance, set[fit.lies[i]]);
    evaluation.working.push_back(
        line(fmt::format("n{}", i + 1),
             fmt::format("sets along the {} of the box, {} of the set along it", edges[i],
                         edges[fit.lies[i]]),
             fromSi(static_cast<double>(fit.along[i]), "1")));
  }
  evaluation.substituted_formula = fmt::format("n = {} = {}", factors, fit.sets);
  return evaluation;
}

Entry boxChoiceEntry() {
  Entry entry;
  entry.id = "packing.box_choice";
  entry.version = method::box_choice_version;
  entry.title = "Box for a set of pads";
  entry.words =
      "The smallest box on file that holds the wanted number of wrapped sets, all lying the same "
      "way, and how many sets it holds.";
  entry.formula =
      "n_i = ⌊(B_i − 2c)/s_i⌋;  n = n₁·n₂·n₃, the most over six ways to lie;  of the "
      "boxes with n ≥ N the one with the least B₁·B₂·B₃";
  entry.inputs = {
      listOf(value("box_length", "B₁", "inner length of each box", Kind::length, "mm", 0)),
      listOf(value("box_width", "B₂", "inner width of each box, in the same order", Kind::length,
                   "mm", 0)),
      listOf(value("box_height", "B₃", "inner height of each box, in the same order", Kind::length,
                   "mm", 0)),
      value("set_length", "s₁", "length of the wrapped set", Kind::length, "mm", 0),
      value("set_width", "s₂", "width of the wrapped set", Kind::length, "mm", 0),
      value("set_height", "s₃", "height of the wrapped set", Kind::length, "mm", 0),
      value("clearance", "c", "kept free at each wall", Kind::length, "mm", 0),
      value("sets", "N", "sets wanted in one box", Kind::number, "1", 1)};
  entry.outputs = {{"box", "k", "the chosen box, by its place in the list", Kind::number, "1", 0},
                   {"sets_per_box", "n", "sets it holds", Kind::number, "1", 0},
                   {"fill", "", "volume of the wanted sets, of the box", Kind::number, "%", 1}};
  entry.validity =
      "Sets as rectangular blocks that may lie on any face. A mixed stack can hold more than n; it "
      "is never promised. Of two boxes of equal volume the one with the shorter longest edge is "
      "taken, then the one named first.";
  entry.uncertainty = "None: lengths are nominal. Allow for the board's bulge in the clearance.";
  entry.source = "Geometry.";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/box_choice.csv";
  entry.example.numbers = {{"box_length", typedList({"180", "300", "400"}, "mm")},
                           {"box_width", typedList({"130", "180", "300"}, "mm")},
                           {"box_height", typedList({"75", "140", "150"}, "mm")},
                           {"set_length", typedList({"160"}, "mm")},
                           {"set_width", typedList({"120"}, "mm")},
                           {"set_height", typedList({"70"}, "mm")},
                           {"clearance", typedList({"2"}, "mm")},
                           {"sets", typedList({"2"}, "1")}};
  entry.evaluate = evaluateBoxChoice;
  return entry;
}

}  // namespace

std::vector<Entry> packingEntries() { return {boxChoiceEntry()}; }

}  // namespace platemark::catalogue
