#include "chunk.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>

#include "fault.h"
#include "fields.h"
#include "line_windows.h"
#include "number.h"
#include "report_book.h"

namespace platemark::intake {
namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();
constexpr double infinite = std::numeric_limits<double>::infinity();

double absoluteZero(const Column& column) {
  const auto unit = findUnit(column.unit);
  if (!unit || unit->kind != Kind::temperature_point) return -infinite;
  return unit->code == "[degF]" ? -459.67 : -273.15;
}

class ChunkReader {
 public:
  ChunkReader(const RowPlan& plan, std::string_view lines, std::int64_t first_line, Places places,
              bool careful)
      : plan_(plan),
        stamps_(plan.layout.time, plan.mark, plan.limits.start),
        p_(lines.data()),
        end_(lines.data() + lines.size()),
        line_(first_line),
        places_(std::move(places)),
        quick_(!careful && !plan.steps.empty()) {}

  ChunkResult read() {
    while (p_ < end_ && line_ < plan_.head.first_row_line && !out_.error) passLineAbove();
    while (p_ < end_ && !out_.error) {
      const char* const begin = p_;
      if (!quick_ || !quickRow()) slowRow();
      if (static_cast<std::size_t>(p_ - begin) > longest_line)
        out_.error = longLineFault(plan_.file, line_);
      ++line_;
    }
    return std::move(out_);
  }

 private:
  const char* lineEnd(const char* from) const {
    return static_cast<const char*>(std::memchr(from, '\n', static_cast<std::size_t>(end_ - from)));
  }

  void passLineAbove() {
    const char* const stop = lineEnd(p_);
    if (std::memchr(p_, '\0', static_cast<std::size_t>(stop - p_)) != nullptr)
      out_.error = nulFault(plan_.file, line_);
    p_ = stop + 1;
    ++line_;
  }

  // ---- the quick loop: plain rows, cell by cell, nothing copied ----

  bool quickRow() {
    const char* p = p_;
    std::int64_t ms = 0;
    const RowPlan::Step* const last = plan_.steps.data() + plan_.steps.size() - 1;
    for (const RowPlan::Step* step = plan_.steps.data();; ++step) {
      if (step->cell == RowPlan::Cell::value)
        p = quickValue(p, step->value);
      else if (step->cell == RowPlan::Cell::stamp)
        p = quickStamp(p, ms);
      else
        p = quickSkip(p);
      if (p == nullptr) return false;
      while (*p == ' ') ++p;
      if (step == last) break;
      if (*p != plan_.delimiter) return false;
      ++p;
    }
    if (*p == '\r') ++p;
    if (*p == plan_.delimiter) p = lineEnd(p);
    if (*p != '\n') return false;
    p_ = p + 1;
    keepRow(ms);
    return true;
  }

  const char* quickStamp(const char* p, std::int64_t& ms) {
    if (!stamps_.isNumber()) return minute_.read(p, plan_.delimiter, ms);
    double number = 0;
    const char* const stop = quickNumber(p, end_, plan_.mark, number);
    if (stop == nullptr || *stop != plan_.delimiter) return nullptr;
    const Moment moment = stamps_.fromNumber(number);
    ms = moment.ms;
    return moment.fate == Fate::moment && moment.later_by == 0 ? stop : nullptr;
  }

  const char* quickValue(const char* p, std::size_t index) {
    while (*p == ' ') ++p;
    double value = none;
    const char* stop = p;
    if (*p != plan_.delimiter && *p != '\n' && *p != '\r') {
      stop = quickNumber(p, end_, plan_.mark, value);
      if (stop == nullptr) stop = emptyMark(p, value);
      if (stop == nullptr) return nullptr;
      const ValueColumn& column = plan_.values[index];
      if (value < column.lowest || value > column.highest) return nullptr;
    }
    places_.values[index][out_.rows] = value;
    return stop;
  }

  const char* emptyMark(const char* p, double& value) const {
    const char* stop = p;
    while (*stop != plan_.delimiter && *stop != '\n') ++stop;
    if (!isEmpty(trimmed({p, static_cast<std::size_t>(stop - p)}))) return nullptr;
    value = none;
    return stop;
  }

  const char* quickSkip(const char* p) const {
    for (; *p != plan_.delimiter && *p != '\n'; ++p)
      if (*p == '"') return nullptr;
    return p;
  }

