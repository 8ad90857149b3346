/// Check cases as data: rows of tests/<room>/cases/*.csv, read at run time.
///
/// A file begins with lines of comment, one of which is "# source: …" with the outside source of
/// its numbers; a file without one is refused. Then a line of column titles, then one case a row.
/// A cell with a comma stands in double quotes.
///
///     eachCase("method/cases/sieve.csv", [](const Case& row) {
///       checkNumber(row, passing(row.numbers("apertures"), …));
///     });
#pragma once

#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace platemark::test {

struct Case {
  std::map<std::string, std::string> cells;  ///< by column title
  std::string source;                        ///< of the file
  std::string place;                         ///< "sieve.csv:7"

  [[nodiscard]] const std::string& text(const std::string& column) const {
    const auto found = cells.find(column);
    if (found == cells.end()) throw std::runtime_error(place + ": no column '" + column + "'");
    return found->second;
  }
  [[nodiscard]] double number(const std::string& column) const {
    const std::vector<double> list = numbers(column);
    if (list.size() != 1) throw std::runtime_error(place + ": one number needed in " + column);
    return list.front();
  }
  /// Numbers parted by spaces.
  [[nodiscard]] std::vector<double> numbers(const std::string& column) const {
    std::istringstream words(text(column));
    std::vector<double> list;
    for (std::string word; words >> word;) {
      std::size_t used = 0;
      list.push_back(std::stod(word, &used));
      if (used != word.size()) throw std::runtime_error(place + ": no number: " + word);
    }
    return list;
  }
};

struct CaseFile {
  std::string source;
  std::vector<Case> rows;
};

inline std::vector<std::string> splitRow(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"')
      quoted = !quoted;
    else if (c == ',' && !quoted)
      cells.emplace_back();
    else if (c != '\r')
      cells.back() += c;
  }
  return cells;
}

inline Case caseFrom(const std::vector<std::string>& titles, const std::string& line,
                     const std::string& source, const std::string& place) {
  const std::vector<std::string> cells = splitRow(line);
  if (cells.size() != titles.size())
    throw std::runtime_error(place + ": " + std::to_string(cells.size()) + " cells under " +
                             std::to_string(titles.size()) + " titles");
  Case row{{}, source, place};
  for (std::size_t i = 0; i < cells.size(); ++i) row.cells[titles[i]] = cells[i];
  return row;
}

/// Throws std::runtime_error for a file without a source, without rows or with a torn row.
inline CaseFile readCases(std::istream& in, const std::string& name) {
  static const std::string mark = "# source:";
  CaseFile file;
  std::vector<std::string> titles;
  int number = 0;
  for (std::string line; std::getline(in, line);) {
    const std::string place = name + ":" + std::to_string(++number);
    if (line.starts_with(mark) && line.find_first_not_of(" \r", mark.size()) != std::string::npos)
      file.source = line.substr(mark.size() + 1);
    if (line.empty() || line.front() == '#') continue;
    if (file.source.empty())
      throw std::runtime_error(name + " has no '# source:' line; say where its numbers come from");
    if (titles.empty())
      titles = splitRow(line);
    else
      file.rows.push_back(caseFrom(titles, line, file.source, place));
  }
  if (file.rows.empty()) throw std::runtime_error(name + " holds no case");
  return file;
}

/// `path` under tests/.
inline CaseFile loadCases(const std::string& path) {
  std::ifstream in(std::string(PLATEMARK_TESTS_DIR) + "/" + path);
  if (!in) throw std::runtime_error("cannot read tests/" + path);
  return readCases(in, path.substr(path.rfind('/') + 1));
}

/// Every cell of a row, its place and its source, for a failure's report.
inline std::string describeCase(const Case& row) {
  std::string text = row.place;
  for (const auto& [title, cell] : row.cells) text += "\n  " + title + ": " + cell;
  return text + "\n  source: " + row.source;
}

/// Checks each row as a subcase named by its line, so that a failing row hides none of the others
/// and can be run alone (--subcase="sieve.csv:7*").
template <class Check>
void eachCase(const std::string& path, Check check) {
  for (const Case& row : loadCases(path).rows) {
    const auto id = row.cells.find("id");
    const std::string name = id == row.cells.end() ? row.place : row.place + " " + id->second;
    SUBCASE(name.c_str()) {
      INFO(describeCase(row));
      check(row);
    }
  }
}

/// Compares with the columns `expected` and `tolerance` (absolute).
inline void checkNumber(const Case& row, double computed) {
  const double expected = row.number("expected"), tolerance = row.number("tolerance");
  const double difference = computed - expected;
  CAPTURE(computed);
  CAPTURE(difference);
  CHECK(std::abs(difference) <= tolerance);
}

}  // namespace platemark::test
