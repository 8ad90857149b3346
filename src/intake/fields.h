/// One line of a file and its cells.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace platemark::intake {

/// Without spaces around.
[[nodiscard]] std::string_view trimmed(std::string_view text);
/// Splits a line (its end taken off) at `delimiter` outside double quotes; the
/// cells are trimmed and without their outer quotes. A quote that never closes
/// takes the rest of the line.
void splitFields(std::string_view line, char delimiter, std::vector<std::string_view>& cells);
/// Doubled quotes of a quoted cell made single.
[[nodiscard]] std::string unescaped(std::string_view cell);
/// The unit that a title names: "Air left [°C]", "Net (g)", "T1 / °F", "Temp_degC".
/// UCUM code, or empty. `name` gets the title without it.
[[nodiscard]] std::string unitInTitle(std::string_view title, std::string& name);

/// Takes lines off the front of a text; false at its end. '\r' before '\n' goes too.
bool takeLine(std::string_view& text, std::string_view& line);

}  // namespace platemark::intake
