#include "platemark/intake/layout.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

#include "fault.h"
#include "platemark/quantity/time.h"

namespace platemark::intake {
namespace {

constexpr std::array<std::string_view, 4> encoding_names{"utf-8", "latin-1", "utf-16le",
                                                         "utf-16be"};
constexpr std::array<std::string_view, 4> role_names{"ignored", "reading", "unit", "label"};
constexpr std::array<std::string_view, 5> form_names{"year-month-day", "day-month-year",
                                                     "month-day-year", "day-serial", "elapsed"};

template <class E, std::size_t N>
std::optional<E> named(const std::array<std::string_view, N>& names, std::string_view name) {
  const auto found = std::find(names.begin(), names.end(), name);
  if (found == names.end()) return std::nullopt;
  return static_cast<E>(found - names.begin());
}

Error layoutFault(std::string code, std::string field, std::string what, std::string expected) {
  return fault(std::move(code), {std::move(what), std::move(expected), "Correct the file layout."},
               {.file = {}, .line = 0, .column = {}, .field = std::move(field)});
}

Result<void> checkSigns(const FileLayout& layout) {
  if (std::string_view(";,|\t").find(layout.delimiter) == std::string_view::npos ||
      layout.delimiter == 0)
    return layoutFault("layout.delimiter", "delimiter", "The delimiter is none of the known ones.",
                       "semicolon, comma, tab or upright bar");
  if (layout.decimal_mark == DecimalMark::unknown)
    return layoutFault("layout.decimal_mark", "decimal_mark", "The decimal mark is left open.",
                       "point or comma");
  if (layout.title_lines < 0 || layout.header_line < 0 || layout.unit_line < 0 ||
      std::max({layout.title_lines, layout.header_line, layout.unit_line}) > 200)
    return layoutFault("layout.lines", "header_line", "A line above the rows is out of range.",
                       "title lines, header line and unit line from 0 to 200");
  return {};
}

Result<void> checkTime(const TimeColumns& time) {
  if (time.column < 1 || time.column > 1000 || time.clock_column < 0 || time.clock_column > 1000)
    return layoutFault("layout.position", "time.column", "The time has no column.",
                       "a position from 1 to 1000");
  if (const auto zone = localTime(Instant{}, time.zone); !zone) {
    Error error = zone.error();
    error.where.field = "time.zone";
    error.remedy = "Correct the file layout.";
    return error;
  }
  if (time.form != StampForm::elapsed) return {};
  const auto unit = findUnit(time.elapsed_unit);
  if (unit && unit->kind == Kind::duration) return {};
  return layoutFault("unit.wrong_kind", "time.elapsed_unit",
                     fmt::format("'{}' is no unit of elapsed time.", time.elapsed_unit),
                     "s, min, h or d");
}

Result<void> checkUnit(const Column& column, const std::string& field) {
  const auto unit = findUnit(column.unit);
  if (!unit) {
    Error error = unit.error();
    error.where = {.file = {}, .line = 0, .column = column.title, .field = field + ".unit"};
    return error;
  }
  if (unit->kind == column.kind) return {};
  Error error = layoutFault("unit.wrong_kind", field + ".unit",
                            fmt::format("'{}' is {}; the column is meant to hold {}.", column.unit,
                                        kindName(unit->kind), kindName(column.kind)),
                            fmt::format("a unit of {}", kindName(column.kind)));
  error.where.column = column.title;
  return error;
}

Result<void> checkColumn(const Column& column, const std::string& field) {
  if (column.position < 1 || column.position > 1000)
    return layoutFault("layout.position", field + ".position",
                       "The column has no place in the file.", "a position from 1 to 1000");
  if (column.role != Role::reading) return {};
  if (column.meaning.empty())
    return layoutFault("layout.meaning", field + ".meaning",
                       fmt::format("The column '{}' has no meaning.", column.title),
                       "e.g. channel 1");
  if (column.lowest && column.highest && !(*column.lowest < *column.highest))
    return layoutFault("layout.range", field + ".lowest",
                       "The lowest value is not below the highest.",
                       "two limits in the column's unit");
  return checkUnit(column, field);
}

Result<void> checkDistinct(const FileLayout& layout) {
  std::set<int> positions{layout.time.column};
  std::set<std::string> meanings;
  if (layout.time.clock_column != 0) positions.insert(layout.time.clock_column);
  for (std::size_t i = 0; i < layout.columns.size(); ++i) {
    const Column& column = layout.columns[i];
    if (column.role == Role::ignored) continue;
    if (!positions.insert(column.position).second)
      return layoutFault("layout.position", fmt::format("columns[{}].position", i),
                         fmt::format("Column {} of the file is used twice.", column.position),
                         "one use for each column");
    if (column.role == Role::reading && !meanings.insert(column.meaning).second)
      return layoutFault("layout.meaning", fmt::format("columns[{}].meaning", i),
                         fmt::format("Two columns mean '{}'.", column.meaning),
                         "a meaning of its own for each");
  }
  return {};
}

}  // namespace

Result<void> checkLayout(const FileLayout& layout) {
  if (auto ok = checkSigns(layout); !ok) return ok;
  if (auto ok = checkTime(layout.time); !ok) return ok;
  for (std::size_t i = 0; i < layout.columns.size(); ++i)
    if (auto ok = checkColumn(layout.columns[i], fmt::format("columns[{}]", i)); !ok) return ok;
  const auto is_reading = [](const Column& c) { return c.role == Role::reading; };
  if (std::none_of(layout.columns.begin(), layout.columns.end(), is_reading))
    return layoutFault("layout.no_reading", "columns", "No column is read as a reading.",
                       "at least one column with the role reading");
  return checkDistinct(layout);
}

std::string_view nameOf(Encoding e) { return encoding_names.at(static_cast<std::size_t>(e)); }
std::string_view nameOf(Role r) { return role_names.at(static_cast<std::size_t>(r)); }
std::string_view nameOf(StampForm f) { return form_names.at(static_cast<std::size_t>(f)); }
std::optional<Encoding> encodingNamed(std::string_view n) {
  return named<Encoding>(encoding_names, n);
}
std::optional<Role> roleNamed(std::string_view n) { return named<Role>(role_names, n); }
std::optional<StampForm> stampFormNamed(std::string_view n) {
  return named<StampForm>(form_names, n);
}

}  // namespace platemark::intake
