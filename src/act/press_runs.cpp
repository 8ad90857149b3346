#include "platemark/act/press_runs.h"

#include <algorithm>

#include "platemark/plant/press.h"

namespace platemark::act {
namespace {

constexpr std::size_t all = 100'000;

std::optional<gate::RunOnPress> runAt(const ledger::Snapshot& snapshot, const PressedAt& at) {
  const auto batch = ledger::stateAs<BatchState>(snapshot, projection::batch, at.batch);
  if (!batch) return {};
  const auto step = std::find_if(batch->steps.begin(), batch->steps.end(),
                                 [&](const StepDone& s) { return s.fact == at.fact; });
  if (step == batch->steps.end()) return {};
  return gate::RunOnPress{at.batch, *step};
}

}  // namespace

std::vector<gate::RunOnPress> pressRuns(const ledger::Snapshot& snapshot,
                                        const std::string& machine, Instant from, Instant to) {
  std::vector<gate::RunOnPress> runs;
  for (const ledger::State& state :
       snapshot.states(projection::pressed, machine + "/", pressedKey(machine, from), all)) {
    const auto at = ledger::stateAs<PressedAt>(snapshot, projection::pressed, state.key);
    std::optional<gate::RunOnPress> run = at ? runAt(snapshot, *at) : std::nullopt;
    if (!run || *run->run.started < from) continue;
    if (to < *run->run.started) break;
    runs.push_back(std::move(*run));
  }
  return runs;
}

}  // namespace platemark::act
