#include "platemark/gate/balance.h"

#include <algorithm>

#include "platemark/gate/counts.h"

namespace platemark::gate {
namespace {

std::int64_t sum(const std::map<std::string, std::int64_t>& counts) {
  std::int64_t total = 0;
  for (const auto& [reason, n] : counts) total += n;
  return total;
}

/// Whatever changes the count of a batch, as one kind of line.
struct Event {
  Sequence fact = 0;
  std::string step;
  Counts counts;
  bool takes_only = false;  ///< says what is taken away, not what is left
};

void add(Counts& to, const Counts& more) {
  to.good += more.good;
  to.samples += more.samples;
  to.rework += more.rework;
  for (const auto& [reason, n] : more.scrap) to.scrap[reason] += n;
}

/// The runs of one step together, as stepTotals() has them.
Event eventOf(const BatchState& batch, const StepTotal& total) {
  Event event{total.runs.back(), std::string(word(total.step)), {}, total.step == Step::sample};
  std::string what = total.operation;
  for (const StepDone& run : batch.steps) {
    if (std::find(total.runs.begin(), total.runs.end(), run.fact) == total.runs.end()) continue;
    add(event.counts, run.counts);
    if (total.runs.size() == 1) what = run.what;
  }
  if (!what.empty()) event.step += ", " + what;
  return event;
}

std::vector<Event> stepsOf(const BatchState& batch) {
  std::vector<Event> events;
  for (const StepTotal& total : stepTotals(batch, {})) events.push_back(eventOf(batch, total));
  return events;
}

std::vector<Event> dispositionsOf(const DispositionState& so_far) {
  std::vector<Event> events;
  for (const Rework& rework : so_far.reworks)
    if (rework.done)
      events.push_back(
          {*rework.done_fact, "rework " + rework.ordered.rework, rework.done->counts, false});
  for (const Scrapped& scrap : so_far.scraps) {
    Counts counts;
    counts.scrap[scrap.signed_off.reason] = scrap.signed_off.pads;
    events.push_back({scrap.fact, "scrap signed", counts, true});
  }
  return events;
}

/// A mended step stands where the first stood, so steps keep their order; what was decided comes
/// before the first step that was reported after it.
std::vector<Event> eventsOf(const BatchState& batch, const DispositionState& so_far) {
  std::vector<Event> events = stepsOf(batch);
  for (Event& decided : dispositionsOf(so_far)) {
    const auto at = std::find_if(events.begin(), events.end(),
                                 [&](const Event& e) { return e.fact > decided.fact; });
    events.insert(at, std::move(decided));
  }
  return events;
}

}  // namespace

std::int64_t Balance::scrapped() const { return sum(scrap); }

bool Balance::balances() const {
  return std::all_of(lines.begin(), lines.end(),
                     [](const BalanceLine& line) { return line.difference == 0; });
}

Balance balanceOf(const BatchState& batch, const DispositionState& so_far) {
  Balance balance;
  balance.plates = balance.good = batch.opened.plates;
  for (Event& event : eventsOf(batch, so_far)) {
    const std::int64_t in = balance.good;
    Counts& counts = event.counts;
    const std::int64_t away = sum(counts.scrap) + counts.samples + counts.rework;
    if (event.takes_only) counts.good = in - away;
    for (const auto& [reason, n] : counts.scrap) balance.scrap[reason] += n;
    balance.samples += counts.samples;
    balance.rework += counts.rework;
    balance.good = counts.good;
    balance.lines.push_back(
        {event.fact, std::move(event.step), in, counts, in - counts.good - away});
  }
  if (batch.boxed > 0) {
    const std::int64_t too_many = std::min<std::int64_t>(0, balance.good - batch.boxed);
    balance.lines.push_back({0, "pack", balance.good, {batch.boxed, {}, 0, 0}, too_many});
  }
  return balance;
}

}  // namespace platemark::gate
