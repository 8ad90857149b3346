/// One entry per method of the trade: its words, inputs, outputs, source and how
/// to compute it by name. Terminal help, forms, working panels and the handbook
/// are made from it. Old versions stay callable, so that a figure on record can
/// be computed again as it was.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "platemark/quantity/measure.h"
#include "platemark/quantity/result.h"

namespace platemark::catalogue {

/// How sure a source is: read in itself, read through another text, or remembered and not verified.
enum class Mark { read, secondary, remembered, own };
[[nodiscard]] std::string_view words(Mark mark);

struct Input {
  std::string name;    ///< "pad_volume"
  std::string symbol;  ///< "V"
  std::string words;   ///< "volume of compound on one pad"
  Kind kind = Kind::number;
  std::string unit;                ///< UCUM code shown when nothing else is typed
  std::optional<double> min, max;  ///< in `unit`, inclusive
  bool list = false;               ///< several values in order
  bool optional = false;
};

struct Choice {
  std::string name;
  std::string words;
  std::vector<std::string> options;
  std::string fallback;  ///< taken when none is given; "" when one must be given
};

struct Output {
  std::string name;
  std::string symbol;
  std::string words;
  Kind kind = Kind::number;
  std::string unit;  ///< UCUM code
  int decimals = 2;  ///< shown; the stored value keeps more
};

struct Inputs {
  std::map<std::string, std::vector<Measure>> numbers;
  std::map<std::string, std::string> choices;
};

struct OutputValue {
  std::string name;
  Measure value;  ///< at least 12 significant digits, in the output's unit
  std::optional<Measure> standard_uncertainty;
  bool determined = true;  ///< false: a bound; `why` says which
  std::string why;
};

/// One line of the working: an input or an intermediate value.
struct WorkingLine {
  std::string symbol;
  std::string words;
  Measure value;
  std::optional<Measure> u;      ///< standard uncertainty
  double share_of_variance = 0;  ///< of the result's variance, 0…1
};

struct Evaluation {
  std::vector<OutputValue> outputs;
  std::string substituted_formula;
  std::vector<WorkingLine> working;
  std::vector<std::string> notes;
};

struct Entry {
  std::string id;  ///< "bench.density"
  int version = 1;
  std::string title;
  std::string words;    ///< what it is for, one sentence
  std::string formula;  ///< plain text
  std::vector<Input> inputs;
  std::vector<Choice> choices;
  std::vector<Output> outputs;
  std::string validity;  ///< where it holds and where not
  std::string uncertainty;
  std::string source;  ///< standard or paper with edition and page
  Mark mark = Mark::own;
  std::string outside_check;  ///< file under tests/ that checks it against the outside
  Inputs example;
  /// Absent for methods whose input is a recorded series.
  Result<Evaluation> (*evaluate)(const Entry& entry, const Inputs& inputs) = nullptr;
};

[[nodiscard]] std::span<const Entry> entries();
/// Version 0: the newest.
[[nodiscard]] const Entry* find(std::string_view id, int version = 0);

/// Checks names, units, ranges, missing and unknown inputs, then computes.
/// Errors: catalogue.unknown_input, catalogue.missing_input, catalogue.out_of_range,
/// catalogue.one_value, catalogue.unknown_choice, catalogue.not_callable, unit.*, and those of the
/// method.
[[nodiscard]] Result<Evaluation> evaluate(const Entry& entry, const Inputs& inputs);

}  // namespace platemark::catalogue
