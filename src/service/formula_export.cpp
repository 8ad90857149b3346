#include "platemark/service/formula_export.h"

#include "platemark/intake/table.h"
#include "view/view.h"

namespace platemark::service {
namespace {

using Row = std::vector<std::string>;

const std::vector<std::string> line_members{"material",     "name",          "change",
                                            "parts_before", "parts_after",   "mass_before",
                                            "mass_after",   "volume_before", "volume_after"};

Row membersOf(const Value& value, const std::vector<std::string>& members) {
  Row row;
  for (const std::string& member : members) row.push_back(value.text(member));
  return row;
}

/// Properties and substances have a value before and one after, and neither parts nor shares.
void addPairs(std::vector<Row>& table, const Value& list, const std::string& name) {
  for (const Value& item : *list.asArray()) {
    const bool changed = item["changed"] == Value(true);
    table.push_back({"", item.text(name), changed ? "changed" : "same", item.text("before"),
                     item.text("after"), "", "", "", ""});
  }
}

}  // namespace

Result<std::string> exportFormulas(const House& house, const std::string& code,
                                   const std::string& from, const std::string& to) {
  const std::unique_ptr<ledger::Snapshot> snapshot = house.store->read();
  const view::Look look{*snapshot, house.card, {}, *house.people};
  const Result<Value> change = view::formulaChange(look, code, from, to);
  if (!change) return change.error();
  std::vector<Row> table{line_members};
  for (const Value& line : *(*change)["lines"].asArray())
    table.push_back(membersOf(line, line_members));
  addPairs(table, (*change)["properties"], "what");
  addPairs(table, (*change)["substances"], "substance");
  return intake::writeCsv(table);
}

}  // namespace platemark::service
