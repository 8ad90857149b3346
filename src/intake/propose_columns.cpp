#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>

#include "fields.h"
#include "number.h"
#include "propose_grid.h"
#include "stamp.h"

namespace platemark::intake {
namespace {

constexpr StampForm text_forms[] = {StampForm::day_month_year, StampForm::month_day_year,
                                    StampForm::year_month_day};

struct Fit {
  StampForm form;
  std::int64_t span = 0;  ///< minutes from the first row to the last
};

std::string cellAt(const std::vector<std::string>& row, std::size_t i) {
  return i < row.size() ? row[i] : std::string();
}

std::int64_t roughMinute(const LocalTime& t) {
  return (((t.year * 12LL + t.month) * 31 + t.day) * 24 + t.hour) * 60 + t.minute;
}

/// Does `form` read the column in nearly all rows, and does time run forward?
/// One step back is allowed: the autumn change of the clocks.
std::optional<Fit> fits(const Grid& grid, std::size_t date, std::optional<std::size_t> clock,
                        StampForm form) {
  std::size_t read = 0;
  std::int64_t first = 0, last = 0;
  int back = 0;
  for (const auto& row : grid.rows) {
    WallText wall;
    const std::string clock_text = clock ? cellAt(row, *clock) : std::string();
    if ((clock && clock_text.empty()) || !parseWall(cellAt(row, date), clock_text, form, wall))
      continue;
    const std::int64_t now = roughMinute(wall.at);
    if (read++ == 0) first = last = now;
    back += now < last;
    last = now;
  }
  if (read == 0 || read * 20 < grid.rows.size() * 19 || back > 1) return std::nullopt;
  return Fit{form, std::abs(last - first)};
}

std::vector<Fit> formsOf(const Grid& grid, std::size_t date, std::optional<std::size_t> clock) {
  std::vector<Fit> found;
  for (const StampForm form : text_forms)
    if (const auto fit = fits(grid, date, clock, form)) found.push_back(*fit);
  // Points part dates in the order day, month, year; nobody writes month first so.
  const bool points = !grid.rows.empty() && cellAt(grid.rows.front(), date).find('.') < 5;
  if (points)
    std::erase_if(found, [](const Fit& f) { return f.form == StampForm::month_day_year; });
  std::stable_sort(found.begin(), found.end(),
                   [](const Fit& a, const Fit& b) { return a.span < b.span; });
  return found;
}

void setTextTime(Grid& grid, std::size_t date, std::optional<std::size_t> clock,
                 const std::vector<Fit>& forms) {
  TimeColumns& time = grid.layout().time;
  time.column = static_cast<int>(date) + 1;
  time.clock_column = clock ? static_cast<int>(*clock) + 1 : 0;
  time.form = forms.front().form;
  std::vector<std::string> others;
  for (std::size_t i = 1; i < forms.size(); ++i) others.emplace_back(nameOf(forms[i].form));
  const bool shorter = forms.size() > 1 && forms[0].span * 10 < forms[1].span;
  const std::string example = cellAt(grid.rows.front(), date);
  grid.guess("time.column", std::to_string(time.column),
             fmt::format("it holds times such as '{}'", example), 0.97);
  if (clock)
    grid.guess("time.clock_column", std::to_string(time.clock_column),
               "the clock has a column of its own", 0.95);
  if (others.empty())
    grid.guess("time.form", std::string(nameOf(time.form)),
               fmt::format("no other order of day, month and year fits '{}' and the rows below it",
                           example),
               0.97);
  else if (shorter)
    grid.guess("time.form", std::string(nameOf(time.form)),
               "several orders fit; in this one the rows follow closer on each other", 0.8, others);
  else
    grid.guess(
        "time.form", std::string(nameOf(time.form)),
        fmt::format("several orders of day, month and year fit '{}': nothing in the sample tells",
                    example),
        0.4, others);
}

bool guessTextTime(Grid& grid) {
  for (std::size_t date = 0; date < grid.columnCount(); ++date) {
    if (const auto forms = formsOf(grid, date, std::nullopt); !forms.empty()) {
      setTextTime(grid, date, std::nullopt, forms);
      return true;
    }
    for (std::size_t clock = 0; clock < grid.columnCount(); ++clock) {
      if (clock == date) continue;
      if (const auto forms = formsOf(grid, date, clock); !forms.empty()) {
        setTextTime(grid, date, clock, forms);
        return true;
      }
    }
  }
  return false;
}

/// The column's numbers when all rows have one and none is smaller than the one before.
std::vector<double> risingNumbers(const Grid& grid, std::size_t column, char mark) {
  std::vector<double> numbers;
  for (const auto& row : grid.rows) {
    double number = 0;
    if (!exactNumber(cellAt(row, column), mark, number)) return {};
    if (!numbers.empty() && number < numbers.back()) return {};
    numbers.push_back(number);
  }
  return numbers;
}

bool guessNumberTime(Grid& grid) {
  TimeColumns& time = grid.layout().time;
  const char mark = grid.layout().decimal_mark == DecimalMark::comma ? ',' : '.';
  const std::vector<double> numbers = risingNumbers(grid, 0, mark);
  if (numbers.empty()) return false;
  time.column = 1;
  grid.guess("time.column", "1", "its numbers never fall", 0.7);
  const bool days_of_this_century = numbers.front() > 36526 && numbers.back() < 73051;
  if (days_of_this_century && numbers.back() - numbers.front() < 100) {
    time.form = StampForm::day_serial;
    grid.guess("time.form", std::string(nameOf(time.form)), "numbers as spreadsheets count days",
               0.7, {"elapsed"});
    return true;
  }
  time.form = StampForm::elapsed;
  std::string name;
  const std::string unit = unitInTitle(grid.title(0), name);
  const auto row = findUnit(unit);
  const bool known = row && row->kind == Kind::duration;
  if (known) time.elapsed_unit = unit;
  grid.guess("time.form", std::string(nameOf(time.form)),
             "numbers that rise from row to row, and no date", 0.6);
  grid.guess("time.elapsed_unit", time.elapsed_unit,
             known ? "the title names it" : "the title names no unit of time", known ? 0.95 : 0.4,
             known ? std::vector<std::string>{} : std::vector<std::string>{"min", "h"});
  return true;
}

bool hasOffsets(const Grid& grid) {
  WallText wall;
  const std::string cell =
      grid.rows.empty() ? ""
                        : cellAt(grid.rows.front(),
                                 static_cast<std::size_t>(grid.proposal.layout.time.column - 1));
  return parseWall(cell, "", grid.proposal.layout.time.form, wall) &&
         wall.offset_minutes.has_value();
}

std::string meaningFor(const std::string& title, Kind kind, std::set<std::string>& taken) {
  std::string digits;
  for (const char c : title)
    if (c >= '0' && c <= '9') digits += c;
  std::string meaning = kind == Kind::mass                    ? "net"
                        : digits.empty() || digits.size() > 3 ? ""
                                                              : "channel " + digits;
  for (int n = 1; meaning.empty() || taken.count(meaning) > 0; ++n)
    meaning = fmt::format("channel {}", n);
  taken.insert(meaning);
  return meaning;
}

/// What stands in one column of the sample.
struct Contents {
  std::size_t numbers = 0, empty = 0, units = 0;
  std::map<std::string, std::size_t> words;
};

Contents contentsOf(const Grid& grid, std::size_t column) {
  Contents out;
  for (const auto& row : grid.rows) {
    const std::string cell = cellAt(row, column);
    const auto unit = findUnit(cell);
    if (cell.empty())
      ++out.empty;
    else if (isNumeric(cell))
      ++out.numbers;
    else
      ++out.words[cell];
    out.units += unit && unit->kind == Kind::mass ? 1u : 0u;
  }
  return out;
}

class ColumnGuesser {
 public:
  explicit ColumnGuesser(Grid& grid) : grid_(grid) {}

