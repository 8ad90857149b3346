#include "platemark/gate/counts.h"

#include <algorithm>

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

}  // namespace

std::vector<StepTotal> stepTotals(const BatchState& batch) {
  std::vector<StepTotal> totals;
  for (const StepDone& run : batch.steps) {
    if (!run.counted || run.corrected_by) continue;
    StepTotal& total = totalOf(totals, run);
    total.runs.push_back(run.fact);
    total.out += run.step == Step::sample ? run.counts.samples : accountedFor(run.counts);
    total.good += run.counts.good;
  }
  std::int64_t in = batch.opened.plates;
  for (StepTotal& total : totals) {
    total.in = in;
    if (total.step == Step::sample) {  // what was not drawn is good
      total.good = std::max<std::int64_t>(in - total.out, 0);
      total.out += total.good;
    }
    in = total.good;
  }
  return totals;
}

std::int64_t goodPads(const BatchState& batch) {
  const std::vector<StepTotal> totals = stepTotals(batch);
  return totals.empty() ? batch.opened.plates : totals.back().good;
}

}  // namespace platemark::gate
