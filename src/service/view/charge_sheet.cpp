/// The charge sheet of a mix.
#include "platemark/act/charge_sheet.h"

#include <fmt/format.h>

#include <algorithm>

#include "platemark/gate/permission.h"
#include "platemark/gate/weighing.h"
#include "station.h"

namespace platemark::service::view {
namespace {

constexpr int mass_decimals = 3;  ///< of a charge sheet, to a gram

Error noMix(const std::string& id) {
  Error error;
  error.fault = Fault::not_found;
  error.code = "mix.unknown";
  error.what = fmt::format("There is no mix '{}' on record.", id);
  error.remedy = "Scan the mix again, or open one.";
  return error;
}

/// One mix with the compound issue it was opened with.
struct MixFile {
  MixState mix;
  Compound compound;
};

Result<MixFile> mixFile(const Look& look, const std::string& id) {
  auto mix = ledger::stateAs<MixState>(look.snapshot, projection::mix, id);
  if (!mix) return noMix(id);
  const auto compound = ledger::stateAs<Issued<Compound>>(
      look.snapshot, projection::compound,
      ledger::issueKey(mix->opened.compound, mix->opened.compound_issue));
  if (!compound) return noMix(id);
  return MixFile{std::move(*mix), compound->noun};
}

double kilograms(const Measure& mass) {
  const Result<Mass> m = massFrom(mass);
  return m ? m->in(unit::kilogram) : 0;
}
std::string mass(double kg) { return format(Measure{Decimal::fixed(kg, mass_decimals), "kg"}); }

/// One line of the formula with what has been weighed for it.
struct SheetLine {
  const FormulaLine& formula;
  double wanted = 0, tolerance = 0, weighed = 0;
  std::vector<const WeighingDone*> weighings;
};

SheetLine sheetLine(const MixFile& file, const FormulaLine& formula) {
  const Weighed asked = act::wantedOf(file.compound, formula, file.mix);
  SheetLine line{formula, kilograms(asked.wanted), kilograms(asked.tolerance), 0, {}};
  for (const WeighingDone& w : file.mix.weighings) {
    if (w.material != formula.material || w.corrected_by) continue;
    line.weighed += kilograms(w.mass);
    line.weighings.push_back(&w);
  }
  return line;
}

std::string_view wordOf(const SheetLine& line) {
  if (line.weighings.empty()) return "missing";
  return word(gate::whereWeighed(line.weighed, line.wanted, line.tolerance));
}

/// Nothing, or less than its lower limit, has been weighed: it is asked for still.
bool open(const SheetLine& line) {
  return gate::whereWeighed(line.weighed, line.wanted, line.tolerance) ==
         FindingWord::outside_below;
}

Value lineValue(const Look& look, const SheetLine& line) {
  Value::Array lots;
  for (const WeighingDone* w : line.weighings) lots.push_back(w->lot);
  const auto material = ledger::stateAs<Issued<Material>>(look.snapshot, projection::material,
                                                          ledger::nowKey(line.formula.material));
  return Value::Object{{"material", line.formula.material},
                       {"name", material ? material->noun.name : line.formula.material},
                       {"wanted", mass(line.wanted)},
                       {"tolerance", "±\xC2\xA0" + mass(line.tolerance)},
                       {"least", mass(line.wanted - line.tolerance)},
                       {"most", mass(line.wanted + line.tolerance)},
                       {"still", mass(std::max(0.0, line.wanted - line.weighed))},
                       {"weighed", line.weighings.empty() ? "" : mass(line.weighed)},
                       {"word", wordOf(line)},
                       {"open", open(line)},
                       {"lots", std::move(lots)}};
}

/// Every lot of the formula's materials, as the record knows it at this moment.
Value::Array lotsFor(const Look& look, const Compound& compound) {
  Value::Array list;
  for (const std::string& key : look.snapshot.keys(projection::lot, "")) {
    const auto lot = ledger::stateAs<LotState>(look.snapshot, projection::lot, key);
    const auto& formula = compound.formula;
    const bool wanted =
        lot && std::any_of(formula.begin(), formula.end(), [&](const FormulaLine& l) {
          return l.material == lot->received.material;
        });
    if (!wanted) continue;
    const gate::Obstacles obstacles = gate::mayUseLot(*lot, lot->received.material, look.today());
    list.push_back(Value::Object{{"lot", key},
                                 {"material", lot->received.material},
                                 {"may", obstacles.empty()},
                                 {"why", obstacles.empty() ? "" : obstacles.front().what}});
  }
  return list;
}

}  // namespace

Result<Value> chargeSheet(const Look& look, const std::string& id) {
  const Result<MixFile> file = mixFile(look, id);
  if (!file) return file.error();
  Value::Array lines;
  std::int64_t left = 0;
  for (const FormulaLine& formula : file->compound.formula) {
    const SheetLine line = sheetLine(*file, formula);
    if (open(line)) ++left;
    lines.push_back(lineValue(look, line));
  }
  const MixOpened& opened = file->mix.opened;
  return Value(Value::Object{{"id", id},
                             {"batch", opened.batch},
                             {"compound", file->compound.name},
                             {"issue", opened.compound_issue},
                             {"machine", opened.machine},
                             {"mass", mass(kilograms(opened.mass))},
                             {"finished", file->mix.finished.has_value()},
                             {"minutes", file->compound.mixing_minutes},
                             {"left", left},
                             {"lines", std::move(lines)},
                             {"lots", lotsFor(look, file->compound)},
                             {"as_of", clockTime(look, look.snapshot.now())}});
}

Result<Value> tryWeighing(const Look& look, const std::string& id, const std::string& material,
                          const std::string& typed) {
  const Result<MixFile> file = mixFile(look, id);
  if (!file) return file.error();
  const auto& formula = file->compound.formula;
  const auto asked = std::find_if(formula.begin(), formula.end(),
                                  [&](const FormulaLine& l) { return l.material == material; });
  if (asked == formula.end()) {
    Error error;
    error.code = "mix.not_in_formula";
    error.what = fmt::format("{} is not in the formula of mix {}.", material, id);
    return error;
  }
  const Result<Measure> measure = parseMeasure(typed, "kg");
  if (!measure) return measure.error();
  const Result<Mass> added = massFrom(*measure);
  if (!added) return added.error();
  const SheetLine line = sheetLine(*file, *asked);
  const double total = line.weighed + added->in(unit::kilogram);
  const FindingWord where = gate::whereWeighed(total, line.wanted, line.tolerance);
  return Value(Value::Object{{"word", word(where)},
                             {"understood", format(*measure)},
                             {"total", mass(total)},
                             {"off", mass(std::abs(total - line.wanted))},
                             {"least", mass(line.wanted - line.tolerance)},
                             {"most", mass(line.wanted + line.tolerance)}});
}

}  // namespace platemark::service::view
