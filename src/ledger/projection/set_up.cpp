#include "platemark/plant/set_up.h"
#include "fold.h"

namespace platemark::ledger {
namespace {

void make(const Fact& fact, ProjectionView& view) {
  SetUpState state;
  state.made = bodyOf<SetUpMade>(fact);
  state.made_fact = fact.sequence;
  view.put(state.made.set_up, state);
}

template <class Body>
void onSetUp(const Fact& fact, ProjectionView& view,
             const std::function<void(SetUpState&, const Body&)>& with) {
  const auto body = bodyOf<Body>(fact);
  if (body.subject.kind != "set-up") return;
  change<SetUpState>(view, projection::set_up, body.subject.id,
                     [&](SetUpState& state) { with(state, body); });
}

void fold(const Fact& fact, ProjectionView& view) {
  if (fact.kind == "set-up.made")
    make(fact, view);
  else if (fact.kind == "reading.taken")
    onSetUp<ReadingTaken>(fact, view, [&](SetUpState& state, const ReadingTaken& reading) {
      if (reading.remark.corrects)
        markCorrected(state.evidence, *reading.remark.corrects, fact.sequence);
    });
  else if (fact.kind == "figure.computed")
    onSetUp<FigureComputed>(fact, view, [&](SetUpState& state, const FigureComputed& figure) {
      addEvidence(state.evidence, view, fact, figure);
      overtake(state.gate, fact, cameAfterwards(fact));
    });
  else if (fact.kind == "gauge.studied" || fact.kind == "gauge.found_wrong") {
    for (const Subject& subject : fact.subjects)
      if (subject.kind == "set-up")
        change<SetUpState>(view, projection::set_up, subject.id, [&](SetUpState& state) {
          overtake(state.gate, fact, cameAfterwards(fact));
        });
  } else if (fact.kind == "verdict.given")
    onSetUp<VerdictGiven>(fact, view, [&](SetUpState& state, const VerdictGiven& verdict) {
      giveVerdict(state.gate, fact, verdict);
    });
}

void foldNewest(const Fact& fact, ProjectionView& view) {
  if (fact.kind != "set-up.made") return;
  const auto made = bodyOf<SetUpMade>(fact);
  view.put(setUpKey(made.batch, made.operation, made.machine, made.station), made.set_up);
}

}  // namespace

Projection setUpProjection() { return {projection::set_up, fold}; }
Projection setUpForProjection() { return {projection::set_up_for, foldNewest}; }

}  // namespace platemark::ledger