  void keepRow(std::int64_t ms) {
    places_.times[out_.rows] = ms;
    places_.lines[out_.rows] = static_cast<std::uint32_t>(line_);
    ++out_.rows;
  }

  // ---- the slow loop: everything a line can be ----

  void slowRow() {
    const char* const stop = lineEnd(p_);
    std::string_view line(p_, static_cast<std::size_t>(stop - p_));
    p_ = stop + 1;
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (line.find('\0') != std::string_view::npos) {
      out_.error = nulFault(plan_.file, line_);
      return;
    }
    splitFields(line, plan_.delimiter, cells_);
    const std::size_t stamp_cells = 1 + std::max(plan_.date_cell, plan_.clock_cell.value_or(0));
    Moment moment;
    if (cells_.size() >= stamp_cells) moment = readStamp(line);
    if (moment.fate == Fate::moment && cells_.size() >= plan_.cells_needed)
      takeRow(moment);
    else
      leaveOut(line, moment.fate);
  }

  Moment readStamp(std::string_view line) {
    const std::string_view date = cells_[plan_.date_cell];
    const std::string_view clock =
        plan_.clock_cell ? cells_[*plan_.clock_cell] : std::string_view{};
    if (plan_.clock_cell && clock.empty()) return {};
    const Moment moment = stamps_.read(date, clock);
    minute_.forget();
    if (quick_ && moment.minute_holds)
      rememberMinute(line, plan_.clock_cell ? clock : date, moment);
    return moment;
  }

  /// The quick loop compares bytes from the date's beginning, so the text must
  /// stand there without spaces or quotes before it.
  void rememberMinute(std::string_view line, std::string_view clock, const Moment& moment) {
    const char* const begin = cells_[plan_.date_cell].data();
    const bool plain = begin == line.data() || begin[-1] == plan_.delimiter;
    const auto colon = clock.rfind(':');
    const std::string_view seconds = clock.substr(colon + 1);
    if (!plain || seconds.size() < 2) return;
    const char* const behind = clock.data() + colon + 1;
    minute_.learn({begin, static_cast<std::size_t>(behind - begin)},
                  moment.ms - moment.into_minute);
  }

  void leaveOut(std::string_view line, Fate fate) {
    std::string_view code = repeatedCode(plan_.head, line);
    if (code.empty()) {
      const bool blank =
          std::all_of(cells_.begin(), cells_.end(), [](auto cell) { return cell.empty(); });
      code = blank                        ? "row.blank"
             : fate == Fate::skipped_hour ? "row.skipped_hour"
             : fate == Fate::moment       ? "row.too_few_columns"
                                          : "row.no_time";
    }
    remark(code, "", line);
  }

  void takeRow(const Moment& moment) {
    for (std::size_t i = 0; i < plan_.values.size() && !out_.error; ++i) takeValue(i);
    if (out_.error) return;
    if (moment.later_by != 0) addToFold(moment.later_by);
    keepRow(moment.ms);
  }

  void takeValue(std::size_t index) {
    const ValueColumn& column = plan_.values[index];
    const std::string_view text = cells_[column.cell];
    double value = none;
    if (!isEmpty(text) && !exactNumber(text, plan_.mark, value)) {
      value = none;
      remark("cell.not_a_number",
             column.column->title.empty() ? column.column->meaning : column.column->title, text);
    }
    if (value < column.lowest || value > column.highest) out_.error = impossible(column, text);
    places_.values[index][out_.rows] = value;
  }

  Error impossible(const ValueColumn& column, std::string_view text) const {
    const Column& layout = *column.column;
    const auto unit = findUnit(layout.unit);
    const std::string symbol = unit ? std::string(unit->symbol) : layout.unit;
    const std::string title = layout.title.empty() ? layout.meaning : layout.title;
    std::string range = fmt::format("at least {} {}", column.lowest, symbol);
    if (column.lowest == -infinite)
      range = fmt::format("at most {} {}", column.highest, symbol);
    else if (column.highest != infinite)
      range = fmt::format("{} to {} {}", column.lowest, column.highest, symbol);
    return fault(
        "intake.impossible_value",
        {fmt::format("{} {} is impossible for '{}'.", shown(text.substr(0, 40), plan_.encoding),
                     symbol, title),
         range,
         "Check the sensor and the unit. If the instrument writes this text for a missing value, "
         "add it to the layout's empty marks."},
        {.file = plan_.file, .line = static_cast<long>(line_), .column = title, .field = {}});
  }