  void add(std::size_t i) {
    const Contents contents = contentsOf(grid_, i);
    Column column;
    column.position = static_cast<int>(i) + 1;
    column.title = grid_.title(i);
    at_ = fmt::format("columns[{}]", grid_.layout().columns.size());
    const std::size_t filled = grid_.rows.size() - contents.empty;
    std::size_t most_of_a_word = 0;
    for (const auto& [word, count] : contents.words)
      most_of_a_word = std::max(most_of_a_word, count);
    const bool only_one_word =
        contents.numbers == 0 && contents.words.size() == 1 && !unitOf(i).empty();
    if (contents.units > 0 && contents.units == filled && contents.numbers == 0)
      setRole(column, Role::unit, "its cells are units of mass", 0.95);
    else if ((filled == 0 && !unitOf(i).empty()) || only_one_word ||
             (contents.numbers > 0 && contents.numbers * 4 >= filled))
      addReading(column, i, contents);
    else if (filled > 0 && !has_label_)
      setRole(column, Role::label, "its cells are words", 0.6);
    else
      setRole(column, Role::ignored, filled == 0 ? "it is empty" : "its cells are words", 0.7);
    grid_.layout().columns.push_back(column);
  }

 private:
  std::string unitOf(std::size_t i) const {
    std::string name;
    if (i < grid_.units.size()) {
      if (const auto unit = findUnit(grid_.units[i])) return std::string(unit->code);
      if (std::string code = unitInTitle(grid_.units[i], name); !code.empty()) return code;
    }
    if (std::string code = unitInTitle(grid_.title(i), name); !code.empty()) return code;
    return unitBeside(i);
  }

