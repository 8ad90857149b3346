#include "noun_kinds.h"

#include <fmt/format.h>

#include <algorithm>

#include "platemark/plant/state.h"

namespace platemark::service {
namespace {

/// A lot is received, not issued; its paper and remarks belong to its history.
bool isLot(const std::string& kind) { return kind == "lot"; }

constexpr std::string_view history_of_a_lot[] = {"attachment", "remark"};

Value without(Value row, std::string_view name) {
  if (Value::Object* members = row.asObject())
    if (const auto found = members->find(name); found != members->end()) members->erase(found);
  return row;
}

}  // namespace

const act::Kind* actTaking(const std::string& kind) {
  return act::find(kind + (isLot(kind) ? " receive" : " issue"));
}

std::vector<Field> rowFields(const std::string& kind) {
  std::vector<Field> fields = actTaking(kind)->fields();
  if (isLot(kind)) {
    std::erase_if(fields, [](const Field& f) {
      return std::find(std::begin(history_of_a_lot), std::end(history_of_a_lot), f.name) !=
             std::end(history_of_a_lot);
    });
    return fields;
  }
  for (const Field& field : fields)
    if (field.name == "noun") return field.members;
  return {};
}

Value inputFrom(const std::string& kind, const Value& row) {
  if (isLot(kind)) return row;
  return Value::Object{{"noun", row}, {"why", "taken from a file"}};
}

std::optional<Value> rowOnRecord(const ledger::Snapshot& snapshot, const std::string& kind,
                                 const std::string& code) {
  const std::optional<Value> state =
      snapshot.state(kind, isLot(kind) ? code : ledger::nowKey(code));
  if (!state) return {};
  return rowOf(kind, isLot(kind) ? (*state)["received"] : *state);
}

Value rowOf(const std::string& kind, const Value& body) {
  if (!isLot(kind)) return body["noun"];
  Value row = body;
  for (const std::string_view name : history_of_a_lot) row = without(std::move(row), name);
  return row;
}

std::string codeOf(const std::string& kind, const Value& row) {
  if (const std::int64_t* number = row["number"].asInteger()) return std::to_string(*number);
  return row.text(isLot(kind) ? "lot" : "code");
}

Error unknownKind(const std::string& kind) {
  Error error;
  error.code = "noun.unknown_kind";
  error.what = fmt::format("There is no kind of thing '{}'.", kind);
  return error;
}

}  // namespace platemark::service
