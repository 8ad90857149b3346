#include "platemark/service/noun_import.h"

#include <fmt/format.h>

#include <algorithm>

#include "noun_kinds.h"
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
  const bool nested = cell.front() == '[' || cell.front() == '{';
  if (nested && (field == nullptr || field->type != "text"))
    if (Result<Value> parsed = parseJson(cell)) return std::move(*parsed);
  if (field != nullptr && field->type == "whole number")
    if (Result<Value> parsed = parseJson(cell); parsed && parsed->asInteger() != nullptr)
      return std::move(*parsed);
  if (field != nullptr && field->type == "yes/no") {
    if (cell == "yes" || cell == "true") return true;
    if (cell == "no" || cell == "false") return false;
  }
  return cell;
}

const Field* fieldAt(const std::vector<Field>& fields, const std::string& path) {
  const auto dot = path.find('.');
  const auto found = std::find_if(fields.begin(), fields.end(),
                                  [&](const Field& f) { return f.name == path.substr(0, dot); });
  if (found == fields.end()) return nullptr;
  return dot == std::string::npos ? &*found : fieldAt(found->members, path.substr(dot + 1));
}

/// An empty cell leaves its member out; a text that must be there is then an empty one.
bool saysNothing(const std::string& cell, const Field* field, const std::string& title) {
  const bool needed_text = field != nullptr && field->type == "text" && !field->optional &&
                           title.find('.') == std::string::npos;
  return cell.empty() && !needed_text;
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
    for (std::size_t c = 0; c < titles.size(); ++c) {
      const std::string& cell = table->rows[r].cells[c];
      const Field* field = fieldAt(fields, titles[c]);
      if (saysNothing(cell, field, titles[c])) continue;
      putAt(noun, titles[c], cell.empty() ? Value("") : cellValue(cell, field));
    }
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

Result<std::vector<Row>> rowsOf(const NounFile& file) {
  if (file.format == "csv") return rowsOfTable(file, rowFields(file.kind));
  if (file.format == "json") return rowsOfJson(file);
  return importError("noun.format", fmt::format("'{}' cannot be read.", file.format),
                     "csv or json");
}

/// Nobody's key comes with a file: a person keeps the one on record here, and must be on record.
void giveKeys(const ledger::Snapshot& snapshot, const NounFile& file, std::vector<Row>& rows) {
  if (file.kind != "person") return;
  for (Row& row : rows) {
    const std::string number = codeOf(file.kind, row.noun);
    const std::optional<Value> known = rowOnRecord(snapshot, file.kind, number);
    const Value& given = row.noun["public_key"];
    if (known && (given.isNull() || given == (*known)["public_key"])) {
      if (Value::Object* members = row.noun.asObject())
        members->insert_or_assign("public_key", (*known)["public_key"]);
    } else if (known || given.isNull()) {
      row.fault = importError(
          known ? "person.other_key" : "person.unknown",
          known
              ? fmt::format("Number {} signs here with another key.", number)
              : fmt::format("Number {} is not on record here, and a file brings no key.", number));
      row.fault->where.field = "noun.public_key";
      row.fault->remedy = known ? "Leave the key out of the file."
                                : "Make the person first, in the order of the numbers.";
    }
  }
}

ledger::Decision decideRow(const act::Kind& kind, const act::Context& context, const NounFile& file,
                           const Row& row) {
  if (row.fault) return *row.fault;
  return kind.decide(context, inputFrom(file.kind, row.noun));
}

/// The row as the act's input reads it: a typed "5 kg" and {"unit":"kg","value":"5"} are one.
std::optional<Value> understood(const Value& row) {
  const Result<LotReceived> lot = fromValue<LotReceived>(row);
  return lot ? std::optional<Value>(rowOf("lot", toValue(*lot))) : std::nullopt;
}

/// Says what is on record already, to the letter or once it is understood: no new issue is needed.
bool isOnRecord(const act::Kind& kind, const act::Context& context, const NounFile& file,
                const Row& row) {
  const std::optional<Value> known =
      rowOnRecord(context.snapshot, file.kind, codeOf(file.kind, row.noun));
  if (!known || row.fault) return false;
  if (*known == row.noun) return true;
  if (file.kind == "lot") return *known == understood(row.noun);
  const ledger::Decision decided = decideRow(kind, context, file, row);
  return decided && rowOf(file.kind, decided->front().body) == *known;
}

void dropUnchanged(const act::Kind& kind, const act::Context& context, const NounFile& file,
                   std::vector<Row>& rows, Value::Array& shown) {
  std::erase_if(rows, [&](const Row& row) {
    if (!isOnRecord(kind, context, file, row)) return false;
    shown.push_back(Value::Object{{"row", row.number},
                                  {"code", codeOf(file.kind, row.noun)},
                                  {"word", "same"},
                                  {"words", words::say("service.import.same")}});
    return true;
  });
}

/// The first fault of each row, decided on the record as it is.
void findFaults(const act::Kind& kind, const act::Context& context, const NounFile& file,
                std::vector<Row>& rows) {
  for (Row& row : rows) {
    const ledger::Decision decided = decideRow(kind, context, file, row);
    if (decided) continue;
    row.fault = decided.error();
    row.fault->where.line = static_cast<long>(row.number);
  }
}

Value rowValue(const ledger::Snapshot& snapshot, const NounFile& file, const Row& row) {
  const std::string code = codeOf(file.kind, row.noun);
  const bool known = rowOnRecord(snapshot, file.kind, code).has_value();
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

std::vector<Value> inputsOf(const NounFile& file, const std::vector<Row>& rows) {
  std::vector<Value> inputs;
  for (const Row& row : rows) inputs.push_back(inputFrom(file.kind, row.noun));
  return inputs;
}

Value doneValue(const ledger::Receipt& receipt) {
  return Value::Object{{"sequences", toValue(receipt.sequences)},
                       {"head", receipt.head},
                       {"recorded", formatInstant(receipt.recorded)},
                       {"repeated", receipt.repeated},
                       {"words", fmt::format("{} issued.", receipt.sequences.size())}};
}

Result<Value> take(House& house, const NounFile& file, bool keep) {
  const act::Kind* kind = actTaking(file.kind);
  if (kind == nullptr) return unknownKind(file.kind);
  Result<std::vector<Row>> rows = rowsOf(file);
  if (!rows) return rows.error();
  const std::unique_ptr<ledger::Snapshot> snapshot = house.store->read();
  const act::Context context{*snapshot, file.person,
                             Happened{snapshot->now(), house.card.zone, "", {}}};
  Value::Array shown;
  giveKeys(*snapshot, file, *rows);
  dropUnchanged(*kind, context, file, *rows, shown);
  findFaults(*kind, context, file, *rows);
  std::size_t wrong = 0;
  for (const Row& row : *rows) {
    wrong += row.fault ? 1 : 0;
    shown.push_back(rowValue(*snapshot, file, row));
  }
  Value preview = previewValue(std::move(shown), rows->size() - wrong, wrong);
  if (!keep || wrong > 0 || rows->empty()) return preview;
  const Result<ledger::Receipt> receipt = house.store->submit(
      act::issueTogether(*kind, inputsOf(file, *rows), file.token, file.person, house.card.zone));
  if (!receipt) return receipt.error();
  preview.asObject()->emplace("done", doneValue(*receipt));
  return preview;
}

}  // namespace

Result<Value> previewNouns(House& house, const NounFile& file) { return take(house, file, false); }
Result<Value> importNouns(House& house, const NounFile& file) { return take(house, file, true); }

}  // namespace platemark::service
