#include "platemark/plant/trend.h"

#include <fmt/format.h>

#include "fold.h"

namespace platemark::ledger {
namespace {

/// The control plan that the thing is measured by; "" for what is no part of a run of results.
std::string planOf(const ProjectionView& view, const Subject& subject) {
  if (subject.kind == "batch")
    if (const auto batch = get<BatchState>(view, projection::batch, subject.id))
      return batch->opened.plan;
  if (subject.kind == "lot")
    if (const auto lot = get<LotState>(view, projection::lot, subject.id)) return lot->plan;
  return "";
}

void fold(const Fact& fact, ProjectionView& view) {
  if (fact.kind != "figure.computed") return;
  const auto figure = bodyOf<FigureComputed>(fact);
  const std::string plan = planOf(view, figure.subject);
  if (plan.empty() || figure.characteristic.empty()) return;
  view.put(fmt::format("{}/{:012}", trendKey(plan, figure.characteristic, fact.happened.instant),
                       fact.sequence),
           TrendEntry{figure.subject, fact.sequence});
}

}  // namespace

Projection trendProjection() { return {projection::trend, fold}; }

}  // namespace platemark::ledger
