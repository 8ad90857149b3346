#include <fmt/ranges.h>

#include <algorithm>
#include <set>

#include "cover.h"
#include "platemark/gate/permission.h"
#include "view.h"

namespace platemark::service::view {
namespace {

constexpr std::size_t page_rows = 100;

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

std::string titleOf(Step step) {
  switch (step) {
    case Step::plates:
      return say("service.step.plates");
    case Step::mix:
      return say("service.step.mix");
    case Step::press:
      return say("service.step.press");
    case Step::clamp:
      return say("service.step.clamp");
    case Step::cure:
      return say("service.step.cure");
    case Step::sample:
      return say("service.step.sample");
    case Step::finish:
      return say("service.step.finish");
    case Step::pack:
      return say("service.step.pack");
    case Step::ship:
      return say("service.step.ship");
  }
  return "";
}

/// ", station B, cavities 1, 2, 4" as far as the run names them.
std::string pressPlaceWords(const StepDone& step) {
  std::string words;
  if (step.station) words += say("service.step.at_station", {{"station", *step.station}});
  if (!step.cavities.empty())
    words += say(step.cavities.size() == 1 ? "service.step.in_cavity" : "service.step.in_cavities",
                 {{"cavities", fmt::format("{}", fmt::join(step.cavities, ", "))}});
  return words;
}

std::string wordsOf(const Drawn& drawn, const StepDone& step) {
  const std::string pads = grouped(step.counts.good);
  switch (step.step) {
    case Step::plates:
      return say("service.step.plates_of", {{"n", pads},
                                            {"lot", step.lots.empty() ? "?" : step.lots.front()},
                                            {"machine", step.machine}});
    case Step::mix: {
      const auto mix = std::find_if(drawn.file.mixes.begin(), drawn.file.mixes.end(),
                                    [&](const MixState& m) { return m.opened.mix == step.what; });
      if (mix == drawn.file.mixes.end())
        return say("service.step.mix_on", {{"mix", step.what}, {"machine", step.machine}});
      return say(
          "service.step.mix_of",
          {{"mix", step.what}, {"mass", format(mix->opened.mass)}, {"machine", step.machine}});
    }
    case Step::press:
      return say("service.step.pressed",
                 {{"n", pads}, {"tool", step.what}, {"machine", step.machine}}) +
             pressPlaceWords(step);
    case Step::clamp: {
      const auto load = std::find_if(drawn.file.loads.begin(), drawn.file.loads.end(),
                                     [&](const LoadState& l) { return l.built.load == step.what; });
      const std::size_t clamps = load == drawn.file.loads.end() ? 0 : load->built.clamps.size();
      return say(clamps == 1 ? "service.step.clamped_one" : "service.step.clamped",
                 {{"n", clamps}, {"oven", step.machine}});
    }
    case Step::cure:
      return say("service.step.cured", {{"load", step.what}, {"n", pads}});
    case Step::sample:
      return say(step.counts.samples == 1 ? "service.step.sampled_one" : "service.step.sampled",
                 {{"n", grouped(step.counts.samples)}});
    case Step::finish:
      return say("service.step.finished",
                 {{"what", step.what}, {"n", pads}, {"machine", step.machine}}) +
             putOnWords(step);
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
    leaving.push_back(Value::Object{{"count", grouped(n)},
                                    {"why", say("service.leaving.scrap", {{"reason", reason}})},
                                    {"to", "scrap"}});
  if (step.counts.samples > 0)
    leaving.push_back(Value::Object{{"count", grouped(step.counts.samples)},
                                    {"why", say("service.leaving.laboratory")},
                                    {"to", "laboratory"}});
  if (step.counts.rework > 0)
    leaving.push_back(Value::Object{{"count", grouped(step.counts.rework)},
                                    {"why", say("service.leaving.rework")},
                                    {"to", "rework"}});
  return leaving;
}

std::vector<std::string> irregularOf(const Look& look, Sequence fact_number) {
  const std::optional<Fact> fact = look.snapshot.fact(fact_number);
  if (!fact) return {};
  const Result<std::vector<std::string>> list =
      fromValue<std::vector<std::string>>(fact->body["remark"]["irregular"]);
  return list ? *list : std::vector<std::string>{};
}

Value::Array lotLinks(const StepDone& step) {
  Value::Array links;
  for (const std::string& lot : step.lots) links.push_back(subjectValue({"lot", lot}));
  return links;
}

/// A bake stands beside the finishing steps; it counts no pads of its own.
Value bakeValue(const Look& look, const Drawn& drawn, const BakeDone& bake) {
  Value::Object value{{"fact", bake.fact},
                      {"after", "cure"},
                      {"day", monthDay(look, bake.happened)},
                      {"when", clockTime(look, bake.happened)},
                      {"title", say("service.step.bake")},
                      {"words", bakeWords(drawn.file.batch, bake)},
                      {"strips", Value::Array{}},
                      {"leaving", Value::Array{}},
                      {"irregular", toValue(irregularOf(look, bake.fact))},
                      {"links", Value::Array{}}};
  if (bake.corrected_by) value.emplace("corrected_by", *bake.corrected_by);
  return Value(std::move(value));
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
  if (step.step == Step::finish) {
    value.emplace("after", "cure");
    value["links"] = lotLinks(step);
  }
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

std::string shippedWords(const Fact& fact) {
  const std::size_t boxes = fact.body["boxes"].asArray()->size();
  return say(boxes == 1 ? "service.step.shipped_one" : "service.step.shipped",
             {{"shipment", fact.body.text("shipment")},
              {"customer", fact.body.text("customer")},
              {"n", boxes}});
}

std::string packedWords(const Fact& fact) {
  return say("service.step.packed",
             {{"box", fact.body.text("box")}, {"n", grouped(*fact.body["pads"].asInteger())}});
}

Value packingStep(const Look& look, const Fact& fact) {
  const bool shipped = fact.kind == "shipment.sent";
  const std::string words = shipped ? shippedWords(fact) : packedWords(fact);
  return Value::Object{{"fact", fact.sequence},
                       {"after", "final"},
                       {"day", monthDay(look, fact.happened.instant)},
                       {"when", clockTime(look, fact.happened.instant)},
                       {"title", titleOf(shipped ? Step::ship : Step::pack)},
                       {"words", words},
                       {"strips", Value::Array{}},
                       {"leaving", Value::Array{}},
                       {"irregular", toValue(irregularOf(look, fact.sequence))},
                       {"links", Value::Array{}}};
}

Value::Array stepsOf(const Look& look, const Drawn& drawn) {
  std::vector<std::pair<Instant, Value>> in_time;
  for (const StepDone& step : drawn.file.batch.steps)
    in_time.emplace_back(step.happened, stepValue(look, drawn, step));
  for (const BakeDone& bake : drawn.file.batch.bakes)
    in_time.emplace_back(bake.happened, bakeValue(look, drawn, bake));
  std::stable_sort(in_time.begin(), in_time.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  Value::Array steps;
  for (auto& [happened, step] : in_time) steps.push_back(std::move(step));
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
        {"title", step.step == Step::finish ? say("service.step.to_finish") : titleOf(step.step)},
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

Value::Array permittedOf(const Look& look, const Drawn& drawn) {
  const BatchState& batch = drawn.file.batch;
  const std::string& id = batch.opened.batch;
  const Value::Object of_batch{{"batch", id}};
  Value::Array list;
  if (!batch.cure.open()) {
    list.push_back(permittedValue(look, "plates prepare", say("service.do.plates"), of_batch,
                                  gate::mayDoStep(Step::plates, batch, drawn.file.part)));
    list.push_back(permittedValue(look, "mix open", say("service.do.mix"), of_batch, {}));
    list.push_back(permittedValue(look, "press run", say("service.do.press"), of_batch,
                                  gate::mayDoStep(Step::press, batch, drawn.file.part)));
    list.push_back(permittedValue(look, "samples draw", say("service.do.samples"), of_batch, {}));
    if (cureReached(batch))
      list.push_back(permittedValue(look, "batch judge", say("service.do.judge_cure"), of_batch, {},
                                    "/judge/cure/batch/" + id));
    list.push_back(permittedValue(look, "reading take", say("service.do.readings"), {}, {},
                                  "/laboratory?subject=batch:" + id));
    return list;
  }
  list.push_back(permittedValue(look, "batch finish", say("service.do.finish"), of_batch,
                                gate::mayFinish(batch)));
  for (const RouteStep& step : drawn.file.part.route)
    for (const FinishingNeed& need : step.needs) {
      if (!need.bake) continue;
      list.push_back(permittedValue(look, "bake enter", say("service.do.bake"),
                                    {{"batch", id}, {"operation", need.operation}},
                                    gate::mayFinish(batch)));
      list.push_back(permittedValue(look, "bake record", say("service.do.bake_file"), {},
                                    gate::mayFinish(batch),
                                    "/batches/" + id + "/bake/" + need.operation));
    }
  list.push_back(permittedValue(look, "reading take", say("service.do.readings"), {}, {},
                                "/laboratory?subject=batch:" + id));
  if (!batch.final.open()) {
    list.push_back(permittedValue(look, "batch judge", say("service.do.judge_final"), of_batch, {},
                                  "/judge/final/batch/" + id));
    return list;
  }
  list.push_back(permittedValue(look, "paper issue", say("service.do.certificate"),
                                {{"batch", id}, {"paper", "certificate"}}, {},
                                "/do/paper/issue?batch=" + id + "&paper=certificate"));
  list.push_back(
      permittedValue(look, "box pack", say("service.do.pack"), of_batch,
                     gate::mayLeave(batch, drawn.file.part, drawn.file.cover, look.today())));
  list.push_back(
      permittedValue(look, "shipment send", say("service.do.ship"), {},
                     gate::mayLeave(batch, drawn.file.part, drawn.file.cover, look.today())));
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

std::string putOnWords(const StepDone& step) {
  std::string words;
  for (const UsedLot& used : step.used)
    words += used.pieces ? say("service.step.put_on_pieces",
                               {{"lot", used.lot}, {"n", grouped(*used.pieces)}})
                         : say("service.step.put_on", {{"lot", used.lot}});
  if (step.printed) words += say("service.step.printed", {{"text", *step.printed}});
  for (const SpotPut& spot : step.spots)
    words +=
        say("service.step.spot", {{"threshold", spot.threshold ? format(*spot.threshold) : "?"},
                                  {"place", spot.place},
                                  {"lot", spot.lot}});
  return words;
}

namespace {

/// What the figures of a bake say of its time.
std::string bakeTimeWords(const BatchState& batch, Sequence bake) {
  for (const Evidence& evidence : batch.evidence) {
    if (evidence.reading != bake || evidence.corrected_by) continue;
    for (const FigureValue& value : evidence.values)
      if (value.name == "time_at_least" && value.determined)
        return say("service.step.bake_time",
                   {{"time", format(Measure{Decimal::fixed(value.value.value.value(), 1),
                                            value.value.unit})}});
  }
  return "";
}

}  // namespace

std::string bakeWords(const BatchState& batch, const BakeDone& bake) {
  return say("service.step.baked", {{"what", bake.operation},
                                    {"n", grouped(bake.pads)},
                                    {"machine", bake.machine},
                                    {"programme", bake.programme}}) +
         bakeTimeWords(batch, bake.fact);
}

std::string_view markOf(const gate::BatchFile& file, const VerdictGiven& cure_now) {
  const BatchState& batch = file.batch;
  if (gate::allScrapped(batch, file.dispositions)) return "scrap";
  if (batch.final.open())
    return batch.final.concession || batch.cure.concession ? "concession" : "released";
  if (!cureReached(batch) && batch.holds.empty()) return "on its way";
  if (batch.cure.open()) return "on its way";
  return cure_now.outcome == Outcome::does_not_conform && !cureReached(batch) ? "refused" : "hold";
}

namespace {

/// Since when the batch stands at the bar it stands at now.
Instant heldSince(const BatchState& batch) {
  if (batch.cure.open() && batch.cure.released_at) return *batch.cure.released_at;
  Instant since = batch.opened_at;
  for (const StepDone& s : batch.steps)
    if (s.step == Step::cure) since = s.happened;
  return since;
}

bool speaksAgainst(const Finding& f) {
  return f.word == FindingWord::outside_above || f.word == FindingWord::outside_below ||
         f.word == FindingWord::not_met;
}

std::string releasedSentence(const Look& look, const BatchState& batch) {
  if (batch.shipped == 0)
    return batch.final.release
               ? say("service.batch.released")
               : say("service.batch.conceded", {{"concession", *batch.final.concession}});
  const std::string n = grouped(batch.shipped), pads = grouped(goodPads(look, batch));
  const std::optional<std::string>& concession =
      batch.final.concession ? batch.final.concession : batch.cure.concession;
  return concession ? say("service.batch.shipped_conceded",
                          {{"n", n}, {"pads", pads}, {"concession", *concession}})
                    : say("service.batch.shipped", {{"n", n}, {"pads", pads}});
}

std::string heldSentence(const VerdictGiven& now, const GateState& gate, const std::string& time) {
  if (gate.overtaken_by)
    return say("service.batch.overtaken", {{"time", time}, {"why", gate.overtaken_why}});
  std::vector<const Finding*> open;
  for (const Finding& f : now.findings)
    if (f.word != FindingWord::inside) open.push_back(&f);
  if (open.empty()) return say("service.batch.waits", {{"time", time}, {"gate", word(now.gate)}});
  const auto against =
      std::find_if(open.begin(), open.end(), [](auto* f) { return speaksAgainst(*f); });
  if (against != open.end())
    return say("service.batch.does_not_conform", {{"time", time}, {"why", (*against)->sentence}});
  const std::string first =
      say("service.batch.cannot_decide", {{"time", time}, {"why", open.front()->sentence}});
  return open.size() == 1 ? first : first + say("service.and_more", {{"n", open.size() - 1}});
}

}  // namespace

std::string batchSentence(const Look& look, const BatchState& batch, const VerdictGiven& cure_now,
                          const VerdictGiven& final_now) {
  if (gate::allScrapped(batch, dispositionsOf(look, batch.opened.batch)))
    return say("service.batch.scrapped");
  if (batch.final.open()) return releasedSentence(look, batch);
  if (!cureReached(batch)) return say("service.batch.on_its_way");
  const std::string time = lasted(heldSince(batch), look.snapshot.now());
  return batch.cure.open() ? heldSentence(final_now, batch.final, time)
                           : heldSentence(cure_now, batch.cure, time);
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
  Value::Object page{
      {"id", id},
      {"part", nounHead(file.part.code, file.part.name, opened.part_issue)},
      {"compound", nounHead(file.compound.code, file.compound.name, opened.compound_issue)},
      {"plan", Value::Object{{"code", opened.plan}, {"issue", opened.plan_issue}}},
      {"mark", markOf(file, drawn->cure)},
      {"sentence", batchSentence(look, file.batch, drawn->cure, drawn->final)},
      {"counts_sentence", countsSentence(file.batch, file.dispositions)},
      {"joins", joinsOf(*drawn)},
      {"steps", stepsOf(look, *drawn)},
      {"bars", std::move(bars)},
      {"planned", plannedOf(*drawn)},
      {"holds", holdsValue(look, file.batch.holds)},
      {"papers", papersOf(look, file.batch)},
      {"cover", batchCover(look, file)},
      {"permitted", permittedOf(look, *drawn)}};
  if (file.underlayer)
    page.emplace("underlayer",
                 nounHead(file.underlayer->code, file.underlayer->name, opened.underlayer->issue));
  return Value(std::move(page));
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
                                 {"mark", markOf(drawn->file, drawn->cure)},
                                 {"words", batchSentence(look, batch, drawn->cure, drawn->final)},
                                 {"when", dayAndTime(look, batch.opened_at)},
                                 {"pads", grouped(goodPads(look, batch))}});
  }
  Value::Object page{{"rows", rows}};
  if (rows.size() == page_rows) page.emplace("next", last);
  return page;
}

}  // namespace platemark::service::view
