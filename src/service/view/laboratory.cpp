/// The catalogue, and what a thing still needs measured.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "platemark/catalogue/catalogue.h"
#include "platemark/gate/permission.h"
#include "gauge.h"

namespace platemark::service::view {
namespace {

std::string numberText(double value) { return Decimal::fromDouble(value).text(); }

std::string symbolOf(const std::string& unit) {
  const Result<UnitRow> row = findUnit(unit);
  return row ? std::string(row->symbol) : unit;
}

Value inputValue(const catalogue::Input& in) {
  Value::Object value{{"name", in.name},        {"symbol", in.symbol},       {"words", in.words},
                      {"kind", "number"},       {"unit", symbolOf(in.unit)}, {"list", in.list},
                      {"optional", in.optional}};
  if (in.min) value.emplace("min", numberText(*in.min));
  if (in.max) value.emplace("max", numberText(*in.max));
  return value;
}

Value choiceValue(const catalogue::Choice& choice) {
  return Value::Object{{"name", choice.name},
                       {"symbol", ""},
                       {"words", choice.words},
                       {"kind", "choice"},
                       {"list", false},
                       {"optional", !choice.fallback.empty()},
                       {"choices", toValue(choice.options)}};
}

Value outputValue(const catalogue::Output& out) {
  return Value::Object{{"name", out.name},
                       {"symbol", out.symbol},
                       {"words", out.words},
                       {"unit", out.unit},
                       {"decimals", out.decimals}};
}

Value methodValue(const catalogue::Entry& entry) {
  Value::Array inputs, outputs;
  for (const catalogue::Input& in : entry.inputs) inputs.push_back(inputValue(in));
  for (const catalogue::Choice& choice : entry.choices) inputs.push_back(choiceValue(choice));
  for (const catalogue::Output& out : entry.outputs) outputs.push_back(outputValue(out));
  return Value::Object{{"id", entry.id},
                       {"version", entry.version},
                       {"title", entry.title},
                       {"words", entry.words},
                       {"formula", entry.formula},
                       {"inputs", std::move(inputs)},
                       {"outputs", std::move(outputs)},
                       {"source", entry.source},
                       {"source_mark", catalogue::words(entry.mark)},
                       {"validity", entry.validity}};
}

const catalogue::Output* outputNamed(const catalogue::Entry& entry, const std::string& name) {
  const auto found = std::find_if(entry.outputs.begin(), entry.outputs.end(),
                                  [&](const catalogue::Output& o) { return o.name == name; });
  return found == entry.outputs.end() ? nullptr : &*found;
}

int shownDecimals(const catalogue::Output* out) { return out == nullptr ? 2 : out->decimals; }

Value::Array workingRows(const catalogue::Evaluation& evaluation) {
  Value::Array rows;
  for (const catalogue::WorkingLine& line : evaluation.working) {
    Value::Object row{
        {"symbol", line.symbol}, {"words", line.words}, {"value", format(line.value)}};
    if (line.u)
      row.emplace(
          "u", Decimal::fixed(2 * line.u->value.value(), std::max(1, line.value.value.decimals()))
                   .text());
    if (line.share_of_variance > 0)
      row.emplace("share", Decimal::fixed(100 * line.share_of_variance, 0).text() + " %");
    rows.push_back(std::move(row));
  }
  return rows;
}

Value::Array outputRows(const catalogue::Entry& entry, const catalogue::Evaluation& evaluation) {
  Value::Array rows;
  for (const catalogue::OutputValue& out : evaluation.outputs) {
    const catalogue::Output* described = outputNamed(entry, out.name);
    const Result<UnitRow> unit = findUnit(out.value.unit);
    const int decimals = shownDecimals(described);
    Value::Object row{{"name", out.name},
                      {"words", described == nullptr ? out.name : described->words},
                      {"value", Decimal::fixed(out.value.value.value(), decimals).text()},
                      {"unit", unit ? std::string(unit->symbol) : out.value.unit},
                      {"determined", out.determined}};
    if (out.standard_uncertainty)
      row.emplace(
          "u", "± " + Decimal::fixed(2 * out.standard_uncertainty->value.value(), decimals).text());
    if (!out.why.empty()) row.emplace("why", out.why);
    rows.push_back(std::move(row));
  }
  return rows;
}

/// Typed texts to measures, with the unit that stands beside the field when none was typed.
Result<catalogue::Inputs> understood(const catalogue::Entry& entry, const Value& asked) {
  catalogue::Inputs inputs;
  if (const Value::Object* numbers = asked["numbers"].asObject())
    for (const auto& [name, typed] : *numbers) {
      const auto input = std::find_if(entry.inputs.begin(), entry.inputs.end(),
                                      [&](const catalogue::Input& i) { return i.name == name; });
      const Value::Array* list = typed.asArray();
      if (list == nullptr) continue;
      for (std::size_t i = 0; i < list->size(); ++i) {
        const std::string* text = (*list)[i].asString();
        if (text == nullptr || text->empty()) continue;
        Result<Measure> measure =
            parseMeasure(*text, input == entry.inputs.end() ? "1" : input->unit);
        if (!measure)
          return Error(measure.error()).at({"", 0, "", fmt::format("numbers.{}[{}]", name, i)});
        inputs.numbers[name].push_back(std::move(*measure));
      }
    }
  if (const Value::Object* choices = asked["choices"].asObject())
    for (const auto& [name, option] : *choices)
      if (const std::string* text = option.asString(); text != nullptr && !text->empty())
        inputs.choices[name] = *text;
  return inputs;
}

Error noMethod(const std::string& id) {
  Error error;
  error.fault = Fault::not_found;
  error.code = "method.unknown";
  error.what = fmt::format("There is no method '{}'.", id);
  error.remedy = "The handbook lists the methods.";
  return error;
}

Value gaugeValue(const Look& look, const Gauge& gauge) {
  const bool late = gauge.calibration_due < look.today();
  return Value::Object{{"code", gauge.code},
                       {"name", gauge.name},
                       {"unit", gauge.unit},
                       {"word", late ? "late" : "in calibration"},
                       {"words", say(late ? "service.gauge.late" : "service.gauge.until",
                                     {{"day", formatDay(gauge.calibration_due)}})}};
}

/// Gauges that read a kind of quantity the method takes.
Value::Array gaugesFor(const Look& look, const catalogue::Entry& method) {
  Value::Array list;
  for (const Issued<Gauge>& gauge : act::allOf<Gauge>(look.snapshot, projection::gauge)) {
    const Result<UnitRow> unit = findUnit(gauge.noun.unit);
    const bool fits =
        unit && std::any_of(method.inputs.begin(), method.inputs.end(),
                            [&](const catalogue::Input& in) { return in.kind == unit->kind; });
    if (fits) list.push_back(gaugeValue(look, gauge.noun));
  }
  return list;
}

Value::Array limitsOf(const PlanLine& line, const std::vector<Finding>& findings, const Look& look,
                      const std::string& plan, std::int64_t issue) {
  Value::Array limits;
  for (const Finding& f : findings)
    if (f.characteristic == line.characteristic) {
      const Value list = limitsValue(look, f, plan, issue);
      for (const Value& limit : *list.asArray()) limits.push_back(limit);
    }
  return limits;
}

std::string_view wordOf(const PlanLine& line, const std::vector<Finding>& findings) {
  for (const Finding& f : findings)
    if (f.characteristic == line.characteristic) return word(f.word);
  return "missing";
}

/// The unit a person expects beside the field: that of the limit, where just one input is of its
/// kind.
Value unitsFor(const PlanLine& line, const catalogue::Entry& method) {
  Value::Object units;
  for (const Limit& limit : line.limits) {
    const Measure* bound = limit.lower ? &*limit.lower : limit.upper ? &*limit.upper : nullptr;
    const Result<UnitRow> unit = findUnit(bound == nullptr ? "1" : bound->unit);
    if (bound == nullptr || !unit) continue;
    const auto alike = [&](const catalogue::Input& in) { return in.kind == unit->kind; };
    if (std::count_if(method.inputs.begin(), method.inputs.end(), alike) != 1) continue;
    const auto input = std::find_if(method.inputs.begin(), method.inputs.end(), alike);
    units.insert_or_assign(input->name, unit->symbol);
  }
  return units;
}

std::string sampleWords(const Sample& s) {
  return say(s.clamp.empty() ? "service.sample" : "service.sample_of_clamp",
             {{"sample", s.sample}, {"clamp", s.clamp}});
}

Value dueValue(const Look& look, const PlanLine& line, const catalogue::Entry& method,
               const std::vector<Evidence>& evidence, const std::vector<Sample>& samples,
               const std::vector<Finding>& findings, const std::string& plan, std::int64_t issue) {
  std::set<std::string> entered;
  std::int64_t counted_results = 0;
  for (const Evidence& e : evidence)
    if (e.characteristic == line.characteristic && !e.corrected_by) {
      entered.insert(e.sample);
      if (e.doubts.empty()) ++counted_results;
    }
  Value::Array rows;
  if (line.gate == Gate::cure)
    for (const Sample& s : samples)
      rows.push_back(Value::Object{{"sample", s.sample},
                                   {"words", sampleWords(s)},
                                   {"entered", entered.contains(s.sample)}});
  return Value::Object{{"characteristic", line.characteristic},
                       {"words", line.words},
                       {"gate", word(line.gate)},
                       {"method", line.method},
                       {"method_version", method.version},
                       {"word", wordOf(line, findings)},
                       {"counted", say("service.finding.counted",
                                       {{"n", counted_results}, {"wanted", line.samples}})},
                       {"samples", std::move(rows)},
                       {"sampling", line.sampling},
                       {"gauges", gaugesFor(look, method)},
                       {"units", unitsFor(line, method)},
                       {"limits", limitsOf(line, findings, look, plan, issue)}};
}

struct Thing {
  Subject subject;
  std::string words;
  Instant since;  ///< lot received, samples drawn
  Gate reached;   ///< what comes after it is not owed yet
  ControlPlan plan;
  std::int64_t plan_issue = 0;
  std::vector<Evidence> evidence;
  std::vector<Sample> samples;
  std::vector<Finding> findings;
};

Thing thingOf(const Look& look, const gate::LotFile& file) {
  const std::string& lot = file.lot.received.lot;
  const std::optional<Fact> received = look.snapshot.fact(file.lot.received_fact);
  return {{"lot", lot},
          say("service.lot.title", {{"lot", lot}, {"material", file.material.name}}),
          received ? received->happened.instant : Instant{},
          Gate::lot,
          file.plan,
          file.plan_issue,
          file.lot.evidence,
          {},
          gate::judgeLot(file).findings};
}

Thing thingOf(const Look& look, const gate::BatchFile& file) {
  const BatchState& batch = file.batch;
  std::vector<Finding> findings = gate::judgeBatch(Gate::cure, file).findings;
  for (Finding& f : gate::judgeBatch(Gate::final, file).findings) findings.push_back(std::move(f));
  const std::optional<Fact> drawn =
      batch.samples.empty() ? std::nullopt : look.snapshot.fact(batch.samples_drawn.front());
  return {{"batch", batch.opened.batch},
          say("service.batch.title", {{"batch", batch.opened.batch},
                                      {"part", file.part.code},
                                      {"compound", file.compound.name}}),
          drawn ? drawn->happened.instant : batch.opened_at,
          batch.cure.open() ? Gate::final : Gate::cure,
          file.plan,
          file.plan_issue,
          batch.evidence,
          batch.samples,
          std::move(findings)};
}

Result<Thing> thingOf(const Look& look, const Subject& subject) {
  if (subject.kind == "lot") {
    const Result<gate::LotFile> file = act::lotFile(look.snapshot, subject.id, look.today());
    return file ? Result<Thing>(thingOf(look, *file)) : Result<Thing>(file.error());
  }
  const Result<gate::BatchFile> file = act::batchFile(look.snapshot, subject.id, look.today());
  return file ? Result<Thing>(thingOf(look, *file)) : Result<Thing>(file.error());
}

struct BenchLine {
  const PlanLine& line;
  const catalogue::Entry& method;
};

/// What is typed at the bench; several limits may stand against one measurement. Film and charges
/// are read where plates are prepared and pads are pressed, by the acts of those steps.
std::vector<BenchLine> benchLines(const ControlPlan& plan) {
  std::vector<BenchLine> lines;
  std::set<std::string> listed;
  for (const PlanLine& line : plan.lines) {
    if (!listed.insert(line.characteristic).second) continue;
    const catalogue::Entry* method = catalogue::find(line.method);
    const bool at_a_step =
        line.characteristic == "adhesive-film" || line.method == "forming.charge_check";
    if (method != nullptr && method->evaluate != nullptr && !at_a_step)
      lines.push_back({line, *method});
  }
  return lines;
}

/// The first finding of a characteristic says what is missing of it: its other limits lack the
/// same.
const Finding* missingOf(const PlanLine& line, const std::vector<Finding>& findings) {
  const auto found = std::find_if(findings.begin(), findings.end(), [&](const Finding& f) {
    return f.characteristic == line.characteristic;
  });
  return found != findings.end() && found->word == FindingWord::missing ? &*found : nullptr;
}

/// The row of a thing for which the bench still owes results; nothing when it owes none.
std::optional<Value> owedRow(const Look& look, const Thing& thing) {
  Value::Array owed;
  for (const BenchLine& b : benchLines(thing.plan)) {
    const Finding* missing =
        b.line.gate <= thing.reached ? missingOf(b.line, thing.findings) : nullptr;
    if (missing != nullptr)
      owed.push_back(
          Value::Object{{"characteristic", b.line.characteristic},
                        {"words", b.line.words},
                        {"counted", say("service.finding.counted",
                                        {{"n", missing->counted}, {"wanted", missing->wanted}})}});
  }
  if (owed.empty()) return {};
  return Value::Object{{"kind", thing.subject.kind},
                       {"id", thing.subject.id},
                       {"words", thing.words},
                       {"since", lasted(thing.since, look.snapshot.now())},
                       {"since_at", dayAndTime(look, thing.since)},
                       {"owed", std::move(owed)}};
}

/// Samples of the batch lie on the bench, and its results still decide something.
bool onTheBench(const gate::BatchFile& file) {
  return !file.batch.samples.empty() && !file.batch.final.open() &&
         !gate::allScrapped(file.batch, file.dispositions);
}

}  // namespace

Value methods() {
  Value::Array list;
  for (const catalogue::Entry& entry : catalogue::entries()) list.push_back(methodValue(entry));
  return list;
}

Result<Value> evaluate(const std::string& id, const Value& asked) {
  const catalogue::Entry* method = catalogue::find(id);
  if (method == nullptr) return noMethod(id);
  Result<catalogue::Inputs> inputs = understood(*method, asked);
  if (!inputs) return inputs.error();
  const Result<catalogue::Evaluation> evaluation = catalogue::evaluate(*method, *inputs);
  if (!evaluation) return evaluation.error();
  Value::Object echo;
  for (const auto& [name, measures] : inputs->numbers) {
    Value::Array list;
    for (const Measure& m : measures) list.push_back(format(m));
    echo.emplace(name, std::move(list));
  }
  return Value(Value::Object{{"outputs", outputRows(*method, *evaluation)},
                             {"substituted_formula", evaluation->substituted_formula},
                             {"working", workingRows(*evaluation)},
                             {"notes", toValue(evaluation->notes)},
                             {"understood", std::move(echo)}});
}

Value studyWorking(const GaugeStudied& study) {
  const catalogue::Entry* method =
      catalogue::find(study.method, static_cast<int>(study.method_version));
  if (method == nullptr) return Value::Object{};
  const Result<catalogue::Evaluation> again =
      catalogue::evaluate(*method, {study.numbers, study.choices});
  return Value::Object{{"title", method->title},
                       {"formula", method->formula},
                       {"source", method->source},
                       {"source_mark", catalogue::words(method->mark)},
                       {"substituted_formula", again ? again->substituted_formula : ""},
                       {"working", again ? workingRows(*again) : Value::Array{}},
                       {"notes", toValue(study.notes)}};
}

Result<Value> figureWorking(const Look& look, const Fact& fact) {
  Result<FigureComputed> figure = fromValue<FigureComputed>(fact.body);
  if (!figure) return figure.error();
  const catalogue::Entry* method =
      catalogue::find(figure->method, static_cast<int>(figure->method_version));
  if (method == nullptr) return noMethod(figure->method);
  Value::Object working{
      {"method", method->id},     {"version", method->version},
      {"title", method->title},   {"formula", method->formula},
      {"source", method->source}, {"source_mark", catalogue::words(method->mark)}};
  const std::optional<Fact> source =
      figure->readings.empty() ? std::nullopt : look.snapshot.fact(figure->readings.front());
  const Result<ReadingTaken> reading = source ? fromValue<ReadingTaken>(source->body)
                                              : Result<ReadingTaken>(noMethod(figure->method));
  const Result<catalogue::Evaluation> evaluation =
      reading && method->evaluate != nullptr
          ? catalogue::evaluate(*method, {reading->numbers, reading->choices})
          : Result<catalogue::Evaluation>(noMethod(figure->method));
  if (!evaluation) {
    working.emplace("substituted_formula", "");
    working.emplace("working", Value::Array{});
    working.emplace("notes", toValue(figure->notes));
    working.emplace("replay", say("service.replay.series"));
    return Value(std::move(working));
  }
  bool same = evaluation->outputs.size() == figure->values.size();
  for (std::size_t i = 0; same && i < figure->values.size(); ++i)
    same = figure->values[i].value == evaluation->outputs[i].value;
  working.emplace("substituted_formula", evaluation->substituted_formula);
  working.emplace("working", workingRows(*evaluation));
  working.emplace("notes", toValue(evaluation->notes));
  working.emplace("replay", say(same ? "service.replay.same" : "service.replay.other"));
  return Value(std::move(working));
}

Result<Value> laboratory(const Look& look, const Subject& subject) {
  Result<Thing> thing = thingOf(look, subject);
  if (!thing) return thing.error();
  Value::Array due;
  for (const BenchLine& b : benchLines(thing->plan))
    due.push_back(dueValue(look, b.line, b.method, thing->evidence, thing->samples, thing->findings,
                           thing->plan.code, thing->plan_issue));
  return Value(Value::Object{{"subject", subjectValue(subject)},
                             {"words", thing->words},
                             {"act", "reading/take"},
                             {"due", std::move(due)}});
}

Value bench(const Look& look) {
  std::vector<Thing> things;
  for (const std::string& key : look.snapshot.keys(projection::lot, "")) {
    const Result<gate::LotFile> file = act::lotFile(look.snapshot, key, look.today());
    if (file && file->lot.disposition == LotDisposition::hold)
      things.push_back(thingOf(look, *file));
  }
  for (const std::string& key : look.snapshot.keys(projection::batch, "")) {
    const Result<gate::BatchFile> file = act::batchFile(look.snapshot, key, look.today());
    if (file && onTheBench(*file)) things.push_back(thingOf(look, *file));
  }
  std::stable_sort(things.begin(), things.end(),
                   [](const Thing& a, const Thing& b) { return a.since < b.since; });
  Value::Array rows;
  for (const Thing& thing : things)
    if (std::optional<Value> row = owedRow(look, thing)) rows.push_back(std::move(*row));
  return Value::Object{
      {"sentence", counted(static_cast<std::int64_t>(rows.size()), say("service.bench.waits_one"),
                           say("service.bench.waits"))},
      {"things", std::move(rows)}};
}

Result<Value> adoption(const Look& look, const std::string& plan_code, std::int64_t issue,
                       const std::string& characteristic) {
  const auto plan = ledger::stateAs<Issued<ControlPlan>>(look.snapshot, projection::plan,
                                                         ledger::issueKey(plan_code, issue));
  if (!plan) return noMethod(plan_code);
  const auto line =
      std::find_if(plan->noun.lines.begin(), plan->noun.lines.end(),
                   [&](const PlanLine& l) { return l.characteristic == characteristic; });
  if (line == plan->noun.lines.end()) return noMethod(characteristic);
  const auto limit = std::find_if(line->limits.begin(), line->limits.end(),
                                  [](const Limit& l) { return !l.source.confirmed; });
  if (limit == line->limits.end()) return noMethod(characteristic);
  Finding shown;
  shown.lower = limit->lower;
  shown.upper = limit->upper;
  shown.source = limit->source.document +
                 (limit->source.edition.empty() ? "" : ", " + limit->source.edition) +
                 (limit->source.clause.empty() ? "" : ", " + limit->source.clause);
  shown.confirmed = false;
  const Value limits = limitsValue(look, shown, plan_code, issue);
  Value::Object page{{"plan", plan_code},
                     {"plan_issue", issue},
                     {"characteristic", characteristic},
                     {"title", line->words},
                     {"limit", limits.asArray()->front()},
                     {"why_unconfirmed", say("service.adoption.why")},
                     {"waiting", Value::Array{}},
                     {"act", "limit/adopt"},
                     {"operation", word(Operation::adoption)}};
  for (const Adoption& a : act::adoptionsOf(look.snapshot, plan_code, issue))
    if (a.adopted.characteristic == characteristic) {
      const std::optional<Fact> fact = look.snapshot.fact(a.fact);
      page.emplace("adopted",
                   Value::Object{{"fact", a.fact},
                                 {"who", dutyOf(look, a.person)},
                                 {"when", fact ? dayAndTime(look, fact->recorded) : ""},
                                 {"meaning", say("service.adoption.read",
                                                 {{"document", a.adopted.document_read}})}});
    }
  return Value(std::move(page));
}

}  // namespace platemark::service::view
