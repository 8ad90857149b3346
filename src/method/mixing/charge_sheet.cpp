#include "platemark/method/mixing/charge_sheet.h"

#include <fmt/format.h>

#include <cmath>

#include "../bad_input.h"

namespace platemark::method {
namespace {

Result<void> checkLine(std::size_t i, const ChargeSheetLine& line) {
  if (!(line.parts > 0) || !std::isfinite(line.parts))
    return badInput("charge_sheet.parts", fmt::format("parts[{}]", i),
                    fmt::format("Line {} has {:g} parts.", i + 1, line.parts), "above 0");
  const double tolerance = line.tolerance.in(unit::percent);
  if (!(tolerance >= 0 && tolerance < 100))
    return badInput("charge_sheet.tolerance", fmt::format("tolerances[{}]", i),
                    fmt::format("Line {} has a tolerance of {:g} %.", i + 1, tolerance),
                    "0 % or more and below 100 %");
  return {};
}

}  // namespace

Result<std::vector<ChargeSheetMass>> chargeSheet(std::span<const ChargeSheetLine> formula,
                                                 Mass mix) {
  if (formula.empty())
    return badInput("charge_sheet.empty", "parts", "The formula has no lines.",
                    "at least one line");
  const double kilograms = mix.in(unit::kilogram);
  if (!(kilograms > 0) || !std::isfinite(kilograms))
    return badInput("charge_sheet.mix_mass", "mix_mass",
                    fmt::format("The mix has {:g} kg.", kilograms), "above 0 kg");
  double sum = 0;
  for (std::size_t i = 0; i < formula.size(); ++i) {
    if (Result<void> line = checkLine(i, formula[i]); !line) return line.error();
    sum += formula[i].parts;
  }
  std::vector<ChargeSheetMass> sheet;
  for (const ChargeSheetLine& line : formula) {
    const Mass target = mix * (line.parts / sum);
    const double tolerance = line.tolerance.in(unit::one);
    sheet.push_back({target, target * (1 - tolerance), target * (1 + tolerance)});
  }
  return sheet;
}

}  // namespace platemark::method
