#include <algorithm>

#include "fold.h"
#include "platemark/plant/carton.h"

namespace platemark::ledger {
namespace {

/// Folded before the carton: what a correction leaves out is in it no more.
void putInto(const Fact& fact, ProjectionView& view) {
  const auto packed = bodyOf<CartonPacked>(fact);
  const auto before = get<CartonState>(view, projection::carton, packed.carton);
  for (const std::string& box : before ? before->boxes : std::vector<std::string>{})
    change<BoxState>(view, projection::box, box, [&](BoxState& state) {
      if (state.carton == packed.carton) state.carton.clear();
    });
  for (const std::string& box : packed.boxes)
    change<BoxState>(view, projection::box, box,
                     [&](BoxState& state) { state.carton = packed.carton; });
}

/// Folded before the shipment: what a corrected one left out stands in the house again.
void send(const Fact& fact, ProjectionView& view) {
  const auto shipped = bodyOf<Shipped>(fact);
  if (const auto before = get<ShipmentState>(view, projection::shipment, shipped.shipment))
    for (const std::string& box : before->shipped.boxes)
      change<BoxState>(view, projection::box, box, [](BoxState& state) { state.shipment.clear(); });
  for (const std::string& box : shipped.boxes)
    change<BoxState>(view, projection::box, box,
                     [&](BoxState& state) { state.shipment = shipped.shipment; });
}

void foldBox(const Fact& fact, ProjectionView& view) {
  if (fact.kind == "box.packed") {
    const auto packed = bodyOf<BoxPacked>(fact);
    BoxState state = get<BoxState>(view, projection::box, packed.box).value_or(BoxState{});
    state.packed = packed;  // a correction changes what is in it, not where it went
    view.put(packed.box, state);
  } else if (fact.kind == "carton.packed") {
    putInto(fact, view);
  } else if (fact.kind == "shipment.sent") {
    send(fact, view);
  }
}

void foldShipment(const Fact& fact, ProjectionView& view) {
  if (fact.kind != "shipment.sent") return;
  ShipmentState shipment;
  shipment.shipped = bodyOf<Shipped>(fact);
  for (const std::string& box : shipment.shipped.boxes) {
    const auto state = get<BoxState>(view, projection::box, box);
    if (!state) continue;
    const std::string& batch = state->packed.batch;
    if (std::find(shipment.batches.begin(), shipment.batches.end(), batch) ==
        shipment.batches.end())
      shipment.batches.push_back(batch);
  }
  view.put(shipment.shipped.shipment, toValue(shipment));
}

}  // namespace

Projection boxProjection() { return {projection::box, foldBox}; }
Projection shipmentProjection() { return {projection::shipment, foldShipment}; }

}  // namespace platemark::ledger
