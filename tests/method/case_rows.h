/// Check values from outside, one CSV file per subject under tests/.
///
/// Lines starting with '#' are remarks; one of them must be "# source: …", or
/// the file does not load. The first other line names the columns. No cell
/// holds a comma; a list inside a cell is separated by blanks.
#pragma once

#include <fstream>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace cases {

class Row {
 public:
  explicit Row(std::map<std::string, std::string> cells) : cells_(std::move(cells)) {}
  [[nodiscard]] const std::string& text(const std::string& column) const {
    return cells_.at(column);
  }
  [[nodiscard]] double number(const std::string& column) const { return std::stod(text(column)); }
  [[nodiscard]] std::vector<double> numbers(const std::string& column) const {
    std::istringstream cell(text(column));
    std::vector<double> list;
    for (double value = 0; cell >> value;) list.push_back(value);
    return list;
  }

 private:
  std::map<std::string, std::string> cells_;
};

inline std::vector<std::string> cellsOf(const std::string& line) {
  std::vector<std::string> cells;
  std::istringstream stream(line);
  for (std::string cell; std::getline(stream, cell, ',');) cells.push_back(cell);
  if (line.ends_with(',')) cells.emplace_back();
  return cells;
}

inline std::vector<Row> read(std::istream& in, const std::string& name) {
  std::vector<std::string> columns;
  std::vector<Row> rows;
  bool sourced = false;
  for (std::string line; std::getline(in, line);) {
    if (line.starts_with("# source: ") && line.size() > 10) sourced = true;
    if (line.empty() || line.starts_with('#')) continue;
    const std::vector<std::string> cells = cellsOf(line);
    if (columns.empty()) {
      columns = cells;
      continue;
    }
    if (cells.size() != columns.size())
      throw std::runtime_error(name + ": a row has another number of cells: " + line);
    std::map<std::string, std::string> named;
    for (std::size_t i = 0; i < cells.size(); ++i) named[columns[i]] = cells[i];
    rows.emplace_back(std::move(named));
  }
  if (!sourced) throw std::runtime_error(name + ": no source line");
  if (rows.empty()) throw std::runtime_error(name + ": no rows");
  return rows;
}

/// `file` under tests/, e.g. "method/cases/shear.csv".
inline std::vector<Row> load(const std::string& file) {
  std::ifstream in(std::string(PLATEMARK_TESTS_DIR) + "/" + file);
  return read(in, file);
}

}  // namespace cases
