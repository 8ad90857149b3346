#include "platemark/gate/press.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace platemark::gate {
namespace {

std::int64_t padsOf(const Counts& counts) {
  std::int64_t pads = counts.good + counts.samples + counts.rework;
  for (const auto& [reason, scrapped] : counts.scrap) pads += scrapped;
  return pads;
}

bool atOnce(const StepDone& a, const StepDone& b) {
  return a.station == b.station && *a.started < *b.ended && *b.started < *a.ended;
}

}  // namespace

Obstacles mayHaveRun(const RunOnPress& now, const std::vector<RunOnPress>& runs,
                     std::optional<Sequence> corrected) {
  Obstacles obstacles;
  const StepDone& run = now.run;
  for (const RunOnPress& other : runs)
    if (!other.run.corrected_by && other.run.fact != corrected && atOnce(run, other.run))
      obstacles.push_back(
          {fmt::format("{}{} pressed batch {} from {} to {} (fact {}).", run.machine,
                       run.station ? ", station " + *run.station + "," : "", other.batch,
                       formatInstant(*other.run.started), formatInstant(*other.run.ended),
                       other.run.fact),
           "press crew", "look at the press's times again; correct the run that is wrong"});
  const auto cavities = static_cast<std::int64_t>(run.cavities.size());
  const std::int64_t pads = padsOf(run.counts);
  if (cavities > 0 && pads > cavities * *run.strokes)
    obstacles.push_back({fmt::format("{} strokes with {} cavities make {} pads; {} are counted.",
                                     *run.strokes, cavities, cavities * *run.strokes, pads),
                         "press crew", "count again, or read the strokes again"});
  return obstacles;
}

Obstacles mixedBefore(const std::vector<MixState>& mixes, Instant started) {
  std::map<std::string, const MixState*> first;  // of each compound
  for (const MixState& mix : mixes) {
    const MixState*& known = first[mix.opened.compound];
    if (mix.finished_at && (known == nullptr || *mix.finished_at < *known->finished_at))
      known = &mix;
  }
  Obstacles obstacles;
  for (const auto& [compound, mix] : first)
    if (mix != nullptr && started < *mix->finished_at)
      obstacles.push_back(
          {fmt::format("The run began at {}; mix {} was finished at {}.", formatInstant(started),
                       mix->opened.mix, formatInstant(*mix->finished_at)),
           "press crew", "look at both times again"});
  return obstacles;
}

}  // namespace platemark::gate
