#include "platemark/plant/line.h"
#include "fold.h"

namespace platemark::ledger {
namespace {

void use(const Fact& fact, ProjectionView& view, const std::string& machine,
         const std::string& id) {
  const auto batch = get<BatchState>(view, projection::batch, id);
  if (!batch || machine.empty()) return;
  LineState line;
  line.batch = id;
  line.part = batch->opened.part;
  const std::string mixed = fact.body.text("compound");  // of an underlayer, maybe
  line.compound = mixed.empty() ? batch->opened.compound : mixed;
  line.used_fact = fact.sequence;
  line.used_at = fact.happened.instant;
  view.put(machine, line);
}

void clear(const Fact& fact, ProjectionView& view) {
  const auto cleared = bodyOf<LineCleared>(fact);
  change<LineState>(view, projection::line, cleared.machine, [&](LineState& line) {
    line.cleared_fact = fact.sequence;
    line.cleaned = cleared.cleaned;
  });
}

void fold(const Fact& fact, ProjectionView& view) {
  if (fact.kind == "line.cleared") return clear(fact, view);
  for (const std::string_view kind :
       {"plates.prepared", "mix.opened", "press.run", "batch.finished"})
    if (fact.kind == kind) use(fact, view, fact.body.text("machine"), fact.body.text("batch"));
}

}  // namespace

Projection lineProjection() { return {projection::line, fold}; }

}  // namespace platemark::ledger
