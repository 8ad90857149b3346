/// The sheets that go round the floor with the goods.
#include <algorithm>

#include "labels_parts.h"
#include "platemark/method/mixing/charge_sheet.h"

namespace platemark::service::labels {

Error unknown(std::string_view kind, const std::string& id) {
  Error error;
  error.fault = Fault::not_found;
  error.code = std::string(kind) + ".unknown";
  error.what = fmt::format("There is no {} '{}' on record.", kind, id);
  error.remedy = "Check the number, or look for it with the find field.";
  return error;
}

Error noPart(std::string_view kind, const std::string& name, const std::string& of) {
  Error error = unknown(kind, name);
  error.what = fmt::format("There is no {} '{}' in {}.", kind, name, of);
  return error;
}

std::string partWords(const Look& look, const std::string& part) {
  return part + ", " + nameOf<Part>(look, projection::part, part);
}

std::string compoundWords(const Look& look, const std::string& compound, std::int64_t issue) {
  return fmt::format("{}, issue {}", nameOf<Compound>(look, projection::compound, compound), issue);
}

Instant happened(const Look& look, Sequence sequence) {
  const std::optional<Fact> fact = look.snapshot.fact(sequence);
  return fact ? fact->happened.instant : Instant::fromUnixMs(0);
}

std::string foot(const Look& look) { return look.card.name + ". No paper of record."; }
std::string program() { return "Platemark " PLATEMARK_VERSION; }

namespace {

constexpr std::int64_t gram_decimals = 3;

paper::FloorSheet blank(const Look& look, const std::string& what, const std::string& big,
                        Instant created) {
  paper::FloorSheet sheet;
  sheet.what = what;
  sheet.big = big;
  sheet.barcode = paper::Barcode{paper::Barcode::Kind::code128, big};
  sheet.foot = foot(look);
  sheet.program_version = program();
  sheet.created = created;
  return sheet;
}

std::string kilograms(double mass) { return Decimal::fixed(mass, gram_decimals).text(); }

/// Rounded as the record rounds a weighing's wanted mass and tolerance, so that a mass within the
/// bounds on the sheet is within those of the record.
struct Bounds {
  double wanted, tolerance;
};
Bounds boundsOf(const method::ChargeSheetMass& mass) {
  const auto rounded = [](Mass m) {
    return Decimal::fixed(m.in(unit::kilogram), gram_decimals).value();
  };
  return {rounded(mass.target), rounded(mass.highest - mass.target)};
}

Result<std::vector<method::ChargeSheetLine>> linesOf(const Compound& compound) {
  std::vector<method::ChargeSheetLine> lines;
  for (const FormulaLine& line : compound.formula) {
    const Result<double> tolerance = siValue(line.tolerance, Kind::number);
    if (!tolerance) return tolerance.error();
    lines.push_back({line.parts.value(), Share::of(*tolerance, unit::one)});
  }
  return lines;
}

using Row = std::vector<paper::SheetCell>;

Row weighingRow(const Look& look, std::size_t n, const FormulaLine& line,
                const method::ChargeSheetMass& mass) {
  const Bounds bounds = boundsOf(mass);
  return {{.words = std::to_string(n)},
          {.words = nameOf<Material>(look, projection::material, line.material)},
          {.words = kilograms(bounds.wanted), .code = true},
          {.words = kilograms(bounds.wanted - bounds.tolerance) + " to " +
                    kilograms(bounds.wanted + bounds.tolerance)},
          {},
          {},
          {.tick = true}};
}

Row stepRow(const RouteStep& step, const std::string& operation) {
  std::string words(word(step.step));
  if (!operation.empty()) words += ", " + operation;
  if (step.programme) words += ", programme " + *step.programme;
  return {{.tick = true}, {.words = words}, {}, {}, {}, {}};
}

std::string segmentWords(const ProgrammeSegment& segment) {
  return fmt::format("{} ± {}{}, soak {} min", format(segment.target), format(segment.tolerance),
                     segment.ramp ? ", at " + format(*segment.ramp) : "", segment.soak_minutes);
}

void addProgramme(const Look& look, const LoadBuilt& built, paper::FloorSheet& sheet) {
  const auto programme =
      ledger::stateAs<Issued<Programme>>(look.snapshot, projection::programme,
                                         ledger::issueKey(built.programme, built.programme_issue));
  if (!programme) return;
  sheet.facts.push_back({"Load in below", format(programme->noun.load_in_below)});
  for (std::size_t i = 0; i < programme->noun.segments.size(); ++i)
    sheet.facts.push_back(
        {fmt::format("Segment {}", i + 1), segmentWords(programme->noun.segments[i])});
}

}  // namespace

Result<paper::FloorSheet> chargeSheet(const Look& look, const std::string& id) {
  const Result<MixState> mix = required<MixState>(look, projection::mix, id);
  if (!mix) return mix.error();
  const MixOpened& opened = mix->opened;
  const auto compound =
      ledger::stateAs<Issued<Compound>>(look.snapshot, projection::compound,
                                        ledger::issueKey(opened.compound, opened.compound_issue));
  if (!compound) return unknown(projection::compound, opened.compound);
  const Result<double> mass = siValue(opened.mass, Kind::mass);
  if (!mass) return mass.error();
  const auto lines = linesOf(compound->noun);
  if (!lines) return lines.error();
  const auto masses = method::chargeSheet(*lines, Mass::of(*mass, unit::kilogram));
  if (!masses) return masses.error();

  paper::FloorSheet sheet = blank(look, "CHARGE SHEET", id, mix->opened_at);
  sheet.under = compoundWords(look, opened.compound, opened.compound_issue);
  sheet.facts = {{"Batch", opened.batch, true},
                 {"Mixer", opened.machine},
                 {"Mass of the mix", format(opened.mass)},
                 {"Opened", view::dayAndTime(look, mix->opened_at)},
                 {"Mixing time", fmt::format("{} min", compound->noun.mixing_minutes)}};
  sheet.columns = {{"No.", 0.7},
                   {"Ingredient, in this order", 4},
                   {"Wanted, kg", 1.8, paper::Align::right},
                   {"From, to, kg", 3.0},
                   {"Lot", 2.6},
                   {"Weighed, kg", 1.8},
                   {"Done", 0.9}};
  for (std::size_t i = 0; i < masses->size(); ++i)
    sheet.rows.push_back(weighingRow(look, i + 1, compound->noun.formula[i], (*masses)[i]));
  sheet.notes = {
      "Weigh in this order. A lot is scanned before its bag is opened; what is refused "
      "goes back.",
      "Mixed by ______________   from ______   to ______"};
  return sheet;
}

Result<paper::FloorSheet> loadSheet(const Look& look, const std::string& id) {
  const Result<LoadState> load = required<LoadState>(look, projection::load, id);
  if (!load) return load.error();
  const LoadBuilt& built = load->built;
  paper::FloorSheet sheet = blank(look, "LOAD SHEET", id, load->built_at);
  sheet.under = nameOf<Machine>(look, projection::machine, built.oven) + ", programme " +
                built.programme + fmt::format(", issue {}", built.programme_issue);
  sheet.facts = {{"Built", view::dayAndTime(look, load->built_at)},
                 {"Clamps", std::to_string(built.clamps.size())}};
  addProgramme(look, built, sheet);
  for (const std::string& deviation : built.deviations)
    sheet.warning += (sheet.warning.empty() ? "DEVIATION " : ", ") + deviation;
  sheet.columns = {{"Tier", 0.8},  {"Position", 1.1}, {"Clamp", 1.4},
                   {"Batch", 2.2}, {"Part", 2.0},     {"Pads", 1, paper::Align::right},
                   {"In", 0.9},    {"Out", 0.9}};
  std::vector<Clamp> clamps = built.clamps;
  std::stable_sort(clamps.begin(), clamps.end(), [](const Clamp& a, const Clamp& b) {
    return std::pair(a.tier, a.position) < std::pair(b.tier, b.position);
  });
  for (const Clamp& clamp : clamps) {
    const auto batch = ledger::stateAs<BatchState>(look.snapshot, projection::batch, clamp.batch);
    sheet.rows.push_back({{.words = std::to_string(clamp.tier)},
                          {.words = std::to_string(clamp.position)},
                          {.words = clamp.clamp, .code = true},
                          {.words = clamp.batch, .code = true},
                          {.words = batch ? batch->opened.part : ""},
                          {.words = view::grouped(clamp.pads)},
                          {.tick = true},
                          {.tick = true}});
  }
  sheet.notes = {"Into the oven ______   out ______   air temperature at loading ______ °C"};
  return sheet;
}

Result<paper::FloorSheet> traveller(const Look& look, const std::string& id) {
  const Result<BatchState> batch = required<BatchState>(look, projection::batch, id);
  if (!batch) return batch.error();
  const BatchOpened& opened = batch->opened;
  const auto part = ledger::stateAs<Issued<Part>>(look.snapshot, projection::part,
                                                  ledger::issueKey(opened.part, opened.part_issue));
  if (!part) return unknown(projection::part, opened.part);
  paper::FloorSheet sheet = blank(look, "TRAVELLER", id, batch->opened_at);
  sheet.under = part->noun.code + ", " + part->noun.name;
  sheet.facts = {{"Plates", view::grouped(opened.plates)},
                 {"Opened", view::dayAndTime(look, batch->opened_at)},
                 {"Compound", compoundWords(look, opened.compound, opened.compound_issue)},
                 {"Plate", nameOf<Material>(look, projection::material, part->noun.plate)},
                 {"Adhesive", part->noun.adhesive ? nameOf<Material>(look, projection::material,
                                                                     *part->noun.adhesive)
                                                  : "none"},
                 {"Control plan", fmt::format("{}, issue {}", opened.plan, opened.plan_issue)}};
  sheet.columns = {{"Done", 0.9},        {"Step", 4.4},    {"Good", 1.3},
                   {"Scrap and why", 3}, {"Samples", 1.3}, {"Day, number", 2}};
  for (const RouteStep& step : part->noun.route) {
    if (step.operations.empty()) sheet.rows.push_back(stepRow(step, ""));
    for (const std::string& operation : step.operations)
      sheet.rows.push_back(stepRow(step, operation));
  }
  sheet.notes = {
      "The stamp on the plates is the number above: letter, digit, letter, digit, "
      "letter, check digit. No letter is B, D, G, I, L, O, Q, S, U or Z."};
  return sheet;
}

}  // namespace platemark::service::labels
