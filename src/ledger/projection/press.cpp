#include "platemark/plant/press.h"
#include "fold.h"

namespace platemark::ledger {
namespace {

void fold(const Fact& fact, ProjectionView& view) {
  if (fact.kind != "press.run") return;
  const auto run = bodyOf<PressRun>(fact);
  if (run.started)
    view.put(pressedKey(run.machine, *run.started, fact.sequence),
             PressedAt{run.batch, fact.sequence});
}

}  // namespace

Projection pressedProjection() { return {projection::pressed, fold}; }

}  // namespace platemark::ledger