  /// A balance writes the unit of each row into the next column.
  std::string unitBeside(std::size_t i) const {
    const Contents here = contentsOf(grid_, i), beside = contentsOf(grid_, i + 1);
    if (here.numbers == 0 || beside.units == 0 || beside.units + beside.empty != grid_.rows.size())
      return "";
    for (const auto& row : grid_.rows)
      if (const auto unit = findUnit(cellAt(row, i + 1))) return std::string(unit->code);
    return "";
  }

  void setRole(Column& column, Role role, const std::string& reason, double confidence) {
    column.role = role;
    has_label_ |= role == Role::label;
    grid_.guess(at_ + ".role", std::string(nameOf(role)), reason, confidence);
  }

  void addReading(Column& column, std::size_t i, const Contents& contents) {
    setRole(column, Role::reading,
            fmt::format("{} of {} cells are numbers", contents.numbers, grid_.rows.size()), 0.9);
    const std::string unit = unitOf(i);
    if (!unit.empty()) {
      column.unit = unit;
      column.kind = findUnit(unit)->kind;
    }
    grid_.guess(at_ + ".unit", column.unit,
                unit.empty() ? "neither title nor unit line names a unit" : "the file names it",
                unit.empty() ? 0.2 : 0.95);
    column.meaning = meaningFor(column.title, column.kind, taken_);
    grid_.guess(at_ + ".meaning", column.meaning,
                fmt::format("from the title '{}' and the order of the columns", column.title), 0.6);
    for (const auto& [word, count] : contents.words) addEmptyMark(word, count);
  }

  void addEmptyMark(const std::string& word, std::size_t count) {
    auto& marks = grid_.layout().empty_marks;
    if (std::find(marks.begin(), marks.end(), word) != marks.end() || word.size() > 20) return;
    marks.push_back(word);
    grid_.guess("empty_marks", word,
                fmt::format("it stands {} times where a number is expected", count), 0.6);
  }

  Grid& grid_;
  std::set<std::string> taken_;
  std::string at_;
  bool has_label_ = false;
};

}  // namespace

void guessTime(Grid& grid, std::string_view zone) {
  grid.layout().time.zone = zone;
  if (grid.rows.empty() || (!guessTextTime(grid) && !guessNumberTime(grid))) {
    grid.guess("time.column", std::to_string(grid.layout().time.column),
               "no column reads as a time", 0.0);
    return;
  }
  if (grid.layout().time.form == StampForm::elapsed) return;
  if (hasOffsets(grid))
    grid.guess("time.zone", std::string(zone),
               "each time carries its own offset; the zone does not matter", 0.95);
  else
    grid.guess("time.zone", std::string(zone),
               "the plant's zone; the file does not say which its clock shows", 0.6);
}

void guessColumns(Grid& grid) {
  ColumnGuesser guesser(grid);
  const TimeColumns& time = grid.layout().time;
  for (std::size_t i = 0; i < grid.columnCount(); ++i) {
    const int position = static_cast<int>(i) + 1;
    if (position != time.column && position != time.clock_column) guesser.add(i);
  }
}

}  // namespace platemark::intake
