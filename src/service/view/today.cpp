#include <algorithm>

#include "cover.h"
#include "heat.h"
#include "view.h"

namespace platemark::service::view {
namespace {

constexpr int soon_days = 14;

std::string spelled(std::size_t n) {
  return n <= 12 ? say("service.number." + std::to_string(n))
                 : grouped(static_cast<std::int64_t>(n));
}

/// The finding a person should hear of first, and whether all evidence is in.
struct Standing {
  std::string_view word = "inside";
  std::string why;
  std::string settle;
  std::string who;
  bool ready = true;
};

bool against(FindingWord w) {
  return w == FindingWord::outside_above || w == FindingWord::outside_below ||
         w == FindingWord::not_met;
}

std::string settleWords(std::int64_t results) {
  if (results <= 0) return say("service.today.named");
  return counted(results, say("service.today.more_one"), say("service.today.more"));
}

Standing standingOf(const VerdictGiven& now, const GateState& gate) {
  Standing standing;
  if (gate.overtaken_by)
    return {"overtaken", capital(gate.overtaken_why) + ".", say("service.today.again"),
            say("service.quality"), true};
  const Finding* first = nullptr;
  std::size_t open = 0;
  for (const Finding& f : now.findings) {
    if (f.word == FindingWord::inside) continue;
    ++open;
    if (first == nullptr || (against(f.word) && !against(first->word))) first = &f;
    if (f.word == FindingWord::missing || f.word == FindingWord::no_limit) standing.ready = false;
  }
  if (first == nullptr)
    return {"inside", say("service.today.inside", {{"n", now.findings.size()}}),
            say("service.today.signature"), say("service.quality"), true};
  standing.word = word(first->word);
  standing.why = first->sentence + (open > 1 ? say("service.and_more", {{"n", open - 1}}) : "");
  standing.who = first->who.empty() ? say("service.quality") : first->who;
  if (against(first->word)) {
    standing.ready = true;
    standing.settle = say("service.today.decide");
    standing.who = say("service.quality");
  } else if (first->word == FindingWord::unconfirmed) {
    standing.settle = say("service.today.adopt");
  } else {
    standing.settle = settleWords(first->wanted - first->counted);
  }
  return standing;
}

struct Held {
  Value::Array rows;
  std::size_t ready = 0, waiting = 0;
  std::int64_t pads = 0;
};

bool outOfOven(const BatchState& batch) {
  return batch.cure.verdict || !batch.holds.empty() ||
         std::any_of(batch.steps.begin(), batch.steps.end(),
                     [](const StepDone& s) { return s.step >= Step::cure; });
}

void addHeld(const Look& look, Held& held, const gate::BatchFile& file) {
  const BatchState& batch = file.batch;
  const Gate gate = batch.cure.open() ? Gate::final : Gate::cure;
  const GateState& state = gate == Gate::cure ? batch.cure : batch.final;
  const Standing standing = standingOf(gate::judgeBatch(gate, file), state);
  Instant since = batch.opened_at;
  for (const StepDone& s : batch.steps)
    if (s.step == Step::cure) since = s.happened;
  (standing.ready ? held.ready : held.waiting) += 1;
  held.pads += gate::goodPads(batch, file.dispositions);
  held.rows.push_back(Value::Object{{"batch", batch.opened.batch},
                                    {"part", file.part.code},
                                    {"compound", file.compound.name},
                                    {"pads", grouped(gate::goodPads(batch, file.dispositions))},
                                    {"word", standing.word},
                                    {"why", standing.why},
                                    {"settle", standing.settle},
                                    {"who", standing.who},
                                    {"since", lasted(since, look.snapshot.now())},
                                    {"group", standing.ready ? "ready" : "waiting"}});
}

Value::Array waitingLots(const Look& look) {
  Value::Array rows;
  for (const std::string& key : look.snapshot.keys(projection::lot, "")) {
    const Result<gate::LotFile> file = act::lotFile(look.snapshot, key, look.today());
    if (!file || file->lot.disposition != LotDisposition::hold) continue;
    const Standing standing = standingOf(gate::judgeLot(*file), file->lot.gate);
    const std::optional<Fact> received = look.snapshot.fact(file->lot.received_fact);
    rows.push_back(Value::Object{
        {"lot", key},
        {"material", file->material.name},
        {"word", standing.word},
        {"why", standing.why},
        {"settle", standing.word == "inside" ? say("service.today.clear") : standing.settle},
        {"who", standing.who},
        {"since", received ? lasted(received->happened.instant, look.snapshot.now()) : ""}});
  }
  return rows;
}

void addLateGauges(const Look& look, Value::Array& rows) {
  for (const Issued<Gauge>& g : act::allOf<Gauge>(look.snapshot, projection::gauge)) {
    const bool late = g.noun.calibration_due < look.today();
    if (!late && addDays(look.today(), soon_days) < g.noun.calibration_due) continue;
    rows.push_back(
        Value::Object{{"word", late ? "late" : "due soon"},
                      {"what", say("service.late.gauge", {{"gauge", g.noun.name}})},
                      {"kind", "gauge"},
                      {"id", g.noun.code},
                      {"hangs", say(late ? "service.late.gauge_late" : "service.late.gauge_due")},
                      {"helps", say("service.late.calibrate")},
                      {"who", say("service.late.technician")},
                      {"by", formatDay(g.noun.calibration_due)}});
  }
}

/// A gauge found wrong asks what becomes of its results, until somebody signs it.
void addWrongGauges(const Look& look, Value::Array& rows) {
  for (const auto& [code, trust] :
       ledger::allStates<GaugeTrust>(look.snapshot, projection::gauge_trust))
    for (const WrongOnFile& wrong : trust->wrong)
      if (!wrong.assessed_by && !wrong.withdrawn_by)
        rows.push_back(Value::Object{{"word", "late"},
                                     {"what", say("service.late.wrong_gauge", {{"gauge", code}})},
                                     {"kind", "gauge"},
                                     {"id", code},
                                     {"hangs", say("service.late.wrong_results",
                                                   {{"n", wrong.report.results.size()},
                                                    {"day", formatDay(wrong.last_right_day)}})},
                                     {"helps", say("service.late.assess")},
                                     {"who", say("service.late.quality")},
                                     {"by", ""}});
}

void addLateLots(const Look& look, Value::Array& rows) {
  for (const auto& [key, lot] : ledger::allStates<LotState>(look.snapshot, projection::lot)) {
    if (!lot->received.use_by || lot->disposition == LotDisposition::refuse) continue;
    const bool late = *lot->received.use_by < look.today();
    if (!late && addDays(look.today(), soon_days) < *lot->received.use_by) continue;
    rows.push_back(Value::Object{
        {"word", late ? "late" : "due soon"},
        {"what", say("service.lot.title", {{"lot", key}, {"material", lot->received.material}})},
        {"kind", "lot"},
        {"id", key},
        {"hangs", say(late ? "service.late.lot_late" : "service.late.lot_due")},
        {"helps", say("service.late.use_up")},
        {"who", say("service.late.technician")},
        {"by", formatDay(*lot->received.use_by)}});
  }
}

/// A count that does not balance is a line of its own.
void addCounts(const gate::BatchFile& file, Value::Array& rows) {
  for (const Finding& f : gate::judgeBatch(Gate::cure, file).findings)
    if (f.characteristic == "counts" && f.word != FindingWord::inside)
      rows.push_back(
          Value::Object{{"word", "late"},
                        {"what", say("service.late.counts", {{"batch", file.batch.opened.batch}})},
                        {"kind", "batch"},
                        {"id", file.batch.opened.batch},
                        {"hangs", f.sentence},
                        {"helps", say("service.late.count_again")},
                        {"who", f.who},
                        {"by", ""}});
}

/// More boxed than there were pads: found when the batch has been released, too.
void addBoxed(const Look& look, const BatchState& batch, Value::Array& rows) {
  if (batch.boxed == 0) return;
  const gate::BalanceLine boxed = balanceFor(look, batch).lines.back();
  if (boxed.difference == 0) return;
  rows.push_back(Value::Object{
      {"word", "late"},
      {"what", say("service.today.boxes", {{"batch", batch.opened.batch}})},
      {"kind", "batch"},
      {"id", batch.opened.batch},
      {"hangs", say("service.today.boxes.off", {{"left", boxed.in}, {"boxed", boxed.counts.good}})},
      {"helps", say("service.today.boxes.helps")},
      {"who", say("service.today.boxes.who")},
      {"by", ""}});
}

Value runningRow(const gate::BatchFile& file) {
  const BatchState& batch = file.batch;
  const std::string step = batch.steps.empty() ? say("service.today.opened")
                                               : std::string(word(batch.steps.back().step));
  return Value::Object{
      {"batch", batch.opened.batch},
      {"part", file.part.code},
      {"compound", file.compound.name},
      {"pads", grouped(gate::goodPads(batch, file.dispositions))},
      {"step", step},
      {"words", batch.steps.empty() ? say("service.today.nothing_done")
                                    : say("service.today.last_step", {{"step", step}})}};
}

void addOvertaken(const Look& look, const gate::BatchFile& file, Value::Array& rows) {
  const BatchState& batch = file.batch;
  const GateState& gate = batch.final.overtaken_by ? batch.final : batch.cure;
  for (const auto& [key, shipment] :
       ledger::allStates<ShipmentState>(look.snapshot, projection::shipment)) {
    if (std::find(shipment->batches.begin(), shipment->batches.end(), batch.opened.batch) ==
        shipment->batches.end())
      continue;
    rows.push_back(Value::Object{{"batch", batch.opened.batch},
                                 {"shipment", key},
                                 {"customer", shipment->shipped.customer},
                                 {"why", gate.overtaken_why},
                                 {"fact", *gate.overtaken_by}});
  }
}

std::string sentenceOf(const Held& held, std::size_t late, std::size_t lots,
                       std::size_t overtaken) {
  const auto said = [](std::size_t n, std::string_view one, std::string_view more) {
    return words::fill(n == 1 ? one : more, {{"n", spelled(n)}, {"N", capital(spelled(n))}});
  };
  std::string s = held.ready == 0 ? say("service.today.nothing")
                                  : said(held.ready, say("service.today.ready_one"),
                                         say("service.today.ready"));
  if (held.waiting > 0) s += say("service.today.waiting", {{"n", spelled(held.waiting)}});
  s += ".";
  if (lots > 0) s += said(lots, say("service.today.lots_one"), say("service.today.lots"));
  if (late > 0) s += said(late, say("service.today.late_one"), say("service.today.late"));
  if (overtaken > 0) s += said(overtaken, say("service.today.left_one"), say("service.today.left"));
  return s;
}

}  // namespace

Value today(const Look& look) {
  Held held;
  Value::Array running, late, overtaken;
  for (const std::string& key : look.snapshot.keys(projection::batch, "")) {
    const Result<gate::BatchFile> file = act::batchFile(look.snapshot, key, look.today());
    if (!file) continue;
    const BatchState& batch = file->batch;
    if (batch.shipped > 0 && (batch.final.overtaken_by || batch.cure.overtaken_by))
      addOvertaken(look, *file, overtaken);
    addBoxed(look, batch, late);
    if (batch.final.open() || gate::allScrapped(batch, file->dispositions)) continue;
    addCounts(*file, late);
    if (outOfOven(batch))
      addHeld(look, held, *file);
    else
      running.push_back(runningRow(*file));
  }
  addLateGauges(look, late);
  addWrongGauges(look, late);
  addLateLots(look, late);
  addLateOvens(look, late);
  addEndingApprovals(look, late);
  Value::Array lots = waitingLots(look);
  const std::string sentence = sentenceOf(held, late.size(), lots.size(), overtaken.size());
  const std::size_t held_count = held.rows.size();
  return Value::Object{
      {"sentence", sentence},
      {"now", dayAndTime(look, look.snapshot.now())},
      {"on_hold", std::move(held.rows)},
      {"on_hold_words", say(held_count == 1 ? "service.today.held_one" : "service.today.held",
                            {{"n", held_count}, {"pads", grouped(held.pads)}})},
      {"lots", std::move(lots)},
      {"late", std::move(late)},
      {"running", std::move(running)},
      {"shipped_overtaken", std::move(overtaken)}};
}

}  // namespace platemark::service::view
