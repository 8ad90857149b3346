#include <algorithm>

#include "fold.h"

namespace platemark::ledger {
namespace {

void foldBox(const Fact& fact, ProjectionView& view) {
  if (fact.kind == "box.packed") {
    const auto packed = bodyOf<BoxPacked>(fact);
    view.put(packed.box, toValue(BoxState{packed, ""}));
  } else if (fact.kind == "shipment.sent") {
    const auto shipped = bodyOf<Shipped>(fact);
    for (const std::string& box : shipped.boxes)
      change<BoxState>(view, projection::box, box,
                       [&](BoxState& state) { state.shipment = shipped.shipment; });
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
