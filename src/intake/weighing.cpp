#include "platemark/intake/weighing.h"

#include <fmt/format.h>

#include <algorithm>

#include "chunk.h"
#include "fault.h"
#include "fields.h"
#include "line_windows.h"
#include "number.h"
#include "order.h"
#include "report_book.h"

namespace platemark::intake {
namespace {

const Column* columnWith(const FileLayout& layout, Role role) {
  const auto found = std::find_if(layout.columns.begin(), layout.columns.end(),
                                  [&](const Column& c) { return c.role == role; });
  return found == layout.columns.end() ? nullptr : &*found;
}

Result<void> checkWeighingLayout(const FileLayout& layout) {
  if (auto ok = checkLayout(layout); !ok) return ok;
  const auto readings = std::count_if(layout.columns.begin(), layout.columns.end(),
                                      [](const Column& c) { return c.role == Role::reading; });
  if (readings == 1 && columnWith(layout, Role::reading)->kind == Kind::mass) return {};
  return fault(
      "weighing.layout",
      {"A balance's layout reads one mass in each row.",
       "exactly one column with the role reading and the kind mass", "Correct the file layout."},
      {.file = {}, .line = 0, .column = {}, .field = "columns"});
}

class WeighingReader {
 public:
  WeighingReader(ByteSource& source, const FileLayout& layout, const Limits& limits,
                 const Head& head)
      : plan_(layout, head, limits, source.name()),
        windows_(source, head, limits, layout.last_line_may_lack_end),
        stamps_(layout.time, plan_.mark, limits.start),
        net_(*columnWith(layout, Role::reading)),
        unit_(columnWith(layout, Role::unit)),
        label_(columnWith(layout, Role::label)) {}

  Result<Weighings> read() {
    while (true) {
      const auto more = windows_.next();
      if (!more)
        return more.error().code == "intake.line_too_long" ? longLineFault(plan_.file, line_ + 1)
                                                           : more.error();
      if (!*more) break;
      std::string_view rest = windows_.lines(), line;
      while (takeLine(rest, line))
        if (auto ok = readLine(line); !ok) return ok.error();
    }
    return finish();
  }

 private:
  Result<void> readLine(std::string_view line) {
    ++line_;
    if (line.find('\0') != std::string_view::npos) return nulFault(plan_.file, line_);
    if (line.size() >= longest_line) return longLineFault(plan_.file, line_);
    if (line_ < plan_.head.first_row_line) return {};
    splitFields(line, plan_.delimiter, cells_);
    const Moment moment = stamps_.read(
        cell(plan_.date_cell), plan_.clock_cell ? cell(*plan_.clock_cell) : std::string_view{});
    if (moment.fate == Fate::moment && cells_.size() >= plan_.cells_needed)
      return takeRow(line, moment);
    remark(reasonFor(line, moment.fate), line);
    return {};
  }

  std::string_view reasonFor(std::string_view line, Fate fate) const {
    if (const auto code = repeatedCode(plan_.head, line); !code.empty()) return code;
    if (trimmed(line).empty()) return "row.blank";
    if (fate == Fate::skipped_hour) return "row.skipped_hour";
    return fate == Fate::moment ? "row.too_few_columns" : "row.no_time";
  }

  std::string_view cell(std::size_t i) const {
    return i < cells_.size() ? cells_[i] : std::string_view{};
  }
  std::string text(const Column* column) const {
    if (column == nullptr) return "";
    return unescaped(shown(cell(static_cast<std::size_t>(column->position - 1)), plan_.encoding));
  }

  Result<void> takeRow(std::string_view line, const Moment& moment) {
    // "+12,34 g" in one cell: the unit begins at the first letter.
    std::string number = text(&net_);
    const auto letter = std::find_if(number.begin(), number.end(), [](char c) {
      return std::isalpha(static_cast<unsigned char>(c)) != 0 || c == '%';
    });
    std::string unit(letter, number.end());
    number.erase(letter, number.end());
    if (unit_ != nullptr) unit = text(unit_);
    if (trimmed(unit).empty()) unit = net_.unit;
    auto value = Decimal::parse(trimmed(number), plan_.layout.decimal_mark);
    if (!value) {
      remark("row.no_number", line);
      return {};
    }
    const auto row = findUnit(trimmed(unit));
    if (!row || row->kind != Kind::mass) return wrongUnit(unit);
    if (auto ok = checkRange(*value, *row); !ok) return ok;
    return keep(moment, Measure{*value, std::string(row->code)});
  }

