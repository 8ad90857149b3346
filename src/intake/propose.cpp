#include "platemark/intake/propose.h"

#include <fmt/format.h>

#include <algorithm>

#include "encoding.h"
#include "fault.h"
#include "fields.h"
#include "number.h"
#include "propose_grid.h"
#include "stamp.h"

namespace platemark::intake {
namespace {

constexpr std::size_t sampled_lines = 400;

std::string delimiterName(char c) {
  return c == ';' ? "semicolon" : c == '\t' ? "tab" : c == ',' ? "comma" : "upright bar";
}

std::vector<std::string> cellsOf(const std::string& line, char delimiter) {
  std::vector<std::string_view> views;
  splitFields(line, delimiter, views);
  std::vector<std::string> cells;
  for (const auto view : views) cells.push_back(unescaped(view));
  return cells;
}

/// The longest run of lines that fall into the same number (two or more) of cells.
struct Run {
  std::size_t first = 0, end = 0, cells = 0;
  [[nodiscard]] std::size_t length() const { return end - first; }
};

Run longestRun(const std::vector<std::string>& lines, char delimiter) {
  Run best, now;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const std::size_t cells = cellsOf(lines[i], delimiter).size();
    if (cells != now.cells || i == 0) now = {i, i, cells};
    now.end = i + 1;
    if (now.cells > 1 && now.length() > best.length()) best = now;
  }
  return best;
}

void guessEncoding(Grid& grid, const EncodingFound& found) {
  grid.layout().encoding = found.encoding;
  const char* reason = found.mark_bytes > 0     ? "a byte order mark says so"
                       : isWide(found.encoding) ? "every second byte is NUL"
                       : found.encoding == Encoding::latin1
                           ? "bytes above 127 that are no UTF-8, such as a degree sign of one byte"
                       : found.certain ? "the letters above 127 are UTF-8"
                                       : "plain ASCII so far, which every encoding reads the same";
  grid.guess("encoding", std::string(nameOf(found.encoding)), reason, found.certain ? 0.98 : 0.9);
}

Run guessDelimiter(Grid& grid) {
  Run best;
  char chosen = ';';
  for (const char candidate : {';', '\t', '|', ','}) {
    const Run run = longestRun(grid.lines, candidate);
    if (run.length() > best.length()) {
      best = run;
      chosen = candidate;
    }
  }
  grid.layout().delimiter = chosen;
  if (best.length() == 0) {
    grid.guess("delimiter", delimiterName(chosen), "no sign parts the lines into columns", 0.0,
               {"semicolon", "tab", "comma"});
  } else {
    const double share =
        static_cast<double>(best.length()) / static_cast<double>(grid.lines.size());
    grid.guess(
        "delimiter", delimiterName(chosen),
        fmt::format("it parts {} lines in a row into {} cells each", best.length(), best.cells),
        0.5 + 0.49 * share);
  }
  return best;
}

bool isData(const std::vector<std::string>& cells) {
  std::size_t filled = 0, data = 0;
  for (const std::string& cell : cells) {
    filled += !cell.empty();
    data += isNumeric(cell) || isStampLike(cell);
  }
  return data > 0 && data * 2 >= filled;
}

bool isUnitLine(const std::vector<std::string>& cells) {
  std::size_t filled = 0, units = 0;
  for (const std::string& cell : cells) {
    std::string name;
    filled += !cell.empty();
    units +=
        !cell.empty() && (findUnit(cell) || !unitInTitle(cell, name).empty()) && cell.size() < 12;
  }
  return units > 0 && units * 2 >= filled;
}

/// Finds the first row, and above it the unit line and the header.
void guessLines(Grid& grid, const Run& run) {
  FileLayout& layout = grid.layout();
  std::size_t first = run.first;
  while (first < run.end && !isData(cellsOf(grid.lines[first], layout.delimiter))) ++first;
  for (std::size_t i = first; i < run.end; ++i)
    if (auto cells = cellsOf(grid.lines[i], layout.delimiter); isData(cells))
      grid.rows.push_back(std::move(cells));
  layout.header_line = layout.unit_line = 0;
  std::size_t above = first;  // lines above the rows, counted from the top
  const auto cellsAbove = [&](std::size_t line) {
    return cellsOf(grid.lines[line - 1], layout.delimiter);
  };
  if (above > 1 && isUnitLine(cellsAbove(above)) && cellsAbove(above - 1).size() > 1 &&
      !isUnitLine(cellsAbove(above - 1))) {
    layout.unit_line = static_cast<int>(above);
    grid.units = cellsAbove(above);
    --above;
    grid.guess("unit_line", std::to_string(layout.unit_line), "its cells are units", 0.9);
  }
  if (above > 0 && cellsAbove(above).size() > 1) {
    layout.header_line = static_cast<int>(above);
    grid.titles = cellsAbove(above);
  }
  layout.title_lines =
      std::max(0, layout.header_line > 0 ? layout.header_line - 1 : static_cast<int>(first));
  grid.guess("header_line", std::to_string(layout.header_line),
             layout.header_line > 0 ? "the last line of words above the first row"
                                    : "no line of titles above the first row",
             layout.header_line > 0 ? 0.95 : 0.6);
  grid.guess("title_lines", std::to_string(layout.title_lines), "lines above the header", 0.95);
}

/// Unquoted decimal commas between delimiter commas: each number falls into two cells.
void doubtComma(Grid& grid) {
  const std::size_t titles = grid.titles.size(), cells = grid.columnCount();
  if (grid.layout().delimiter != ',' || titles < 2 || cells <= titles ||
      (cells != 2 * titles - 1 && cells != 2 * titles - 2))
    return;
  std::erase_if(grid.proposal.guesses, [](const Guess& g) { return g.about == "delimiter"; });
  grid.guess("delimiter", "comma",
             fmt::format("the rows have {} cells under {} titles: the comma seems to be both "
                         "delimiter and decimal mark, "
                         "and no reader can tell them apart. Export the file with semicolon or tab",
                         cells, titles),
             0.1, {"semicolon, in a new export", "tab, in a new export"});
}

struct MarkCount {
  std::size_t seen = 0;
  std::size_t like_thousands = 0;  ///< one to three digits, mark, exactly three digits
};

MarkCount countMark(const Grid& grid, char mark) {
  MarkCount count;
  for (const auto& row : grid.rows)
    for (const std::string& cell : row) {
      double number = 0;
      const auto at = cell.find(mark);
      if (at == std::string::npos || !exactNumber(cell, mark, number)) continue;
      ++count.seen;
      count.like_thousands += cell.size() - at == 4 && cell[0] != '0' && at <= 3;
    }
  return count;
}

void guessMark(Grid& grid) {
  const MarkCount comma = countMark(grid, ','), point = countMark(grid, '.');
  const bool is_comma = comma.seen > point.seen;
  const MarkCount& more = is_comma ? comma : point;
  grid.layout().decimal_mark = is_comma ? DecimalMark::comma : DecimalMark::point;
  const std::string value = is_comma ? "comma" : "point", other = is_comma ? "point" : "comma";
  if (more.seen == 0)
    grid.guess("decimal_mark", value, "no number with a fraction in the sample", 0.5, {other});
  else if (comma.seen > 0 && point.seen > 0)
    grid.guess("decimal_mark", value,
               fmt::format("{} numbers with a comma and {} with a point", comma.seen, point.seen),
               0.4, {other});
  else if (more.like_thousands == more.seen)
    grid.guess(
        "decimal_mark", value,
        fmt::format("all numbers have three digits behind the {}: it may part thousands", value),
        0.6, {other + ", with " + value + "s between thousands"});
  else
    grid.guess("decimal_mark", value,
               fmt::format("{} numbers are written so, none with a {}", more.seen, other), 0.97);
}

std::vector<std::string> wholeLines(std::string text) {
  if (text.find('\n') == std::string::npos) std::replace(text.begin(), text.end(), '\r', '\n');
  if (const auto last = text.rfind('\n'); last != std::string::npos && last > 0)
    text.resize(last + 1);
  std::vector<std::string> lines;
  std::string_view rest = text, line;
  while (lines.size() < sampled_lines && takeLine(rest, line)) lines.emplace_back(line);
  return lines;
}

std::string stem(std::string_view file_name) {
  const auto slash = file_name.find_last_of("/\\");
  if (slash != std::string_view::npos) file_name.remove_prefix(slash + 1);
  return std::string(file_name.substr(0, file_name.rfind('.')));
}

}  // namespace

