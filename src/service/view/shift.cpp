/// The hand-over of a shift: made from what is open, never typed.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "station.h"

namespace platemark::service::view {
namespace {

/// Plates and pads by the last step on record.
using BySteps = std::map<int, Value::Array>;

void addBatch(const Look& look, BySteps& steps, const BatchState& batch) {
  const bool begun = !batch.steps.empty();
  const Instant since = begun ? batch.steps.back().happened : batch.opened_at;
  steps[begun ? static_cast<int>(batch.steps.back().step) : -1].push_back(
      Value::Object{{"batch", batch.opened.batch},
                    {"part", batch.opened.part},
                    {"pads", grouped(goodPads(look, batch))},
                    {"since", lasted(since, look.snapshot.now())}});
}

void addHolds(const Look& look, Value::Array& rows, const Subject& subject,
              const std::vector<Hold>& holds) {
  for (const Hold& hold : holds) {
    if (hold.lifted_by) continue;
    const std::optional<Fact> placed = look.snapshot.fact(hold.fact);
    rows.push_back(Value::Object{
        {"kind", subject.kind},
        {"id", subject.id},
        {"why", hold.why},
        {"since", placed ? lasted(placed->happened.instant, look.snapshot.now()) : ""}});
  }
}

Value::Array stepsValue(BySteps& steps) {
  Value::Array list;
  for (auto& [step, batches] : steps)
    list.push_back(Value::Object{
        {"step", step < 0 ? std::string_view("opened") : word(static_cast<Step>(step))},
        {"batches", std::move(batches)}});
  return list;
}

bool outOf(const BatchState& batch, const std::string& load) {
  return std::any_of(batch.steps.begin(), batch.steps.end(), [&](const StepDone& s) {
    return s.step == Step::cure && s.what == load && !s.corrected_by;
  });
}

/// Loads with a batch that has not been unclamped yet.
Value::Array loadsInOvens(const Look& look) {
  Value::Array list;
  for (const std::string& key : look.snapshot.keys(projection::load, "")) {
    const auto load = ledger::stateAs<LoadState>(look.snapshot, projection::load, key);
    if (!load) continue;
    std::map<std::string, std::int64_t> inside;
    for (const Clamp& clamp : load->built.clamps) {
      const auto batch = ledger::stateAs<BatchState>(look.snapshot, projection::batch, clamp.batch);
      if (batch && !outOf(*batch, key)) inside[clamp.batch] += clamp.pads;
    }
    if (inside.empty()) continue;
    Value::Array batches;
    std::int64_t pads = 0;
    for (const auto& [batch, n] : inside) {
      batches.push_back(batch);
      pads += n;
    }
    list.push_back(Value::Object{{"load", key},
                                 {"oven", load->built.oven},
                                 {"programme", load->built.programme},
                                 {"batches", std::move(batches)},
                                 {"pads", grouped(pads)},
                                 {"since", lasted(load->built_at, look.snapshot.now())},
                                 {"recorded", !load->recordings.empty()}});
  }
  return list;
}

Value::Array openMixes(const Look& look) {
  Value::Array list;
  for (const std::string& key : look.snapshot.keys(projection::mix, "")) {
    const auto mix = ledger::stateAs<MixState>(look.snapshot, projection::mix, key);
    if (!mix || mix->finished) continue;
    const std::int64_t weighings =
        std::count_if(mix->weighings.begin(), mix->weighings.end(),
                      [](const WeighingDone& w) { return !w.corrected_by; });
    list.push_back(Value::Object{{"mix", key},
                                 {"batch", mix->opened.batch},
                                 {"machine", mix->opened.machine},
                                 {"weighings", weighings},
                                 {"since", lasted(mix->opened_at, look.snapshot.now())}});
  }
  return list;
}

bool leftTheHouse(const Look& look, const BatchState& batch) {
  return batch.shipped > 0 && batch.shipped >= batch.boxed && goodPads(look, batch) <= batch.boxed;
}

}  // namespace

Value shift(const Look& look) {
  BySteps steps;
  Value::Array holds;
  for (const std::string& key : look.snapshot.keys(projection::batch, "")) {
    const auto batch = ledger::stateAs<BatchState>(look.snapshot, projection::batch, key);
    if (!batch) continue;
    addHolds(look, holds, {"batch", key}, batch->holds);
    if (!leftTheHouse(look, *batch)) addBatch(look, steps, *batch);
  }
  for (const std::string& key : look.snapshot.keys(projection::lot, "")) {
    const auto lot = ledger::stateAs<LotState>(look.snapshot, projection::lot, key);
    if (lot) addHolds(look, holds, {"lot", key}, lot->holds);
  }
  const Value open = today(look);
  return Value::Object{{"now", dayAndTime(look, look.snapshot.now())},
                       {"fact", look.snapshot.sequence()},
                       {"steps", stepsValue(steps)},
                       {"holds", std::move(holds)},
                       {"on_hold", open["on_hold"]},
                       {"loads", loadsInOvens(look)},
                       {"lots", open["lots"]},
                       {"mixes", openMixes(look)},
                       {"presses", pressesOfShift(look)},
                       {"late", open["late"]}};
}

}  // namespace platemark::service::view
