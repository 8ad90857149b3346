#include "order.h"

#include <fmt/format.h>

#include <algorithm>

#include "fault.h"
#include "platemark/quantity/time.h"
#include "report_book.h"

namespace platemark::intake {
namespace {

/// Runs that touch across a chunk border are one.
std::vector<FoldRun> joined(std::vector<FoldRun> runs) {
  std::vector<FoldRun> out;
  for (const FoldRun& run : runs) {
    if (!out.empty() && out.back().end == run.first && out.back().later_by == run.later_by)
      out.back().end = run.end;
    else
      out.push_back(run);
  }
  return out;
}

class FoldSettler {
 public:
  FoldSettler(std::span<std::int64_t> times, std::span<const std::uint32_t> lines,
              const RowPlan& plan, Report& report)
      : times_(times), lines_(lines), plan_(plan), report_(report) {}

  /// Where the clock steps back inside the run, the later hour begins. Without
  /// a step the run is one of the two: the one that joins its neighbours.
  void settle(const FoldRun& run) {
    for (std::int64_t i = run.first + 1; i < run.end; ++i)
      if (at(i) < at(i - 1)) return shift(i, run);
    const bool follows = run.first > 0 && at(run.first) - at(run.first - 1) < run.later_by;
    const bool leads = run.end < rows() && at(run.end) - at(run.end - 1) >= run.later_by;
    const bool joins_later = leads && at(run.end) - at(run.end - 1) < 2 * run.later_by;
    if (follows && joins_later) return remark("time.repeat_missing", run);
    if (follows) return;
    if (joins_later) return shift(run.first, run);
    remark("time.repeat_unsure", run);
  }

 private:
  std::int64_t at(std::int64_t i) const { return times_[static_cast<std::size_t>(i)]; }
  std::int64_t rows() const { return static_cast<std::int64_t>(times_.size()); }

  void shift(std::int64_t from, const FoldRun& run) {
    for (std::int64_t i = from; i < run.end; ++i)
      times_[static_cast<std::size_t>(i)] += run.later_by;
  }

  void remark(std::string_view code, const FoldRun& run) {
    const std::uint32_t first = lines_[static_cast<std::size_t>(run.first)];
    const std::uint32_t last = lines_[static_cast<std::size_t>(run.end - 1)];
    note(report_, plan_.limits.kept_remarks, code, first, "",
         fmt::format("lines {} to {}", first, last), Encoding::utf8);
  }

  std::span<std::int64_t> times_;
  std::span<const std::uint32_t> lines_;
  const RowPlan& plan_;
  Report& report_;
};

}  // namespace

void settleFolds(std::span<std::int64_t> times, std::span<const std::uint32_t> lines,
                 std::vector<FoldRun> runs, const RowPlan& plan, Report& report) {
  FoldSettler settler(times, lines, plan, report);
  for (const FoldRun& run : joined(std::move(runs))) settler.settle(run);
}

std::optional<Error> clockBackwards(std::span<const std::int64_t> times,
                                    std::span<const std::uint32_t> lines, const RowPlan& plan) {
  const auto back = std::adjacent_find(times.begin(), times.end(), std::greater<>());
  if (back == times.end()) return std::nullopt;
  const auto row = static_cast<std::size_t>(back - times.begin()) + 1;
  const auto text = [&](std::size_t i) {
    return formatLocal(Instant::fromUnixMs(times[i]), plan.layout.time.zone, true);
  };
  return fault(
      "intake.clock_backwards",
      {fmt::format("The clock steps back from {} (line {}) to {}.", text(row - 1), lines[row - 1],
                   text(row)),
       "times that never run backwards, but for the change of the clocks in the layout's zone",
       "Check the instrument's clock and the layout's order of day and month and its zone; read "
       "the parts as two files."},
      {.file = plan.file, .line = static_cast<long>(lines[row]), .column = {}, .field = {}});
}

}  // namespace platemark::intake
