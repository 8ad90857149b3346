#include "platemark/service/noun_export.h"

#include <fmt/format.h>

#include <algorithm>

#include "noun_kinds.h"
#include "platemark/intake/table.h"

namespace platemark::service {
namespace {

constexpr std::string_view order[] = {
    "plan",   "programme", "material", "compound", "machine", "gauge",    "part",   "approval",
    "layout", "numbering", "place",    "kinetics", "survey",  "stacking", "person", "lot"};

/// A key belongs to the plant that sealed it.
Value withoutKey(Value row) {
  if (Value::Object* members = row.asObject()) members->erase("public_key");
  return row;
}

/// The issue that is in force on the day: a file has no room for a day on which an issue begins.
std::optional<Value> inForce(const ledger::Snapshot& snapshot, const std::string& kind,
                             const Value& newest, Day day) {
  std::optional<Value> issued = newest;
  const auto begins_later = [&] {
    const Result<Day> from = parseDay((*issued).text("effective"));
    return from && day < *from;
  };
  while (issued && begins_later())
    issued = snapshot.state(kind, ledger::issueKey(codeOf(kind, (*issued)["noun"]),
                                                   *(*issued)["issue"].asInteger() - 1));
  return issued;
}

Value::Array lotRows(const ledger::Snapshot& snapshot) {
  Value::Array rows;
  for (const ledger::State& s : snapshot.states("lot", "", "", 100'000))
    rows.push_back(rowOf("lot", s.value["received"]));
  return rows;
}

Value::Array rowsOf(const House& house, const ledger::Snapshot& snapshot, const std::string& kind) {
  if (kind == "lot") return lotRows(snapshot);
  const Day today = dayIn(snapshot.now(), house.card.zone);
  Value::Array rows;
  for (const ledger::State& s : snapshot.states(kind, "now/", "", 100'000))
    if (const std::optional<Value> issued = inForce(snapshot, kind, s.value, today)) {
      Value row = rowOf(kind, *issued);
      rows.push_back(kind == "person" ? withoutKey(std::move(row)) : std::move(row));
    }
  return rows;
}

bool isMeasure(const Value& value) {
  const Value::Object* members = value.asObject();
  return members != nullptr && members->size() == 2 && members->contains("unit") &&
         members->contains("value");
}

/// As a person types it, where that reads back to the same; lists and named values as JSON.
std::string cellOf(const Value& value) {
  if (value.isNull()) return "";
  if (const std::string* text = value.asString()) return *text;
  if (const bool* yes = value.asBool()) return *yes ? "yes" : "no";
  if (isMeasure(value)) return value.text("value") + " " + value.text("unit");
  return canonicalJson(value);
}

const Value& valueAt(const Value& row, std::string_view path) {
  const auto dot = path.find('.');
  return dot == std::string_view::npos ? row[path]
                                       : valueAt(row[path.substr(0, dot)], path.substr(dot + 1));
}

/// One column for each member that any row has; an object's members each have their own.
void addColumns(std::vector<std::string>& columns, const std::vector<Field>& fields,
                const Value::Array& rows, const std::string& before) {
  for (const Field& field : fields) {
    const std::string path = before + field.name;
    if (field.type == "object" && !field.members.empty()) {
      addColumns(columns, field.members, rows, path + ".");
      continue;
    }
    if (std::any_of(rows.begin(), rows.end(),
                    [&](const Value& row) { return !valueAt(row, path).isNull(); }))
      columns.push_back(path);
  }
}

std::string csvOf(const std::string& kind, const Value::Array& rows) {
  std::vector<std::string> columns;
  addColumns(columns, rowFields(kind), rows, "");
  std::vector<std::vector<std::string>> table{columns};
  for (const Value& row : rows) {
    table.emplace_back();
    for (const std::string& path : columns) table.back().push_back(cellOf(valueAt(row, path)));
  }
  return intake::writeCsv(table);
}

Result<std::string> written(const std::string& kind, const std::string& format, Value::Array rows) {
  if (format == "json") return prettyJson(std::move(rows));
  if (format == "csv") return csvOf(kind, rows);
  Error error;
  error.code = "noun.format";
  error.what = fmt::format("'{}' cannot be written.", format);
  error.expected = "csv or json";
  return error;
}

}  // namespace

std::span<const std::string_view> importOrder() { return order; }

Result<std::string> exportKind(const House& house, const std::string& kind,
                               const std::string& format) {
  if (std::find(std::begin(order), std::end(order), kind) == std::end(order))
    return unknownKind(kind);
  return written(kind, format, rowsOf(house, *house.store->read(), kind));
}

Result<std::vector<ExportFile>> exportAll(const House& house, const std::string& format) {
  const std::unique_ptr<ledger::Snapshot> snapshot = house.store->read();
  std::vector<ExportFile> files;
  for (std::size_t i = 0; i < std::size(order); ++i) {
    const std::string kind(order[i]);
    Value::Array rows = rowsOf(house, *snapshot, kind);
    const bool empty = rows.empty();
    Result<std::string> bytes = written(kind, format, std::move(rows));
    if (!bytes) return bytes.error();
    if (!empty) files.push_back({fmt::format("{:02}-{}.{}", i + 1, kind, format), *bytes});
  }
  return files;
}

}  // namespace platemark::service
