#include "station.h"

#include <fmt/format.h>

#include <algorithm>

#include "platemark/gate/finishing.h"
#include "platemark/gate/line.h"
#include "platemark/plant/carton.h"

namespace platemark::service::view {
namespace {

/// A place on the floor: the step done there, what it runs on and what it measures with.
struct Place {
  std::string_view name;
  std::optional<Step> step;
  std::optional<MachineClass> machines;
  std::optional<Kind> gauges;
};
constexpr Place places[] = {
    {"goods-in", {}, {}, {}},
    {"plates", Step::plates, MachineClass::coater, Kind::length},
    {"weigh-up", Step::mix, MachineClass::mixer, Kind::mass},
    {"press", Step::press, MachineClass::press, Kind::mass},
    {"clamp", Step::clamp, MachineClass::oven, {}},
    {"unclamp", {}, {}, {}},
    {"finishing", Step::finish, MachineClass::finishing, {}},
    {"packing", Step::pack, {}, {}},
    {"ship", {}, {}, {}},
};

Result<const Place*> placeNamed(const std::string& name) {
  const auto found = std::find_if(std::begin(places), std::end(places),
                                  [&](const Place& p) { return p.name == name; });
  if (found != std::end(places)) return found;
  Error error;
  error.fault = Fault::not_found;
  error.code = "station.unknown";
  error.what = fmt::format("There is no station '{}'.", name);
  error.expected = "goods-in, plates, weigh-up, press, clamp, unclamp, finishing, packing or ship";
  return error;
}

struct BatchHere {
  BatchState batch;
  Part part;
  std::vector<MixState> mixes;
  std::int64_t pads = 0;  ///< good ones
};

std::optional<BatchHere> batchHere(const Look& look, const std::string& id) {
  auto batch = ledger::stateAs<BatchState>(look.snapshot, projection::batch, id);
  if (!batch) return {};
  const auto part =
      ledger::stateAs<Issued<Part>>(look.snapshot, projection::part,
                                    ledger::issueKey(batch->opened.part, batch->opened.part_issue));
  if (!part) return {};
  const std::int64_t pads = goodPads(look, *batch);
  std::vector<MixState> mixes;
  for (const std::string& mix : batch->mixes)
    mixes.push_back(*ledger::stateAs<MixState>(look.snapshot, projection::mix, mix));
  return BatchHere{std::move(*batch), part->noun, std::move(mixes), pads};
}

bool onRoute(const Part& part, Step step) {
  return std::any_of(part.route.begin(), part.route.end(),
                     [&](const RouteStep& r) { return r.step == step; });
}

/// A route without clamping goes into the oven as it is.
Step stepAt(const Place& place, const Part& part) {
  return *place.step == Step::clamp && !onRoute(part, Step::clamp) ? Step::cure : *place.step;
}

/// What stands between this batch and the work of the place.
gate::Obstacles obstaclesAt(const Look& look, const Place& place, const BatchHere& of) {
  if (place.step == Step::finish) return gate::mayFinish(of.batch);
  if (place.step == Step::pack)
    return gate::mayLeave(of.batch, of.part,
                          act::coverFile(look.snapshot, of.batch, of.part, look.today()),
                          look.today());
  // A mix may be opened while the plates are prepared; each weighing is asked for itself.
  if (!place.step || place.step == Step::mix) return {};
  gate::Obstacles obstacles = gate::mayDoStep(stepAt(place, of.part), of.batch, of.part);
  if (place.step == Step::press && of.batch.opened.underlayer)
    for (Missing& mix : gate::mixedForAllLayers(of.batch, of.mixes))
      obstacles.push_back(std::move(mix));
  for (Missing& hold : gate::openHolds(of.batch.holds)) obstacles.push_back(std::move(hold));
  return obstacles;
}

std::vector<std::string> operationsLeft(const BatchHere& of) {
  std::vector<std::string> left;
  for (const RouteStep& step : of.part.route)
    for (const std::string& operation : step.operations)
      if (std::none_of(of.batch.steps.begin(), of.batch.steps.end(), [&](const StepDone& s) {
            return s.step == Step::finish && s.what == operation && !s.corrected_by;
          }))
        left.push_back(operation);
  return left;
}

/// Operations that are done and whose coat is not baked, as far as the record says.
std::vector<std::string> bakesLeft(const BatchHere& of) {
  std::vector<std::string> left;
  for (const RouteStep& step : of.part.route)
    for (const FinishingNeed& need : step.needs) {
      std::int64_t coated = 0, baked = 0;
      for (const StepDone& s : of.batch.steps)
        if (s.step == Step::finish && s.what == need.operation && !s.corrected_by)
          coated += s.counts.good;
      for (const BakeDone& b : of.batch.bakes)
        if (b.operation == need.operation && !b.corrected_by) baked += b.pads;
      if (need.bake && baked < coated) left.push_back(need.operation);
    }
  return left;
}

bool doneHere(const Place& place, const BatchHere& of) {
  if (place.step == Step::finish) return operationsLeft(of).empty() && bakesLeft(of).empty();
  if (place.step == Step::pack) return of.batch.boxed >= of.pads;
  if (place.step == Step::mix) return gate::mixedForAllLayers(of.batch, of.mixes).empty();
  return std::any_of(of.batch.steps.begin(), of.batch.steps.end(),
                     [&](const StepDone& s) { return s.step == *place.step && !s.corrected_by; });
}

std::string batchWords(const Place& place, const BatchHere& of) {
  const std::string base =
      fmt::format("{}, {}", of.part.code,
                  counted(of.pads, say("service.count.piece"), say("service.count.pieces")));
  if (place.step != Step::finish) return base;
  std::vector<std::string> next = operationsLeft(of);
  for (const std::string& operation : bakesLeft(of))
    next.push_back(say("service.station.bake_of", {{"operation", operation}}));
  return fmt::format("{}; next: {}", base, fmt::join(next, ", "));
}

Value::Array waitingBatches(const Look& look, const Place& place) {
  Value::Array list;
  for (const std::string& key : look.snapshot.keys(projection::batch, "")) {
    const std::optional<BatchHere> of = batchHere(look, key);
    if (!of || doneHere(place, *of) || !onRoute(of->part, stepAt(place, of->part)) ||
        !obstaclesAt(look, place, *of).empty())
      continue;
    list.push_back(
        Value::Object{{"kind", "batch"}, {"id", key}, {"words", batchWords(place, *of)}});
  }
  return list;
}

void addOpenMixes(const Look& look, Value::Array& list) {
  for (const std::string& key : look.snapshot.keys(projection::mix, "")) {
    const auto mix = ledger::stateAs<MixState>(look.snapshot, projection::mix, key);
    if (!mix || mix->finished) continue;
    list.push_back(Value::Object{
        {"kind", "mix"},
        {"id", key},
        {"words",
         fmt::format("batch {} on {}, {}", mix->opened.batch, mix->opened.machine,
                     counted(static_cast<std::int64_t>(mix->weighings.size()),
                             say("service.count.weighing"), say("service.count.weighings")))}});
  }
}

/// Batches of the load that are not out of the oven on record.
std::vector<std::string> batchesInside(const Look& look, const LoadState& load) {
  std::vector<std::string> inside;
  for (const Clamp& clamp : load.built.clamps) {
    const auto batch = ledger::stateAs<BatchState>(look.snapshot, projection::batch, clamp.batch);
    const bool out =
        batch && std::any_of(batch->steps.begin(), batch->steps.end(), [&](const StepDone& s) {
          return s.step == Step::cure && s.what == load.built.load && !s.corrected_by;
        });
    if (!out && std::find(inside.begin(), inside.end(), clamp.batch) == inside.end())
      inside.push_back(clamp.batch);
  }
  return inside;
}

Value::Array waitingLots(const Look& look) {
  Value::Array list;
  for (const std::string& key : look.snapshot.keys(projection::lot, "")) {
    const auto lot = ledger::stateAs<LotState>(look.snapshot, projection::lot, key);
    if (lot && lot->disposition == LotDisposition::hold)
      list.push_back(
          Value::Object{{"kind", "lot"},
                        {"id", key},
                        {"words", fmt::format("{}, {}; waits for its test", lot->received.material,
                                              format(lot->received.quantity))}});
  }
  return list;
}

/// Loads with a batch that has not come out of the oven on record.
Value::Array waitingLoads(const Look& look) {
  Value::Array list;
  for (const auto& [id, load] : ledger::allStates<LoadState>(look.snapshot, projection::load))
    if (const std::vector<std::string> batches = batchesInside(look, *load); !batches.empty())
      list.push_back(Value::Object{
          {"kind", "load"},
          {"id", id},
          {"words", fmt::format("{}, batch {}", load->built.oven, fmt::join(batches, ", "))}});
  return list;
}

/// Packed, not sent, and not in a carton.
Value::Array waitingBoxes(const Look& look) {
  Value::Array list;
  for (const auto& [id, carton] : ledger::allStates<CartonState>(look.snapshot, projection::carton))
    if (carton->shipment.empty())
      list.push_back(
          Value::Object{{"kind", "carton"},
                        {"id", id},
                        {"words", counted(static_cast<std::int64_t>(carton->boxes.size()),
                                          say("service.count.box"), say("service.count.boxes"))}});
  for (const auto& [id, box] : ledger::allStates<BoxState>(look.snapshot, projection::box))
    if (box->shipment.empty() && box->carton.empty())
      list.push_back(Value::Object{
          {"kind", "box"}, {"id", id}, {"words", fmt::format("batch {}", box->packed.batch)}});
  return list;
}

Value::Array waitingAt(const Look& look, const Place& place) {
  if (place.step) return waitingBatches(look, place);
  if (place.name == "unclamp") return waitingLoads(look);
  return place.name == "ship" ? waitingBoxes(look) : waitingLots(look);
}

Value::Array machinesFor(const Look& look, const Place& place) {
  Value::Array list;
  for (const Issued<Machine>& m : act::allOf<Machine>(look.snapshot, projection::machine))
    if (place.machines && m.noun.machine_class == *place.machines)
      list.push_back(Value::Object{
          {"code", m.noun.code}, {"name", m.noun.name}, {"stations", toValue(m.noun.stations)}});
  return list;
}

Value::Array gaugesFor(const Look& look, const Place& place) {
  Value::Array list;
  for (const Issued<Gauge>& g : act::allOf<Gauge>(look.snapshot, projection::gauge)) {
    const Result<UnitRow> unit = findUnit(g.noun.unit);
    if (!place.gauges || !unit || unit->kind != *place.gauges) continue;
    const std::vector<std::string> doubts = gate::gaugeDoubts(
        g.noun,
        ledger::stateAs<GaugeCheckState>(look.snapshot, projection::gauge_check,
                                         g.noun.code + "/" + formatDay(look.today())),
        look.today());
    list.push_back(Value::Object{{"code", g.noun.code},
                                 {"name", g.noun.name},
                                 {"doubt", doubts.empty() ? "" : doubts.front()}});
  }
  return list;
}

Value::Array materials(const Look& look) {
  Value::Array list;
  for (const Issued<Material>& m : act::allOf<Material>(look.snapshot, projection::material))
    list.push_back(Value::Object{{"code", m.noun.code}, {"name", m.noun.name}});
  return list;
}

/// What the part asks of its operations, for the questions of the finishing station.
Value::Array needsHere(const BatchHere& of) {
  Value::Array list;
  for (const RouteStep& step : of.part.route)
    for (const FinishingNeed& need : step.needs) {
      Value::Array materials, spots;
      for (const PutOn& put : need.materials)
        materials.push_back(
            Value::Object{{"material", put.material}, {"counted", put.pieces.has_value()}});
      for (const Spot& spot : need.spots)
        spots.push_back(Value::Object{{"place", spot.place},
                                      {"threshold", format(spot.threshold)},
                                      {"material", spot.material}});
      list.push_back(Value::Object{
          {"operation", need.operation},
          {"materials", std::move(materials)},
          {"print", need.print ? gate::printWanted(*need.print, of.batch.opened.batch) : ""},
          {"spots", std::move(spots)}});
    }
  return list;
}

/// The compounds of the batch's layers, where it has two.
Value::Array layersHere(const BatchHere& of) {
  const BatchOpened& opened = of.batch.opened;
  if (!opened.underlayer) return {};
  return {opened.compound, opened.underlayer->compound};
}

/// "" where the route names none.
std::string programmeOf(const Part& part, Step step) {
  for (const RouteStep& on_route : part.route)
    if (on_route.step == step) return on_route.programme.value_or("");
  return "";
}

/// A batch's members that a station shows.
void describeBatch(const Look& look, const Place& place, const BatchHere& of,
                   Value::Object& value) {
  Value::Array operations;
  for (const std::string& operation : operationsLeft(of)) operations.push_back(operation);
  value.insert_or_assign("words", "batch of " + batchWords(place, of));
  value.insert_or_assign("missing", missingValue(obstaclesAt(look, place, of)));
  value.emplace("pads", of.pads);
  value.emplace("plate", of.part.plate);
  value.emplace("adhesive", of.part.adhesive.value_or(""));
  value.emplace("layers", layersHere(of));
  value.emplace("press_programme", programmeOf(of.part, Step::press));
  value.emplace("operations", std::move(operations));
  if (place.step != Step::finish) return;
  value.emplace("bakes", toValue(bakesLeft(of)));
  value.emplace("needs", needsHere(of));
}

void describeLot(const Look& look, const LotState& lot, const std::string& material,
                 Value::Object& value) {
  const std::string wanted = material.empty() ? lot.received.material : material;
  value.insert_or_assign("words",
                         fmt::format("lot {} of {}", lot.received.lot, lot.received.material));
  value.insert_or_assign("missing", missingValue(gate::mayUseLot(lot, wanted, look.today())));
  value.emplace("material", lot.received.material);
}

}  // namespace

Result<Value> station(const Look& look, const std::string& name) {
  const Result<const Place*> place = placeNamed(name);
  if (!place) return place.error();
  Value::Array waiting = waitingAt(look, **place);
  if ((*place)->step == Step::mix) addOpenMixes(look, waiting);
  return Value(Value::Object{{"place", name},
                             {"now", formatInstant(look.snapshot.now())},
                             {"as_of", clockTime(look, look.snapshot.now())},
                             {"waiting", std::move(waiting)},
                             {"machines", machinesFor(look, **place)},
                             {"gauges", gaugesFor(look, **place)},
                             {"materials", name == "goods-in" ? materials(look) : Value::Array{}}});
}

Result<Value> codeAt(const Look& look, const std::string& name, const std::string& code,
                     const std::string& material) {
  const Result<const Place*> place = placeNamed(name);
  if (!place) return place.error();
  const Result<Value> found = find(look, code);
  if (!found) return found.error();
  const std::string kind = found->text("kind"), id = found->text("id");
  Value::Object value{
      {"kind", kind}, {"id", id}, {"words", found->text("words")}, {"missing", Value::Array{}}};
  if (kind == "batch")
    if (const std::optional<BatchHere> of = batchHere(look, id))
      describeBatch(look, **place, *of, value);
  if (kind == "lot")
    if (const auto lot = ledger::stateAs<LotState>(look.snapshot, projection::lot, id))
      describeLot(look, *lot, material, value);
  if (kind == "load")
    if (const auto load = ledger::stateAs<LoadState>(look.snapshot, projection::load, id)) {
      value.emplace("batches", toValue(batchesInside(look, *load)));
    }
  return Value(std::move(value));
}

}  // namespace platemark::service::view
