#include "platemark/intake/series.h"

#include <sys/mman.h>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <new>

#include "chunk.h"
#include "fault.h"
#include "line_count.h"
#include "line_windows.h"
#include "order.h"
#include "parallel.h"
#include "report_book.h"

namespace platemark::intake {
namespace {

constexpr std::size_t large_page = 2u << 20;
/// Line numbers are kept in 32 bits.
constexpr std::int64_t most_lines = 4'000'000'000;
/// A part for a thread of its own has at least so many bytes.
constexpr std::size_t least_part = 64u << 10;

/// A stretch of a window for one thread.
struct Part {
  std::string_view lines;
  LineCount count;
  std::int64_t first_line = 0;
  std::size_t first_row = 0;  ///< its place in the columns
  ChunkResult result;
};

/// More parts than threads: a thread that was kept waiting holds up little.
std::vector<Part> partsOf(std::string_view lines, int threads) {
  const std::size_t most = std::max<std::size_t>(1, lines.size() / least_part);
  const std::size_t wanted =
      threads == 1 ? 1 : std::min(most, static_cast<std::size_t>(threads) * 4);
  std::vector<Part> parts;
  for (std::size_t i = wanted; i > 0 && !lines.empty(); --i) {
    const auto end = i == 1 ? lines.size() - 1 : lines.find('\n', lines.size() / i);
    parts.emplace_back().lines = lines.substr(0, end + 1);
    lines.remove_prefix(parts.back().lines.size());
  }
  return parts;
}

class SeriesReader {
 public:
  SeriesReader(ByteSource& source, const FileLayout& layout, const Limits& limits, const Head& head)
      : source_(source),
        plan_(layout, head, limits, source.name()),
        windows_(source, head, limits, layout.last_line_may_lack_end) {
    for (const ValueColumn& value : plan_.values) out_.columns.push_back(columnFor(*value.column));
    out_.from_zero = layout.time.form == StampForm::elapsed && !limits.start;
    out_.titles = head.titles;
  }

  Result<Series> read() {
    while (true) {
      const auto more = windows_.next();
      if (!more) return placed(more.error());
      if (!*more) break;
      if (auto ok = readWindow(windows_.lines()); !ok) return ok.error();
    }
    return finish();
  }

 private:
  static SeriesColumn columnFor(const Column& column) {
    const bool fahrenheit = column.unit == "[degF]";
    return {column.meaning,
            column.title,
            fahrenheit ? "Cel" : column.unit,
            column.kind,
            {},
            column.unit,
            {}};
  }

  std::size_t rows() const { return out_.times.size(); }
  int threads() const { return std::clamp(plan_.limits.threads, 1, 16); }

  Error placed(Error error) const {
    if (error.code == "intake.line_too_long") return longLineFault(plan_.file, lines_ + 1);
    return error;
  }

  /// Lines are counted first, so that every row's place and line number are
  /// known before a thread writes; gaps of lines that gave no row are closed after.
  Result<void> readWindow(std::string_view lines) {
    std::vector<Part> parts = partsOf(lines, threads());
    const int n = static_cast<int>(parts.size());
    inParallel(threads(), n, [&](int i) { countPart(parts[static_cast<std::size_t>(i)]); });
    const std::size_t rows_before = rows();
    layOut(parts, lines.size());
    inParallel(threads(), n, [&](int i) { readPart(parts[static_cast<std::size_t>(i)]); });
    return join(parts, rows_before);
  }

  static void countPart(Part& part) { part.count = countLines(part.lines); }

  void layOut(std::vector<Part>& parts, std::size_t window_bytes) {
    std::size_t row = rows();
    for (Part& part : parts) {
      part.first_line = lines_ + 1;
      part.first_row = row;
      lines_ += part.count.lines;
      row += static_cast<std::size_t>(part.count.lines);
    }
    if (rows() == 0) reserveFor(row, window_bytes);
    resizeTo(row);
  }

  /// One allocation for the whole file, from the first window's bytes per line.
  void reserveFor(std::size_t window_rows, std::size_t window_bytes) {
    const double bytes = static_cast<double>(source_.size().value_or(window_bytes));
    const double guess =
        static_cast<double>(window_rows) * (bytes / static_cast<double>(window_bytes)) * 1.03 + 64;
    const double most =
        static_cast<double>(plan_.limits.max_rows) + static_cast<double>(window_rows);
    const auto count = static_cast<std::size_t>(std::min(guess, most));
    out_.times.reserve(count);
    out_.lines.reserve(count);
    for (SeriesColumn& column : out_.columns) column.values.reserve(count);
  }

  void resizeTo(std::size_t count) {
    out_.times.resize(count);
    out_.lines.resize(count);
    for (SeriesColumn& column : out_.columns) column.values.resize(count);
  }

  void readPart(Part& part) {
    Places places{out_.times.data() + part.first_row, out_.lines.data() + part.first_row, {}};
    for (SeriesColumn& column : out_.columns)
      places.values.push_back(column.values.data() + part.first_row);
    part.result =
        readChunk(plan_, part.lines, part.first_line, std::move(places), part.count.has_nul);
  }

  Result<void> join(std::vector<Part>& parts, std::size_t row) {
    for (Part& part : parts) {
      const auto got = static_cast<std::size_t>(part.result.rows);
      move(part.first_row, row, got);
      for (FoldRun run : part.result.folds) {
        run.first += static_cast<std::int64_t>(row);
        run.end += static_cast<std::int64_t>(row);
        folds_.push_back(run);
      }
      row += got;
      append(out_.report, plan_.limits.kept_remarks, std::move(part.result.report));
      if (static_cast<std::int64_t>(row) > plan_.limits.max_rows) return tooManyRows();
      if (part.result.error) return *part.result.error;
    }
    resizeTo(row);
    if (lines_ > most_lines) return tooManyRows();
    return {};
  }

