#include "platemark/service/cure_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "platemark/act/heat_files.h"
#include "platemark/gate/oven.h"
#include "recorded_chart.h"

namespace platemark::service {
namespace {

namespace cure = method::cure;
using ledger::stateAs;

/// A layout's members as plain text, so that it can be stored and read again.
struct LayoutColumnForm {
  std::int64_t position = 0;
  std::string role, title, meaning, unit;
  std::optional<Decimal> lowest, highest;
  template <class V>
  void describe(V& v) {
    v("position", position);
    v("role", role);
    v("title", title);
    v("meaning", meaning);
    v("unit", unit);
    v("lowest", lowest);
    v("highest", highest);
  }
};
struct LayoutForm {
  std::string name, delimiter, decimal_mark, encoding;
  std::int64_t title_lines = 0, header_line = 0, unit_line = 0;
  std::int64_t time_column = 0, clock_column = 0;
  std::string time_form, zone, elapsed_unit;
  std::vector<LayoutColumnForm> columns;
  std::vector<std::string> empty_marks;
  bool last_line_may_lack_end = false;
  template <class V>
  void describe(V& v) {
    v("name", name);
    v("delimiter", delimiter);
    v("decimal_mark", decimal_mark);
    v("encoding", encoding);
    v("title_lines", title_lines);
    v("header_line", header_line);
    v("unit_line", unit_line);
    v("time_column", time_column);
    v("clock_column", clock_column);
    v("time_form", time_form);
    v("zone", zone);
    v("elapsed_unit", elapsed_unit);
    v("columns", columns);
    v("empty_marks", empty_marks);
    v("last_line_may_lack_end", last_line_may_lack_end);
  }
};

Error layoutError(std::string what, std::string field) {
  Error error;
  error.code = "layout.member";
  error.what = std::move(what);
  error.where.field = std::move(field);
  return error;
}

LayoutColumnForm columnForm(const intake::Column& c) {
  LayoutColumnForm form{
      c.position, std::string(intake::nameOf(c.role)), c.title, c.meaning, c.unit, {}, {}};
  if (c.lowest) form.lowest = Decimal::fromDouble(*c.lowest);
  if (c.highest) form.highest = Decimal::fromDouble(*c.highest);
  return form;
}

Result<intake::Column> columnFrom(const LayoutColumnForm& form, const std::string& field) {
  const std::optional<intake::Role> role = intake::roleNamed(form.role);
  if (!role)
    return layoutError(fmt::format("'{}' is no use of a column.", form.role), field + ".role");
  const Result<UnitRow> unit = findUnit(form.unit);
  if (!unit) return Error(unit.error()).at({"", 0, "", field + ".unit"});
  intake::Column column;
  column.position = static_cast<int>(form.position);
  column.role = *role;
  column.title = form.title;
  column.meaning = form.meaning;
  column.unit = std::string(unit->code);
  column.kind = unit->kind;
  if (form.lowest) column.lowest = form.lowest->value();
  if (form.highest) column.highest = form.highest->value();
  return column;
}

std::vector<FigureValue> valuesOf(const cure::ChartReading& reading) {
  return {figureValue("soak_start", reading.soak_start_minute, "min"),
          figureValue("soak_end", reading.soak_end_minute, "min"),
          figureValue("soak", reading.soak_minutes, "min"),
          figureValue("overshoot", reading.overshoot_k, "K"),
          figureValue("difference", reading.difference_k, "K"),
          figureValue("longest_gap", reading.longest_gap_in_soak_minutes, "min"),
          figureValue("air_at_load_in", reading.air_at_load_in_celsius, "Cel"),
          figureValue("peak", highest(reading, &cure::ChannelFigures::peak_celsius), "Cel"),
          figureValue("fastest_ramp",
                      highest(reading, &cure::ChannelFigures::ramp_fastest_k_per_min), "K/min")};
}

/// Sensors past their day, a survey too old: kept, and not counted.
std::vector<std::string> ovenDoubts(const ledger::Snapshot& snapshot, const Machine& oven,
                                    Day cured) {
  std::vector<std::string> doubts = gate::sensorDoubts(oven, cured);
  if (const auto survey = act::surveyOf(snapshot, oven.code, cured))
    for (std::string& doubt : gate::surveyDoubts(survey->noun, cured))
      doubts.push_back(std::move(doubt));
  return doubts;
}

const FigureValue* soakOf(const LoadState& load) {
  for (auto e = load.evidence.rbegin(); e != load.evidence.rend(); ++e)
    if (e->method == "cure.chart" && !e->corrected_by && e->doubts.empty())
      for (const FigureValue& v : e->values)
        if (v.name == "soak" && v.determined) return &v;
  return nullptr;
}

bool addsToEarlier(const ledger::Snapshot& snapshot, const LoadBuilt& built) {
  const auto programme = stateAs<Issued<Programme>>(
      snapshot, projection::programme, ledger::issueKey(built.programme, built.programme_issue));
  return programme && programme->noun.adds_to_earlier;
}

/// The soak of the load's batches before this one, of the batch with the least; none where one of
/// them had none that is known.
std::optional<double> soakBefore(const ledger::Snapshot& snapshot, const LoadState& load) {
  std::optional<double> least;
  for (const Clamp& clamp : load.built.clamps) {
    const auto batch = stateAs<BatchState>(snapshot, projection::batch, clamp.batch);
    std::optional<double> before;
    for (const std::string& id : batch ? batch->loads : std::vector<std::string>{})
      if (id != load.built.load)
        if (const auto other = stateAs<LoadState>(snapshot, projection::load, id))
          if (const FigureValue* soak = soakOf(*other))
            before = soak->value.value.value() +
                     (addsToEarlier(snapshot, other->built) ? 0 : before.value_or(0));
    if (!before) return {};
    least = std::min(least.value_or(*before), *before);
  }
  return least;
}

/// A rework cure goes on where the first one ended.
void addEarlierSoak(const ledger::Snapshot& snapshot, const LoadState& load,
                    const Programme& programme, FigureComputed& figure) {
  if (!programme.adds_to_earlier) return;
  const std::optional<double> before = soakBefore(snapshot, load);
  for (FigureValue& value : figure.values) {
    if (value.name != "soak") continue;
    if (!before) {
      value.determined = false;
      value.why = "What soak the pads had before this rework cure is not known.";
      continue;
    }
    for (Measure* m : {&value.value, value.at_least ? &*value.at_least : nullptr,
                       value.at_most ? &*value.at_most : nullptr})
      if (m != nullptr) m->value = Decimal::fromDouble(m->value.value() + *before);
    figure.notes.push_back(
        fmt::format("{:.0f} min of the soak are from the cure before this one.", *before));
  }
}

}  // namespace

std::int64_t soakMinutes(const Programme& programme) {
  std::int64_t longest = 0;
  for (const ProgrammeSegment& s : programme.segments) longest = std::max(longest, s.soak_minutes);
  return longest;
}

Value layoutValue(const intake::FileLayout& layout) {
  LayoutForm form;
  form.name = layout.name;
  form.delimiter = layout.delimiter == '\t' ? "tab" : std::string(1, layout.delimiter);
  form.decimal_mark = layout.decimal_mark == DecimalMark::comma ? "comma" : "point";
  form.encoding = std::string(intake::nameOf(layout.encoding));
  form.title_lines = layout.title_lines;
  form.header_line = layout.header_line;
  form.unit_line = layout.unit_line;
  form.time_column = layout.time.column;
  form.clock_column = layout.time.clock_column;
  form.time_form = std::string(intake::nameOf(layout.time.form));
  form.zone = layout.time.zone;
  form.elapsed_unit = layout.time.elapsed_unit;
  for (const intake::Column& column : layout.columns) form.columns.push_back(columnForm(column));
  form.empty_marks = layout.empty_marks;
  form.last_line_may_lack_end = layout.last_line_may_lack_end;
  return toValue(form);
}

Result<intake::FileLayout> layoutFrom(const Value& mapping) {
  const Result<LayoutForm> form = fromValue<LayoutForm>(mapping);
  if (!form) return form.error();
  const std::optional<intake::Encoding> encoding = intake::encodingNamed(form->encoding);
  if (!encoding)
    return layoutError(fmt::format("'{}' is no encoding known here.", form->encoding), "encoding");
  const std::optional<intake::StampForm> stamp = intake::stampFormNamed(form->time_form);
  if (!stamp)
    return layoutError(fmt::format("'{}' is no way of writing times known here.", form->time_form),
                       "time_form");
  intake::FileLayout layout;
  layout.name = form->name;
  layout.delimiter = form->delimiter == "tab"  ? '\t'
                     : form->delimiter.empty() ? ';'
                                               : form->delimiter.front();
  layout.decimal_mark = form->decimal_mark == "comma" ? DecimalMark::comma : DecimalMark::point;
  layout.encoding = *encoding;
  layout.title_lines = static_cast<int>(form->title_lines);
  layout.header_line = static_cast<int>(form->header_line);
  layout.unit_line = static_cast<int>(form->unit_line);
  layout.time = {static_cast<int>(form->time_column), static_cast<int>(form->clock_column), *stamp,
                 form->zone, form->elapsed_unit};
  for (std::size_t i = 0; i < form->columns.size(); ++i) {
    Result<intake::Column> column = columnFrom(form->columns[i], fmt::format("columns[{}]", i));
    if (!column) return column.error();
    layout.columns.push_back(std::move(*column));
  }
  layout.empty_marks = form->empty_marks;
  layout.last_line_may_lack_end = form->last_line_may_lack_end;
  if (Result<void> sound = intake::checkLayout(layout); !sound) return sound.error();
  return layout;
}

Result<intake::Series> readRecording(const ledger::Store& store, const std::string& attachment,
                                     const std::string& file_name,
                                     const intake::FileLayout& layout) {
  const Result<std::string> path = store.attachmentPath(attachment);
  if (!path) return path.error();
  Result<std::unique_ptr<intake::ByteSource>> file = intake::openFile(*path);
  if (!file) return file.error();
  Result<intake::Series> series = intake::readSeries(**file, layout);
  if (!series) {
    Error error = series.error();
    error.where.file = file_name;  // the person knows the file by its name, not by its hash
    return error;
  }
  return series;
}

Result<Value> cureInput(const House& house, const CureAsked& asked) {
  const std::unique_ptr<ledger::Snapshot> snapshot = house.store->read();
  const auto load = stateAs<LoadState>(*snapshot, projection::load, asked.load);
  if (!load) return unknownThing("load", asked.load);
  const auto programme = stateAs<Issued<Programme>>(
      *snapshot, projection::programme,
      ledger::issueKey(load->built.programme, load->built.programme_issue));
  const Day built = dayIn(load->built_at, house.card.zone);
  const auto oven =
      ledger::issueInForce<Machine>(*snapshot, projection::machine, load->built.oven, built);
  if (!programme || !oven) return unknownThing("programme", load->built.programme);
  const Result<RecordedChart> chart =
      readRecorded(house, *snapshot, {asked.attachment, asked.file_name, asked.layout},
                   {programme->noun, oven->noun, load->built_at});
  if (!chart) return chart.error();

  CureRecorded recorded;
  recorded.load = asked.load;
  recorded.attachment = asked.attachment;
  recorded.file_name = asked.file_name;
  recorded.layout = chart->layout;
  recorded.layout_issue = chart->layout_issue;
  recorded.rows = chart->rows;
  recorded.skipped = chart->skipped;
  recorded.skipped_why = chart->skipped_why;
  recorded.from = chart->from;
  recorded.to = chart->to;
  recorded.offsets = chart->offsets;
  recorded.remark = asked.remark;
  FigureComputed figure;
  figure.subject = {"load", asked.load};
  figure.method = "cure.chart";
  figure.method_version = 1;
  // The file, the layout's issue and the programme's issue are all that the figures depend on.
  figure.inputs_hash = asked.attachment;
  figure.values = valuesOf(chart->reading);
  figure.marks = marksOf(chart->reading);
  figure.doubts = ovenDoubts(*snapshot, oven->noun, dayIn(chart->from, house.card.zone));
  addEarlierSoak(*snapshot, *load, programme->noun, figure);
  return Value(Value::Object{{"recorded", toValue(recorded)}, {"figure", toValue(figure)}});
}

}  // namespace platemark::service
