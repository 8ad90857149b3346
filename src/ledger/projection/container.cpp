#include "platemark/plant/container.h"
#include "fold.h"
#include "platemark/quantity/measure.h"

namespace platemark::ledger {
namespace {

void label(const Fact& fact, ProjectionView& view) {
  const auto labelled = bodyOf<ContainersLabelled>(fact);
  for (const Container& container : labelled.containers) {
    ContainerState state;
    state.lot = labelled.lot;
    state.quantity = container.quantity;
    state.used = {Decimal::fixed(0, container.quantity.value.decimals()), container.quantity.unit};
    view.put(container.container, state);
  }
}

Measure plus(const Measure& a, const Measure& b) {
  const double factor = findUnit(b.unit)->factor / findUnit(a.unit)->factor;
  const int decimals = std::max(a.value.decimals(), b.value.decimals());
  return {Decimal::fixed(a.value.value() + b.value.value() * factor, decimals), a.unit};
}

/// A corrected weighing gives back what the first one took.
void take(const Fact& fact, ProjectionView& view) {
  const auto weighed = bodyOf<Weighed>(fact);
  if (!weighed.container) return;
  Measure taken = weighed.mass;
  if (weighed.remark.corrects)
    if (const auto mix = get<MixState>(view, projection::mix, weighed.mix))
      for (const WeighingDone& w : mix->weighings)
        if (w.fact == *weighed.remark.corrects && w.lot == weighed.lot)
          taken = plus(
              taken, {Decimal::fixed(-w.mass.value.value(), w.mass.value.decimals()), w.mass.unit});
  change<ContainerState>(view, projection::container, *weighed.container,
                         [&](ContainerState& state) { state.used = plus(state.used, taken); });
}

void giveBack(const Fact& fact, ProjectionView& view) {
  const auto returned = bodyOf<ContainerReturned>(fact);
  change<ContainerState>(
      view, projection::container, returned.container, [&](ContainerState& state) {
        Measure expected = returned.expected;
        expected.value = Decimal::fixed(-expected.value.value(), expected.value.decimals());
        state.difference = plus(returned.mass, expected);
        state.quantity = returned.mass;
        state.used = {Decimal::fixed(0, returned.mass.value.decimals()), returned.mass.unit};
        state.returned_fact = fact.sequence;
      });
}

void fold(const Fact& fact, ProjectionView& view) {
  if (fact.kind == "container.labelled")
    label(fact, view);
  else if (fact.kind == "mix.weighed")
    take(fact, view);
  else if (fact.kind == "container.returned")
    giveBack(fact, view);
}

}  // namespace

Projection containerProjection() { return {projection::container, fold}; }

}  // namespace platemark::ledger
