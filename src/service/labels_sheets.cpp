/// The sheets that go round the floor with the goods.
#include <algorithm>

#include "labels_parts.h"
#include "platemark/act/charge_sheet.h"

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

std::string issueWords(const std::string& of, std::int64_t issue) {
  return say("labels.issue", {{"of", of}, {"issue", issue}});
}

std::string compoundWords(const Look& look, const std::string& compound, std::int64_t issue) {
  return issueWords(nameOf<Compound>(look, projection::compound, compound), issue);
}

Instant happened(const Look& look, Sequence sequence) {
  const std::optional<Fact> fact = look.snapshot.fact(sequence);
  return fact ? fact->happened.instant : Instant::fromUnixMs(0);
}

std::string foot(const Look& look) { return say("labels.foot", {{"plant", look.card.name}}); }
std::string program() { return "Platemark " PLATEMARK_VERSION; }

namespace {

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

using Row = std::vector<paper::SheetCell>;

/// Bounds of the very numbers that a weighing is recorded with.
Row weighingRow(const Look& look, std::size_t n, const FormulaLine& line, const Weighed& asked) {
  const double wanted = asked.wanted.value.value(), tolerance = asked.tolerance.value.value();
  const auto bound = [](double mass) { return Decimal::fixed(mass, 3).text(); };
  return {{.words = std::to_string(n)},
          {.words = nameOf<Material>(look, projection::material, line.material)},
          {.words = asked.wanted.value.text(), .code = true},
          {.words = say("labels.from_to",
                        {{"from", bound(wanted - tolerance)}, {"to", bound(wanted + tolerance)}})},
          {},
          {},
          {.tick = true}};
}

Row stepRow(const RouteStep& step, const std::string& operation) {
  std::string words(word(step.step));
  if (!operation.empty()) words += ", " + operation;
  if (step.programme) words += ", " + say("labels.programme", {{"programme", *step.programme}});
  return {{.tick = true}, {.words = words}, {}, {}, {}, {}};
}

std::string segmentWords(const ProgrammeSegment& segment) {
  const std::string ramp =
      segment.ramp ? " " + say("labels.ramp", {{"rate", format(*segment.ramp)}}) : "";
  return say("labels.soak", {{"target", format(segment.target)},
                             {"tolerance", format(segment.tolerance)},
                             {"ramp", ramp},
                             {"minutes", segment.soak_minutes}});
}

void addProgramme(const Look& look, const LoadBuilt& built, paper::FloorSheet& sheet) {
  const auto programme =
      ledger::stateAs<Issued<Programme>>(look.snapshot, projection::programme,
                                         ledger::issueKey(built.programme, built.programme_issue));
  if (!programme) return;
  sheet.facts.push_back({say("labels.load_in_below"), format(programme->noun.load_in_below)});
  for (std::size_t i = 0; i < programme->noun.segments.size(); ++i)
    sheet.facts.push_back(
        {say("labels.segment", {{"n", i + 1}}), segmentWords(programme->noun.segments[i])});
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
  paper::FloorSheet sheet = blank(look, say("labels.title_charge_sheet"), id, mix->opened_at);
  sheet.under = compoundWords(look, opened.compound, opened.compound_issue);
  sheet.facts = {
      {say("labels.batch"), opened.batch, true},
      {say("labels.mixer"), opened.machine},
      {say("labels.mass_of_the_mix"), format(opened.mass)},
      {say("labels.opened"), view::dayAndTime(look, mix->opened_at)},
      {say("labels.mixing_time"), say("labels.minutes", {{"n", compound->noun.mixing_minutes}})}};
  sheet.columns = {{say("labels.no"), 0.7},
                   {say("labels.ingredient_in_this_order"), 4},
                   {say("labels.wanted_kg"), 1.8, paper::Align::right},
                   {say("labels.from_to_kg"), 3.0},
                   {say("labels.lot"), 2.6},
                   {say("labels.weighed_kg"), 1.8},
                   {say("labels.done"), 0.9}};
  const auto& formula = compound->noun.formula;
  for (std::size_t i = 0; i < formula.size(); ++i)
    sheet.rows.push_back(
        weighingRow(look, i + 1, formula[i], act::wantedOf(compound->noun, formula[i], *mix)));
  sheet.notes = {say("labels.weigh_note"), say("labels.mixed_note"), say("labels.caution")};
  return sheet;
}

Result<paper::FloorSheet> loadSheet(const Look& look, const std::string& id) {
  const Result<LoadState> load = required<LoadState>(look, projection::load, id);
  if (!load) return load.error();
  const LoadBuilt& built = load->built;
  paper::FloorSheet sheet = blank(look, say("labels.title_load_sheet"), id, load->built_at);
  sheet.under =
      nameOf<Machine>(look, projection::machine, built.oven) + ", " +
      say("labels.programme", {{"programme", issueWords(built.programme, built.programme_issue)}});
  sheet.facts = {{say("labels.built"), view::dayAndTime(look, load->built_at)},
                 {say("labels.clamps"), std::to_string(built.clamps.size())}};
  addProgramme(look, built, sheet);
  for (const std::string& deviation : built.deviations)
    sheet.warning += (sheet.warning.empty() ? say("labels.deviation") + " " : ", ") + deviation;
  sheet.columns = {{say("labels.tier"), 0.8},  {say("labels.position"), 1.1},
                   {say("labels.clamp"), 1.4}, {say("labels.batch"), 2.2},
                   {say("labels.part"), 2.0},  {say("labels.pads"), 1, paper::Align::right},
                   {say("labels.in"), 0.9},    {say("labels.out"), 0.9}};
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
  sheet.notes = {say("labels.load_note"), say("labels.caution")};
  return sheet;
}

Result<paper::FloorSheet> traveller(const Look& look, const std::string& id) {
  const Result<BatchState> batch = required<BatchState>(look, projection::batch, id);
  if (!batch) return batch.error();
  const BatchOpened& opened = batch->opened;
  const auto part = ledger::stateAs<Issued<Part>>(look.snapshot, projection::part,
                                                  ledger::issueKey(opened.part, opened.part_issue));
  if (!part) return unknown(projection::part, opened.part);
  paper::FloorSheet sheet = blank(look, say("labels.title_traveller"), id, batch->opened_at);
  sheet.under = part->noun.code + ", " + part->noun.name;
  sheet.facts = {
      {say("labels.plates"), view::grouped(opened.plates)},
      {say("labels.opened"), view::dayAndTime(look, batch->opened_at)},
      {say("labels.compound"), compoundWords(look, opened.compound, opened.compound_issue)},
      {say("labels.plate"), nameOf<Material>(look, projection::material, part->noun.plate)},
      {say("labels.adhesive"),
       part->noun.adhesive ? nameOf<Material>(look, projection::material, *part->noun.adhesive)
                           : say("labels.no_adhesive")},
      {say("labels.control_plan"), issueWords(opened.plan, opened.plan_issue)}};
  if (opened.underlayer)
    sheet.facts.push_back(
        {say("labels.underlayer"),
         compoundWords(look, opened.underlayer->compound, opened.underlayer->issue)});
  sheet.columns = {{say("labels.done"), 0.9},    {say("labels.step"), 4.4},
                   {say("labels.good"), 1.3},    {say("labels.scrap_and_why"), 3},
                   {say("labels.samples"), 1.3}, {say("labels.day_number"), 2}};
  for (const RouteStep& step : part->noun.route) {
    if (step.operations.empty()) sheet.rows.push_back(stepRow(step, ""));
    for (const std::string& operation : step.operations)
      sheet.rows.push_back(stepRow(step, operation));
  }
  sheet.notes = {say("labels.stamp_note")};
  return sheet;
}

}  // namespace platemark::service::labels
