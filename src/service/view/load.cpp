#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "chart.h"
#include "heat.h"
#include "platemark/method/cure/programme.h"
#include "platemark/method/cure/thin.h"
#include "platemark/service/cure_file.h"

namespace platemark::service::view {
namespace {

constexpr std::size_t page_rows = 100;

/// The load's chart findings, as the plan of its first batch asks them.
struct ChartFindings {
  std::vector<Finding> list;
  std::string plan;
  std::int64_t plan_issue = 0;
};
/// What its chart says, and what was computed for the batch's pads in it.
std::vector<Evidence> evidenceOf(const LoadState& load, const BatchState& batch) {
  std::vector<Evidence> all = load.evidence;
  for (const Evidence& e : batch.evidence)
    if (e.method == "cure.load" && !load.recording_facts.empty() &&
        e.reading == load.recording_facts.back())
      all.push_back(e);
  return all;
}

ChartFindings chartFindings(const Look& look, const LoadState& load) {
  if (load.built.clamps.empty()) return {};
  const Result<gate::BatchFile> file =
      act::batchFile(look.snapshot, load.built.clamps.front().batch, look.today());
  if (!file) return {};
  ControlPlan chart_lines = file->plan;
  std::erase_if(chart_lines.lines, [](const PlanLine& line) {
    return line.method != "cure.chart" && line.method != "cure.load";
  });
  return {gate::compareWithPlan(Gate::cure, chart_lines, file->plan_issue,
                                evidenceOf(load, file->batch), file->adoptions),
          file->plan.code, file->plan_issue};
}

std::string_view wordOf(const std::vector<Finding>& findings, bool recorded) {
  if (!recorded) return "missing";
  std::string_view found = "inside";
  for (const Finding& f : findings) {
    if (f.word == FindingWord::outside_above || f.word == FindingWord::outside_below)
      return word(f.word);
    if (f.word != FindingWord::inside) found = word(f.word);
  }
  return findings.empty() ? "no limit on file" : found;
}

std::string sentenceOf(const ChartFile& file, const std::vector<Finding>& findings) {
  if (!file.recorded) return say("service.load.not_recorded");
  for (const Finding& f : findings)
    if (f.word == FindingWord::outside_above || f.word == FindingWord::outside_below)
      return say("service.load.does_not_conform", {{"why", f.sentence}});
  for (const Finding& f : findings)
    if (f.word != FindingWord::inside)
      return say("service.load.cannot_decide", {{"why", f.sentence}});
  return say("service.load.in_window", {{"soak", soakWords(file)}});
}

Value::Array marksOf(const ChartFile& file) {
  Value::Array marks;
  std::int64_t n = 0;
  for (const ChartMark& mark : file.load.marks)
    marks.push_back(Value::Object{{"n", ++n},
                                  {"kind", mark.kind},
                                  {"channel", mark.channel},
                                  {"from", minutesSince(file.start, mark.from)},
                                  {"to", minutesSince(file.start, mark.to)},
                                  {"words", mark.words}});
  return marks;
}

Value windowValue(const ChartFile& file) {
  const method::cure::Programme programme = windowOf(file.programme.noun);
  Value::Array minutes, lower, upper;
  const double end = method::cure::programmeMinutes(programme);
  for (double m = 0; m <= end + 1e-9; m += 1) {
    const auto bounds = method::cure::windowAt(programme, m);
    if (!bounds) continue;
    minutes.push_back(m);
    lower.push_back(bounds->lower_celsius);
    upper.push_back(bounds->upper_celsius);
  }
  return Value::Object{
      {"minutes", std::move(minutes)}, {"lower", std::move(lower)}, {"upper", std::move(upper)}};
}

Value::Array momentsOf(const ChartFile& file) {
  Value::Array moments;
  for (const auto& [name, words] : {std::pair{"soak_start", say("service.load.soak_starts")},
                                    {"soak_end", say("service.load.soak_ends")}}) {
    const FigureValue* value = chartValue(file.load, name);
    if (value == nullptr || value->value.value.value() <= 0) continue;
    moments.push_back(Value::Object{
        {"minutes", value->value.value.value()},
        {"words", value->determined ? words : say("service.load.not_sure", {{"what", words}})}});
  }
  return moments;
}

Value::Array bracketsOf(const ChartFile& file) {
  const FigureValue *start = chartValue(file.load, "soak_start"),
                    *end = chartValue(file.load, "soak_end");
  if (start == nullptr || end == nullptr ||
      !(end->value.value.value() > start->value.value.value()))
    return {};
  return {Value::Object{{"from", start->value.value.value()},
                        {"to", end->value.value.value()},
                        {"words", soakWords(file)}}};
}

Value::Array recordingsOf(const LoadState& load) {
  Value::Array list;
  for (std::size_t i = 0; i < load.recordings.size(); ++i) {
    const CureRecorded& r = load.recordings[i];
    Value::Array why;
    for (const std::string& reason : r.skipped_why) {
      const auto colon = reason.find(": ");
      const std::string line = reason.substr(5, colon == std::string::npos ? 0 : colon - 5);
      why.push_back(
          Value::Object{{"line", static_cast<std::int64_t>(line.empty() ? 0 : std::stoll(line))},
                        {"why", colon == std::string::npos ? reason : reason.substr(colon + 2)}});
    }
    list.push_back(
        Value::Object{{"fact", load.recording_facts[i]},
                      {"file", r.file_name},
                      {"href", "/api/attachments/" + r.attachment + "?name=" + r.file_name},
                      {"rows", grouped(r.rows)},
                      {"skipped", grouped(r.skipped)},
                      {"skipped_why", std::move(why)},
                      {"layout", issueWords(r.layout, r.layout_issue)}});
  }
  return list;
}

Value::Array clampsOf(const LoadState& load) {
  Value::Array list;
  for (const Clamp& c : load.built.clamps)
    list.push_back(Value::Object{{"clamp", c.clamp},
                                 {"batch", c.batch},
                                 {"pads", grouped(c.pads)},
                                 {"tier", c.tier},
                                 {"position", c.position}});
  return list;
}

std::string detailsOf(const Look& look, const ChartFile& file) {
  std::int64_t pads = 0;
  for (const Clamp& c : file.load.built.clamps) pads += c.pads;
  std::string words = say("service.load.details", {{"oven", file.oven.noun.name},
                                                   {"programme", file.programme.noun.code},
                                                   {"issue", file.programme.issue},
                                                   {"start", dayAndTime(look, file.start)}});
  if (file.recorded)
    words += say("service.load.until", {{"end", dayAndTime(look, file.recorded->to)}});
  return words +
         say(file.load.built.clamps.size() == 1 ? "service.load.pads_one" : "service.load.pads",
             {{"pads", grouped(pads)}, {"n", file.load.built.clamps.size()}});
}

/// The edges of the window in the longest soak.
Value::Array soakLimits(const Programme& programme) {
  const auto soak = std::max_element(
      programme.segments.begin(), programme.segments.end(),
      [](const auto& a, const auto& b) { return a.soak_minutes < b.soak_minutes; });
  const double target = temperatureFrom(soak->target)->in(scale::celsius),
               tolerance = temperatureDifferenceFrom(soak->tolerance)->in(unit::kelvin);
  Value::Array limits;
  for (const double edge : {target - tolerance, target + tolerance})
    limits.push_back(
        Value::Object{{"value", edge}, {"words", Decimal::fixed(edge, 0).text() + "\xC2\xA0°C"}});
  return limits;
}

Value::Array permittedOf(const Look& look, const std::string& id) {
  const Value::Object prefill{{"load", id}};
  return {permittedValue(look, "cure record", say("service.do.recorder"), prefill),
          permittedValue(look, "load heat", say("service.do.heat"), prefill),
          permittedValue(look, "load unclamp", say("service.do.unclamp"), prefill)};
}

}  // namespace

double minutesSince(Instant start, Instant at) {
  return static_cast<double>(at.unixMs() - start.unixMs()) / 60'000.0;
}

const FigureValue* chartValue(const LoadState& load, std::string_view name) {
  for (auto e = load.evidence.rbegin(); e != load.evidence.rend(); ++e) {
    if (e->method != "cure.chart" || e->corrected_by) continue;
    for (const FigureValue& v : e->values)
      if (v.name == name) return &v;
  }
  return nullptr;
}

std::string soakWords(const ChartFile& file) {
  const FigureValue* soak = chartValue(file.load, "soak");
  const std::int64_t asked = soakMinutes(file.programme.noun);
  if (soak == nullptr) return say("service.load.soak_unknown", {{"asked", asked}});
  const auto minutes = [](const Measure& m) { return Decimal::fixed(m.value.value(), 0).text(); };
  if (soak->determined)
    return say("service.load.soak", {{"soak", minutes(soak->value)}, {"asked", asked}});
  if (soak->at_least && soak->at_most)
    return say("service.load.soak_between", {{"lower", minutes(*soak->at_least)},
                                             {"upper", minutes(*soak->at_most)},
                                             {"asked", asked}});
  if (soak->at_most)
    return say("service.load.soak_most", {{"soak", minutes(*soak->at_most)}, {"asked", asked}});
  return say("service.load.soak_bound",
             {{"soak", minutes(soak->at_least.value_or(soak->value))}, {"asked", asked}});
}

Result<ChartFile> chartFile(const Look& look, const std::string& id) {
  auto load = ledger::stateAs<LoadState>(look.snapshot, projection::load, id);
  Error error;
  error.fault = Fault::not_found;
  error.code = "load.unknown";
  error.what = fmt::format("There is no load '{}' on record.", id);
  if (!load) return error;
  auto programme = ledger::stateAs<Issued<Programme>>(
      look.snapshot, projection::programme,
      ledger::issueKey(load->built.programme, load->built.programme_issue));
  auto oven = ledger::stateAs<Issued<Machine>>(look.snapshot, projection::machine,
                                               ledger::nowKey(load->built.oven));
  if (!programme || !oven) return error;
  ChartFile file{std::move(*load), std::move(*programme), std::move(*oven), {}, {}};
  file.start = file.load.built_at;
  if (!file.load.recordings.empty()) {
    file.recorded = file.load.recordings.back();
    if (file.start < file.recorded->from || file.start > file.recorded->to)
      file.start = file.recorded->from;
  }
  return file;
}

Result<figure::CureChartInput> chartInput(const ChartFile& file, const intake::Series& series,
                                          const std::string& zone) {
  figure::CureChartInput chart;
  chart.title =
      say("service.load.chart", {{"load", file.load.built.load}, {"oven", file.oven.noun.name}});
  chart.reading = say("service.load.reading", {{"soak", soakWords(file)}});
  chart.start = file.start;
  chart.zone = zone;
  chart.zone_words = zone;
  const method::cure::Programme programme = windowOf(file.programme.noun);
  const double recorded_hours =
      minutesSince(file.start, Instant::fromUnixMs(series.times.back())) / 60;
  chart.hours = std::max(recorded_hours, method::cure::programmeMinutes(programme) / 60);
  for (double m = 0; m <= method::cure::programmeMinutes(programme); m += 2)
    if (const auto b = method::cure::windowAt(programme, m))
      chart.window.push_back({m / 60, b->lower_celsius, b->upper_celsius});
  bool first = true;
  for (const intake::SeriesColumn& column : series.columns) {
    if (column.kind != Kind::temperature_point) continue;
    figure::Trace trace{column.meaning, first, {}};
    first = false;
    const auto points = method::cure::thin({series.times, column.values}, 400);
    if (!points) return points.error();
    for (const method::cure::Point& p : *points)
      if (p.at_ms >= file.start.unixMs())
        trace.points.push_back(
            {minutesSince(file.start, Instant::fromUnixMs(p.at_ms)) / 60, p.celsius});
    chart.recorded.push_back(std::move(trace));
  }
  int n = 0;
  for (const ChartMark& mark : file.load.marks) {
    const double hours = std::max(0.0, minutesSince(file.start, mark.from) / 60);
    ++n;
    if (mark.kind == "gap")
      chart.gaps.push_back({hours, minutesSince(file.start, mark.to) / 60, n});
    else
      chart.flags.push_back({n, hours, 40.0});
  }
  const FigureValue *start = chartValue(file.load, "soak_start"),
                    *end = chartValue(file.load, "soak_end");
  if (start != nullptr && end != nullptr && end->value.value.value() > start->value.value.value())
    chart.soak = figure::CureBracket{start->value.value.value() / 60, end->value.value.value() / 60,
                                     soakWords(file)};
  return chart;
}

Result<Value> load(const Look& look, const std::string& id) {
  const Result<ChartFile> file = chartFile(look, id);
  if (!file) return file.error();
  const ChartFindings found = chartFindings(look, file->load);
  const std::vector<Finding>& findings = found.list;
  std::set<std::string> batches;
  for (const Clamp& c : file->load.built.clamps) batches.insert(c.batch);
  Value::Array batch_list, finding_list;
  for (const std::string& b : batches) batch_list.push_back(b);
  for (const Finding& f : findings)
    finding_list.push_back(findingValue(look, f, found.plan, found.plan_issue));
  return Value(Value::Object{
      {"id", id},
      {"oven", Value::Object{{"code", file->oven.noun.code}, {"name", file->oven.noun.name}}},
      {"programme", Value::Object{{"code", file->programme.noun.code},
                                  {"name", file->programme.noun.name},
                                  {"issue", file->programme.issue}}},
      {"word", wordOf(findings, file->recorded.has_value())},
      {"sentence", sentenceOf(*file, findings)},
      {"details", detailsOf(look, *file)},
      {"clamps", clampsOf(file->load)},
      {"batches", std::move(batch_list)},
      {"findings", std::move(finding_list)},
      {"marks", marksOf(*file)},
      {"window", windowValue(*file)},
      {"limits", soakLimits(file->programme.noun)},
      {"moments", momentsOf(*file)},
      {"brackets", bracketsOf(*file)},
      {"recordings", recordingsOf(file->load)},
      {"heat", heatValue(look, file->load, look.card.zone)},
      {"permitted", permittedOf(look, id)}});
}

Value loads(const Look& look, const std::string& after) {
  Value::Array rows;
  std::string last;
  for (const ledger::State& s : look.snapshot.states(projection::load, "", after, page_rows)) {
    last = s.key;
    const Result<ChartFile> file = chartFile(look, s.key);
    if (!file) continue;
    const std::vector<Finding> findings = chartFindings(look, file->load).list;
    rows.push_back(Value::Object{{"id", s.key},
                                 {"oven", file->oven.noun.name},
                                 {"programme", file->programme.noun.code},
                                 {"mark", wordOf(findings, file->recorded.has_value())},
                                 {"words", sentenceOf(*file, findings)},
                                 {"when", dayAndTime(look, file->load.built_at)},
                                 {"pads", ""}});
  }
  Value::Object page{{"rows", rows}};
  if (rows.size() == page_rows) page.emplace("next", last);
  return page;
}

}  // namespace platemark::service::view
