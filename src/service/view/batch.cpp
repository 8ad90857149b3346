#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <set>

#include "platemark/gate/permission.h"
#include "view.h"

namespace platemark::service::view {
namespace {

constexpr std::size_t page_rows = 100;

std::int64_t total(const std::map<std::string, std::int64_t>& counts) {
  return std::accumulate(counts.begin(), counts.end(), std::int64_t{0},
                         [](std::int64_t sum, const auto& c) { return sum + c.second; });
}

/// Everything the batch page is drawn from.
struct Drawn {
  gate::BatchFile file;
  VerdictGiven cure;
  VerdictGiven final;
};

bool cureReached(const BatchState& batch) {
  return batch.cure.verdict || std::any_of(batch.steps.begin(), batch.steps.end(),
                                           [](const StepDone& s) { return s.step >= Step::cure; });
}

std::string_view titleOf(Step step) {
  switch (step) {
    case Step::plates:
      return "Plates prepared";
    case Step::mix:
      return "Mixed";
    case Step::press:
      return "Pressed";
    case Step::clamp:
      return "Clamped";
    case Step::cure:
      return "Cured";
    case Step::sample:
      return "Sampled";
    case Step::finish:
      return "Finished";
    case Step::pack:
      return "Packed";
    case Step::ship:
      return "Shipped";
  }
  return "";
}

std::string wordsOf(const Drawn& drawn, const StepDone& step) {
  const std::string pads = grouped(step.counts.good);
  switch (step.step) {
    case Step::plates:
      return fmt::format(": {} good plates of lot {}, {}", pads,
                         step.lots.empty() ? "?" : step.lots.front(), step.machine);
    case Step::mix: {
      const auto mix = std::find_if(drawn.file.mixes.begin(), drawn.file.mixes.end(),
                                    [&](const MixState& m) { return m.opened.mix == step.what; });
      const std::string mass =
          mix == drawn.file.mixes.end() ? "" : " of " + format(mix->opened.mass);
      return fmt::format(" as mix {}{} on {}", step.what, mass, step.machine);
    }
    case Step::press:
      return fmt::format(": {} pads, tool {}, {}", pads, step.what, step.machine);
    case Step::clamp: {
      const auto load = std::find_if(drawn.file.loads.begin(), drawn.file.loads.end(),
                                     [&](const LoadState& l) { return l.built.load == step.what; });
      const std::size_t clamps = load == drawn.file.loads.end() ? 0 : load->built.clamps.size();
      return fmt::format(
          " in {} for oven {}:", counted(static_cast<std::int64_t>(clamps), "clamp", "clamps"),
          step.machine);
    }
    case Step::cure:
      return fmt::format(" in load {}: {} pads came out good", step.what, pads);
    case Step::sample:
      return fmt::format(": {} drawn for the laboratory",
                         counted(step.counts.samples, "pad", "pads"));
    case Step::finish:
      return fmt::format(": {}, {} pads, {}", step.what, pads, step.machine);
    default:
      return "";
  }
}

/// Which findings of the verdict belong beside which step.
bool belongs(const Drawn& drawn, const Finding& finding, Step step) {
  const auto& lines = drawn.file.plan.lines;
  const auto line = std::find_if(lines.begin(), lines.end(), [&](const PlanLine& l) {
    return l.characteristic == finding.characteristic;
  });
  if (line == lines.end()) return false;
  if (step == Step::plates) return line->characteristic == "adhesive-film";
  if (step == Step::press) return line->method == "forming.charge_check";
  return step == Step::cure && line->method == "cure.chart";
}

Value::Array stripsOf(const Drawn& drawn, Step step) {
  Value::Array strips;
  for (const Finding& finding : drawn.cure.findings) {
    if (strips.size() == 2 || !belongs(drawn, finding, step)) continue;
    strips.push_back(Value::Object{
        {"caption", finding.title}, {"value", resultWords(finding)}, {"svg", stripSvg(finding)}});
  }
  return strips;
}

Value::Array leavingOf(const StepDone& step) {
  Value::Array leaving;
  for (const auto& [reason, n] : step.counts.scrap)
    leaving.push_back(
        Value::Object{{"count", grouped(n)}, {"why", "scrapped, " + reason}, {"to", "scrap"}});
  if (step.counts.samples > 0)
    leaving.push_back(Value::Object{{"count", grouped(step.counts.samples)},
                                    {"why", "to the laboratory"},
                                    {"to", "laboratory"}});
  if (step.counts.rework > 0)
    leaving.push_back(Value::Object{
        {"count", grouped(step.counts.rework)}, {"why", "to rework"}, {"to", "rework"}});
  return leaving;
}

std::vector<std::string> irregularOf(const Look& look, Sequence fact_number) {
  const std::optional<Fact> fact = look.snapshot.fact(fact_number);
  if (!fact) return {};
  const Result<std::vector<std::string>> list =
      fromValue<std::vector<std::string>>(fact->body["remark"]["irregular"]);
  return list ? *list : std::vector<std::string>{};
}

Value stepValue(const Look& look, const Drawn& drawn, const StepDone& step) {
  Value::Object value{{"fact", step.fact},
                      {"day", monthDay(look, step.happened)},
                      {"when", clockTime(look, step.happened)},
                      {"title", titleOf(step.step)},
                      {"words", wordsOf(drawn, step)},
                      {"strips", stripsOf(drawn, step.step)},
                      {"leaving", leavingOf(step)},
                      {"irregular", toValue(irregularOf(look, step.fact))},
                      {"links", Value::Array{}}};
  if (step.step == Step::finish) value.emplace("after", "cure");
  if (step.step == Step::plates) value.emplace("join", "plates");
  if (step.step == Step::mix) value.emplace("join", "ingredients");
  if (step.step == Step::clamp) {
    value.emplace("join", "load");
    value.emplace("load", step.what);
    value["links"] = Value::Array{subjectValue({"load", step.what})};
  }
  if (step.step == Step::mix)
    value.emplace("mixes", static_cast<std::int64_t>(drawn.file.mixes.size()));
  if (step.corrected_by) value.emplace("corrected_by", *step.corrected_by);
  return value;
}

Value packingStep(const Look& look, const Fact& fact) {
  const bool shipped = fact.kind == "shipment.sent";
  const std::string words =
      shipped ? fmt::format(" as shipment {} to {}, {}", fact.body.text("shipment"),
                            fact.body.text("customer"),
                            counted(static_cast<std::int64_t>(fact.body["boxes"].asArray()->size()),
                                    "box", "boxes"))
              : fmt::format(" into box {}: {} pads", fact.body.text("box"),
                            grouped(*fact.body["pads"].asInteger()));
  return Value::Object{{"fact", fact.sequence},
                       {"after", "final"},
                       {"day", monthDay(look, fact.happened.instant)},
                       {"when", clockTime(look, fact.happened.instant)},
                       {"title", shipped ? "Shipped" : "Packed"},
                       {"words", words},
                       {"strips", Value::Array{}},
                       {"leaving", Value::Array{}},
                       {"irregular", toValue(irregularOf(look, fact.sequence))},
                       {"links", Value::Array{}}};
}

Value::Array stepsOf(const Look& look, const Drawn& drawn) {
  std::vector<const StepDone*> in_time;
  for (const StepDone& step : drawn.file.batch.steps) in_time.push_back(&step);
  std::stable_sort(in_time.begin(), in_time.end(),
                   [](auto* a, auto* b) { return a->happened < b->happened; });
  Value::Array steps;
  for (const StepDone* step : in_time) steps.push_back(stepValue(look, drawn, *step));
  for (const Fact& fact :
       look.snapshot.factsOf({"batch", drawn.file.batch.opened.batch}, 0, 100'000))
    if (fact.kind == "box.packed" || fact.kind == "shipment.sent")
      steps.push_back(packingStep(look, fact));
  return steps;
}

/// What the route still asks for, in words.
Value::Array plannedOf(const Drawn& drawn) {
  Value::Array planned;
  const BatchState& batch = drawn.file.batch;
  const auto done = [&](Step step) {
    return std::any_of(batch.steps.begin(), batch.steps.end(),
                       [&](const StepDone& s) { return s.step == step; });
  };
  for (const RouteStep& step : drawn.file.part.route) {
    const bool packed = step.step == Step::pack && batch.boxed > 0,
               shipped = step.step == Step::ship && batch.shipped > 0;
    if (done(step.step) || packed || shipped) continue;
    std::string words;
    for (const std::string& operation : step.operations)
      words += (words.empty() ? "" : ", ") + operation;
    Value::Object value{
        {"title", step.step == Step::finish ? "Finish" : std::string(titleOf(step.step))},
        {"words", words.empty() ? "" : ": " + words}};
    if (step.step == Step::finish) value.emplace("after", "cure");
    if (step.step > Step::finish) value.emplace("after", "final");
    planned.push_back(std::move(value));
  }
  return planned;
}

Value joinsOf(const Drawn& drawn) {
  Value::Array ingredients, loads;
  std::set<std::string> seen;
  for (const MixState& mix : drawn.file.mixes)
    for (const WeighingDone& w : mix.weighings)
      if (!w.corrected_by && seen.insert(w.lot).second)
        ingredients.push_back(Value::Object{{"lot", w.lot}, {"material", w.material}});
  for (const LoadState& load : drawn.file.loads) {
    Value::Array others;
    std::set<std::string> named{drawn.file.batch.opened.batch};
    for (const Clamp& clamp : load.built.clamps)
      if (named.insert(clamp.batch).second) others.push_back(clamp.batch);
    loads.push_back(Value::Object{{"load", load.built.load}, {"others", std::move(others)}});
  }
  Value::Object joins{{"ingredient_lots", std::move(ingredients)}, {"loads", std::move(loads)}};
  for (const StepDone& step : drawn.file.batch.steps) {
    if (step.step != Step::plates || step.corrected_by) continue;
    if (!step.lots.empty()) joins.insert_or_assign("plate_lot", step.lots[0]);
    if (step.lots.size() > 1) joins.insert_or_assign("adhesive_lot", step.lots[1]);
  }
  return joins;
}

std::string countsSentence(const BatchState& batch) {
  std::string words = grouped(batch.opened.plates) + " plates stamped";
  for (const StepDone& step : batch.steps) {
    if (!step.counted || step.corrected_by) continue;
    if (const std::int64_t scrap = total(step.counts.scrap); scrap > 0)
      words += fmt::format(" − {} scrapped", grouped(scrap));
    if (step.counts.samples > 0)
      words += fmt::format(" − {} to the laboratory", grouped(step.counts.samples));
  }
  return words + fmt::format(" = {} pads", grouped(goodPads(batch)));
}

Value::Array holdsOf(const Look& look, const BatchState& batch) {
  Value::Array list;
  for (const Hold& hold : batch.holds) {
    const std::optional<Fact> fact = look.snapshot.fact(hold.fact);
    Value::Object value{{"fact", hold.fact},
                        {"why", hold.why},
                        {"since", fact ? dayAndTime(look, fact->recorded) : ""},
                        {"who", fact ? dutyOf(look, fact->person) : ""}};
    if (hold.lifted_by) value.emplace("lifted", fmt::format("lifted by fact {}", *hold.lifted_by));
    list.push_back(std::move(value));
  }
  return list;
}

Value::Array papersOf(const Look& look, const BatchState& batch) {
  Value::Array papers;
  for (const Fact& fact : look.snapshot.factsOf({"batch", batch.opened.batch}, 0, 100'000))
    if (fact.kind == "paper.issued")
      papers.push_back(Value::Object{{"number", fact.body.text("number")},
                                     {"paper", fact.body.text("paper")},
                                     {"href", "/api/attachments/" + fact.body.text("attachment") +
                                                  "?name=" + fact.body.text("number") + ".pdf"},
                                     {"when", dayAndTime(look, fact.recorded)}});
  return papers;
}

Value permittedValue(const Look& look, std::string_view act_name, std::string_view label,
                     Value::Object prefill, std::vector<Missing> obstacles, std::string href = "") {
  for (Missing& m : permitObstacles(look, act_name))
    obstacles.insert(obstacles.begin(), std::move(m));
  Value::Object value{{"act", act_name}, {"label", label}, {"prefill", std::move(prefill)}};
  if (!href.empty()) value.emplace("href", std::move(href));
  if (!obstacles.empty()) value.emplace("blocked", missingValue(obstacles));
  return value;
}

Value::Array permittedOf(const Look& look, const Drawn& drawn) {
  const BatchState& batch = drawn.file.batch;
  const std::string& id = batch.opened.batch;
  const Value::Object of_batch{{"batch", id}};
  Value::Array list;
  if (!batch.cure.open()) {
    list.push_back(permittedValue(look, "plates prepare", "Prepare plates", of_batch,
                                  gate::mayDoStep(Step::plates, batch, drawn.file.part)));
    list.push_back(permittedValue(look, "mix open", "Open a mix", of_batch, {}));
    list.push_back(permittedValue(look, "press run", "Press", of_batch,
                                  gate::mayDoStep(Step::press, batch, drawn.file.part)));
    list.push_back(permittedValue(look, "samples draw", "Draw samples", of_batch, {}));
    if (cureReached(batch))
      list.push_back(permittedValue(look, "batch judge", "Judge at the cure gate", of_batch, {},
                                    "/judge/cure/batch/" + id));
    list.push_back(permittedValue(look, "reading take", "Enter readings", {}, {},
                                  "/laboratory?subject=batch:" + id));
    return list;
  }
  list.push_back(permittedValue(look, "batch finish", "Finish", of_batch, gate::mayFinish(batch)));
  list.push_back(permittedValue(look, "reading take", "Enter readings", {}, {},
                                "/laboratory?subject=batch:" + id));
  if (!batch.final.open()) {
    list.push_back(permittedValue(look, "batch judge", "Judge at the final gate", of_batch, {},
                                  "/judge/final/batch/" + id));
    return list;
  }
  list.push_back(permittedValue(look, "paper issue", "Issue certificate",
                                {{"batch", id}, {"paper", "certificate"}}, {},
                                "/do/paper/issue?batch=" + id + "&paper=certificate"));
  list.push_back(
      permittedValue(look, "box pack", "Pack a box", of_batch,
                     gate::mayLeave(batch, drawn.file.part, drawn.file.approvals, look.today())));
  list.push_back(
      permittedValue(look, "shipment send", "Ship", {},
                     gate::mayLeave(batch, drawn.file.part, drawn.file.approvals, look.today())));
  return list;
}

Result<Drawn> draw(const Look& look, const std::string& id) {
  Result<gate::BatchFile> file = act::batchFile(look.snapshot, id, look.today());
  if (!file) return file.error();
  Drawn drawn{std::move(*file), {}, {}};
  drawn.cure = gate::judgeBatch(Gate::cure, drawn.file);
  drawn.final = gate::judgeBatch(Gate::final, drawn.file);
  return drawn;
}

Value nounHead(const std::string& code, const std::string& name, std::int64_t issue) {
  return Value::Object{{"code", code}, {"name", name}, {"issue", issue}};
}

}  // namespace

std::string_view markOf(const BatchState& batch, const VerdictGiven& cure_now) {
  if (batch.final.open()) return "released";
  if (!cureReached(batch) && batch.holds.empty()) return "on its way";
  if (batch.cure.open()) return "on its way";
  return cure_now.outcome == Outcome::does_not_conform && !cureReached(batch) ? "refused" : "hold";
}

std::string batchSentence(const Look& look, const BatchState& batch, const VerdictGiven& cure_now,
                          const VerdictGiven& final_now) {
  if (batch.final.open())
    return batch.shipped > 0 ? fmt::format("**Released.** {} of {} pads shipped.",
                                           grouped(batch.shipped), grouped(goodPads(batch)))
                             : "**Released.** It may be marked, boxed and shipped.";
  if (!cureReached(batch)) return "**On its way.** It has not come out of an oven yet.";
  const bool at_cure = !batch.cure.open();
  const VerdictGiven& now = at_cure ? cure_now : final_now;
  const GateState& gate = at_cure ? batch.cure : batch.final;
  Instant since = batch.opened_at;
  for (const StepDone& s : batch.steps)
    if (s.step == Step::cure) since = s.happened;
  if (!at_cure && batch.cure.released_at) since = *batch.cure.released_at;
  const std::string held = fmt::format("**On hold for {}", lasted(since, look.snapshot.now()));
  if (gate.overtaken_by) return held + ":** " + gate.overtaken_why + ".";
  for (const Finding& f : now.findings)
    if (f.word == FindingWord::outside_above || f.word == FindingWord::outside_below ||
        f.word == FindingWord::not_met)
      return held + ". Does not conform:** " + f.sentence;
  std::int64_t open = 0;
  const Finding* first = nullptr;
  for (const Finding& f : now.findings)
    if (f.word != FindingWord::inside) {
      ++open;
      if (first == nullptr) first = &f;
    }
  if (first == nullptr)
    return held + ".** All findings are inside; it waits for a signature at the " +
           std::string(word(now.gate)) + " gate.";
  return held + ". Cannot be decided:** " + first->sentence +
         (open > 1 ? fmt::format(" And {} more.", open - 1) : "");
}

Result<Value> batch(const Look& look, const std::string& id) {
  Result<Drawn> drawn = draw(look, id);
  if (!drawn) return drawn.error();
  const gate::BatchFile& file = drawn->file;
  const BatchOpened& opened = file.batch.opened;
  Value::Array bars{
      barValue(look,
               {Gate::cure, {"batch", id}, file.batch.cure, drawn->cure, cureReached(file.batch)}),
      barValue(
          look,
          {Gate::final, {"batch", id}, file.batch.final, drawn->final, file.batch.cure.open()})};
  return Value(Value::Object{
      {"id", id},
      {"part", nounHead(file.part.code, file.part.name, opened.part_issue)},
      {"compound", nounHead(file.compound.code, file.compound.name, opened.compound_issue)},
      {"plan", Value::Object{{"code", opened.plan}, {"issue", opened.plan_issue}}},
      {"mark", markOf(file.batch, drawn->cure)},
      {"sentence", batchSentence(look, file.batch, drawn->cure, drawn->final)},
      {"counts_sentence", countsSentence(file.batch)},
      {"joins", joinsOf(*drawn)},
      {"steps", stepsOf(look, *drawn)},
      {"bars", std::move(bars)},
      {"planned", plannedOf(*drawn)},
      {"holds", holdsOf(look, file.batch)},
      {"papers", papersOf(look, file.batch)},
      {"permitted", permittedOf(look, *drawn)}});
}

Value batches(const Look& look, const std::string& after) {
  Value::Array rows;
  std::string last;
  for (const ledger::State& state : look.snapshot.states(projection::batch, "", after, page_rows)) {
    last = state.key;
    const Result<Drawn> drawn = draw(look, state.key);
    if (!drawn) continue;
    const BatchState& batch = drawn->file.batch;
    rows.push_back(Value::Object{{"id", state.key},
                                 {"part", batch.opened.part},
                                 {"compound", drawn->file.compound.name},
                                 {"mark", markOf(batch, drawn->cure)},
                                 {"words", batchSentence(look, batch, drawn->cure, drawn->final)},
                                 {"when", dayAndTime(look, batch.opened_at)},
                                 {"pads", grouped(goodPads(batch))}});
  }
  Value::Object page{{"rows", rows}};
  if (rows.size() == page_rows) page.emplace("next", last);
  return page;
}

}  // namespace platemark::service::view
