/// Cartons, and what stands in each place of the store.
#include "platemark/plant/carton.h"

#include <algorithm>

#include "fold.h"

namespace platemark::ledger {
namespace {

void without(std::vector<std::string>& list, const std::string& item) {
  list.erase(std::remove(list.begin(), list.end(), item), list.end());
}

void pack(const Fact& fact, ProjectionView& view) {
  const auto packed = bodyOf<CartonPacked>(fact);
  CartonState state =
      get<CartonState>(view, projection::carton, packed.carton).value_or(CartonState{});
  state.carton = packed.carton;
  state.boxes = packed.boxes;
  state.packed_at = fact.happened.instant;
  state.packed_by = fact.person;
  view.put(packed.carton, toValue(state));
}

/// The mended movement keeps its place in the order.
void move(CartonState& state, const Fact& fact) {
  const CartonMove done{fact.sequence, fact.body.text("place"), fact.happened.instant, {}};
  auto at = state.moves.end();
  if (const std::optional<Sequence> corrected = correctedBy(fact))
    for (auto before = state.moves.begin(); before != state.moves.end(); ++before)
      if (before->fact == *corrected) {
        before->corrected_by = fact.sequence;
        at = before + 1;
      }
  state.moves.insert(at, done);
}

/// The cartons that the fact moves; of a corrected shipment also those that it leaves out now.
std::vector<std::string> cartonsOf(const Fact& fact, const ProjectionView& view) {
  if (fact.kind == "carton.stored" || fact.kind == "carton.taken")
    return {fact.body.text("carton")};
  if (fact.kind != "shipment.sent") return {};
  const auto shipped = bodyOf<Shipped>(fact);
  std::vector<std::string> cartons = shipped.cartons;
  if (const auto before = get<ShipmentState>(view, projection::shipment, shipped.shipment))
    for (const std::string& carton : before->shipped.cartons)
      if (std::find(cartons.begin(), cartons.end(), carton) == cartons.end())
        cartons.push_back(carton);
  return cartons;
}

/// What a carton is after the fact.
CartonState after(CartonState state, const Fact& fact) {
  if (fact.kind != "shipment.sent") {
    move(state, fact);
    return state;
  }
  const auto shipped = bodyOf<Shipped>(fact);
  const bool left = std::find(shipped.cartons.begin(), shipped.cartons.end(), state.carton) !=
                    shipped.cartons.end();
  state.shipment = left ? shipped.shipment : "";
  return state;
}

void foldCarton(const Fact& fact, ProjectionView& view) {
  if (fact.kind == "carton.packed") return pack(fact, view);
  for (const std::string& carton : cartonsOf(fact, view))
    change<CartonState>(view, projection::carton, carton,
                        [&](CartonState& state) { state = after(std::move(state), fact); });
}

void changePlace(ProjectionView& view, const std::string& place,
                 const std::function<void(std::vector<std::string>&)>& with) {
  if (place.empty()) return;
  PlaceState state = get<PlaceState>(view, projection::stored, place).value_or(PlaceState{});
  with(state.cartons);
  view.put(place, toValue(state));
}

/// Folded before the carton itself: both what it was and what it becomes are needed.
void foldStored(const Fact& fact, ProjectionView& view) {
  for (const std::string& carton : cartonsOf(fact, view)) {
    const auto state = get<CartonState>(view, projection::carton, carton);
    if (!state) continue;
    const std::string from = state->place(), to = after(*state, fact).place();
    if (from == to) continue;
    changePlace(view, from, [&](auto& cartons) { without(cartons, carton); });
    changePlace(view, to, [&](auto& cartons) { cartons.push_back(carton); });
  }
}

}  // namespace

Projection cartonProjection() { return {projection::carton, foldCarton}; }
Projection storedProjection() { return {projection::stored, foldStored}; }

}  // namespace platemark::ledger
