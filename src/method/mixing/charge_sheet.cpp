#include "platemark/method/mixing/charge_sheet.h"

#include <string>

namespace platemark::method::mixing {
namespace {

Error notPositive(std::string field) {
  Error error;
  error.code = "mixing.not_positive";
  error.what = "Parts, tolerances and the mix must be above zero.";
  error.where.field = std::move(field);
  return error;
}

}  // namespace

Result<std::vector<Wanted>> chargeSheet(std::span<const SheetLine> formula, Mass mix) {
  if (formula.empty()) {
    Error error = notPositive("formula");
    error.code = "mixing.empty";
    error.what = "The formula has no lines.";
    return error;
  }
  if (!(mix > Mass{})) return notPositive("mix");
  double sum = 0;
  for (std::size_t i = 0; i < formula.size(); ++i) {
    if (!(formula[i].parts > 0) || !(formula[i].tolerance > 0)) return notPositive("formula[" + std::to_string(i) + "]");
    sum += formula[i].parts;
  }
  std::vector<Wanted> sheet;
  for (const SheetLine& line : formula) {
    const Mass mass = mix * (line.parts / sum);
    sheet.push_back({mass, mass * line.tolerance});
  }
  return sheet;
}

}  // namespace platemark::method::mixing
