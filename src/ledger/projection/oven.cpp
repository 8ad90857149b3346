#include <algorithm>

#include "fold.h"
#include "platemark/plant/state.h"

namespace platemark::ledger {
namespace {

constexpr std::size_t kept_loads = 200;

/// A recording that corrects another stands in its place.
void fold(const Fact& fact, ProjectionView& view) {
  if (fact.kind != "cure.recorded") return;
  const auto recorded = bodyOf<CureRecorded>(fact);
  const auto load = get<LoadState>(view, projection::load, recorded.load);
  if (!load) return;
  const std::string& oven = load->built.oven;
  OvenState state = get<OvenState>(view, projection::oven_loads, oven).value_or(OvenState{});
  std::erase_if(state.loads, [&](const OvenLoad& l) { return l.load == recorded.load; });
  if (!recorded.offsets.empty())
    state.loads.push_back({recorded.load, recorded.from, recorded.offsets});
  std::stable_sort(state.loads.begin(), state.loads.end(),
                   [](const OvenLoad& a, const OvenLoad& b) { return a.at < b.at; });
  if (state.loads.size() > kept_loads) state.loads.erase(state.loads.begin());
  view.put(oven, toValue(state));
}

}  // namespace

Projection ovenLoadsProjection() { return {projection::oven_loads, fold}; }

}  // namespace platemark::ledger