  void move(std::size_t from, std::size_t to, std::size_t count) {
    if (from == to) return;
    const auto shift = [&](auto& column) {
      const auto begin = column.begin();
      const auto at = [&](std::size_t i) { return begin + static_cast<std::ptrdiff_t>(i); };
      std::copy(at(from), at(from + count), at(to));
    };
    shift(out_.times);
    shift(out_.lines);
    for (SeriesColumn& column : out_.columns) shift(column.values);
  }

  Error tooManyRows() const {
    const auto first_over = static_cast<std::size_t>(plan_.limits.max_rows);
    const long line = first_over < rows() ? static_cast<long>(out_.lines[first_over]) : 0;
    return fault("intake.too_many_rows",
                 {fmt::format("The file has more than {} rows.", plan_.limits.max_rows),
                  "a file within the limit",
                  "Export a shorter time span, e.g. one oven load, or have the limit raised."},
                 {.file = plan_.file, .line = line, .column = {}, .field = {}});
  }

  Result<Series> finish() {
    if (auto ok = noteEnd(); !ok) return ok.error();
    if (rows() == 0) return noRows();
    settleFolds(out_.times, out_.lines, std::move(folds_), plan_, out_.report);
    if (auto back = clockBackwards(out_.times, out_.lines, plan_)) return *back;
    noteSameTimes();
    for (SeriesColumn& column : out_.columns) convertColumn(column);
    out_.report.lines = lines_;
    out_.report.bytes = windows_.bytesRead();
    return std::move(out_);
  }

  Result<void> noteEnd() {
    const std::size_t kept = plan_.limits.kept_remarks;
    if (windows_.endSupplied())
      note(out_.report, kept, "line.no_end", lines_, "", "", plan_.encoding);
    const std::string_view cut = windows_.cutLine();
    if (cut.empty()) return {};
    ++lines_;
    if (cut.size() > longest_line) return longLineFault(plan_.file, lines_);
    if (cut.find('\0') != std::string_view::npos) return nulFault(plan_.file, lines_);
    if (trimmedIsEmpty(cut)) return {};
    note(out_.report, kept, "row.cut_off", lines_, "", cut, plan_.encoding);
    return {};
  }

  /// Spaces, or the old end-of-file sign, behind the last line lose nothing.
  static bool trimmedIsEmpty(std::string_view text) {
    return text.find_first_not_of(" \t\r\x1A") == std::string_view::npos;
  }

  Error noRows() const {
    const Tally* worst = nullptr;
    for (const Tally& tally : out_.report.tallies)
      if (worst == nullptr || tally.count > worst->count) worst = &tally;
    std::string what = "The file holds no row that the layout can read.";
    if (worst != nullptr)
      what += fmt::format(" {} lines: {}, e.g. '{}'.", worst->count, wordsFor(worst->code),
                          worst->first.empty() ? "" : worst->first.front().text);
    const long line =
        worst == nullptr || worst->first.empty() ? 0 : static_cast<long>(worst->first.front().line);
    return fault("intake.no_rows",
                 {what, "at least one row with a time as the layout says",
                  "Compare the layout with the file: delimiter, time columns and their form."},
                 {.file = plan_.file, .line = line, .column = {}, .field = {}});
  }

  void noteSameTimes() {
    for (auto same = std::adjacent_find(out_.times.begin(), out_.times.end());
         same != out_.times.end(); same = std::adjacent_find(same + 1, out_.times.end())) {
      const auto row = static_cast<std::size_t>(same - out_.times.begin()) + 1;
      const std::string_view text = sameValues(row) ? "with the same values" : "with other values";
      note(out_.report, plan_.limits.kept_remarks, "time.same", out_.lines[row], "", text,
           Encoding::utf8);
    }
  }

  bool sameValues(std::size_t row) const {
    return std::all_of(out_.columns.begin(), out_.columns.end(), [&](const SeriesColumn& column) {
      const double a = column.values[row - 1], b = column.values[row];
      return a == b || (std::isnan(a) && std::isnan(b));
    });
  }

  static void convertColumn(SeriesColumn& column) {
    if (column.unit == column.unit_as_read) return;
    column.as_read = column.values;
    for (double& value : column.values) value = (value - 32.0) * 5.0 / 9.0;
  }

  ByteSource& source_;
  RowPlan plan_;
  LineWindows windows_;
  Series out_;
  std::vector<FoldRun> folds_;
  std::int64_t lines_ = 0;
};

}  // namespace

void* columnMemory(std::size_t bytes) {
  const bool large = bytes >= 2 * large_page;
  const std::size_t align = large ? large_page : 64;
  void* memory = std::aligned_alloc(align, (bytes + align - 1) / align * align);
  if (memory == nullptr) throw std::bad_alloc();
#ifdef MADV_HUGEPAGE
  // Only a wish: without it the columns work the same, a little slower.
  if (large) ::madvise(memory, bytes, MADV_HUGEPAGE);
#endif
  return memory;
}

void releaseColumnMemory(void* memory) noexcept { std::free(memory); }

Result<Series> readSeries(ByteSource& source, const FileLayout& layout, const Limits& limits) {
  if (auto ok = checkLayout(layout); !ok) return ok.error();
  const auto head = readHead(source, layout, limits);
  if (!head) return head.error();
  return SeriesReader(source, layout, limits, *head).read();
}

}  // namespace platemark::intake