  bool isEmpty(std::string_view text) const {
    if (text.empty()) return true;
    const auto& marks = plan_.layout.empty_marks;
    return std::find(marks.begin(), marks.end(), text) != marks.end();
  }

  void addToFold(std::int64_t later_by) {
    auto& folds = out_.folds;
    if (folds.empty() || folds.back().end != out_.rows || folds.back().later_by != later_by)
      folds.push_back({out_.rows, out_.rows, later_by});
    ++folds.back().end;
  }

  void remark(std::string_view code, std::string_view column, std::string_view text) {
    note(out_.report, plan_.limits.kept_remarks, code, line_, column, text, plan_.encoding);
  }

  const RowPlan& plan_;
  StampReader stamps_;
  MinuteMemory minute_;
  const char* p_;
  const char* end_;
  std::int64_t line_;
  Places places_;
  bool quick_;
  std::vector<std::string_view> cells_;
  ChunkResult out_;
};

}  // namespace

RowPlan::RowPlan(const FileLayout& layout_, const Head& head_, const Limits& limits_,
                 std::string file_)
    : layout(layout_),
      head(head_),
      limits(limits_),
      file(std::move(file_)),
      delimiter(layout.delimiter),
      mark(layout.decimal_mark == DecimalMark::comma ? ',' : '.'),
      encoding(isWide(head.encoding) ? Encoding::utf8 : head.encoding),
      date_cell(static_cast<std::size_t>(layout.time.column - 1)),
      cells_needed(date_cell + 1) {
  if (layout.time.clock_column > 0)
    clock_cell = static_cast<std::size_t>(layout.time.clock_column - 1);
  for (const Column& column : layout.columns) {
    if (column.role != Role::reading) continue;
    const double lowest = std::max(column.lowest.value_or(-infinite), absoluteZero(column));
    values.push_back({static_cast<std::size_t>(column.position - 1), lowest,
                      column.highest.value_or(infinite), &column});
    cells_needed = std::max(cells_needed, values.back().cell + 1);
  }
  cells_needed = std::max(cells_needed, clock_cell.value_or(0) + 1);
  const bool clock_apart = clock_cell && *clock_cell != date_cell + 1;
  // With a comma for both, a number cannot be told from two cells.
  if (clock_apart || mark == delimiter) return;
  for (std::size_t cell = 0; cell < cells_needed; ++cell) {
    if (clock_cell == cell) continue;
    const auto value = std::find_if(values.begin(), values.end(),
                                    [&](const ValueColumn& v) { return v.cell == cell; });
    if (cell == date_cell)
      steps.push_back({Cell::stamp});
    else if (value != values.end())
      steps.push_back({Cell::value, static_cast<std::size_t>(value - values.begin())});
    else
      steps.push_back({Cell::skip});
  }
}

std::string_view repeatedCode(const Head& head, std::string_view line) {
  if (!head.header.empty() && line == head.header) return "header.repeated";
  const auto& others = head.other_lines;
  const bool known = !line.empty() && std::find(others.begin(), others.end(), line) != others.end();
  return known ? "title.repeated" : "";
}

Error nulFault(const std::string& file, std::int64_t line) {
  return fault(
      "intake.nul_bytes",
      {"The file holds NUL bytes here, as after a loss of power while the instrument was writing.",
       "text only",
       "Copy the file from the instrument again; if it is so there too, cut it before this line."},
      {.file = file, .line = static_cast<long>(line), .column = {}, .field = {}});
}

Error longLineFault(const std::string& file, std::int64_t line) {
  return fault("intake.line_too_long",
               {"The line is longer than 1 MiB.", "one row in each line",
                "Check that this is the instrument's text file and that it is complete."},
               {.file = file, .line = static_cast<long>(line), .column = {}, .field = {}});
}

ChunkResult readChunk(const RowPlan& plan, std::string_view lines, std::int64_t first_line,
                      Places places, bool careful) {
  return ChunkReader(plan, lines, first_line, std::move(places), careful).read();
}

}  // namespace platemark::intake