  Result<void> keep(const Moment& moment, Measure net) {
    if (static_cast<std::int64_t>(out_.rows.size()) >= plan_.limits.max_rows)
      return rowFault("intake.too_many_rows",
                      fmt::format("The file has more than {} weighings.", plan_.limits.max_rows),
                      "a shorter file");
    const auto index = static_cast<std::int64_t>(out_.rows.size());
    if (moment.later_by != 0) folds_.push_back({index, index + 1, moment.later_by});
    times_.push_back(moment.ms);
    lines_.push_back(static_cast<std::uint32_t>(line_));
    out_.rows.push_back({Instant{}, std::move(net), text(label_), line_});
    return {};
  }

  Error rowFault(std::string code, std::string what, std::string expected) const {
    return fault(
        std::move(code),
        {std::move(what), std::move(expected), "Check the balance's settings and the layout."},
        {.file = plan_.file,
         .line = static_cast<long>(line_),
         .column = net_.title.empty() ? net_.meaning : net_.title,
         .field = {}});
  }

  Error wrongUnit(const std::string& unit) const {
    return rowFault("weighing.wrong_unit",
                    fmt::format("'{}' is no unit of mass.", unit.substr(0, 30)), "mg, g, kg or t");
  }

  Result<void> checkRange(const Decimal& value, const UnitRow& unit) const {
    const auto own = findUnit(net_.unit);
    const double in_column_unit =
        unit.code == own->code ? value.value() : value.value() * unit.factor / own->factor;
    if ((!net_.lowest || in_column_unit >= *net_.lowest) &&
        (!net_.highest || in_column_unit <= *net_.highest))
      return {};
    return rowFault(
        "intake.impossible_value",
        fmt::format("{} {} is impossible for '{}'.", value.text(), unit.code, net_.meaning),
        fmt::format("{} to {} {}", net_.lowest ? fmt::format("{}", *net_.lowest) : "any",
                    net_.highest ? fmt::format("{}", *net_.highest) : "any", net_.unit));
  }

  Result<Weighings> finish() {
    if (const auto cut = windows_.cutLine(); !trimmed(cut).empty()) {
      ++line_;
      if (cut.find('\0') != std::string_view::npos) return nulFault(plan_.file, line_);
      if (cut.size() > longest_line) return longLineFault(plan_.file, line_);
      remark("row.cut_off", cut);
    }
    if (windows_.endSupplied()) remark("line.no_end", "");
    if (times_.empty())
      return fault("intake.no_rows",
                   {"The file holds no weighing that the layout can read.",
                    "at least one row with time and number", "Compare the layout with the file."},
                   {.file = plan_.file, .line = 0, .column = {}, .field = {}});
    settleFolds(times_, lines_, std::move(folds_), plan_, out_.report);
    if (auto back = clockBackwards(times_, lines_, plan_)) return *back;
    for (std::size_t i = 0; i < times_.size(); ++i)
      out_.rows[i].time = Instant::fromUnixMs(times_[i]);
    out_.report.lines = line_;
    out_.report.bytes = windows_.bytesRead();
    return std::move(out_);
  }

  void remark(std::string_view code, std::string_view raw) {
    note(out_.report, plan_.limits.kept_remarks, code, line_, "", raw, plan_.encoding);
  }

  RowPlan plan_;
  LineWindows windows_;
  StampReader stamps_;
  const Column& net_;
  const Column* unit_;
  const Column* label_;
  std::vector<std::string_view> cells_;
  std::vector<std::int64_t> times_;
  std::vector<std::uint32_t> lines_;
  std::vector<FoldRun> folds_;
  Weighings out_;
  std::int64_t line_ = 0;
};

}  // namespace

Result<Weighings> readWeighings(ByteSource& source, const FileLayout& layout,
                                const Limits& limits) {
  if (auto ok = checkWeighingLayout(layout); !ok) return ok.error();
  const auto head = readHead(source, layout, limits);
  if (!head) return head.error();
  return WeighingReader(source, layout, limits, *head).read();
}

}  // namespace platemark::intake
