/// Pieces that the terminal's words share.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "platemark/plant/value.h"

namespace platemark::cli {

using Row = std::vector<std::string>;

/// The cells of each row, set under each other; a line each, without its end.
[[nodiscard]] std::vector<std::string> tableLines(const std::vector<Row>& rows);
/// The parts that are not empty.
[[nodiscard]] std::string joined(const std::vector<std::string>& parts, std::string_view between);
/// A list member; empty when there is none.
[[nodiscard]] Value::Array listOf(const Value& value, std::string_view name);
/// Pages set off the first words of a sentence with "**".
[[nodiscard]] std::string withoutMarks(std::string text);

/// Each approval that is needed, until when, and in words; "" on a page without cover.
[[nodiscard]] std::string coverWords(const Value& page);
[[nodiscard]] std::string todayWords(const Value& page);
/// What the bench owes, a thing after the other.
[[nodiscard]] std::string benchWords(const Value& page);
[[nodiscard]] std::string gaugeWords(const Value& page);
/// A characteristic across batches.
[[nodiscard]] std::string trendWords(const Value& page);
[[nodiscard]] std::string shiftWords(const Value& page);
/// An act with the members of its input; or all of them, a line each.
[[nodiscard]] std::string actWords(const Value& act);
[[nodiscard]] std::string actListWords(const Value::Array& acts);

}  // namespace platemark::cli
