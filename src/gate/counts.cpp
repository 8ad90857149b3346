#include "platemark/gate/counts.h"

#include <algorithm>
#include <limits>

namespace platemark::gate {
namespace {

std::int64_t accountedFor(const Counts& c) {
  std::int64_t total = c.good + c.samples + c.rework;
  for (const auto& [reason, n] : c.scrap) total += n;
  return total;
}

StepTotal& totalOf(std::vector<StepTotal>& totals, const StepDone& run) {
  const std::string operation = run.step == Step::finish ? run.what : "";
  if (run.step != Step::sample)
    for (StepTotal& total : totals)
      if (total.step == run.step && total.operation == operation) return total;
  totals.push_back({run.step, operation, 0, 0, 0, {}});
  return totals.back();
}

/// Pads lost by what was decided between two facts of the record.
std::int64_t lostBetween(const DispositionState& so_far, Sequence from, Sequence to) {
  std::int64_t lost = 0;
  for (const Rework& rework : so_far.reworks)
    if (rework.done && from < *rework.done_fact && *rework.done_fact < to)
      lost += accountedFor(rework.done->counts) - rework.done->counts.good;
  for (const Scrapped& scrap : so_far.scraps)
    if (from < scrap.fact && scrap.fact < to) lost += scrap.signed_off.pads;
  return lost;
}

constexpr Sequence end_of_record = std::numeric_limits<Sequence>::max();

}  // namespace

std::vector<StepTotal> stepTotals(const BatchState& batch, const DispositionState& so_far) {
  std::vector<StepTotal> totals;
  for (const StepDone& run : batch.steps) {
    if (!run.counted || run.corrected_by) continue;
    StepTotal& total = totalOf(totals, run);
    total.runs.push_back(run.fact);
    total.out += run.step == Step::sample ? run.counts.samples : accountedFor(run.counts);
    total.good += run.counts.good;
  }
  std::int64_t in = batch.opened.plates;
  Sequence before = 0;
  for (StepTotal& total : totals) {
    total.in = in - lostBetween(so_far, before, total.runs.front());
    if (total.step == Step::sample) {  // what was not drawn is good
      total.good = std::max<std::int64_t>(total.in - total.out, 0);
      total.out += total.good;
    }
    in = total.good;
    before = total.runs.front();
  }
  return totals;
}

std::int64_t goodPads(const BatchState& batch, const DispositionState& so_far) {
  const std::vector<StepTotal> totals = stepTotals(batch, so_far);
  if (totals.empty()) return batch.opened.plates - lostBetween(so_far, 0, end_of_record);
  return totals.back().good - lostBetween(so_far, totals.back().runs.front(), end_of_record);
}

bool allScrapped(const BatchState& batch, const DispositionState& so_far) {
  return !so_far.scraps.empty() && goodPads(batch, so_far) <= batch.boxed;
}

}  // namespace platemark::gate
