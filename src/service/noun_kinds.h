/// What import and export share: which act takes a kind, and what of its input a file holds.
#pragma once

#include <string>
#include <vector>

#include "platemark/act/act.h"

namespace platemark::service {

/// The act that takes one row of this kind; null when there is no such kind.
[[nodiscard]] const act::Kind* actTaking(const std::string& kind);
/// The members that a row may have.
[[nodiscard]] std::vector<Field> rowFields(const std::string& kind);
/// The input of the act for one row.
[[nodiscard]] Value inputFrom(const std::string& kind, const Value& row);
/// The row for what is on record, if it is.
[[nodiscard]] std::optional<Value> rowOnRecord(const ledger::Snapshot& snapshot,
                                               const std::string& kind, const std::string& code);
/// The row that a fact of the act would put on record.
[[nodiscard]] Value rowOf(const std::string& kind, const Value& body);
/// The code by which a row is known.
[[nodiscard]] std::string codeOf(const std::string& kind, const Value& row);
[[nodiscard]] Error unknownKind(const std::string& kind);

}  // namespace platemark::service
