#include "platemark/service/noun_import.h"

#include <fmt/format.h>

#include <algorithm>

#include "platemark/act/act.h"
#include "platemark/intake/table.h"
#include "view/view.h"

namespace platemark::service {
namespace {

struct Row {
  std::int64_t number = 0;  ///< row of the list, line of the table
  Value noun;
  std::optional<Error> fault;
};

Error importError(std::string_view code, std::string what, std::string expected = "") {
  Error error;
  error.code = std::string(code);
  error.what = std::move(what);
  error.expected = std::move(expected);
  return error;
}

/// Puts a text at a dotted path: "source.document" makes {"source":{"document":…}}.
void putAt(Value::Object& object, const std::string& path, Value value) {
  const auto dot = path.find('.');
  if (dot == std::string::npos) {
    object[path] = std::move(value);
    return;
  }
  Value& inner = object[path.substr(0, dot)];
  if (inner.asObject() == nullptr) inner = Value::Object{};
  putAt(*inner.asObject(), path.substr(dot + 1), std::move(value));
}

/// A cell as its field's type wants it; lists and objects stand in a cell as JSON.
Value cellValue(const std::string& cell, const Field* field) {
  const bool nested = !cell.empty() && (cell.front() == '[' || cell.front() == '{');
  if (nested)
    if (Result<Value> parsed = parseJson(cell)) return std::move(*parsed);
  if (field != nullptr && field->type == "whole number")
    if (Result<Value> parsed = parseJson(cell); parsed && parsed->asInteger() != nullptr)
      return std::move(*parsed);
  if (field != nullptr && field->type == "yes/no") return cell == "yes" || cell == "true";
  return cell;
}

const Field* fieldAt(const std::vector<Field>& fields, const std::string& path) {
  const auto dot = path.find('.');
  const auto found = std::find_if(fields.begin(), fields.end(),
                                  [&](const Field& f) { return f.name == path.substr(0, dot); });
  if (found == fields.end()) return nullptr;
  return dot == std::string::npos ? &*found : fieldAt(found->members, path.substr(dot + 1));
}

std::vector<Field> nounFields(const act::Kind& kind) {
  for (const Field& field : kind.fields())
    if (field.name == "noun") return field.members;
  return {};
}

Result<std::vector<Row>> rowsOfTable(const NounFile& file, const std::vector<Field>& fields) {
  intake::MemorySource source(file.kind + ".csv", file.bytes);
  const Result<intake::Table> table = intake::readTable(source);
  if (!table) return table.error();
  std::vector<Row> rows;
  if (table->rows.empty()) return rows;
  const std::vector<std::string>& titles = table->rows.front().cells;
  for (std::size_t r = 1; r < table->rows.size(); ++r) {
    Value::Object noun;
    for (std::size_t c = 0; c < titles.size(); ++c)
      if (const std::string& cell = table->rows[r].cells[c]; !cell.empty())
        putAt(noun, titles[c], cellValue(cell, fieldAt(fields, titles[c])));
    rows.push_back({table->rows[r].line, std::move(noun), {}});
  }
  return rows;
}

Result<std::vector<Row>> rowsOfJson(const NounFile& file) {
  Result<Value> value = parseJson(file.bytes);
  if (!value) return value.error();
  std::vector<Row> rows;
  if (const Value::Array* list = value->asArray()) {
    for (std::size_t i = 0; i < list->size(); ++i)
      rows.push_back({static_cast<std::int64_t>(i + 1), (*list)[i], {}});
    return rows;
  }
  rows.push_back({1, std::move(*value), {}});
  return rows;
}

Result<std::vector<Row>> rowsOf(const NounFile& file, const act::Kind& kind) {
  if (file.format == "csv") return rowsOfTable(file, nounFields(kind));
  if (file.format == "json") return rowsOfJson(file);
  return importError("noun.format", fmt::format("'{}' cannot be read.", file.format),
                     "csv or json");
}

std::string codeOf(const Value& noun) {
  if (const std::int64_t* number = noun["number"].asInteger()) return std::to_string(*number);
  return noun.text("code");
}

/// Every row decided on the same record, as one act: its facts, or the first fault of each row.
ledger::Decision decideRows(const act::Kind& kind, const act::Context& context,
                            std::vector<Row>& rows) {
  std::vector<NewFact> facts;
  std::optional<Error> first;
  for (Row& row : rows) {
    Value input = Value::Object{{"noun", row.noun}, {"why", "taken from a file"}};
    ledger::Decision decided = kind.decide(context, input);
    if (decided) {
      facts.insert(facts.end(), std::make_move_iterator(decided->begin()),
                   std::make_move_iterator(decided->end()));
      continue;
    }
    row.fault = decided.error();
    row.fault->where.line = static_cast<long>(row.number);
    if (!first) first = row.fault;
  }
  if (first) return *first;
  return facts;
}

/// Rows that say what the newest issue says already need no new issue.
void dropUnchanged(const ledger::Snapshot& snapshot, const NounFile& file, std::vector<Row>& rows,
                   Value::Array& shown) {
  std::erase_if(rows, [&](const Row& row) {
    const std::optional<Value> known = snapshot.state(file.kind, ledger::nowKey(codeOf(row.noun)));
    if (!known || !((*known)["noun"] == row.noun)) return false;
    shown.push_back(Value::Object{{"row", row.number},
                                  {"code", codeOf(row.noun)},
                                  {"word", "same"},
                                  {"words", words::say("service.import.same")}});
    return true;
  });
}

Value rowValue(const ledger::Snapshot& snapshot, const NounFile& file, const Row& row) {
  const std::string code = codeOf(row.noun);
  const bool known = snapshot.state(file.kind, ledger::nowKey(code)).has_value();
  Value::Object value{{"row", row.number},
                      {"code", code},
                      {"word", row.fault ? "wrong"
                               : known   ? "new issue"
                                         : "new"},
                      {"words", row.fault ? row.fault->what : ""}};
  if (row.fault)
    value.emplace(
        "problem",
        Value::Object{{"title", words::say("service.import.wrong")},
                      {"status", 422},
                      {"detail", row.fault->what},
                      {"code", row.fault->code},
                      {"expected", row.fault->expected},
                      {"remedy", row.fault->remedy},
                      {"where", Value::Object{{"line", static_cast<std::int64_t>(row.number)},
                                              {"field", row.fault->where.field}}}});
  return value;
}

Value previewValue(Value::Array shown, std::size_t recordable, std::size_t wrong) {
  return Value::Object{{"rows", std::move(shown)},
                       {"recordable", static_cast<std::int64_t>(recordable)},
                       {"wrong", static_cast<std::int64_t>(wrong)}};
}

Result<Value> take(House& house, const NounFile& file, bool keep) {
  const act::Kind* kind = act::find(file.kind + " issue");
  if (kind == nullptr)
    return importError("noun.unknown_kind",
                       fmt::format("There is no kind of thing '{}'.", file.kind));
  Result<std::vector<Row>> rows = rowsOf(file, *kind);
  if (!rows) return rows.error();
  const std::unique_ptr<ledger::Snapshot> snapshot = house.store->read();
  Value::Array shown;
  dropUnchanged(*snapshot, file, *rows, shown);
  const act::Context context{*snapshot, file.person,
                             Happened{snapshot->now(), house.card.zone, "", {}}};
  (void)decideRows(*kind, context, *rows);
  std::size_t wrong = 0;
  for (const Row& row : *rows) {
    wrong += row.fault ? 1 : 0;
    shown.push_back(rowValue(*snapshot, file, row));
  }
  const std::size_t recordable = rows->size() - wrong;
  Value preview = previewValue(std::move(shown), recordable, wrong);
  if (!keep || wrong > 0 || rows->empty()) return preview;
  Result<ledger::Receipt> receipt = house.store->submit(act::issueTogether(
      *kind,
      [&] {
        std::vector<Value> inputs;
        for (const Row& row : *rows)
          inputs.push_back(Value::Object{{"noun", row.noun}, {"why", "taken from a file"}});
        return inputs;
      }(),
      file.token, file.person, house.card.zone));
  if (!receipt) return receipt.error();
  preview.asObject()->emplace(
      "done", Value::Object{{"sequences", toValue(receipt->sequences)},
                            {"head", receipt->head},
                            {"recorded", formatInstant(receipt->recorded)},
                            {"repeated", receipt->repeated},
                            {"words", fmt::format("{} issued.", receipt->sequences.size())}});
  return preview;
}

}  // namespace

Result<Value> previewNouns(House& house, const NounFile& file) { return take(house, file, false); }
Result<Value> importNouns(House& house, const NounFile& file) { return take(house, file, true); }

Result<Value> exportNouns(House& house, const std::string& kind) {
  if (act::find(kind + " issue") == nullptr)
    return importError("noun.unknown_kind", fmt::format("There is no kind of thing '{}'.", kind));
  Value::Array list;
  for (const ledger::State& s : house.store->read()->states(kind, "now/", "", 100'000))
    list.push_back(s.value["noun"]);
  return Value(std::move(list));
}

}  // namespace platemark::service