bool isNumeric(const std::string& cell) {
  double number = 0;
  return exactNumber(cell, '.', number) || exactNumber(cell, ',', number);
}

bool isStampLike(const std::string& cell) {
  std::string_view rest = cell;
  int parts[3], digits[3];
  if (takeDateParts(rest, parts, digits)) return true;
  const auto colon = cell.find(':');
  return (colon == 1 || colon == 2) &&
         std::all_of(cell.begin(), cell.begin() + static_cast<std::ptrdiff_t>(colon),
                     [](char c) { return c >= '0' && c <= '9'; });
}

const Guess* Proposal::about(std::string_view member) const {
  const auto found = std::find_if(guesses.begin(), guesses.end(),
                                  [&](const Guess& g) { return g.about == member; });
  return found == guesses.end() ? nullptr : &*found;
}

std::vector<Guess> Proposal::questions() const {
  std::vector<Guess> open;
  std::copy_if(guesses.begin(), guesses.end(), std::back_inserter(open),
               [](const Guess& g) { return !g.alternatives.empty() || g.confidence < 0.5; });
  return open;
}

Result<Proposal> proposeLayout(std::string_view bytes, std::string_view zone,
                               std::string_view file_name) {
  const Place place{.file = std::string(file_name), .line = 0, .column = {}, .field = {}};
  if (bytes.empty())
    return fault("intake.empty",
                 {"The file is empty.", "a file with rows", "Export the data again."}, place);
  if (const auto other = noTable(bytes))
    return fault("intake.no_table",
                 {fmt::format("This is {} and no table of text.", other->seems),
                  "a text file with rows and columns (CSV)", other->remedy},
                 place);
  Grid grid;
  grid.layout().name = stem(file_name);
  const EncodingFound found = detectEncoding(bytes);
  grid.lines = wholeLines(toUtf8(bytes, found));
  guessEncoding(grid, found);
  const Run run = guessDelimiter(grid);
  guessLines(grid, run);
  doubtComma(grid);
  guessMark(grid);
  guessTime(grid, zone);
  guessColumns(grid);
  return std::move(grid.proposal);
}

}  // namespace platemark::intake
