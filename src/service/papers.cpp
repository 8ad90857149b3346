#include "platemark/service/papers.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "platemark/catalogue/catalogue.h"
#include "platemark/paper/batch_record.h"
#include "platemark/paper/certificate.h"
#include "platemark/service/cure_file.h"
#include "platemark/words/words.h"
#include "view/chart.h"
#include "view/view.h"

namespace platemark::service {
namespace {

using ledger::stateAs;
using view::Look;
using words::say;

std::string unbroken(std::string text) {
  // A number and its unit stay on one line.
  for (const std::string_view space :
       {" g/cm³", " N/cm²", " µm", " mm", " °C", " K", " min", " g", " kg", " %"})
    for (std::size_t at = text.find(space); at != std::string::npos; at = text.find(space, at + 2))
      if (at > 0 && text[at - 1] >= '0' && text[at - 1] <= '9') text.replace(at, 1, "\xC2\xA0");
  return text;
}

struct Drawn {
  gate::BatchFile file;
  VerdictGiven verdict;  ///< the newest verdict on record of the final gate, else of the cure gate
  VerdictGiven cure;
  std::vector<Fact> facts;
};

std::optional<VerdictGiven> verdictAt(const Look& look, std::optional<Sequence> sequence) {
  if (!sequence) return {};
  const std::optional<Fact> fact = look.snapshot.fact(*sequence);
  if (!fact) return {};
  Result<VerdictGiven> verdict = fromValue<VerdictGiven>(fact->body);
  return verdict ? std::optional<VerdictGiven>(std::move(*verdict)) : std::nullopt;
}

Result<Drawn> draw(const Look& look, const std::string& batch) {
  Result<gate::BatchFile> file = act::batchFile(look.snapshot, batch, look.today());
  if (!file) return file.error();
  Drawn drawn{std::move(*file), {}, {}, look.snapshot.factsOf({"batch", batch}, 0, 100'000)};
  drawn.cure = verdictAt(look, drawn.file.batch.cure.verdict)
                   .value_or(gate::judgeBatch(Gate::cure, drawn.file));
  drawn.verdict = verdictAt(look, drawn.file.batch.final.verdict).value_or(drawn.cure);
  return drawn;
}

std::string numberOf(PersonNumber person) { return fmt::format("{:04}", person); }

std::string numberWords(const Look& look, PersonNumber person) {
  return numberOf(person) + ", " + view::dutyOf(look, person);
}

paper::BatchHead headOf(const Look& look, const Drawn& drawn) {
  const BatchOpened& opened = drawn.file.batch.opened;
  paper::BatchHead head;
  head.plant = look.card.name;
  head.batch = opened.batch;
  head.part = opened.part;
  head.part_words = drawn.file.part.name;
  head.compound_issue = view::issueWords(drawn.file.compound.name, opened.compound_issue);
  if (drawn.file.underlayer)
    head.compound_issue = say(
        "papers.head.with_underlayer",
        {{"friction", head.compound_issue},
         {"underlayer", view::issueWords(drawn.file.underlayer->name, opened.underlayer->issue)}});
  head.counts = view::countsSentence(drawn.file.batch, drawn.file.dispositions);
  head.control_plan = view::issueWords(opened.plan, opened.plan_issue);
  head.zone = say("papers.head.zone", {{"zone", look.card.zone}});
  head.created = look.snapshot.now();
  head.issued = view::dayAndTime(look, look.snapshot.now());
  head.chain_head = look.snapshot.head();
  head.chain_head_short = look.snapshot.head().substr(0, 12);
  head.sequence = std::to_string(look.snapshot.sequence());
  head.program_version = "Platemark " PLATEMARK_VERSION;
  return head;
}

paper::VerdictWords verdictWords(const Drawn& drawn) {
  paper::VerdictWords words;
  const auto inside = std::count_if(drawn.verdict.findings.begin(), drawn.verdict.findings.end(),
                                    [](const Finding& f) { return f.word == FindingWord::inside; });
  words.sentence =
      say("papers.verdict.sentence", {{"outcome", view::capital(word(drawn.verdict.outcome))},
                                      {"gate", word(drawn.verdict.gate)},
                                      {"inside", inside},
                                      {"all", drawn.verdict.findings.size()}});
  for (const Finding& f : drawn.verdict.findings) {
    if (f.word != FindingWord::inside || (!f.lower && !f.upper))
      words.reasons.push_back(unbroken(f.sentence));
    if (f.note)
      words.reasons.push_back(
          unbroken(say("papers.verdict.note", {{"what", f.title}, {"note", *f.note}})));
  }
  return words;
}

const PlanLine* lineOf(const Drawn& drawn, const Finding& finding) {
  const auto& lines = drawn.file.plan.lines;
  const auto line = std::find_if(lines.begin(), lines.end(), [&](const PlanLine& l) {
    return l.characteristic == finding.characteristic;
  });
  return line == lines.end() ? nullptr : &*line;
}

std::string methodWords(const PlanLine& line) {
  const catalogue::Entry* entry = catalogue::find(line.method);
  return entry == nullptr
             ? line.method
             : say("papers.results.version", {{"method", entry->title}, {"n", entry->version}});
}

const Adoption* adoptionOf(const Drawn& drawn, const Finding& finding) {
  for (const Adoption& a : drawn.file.adoptions)
    if (a.adopted.characteristic == finding.characteristic) return &a;
  return nullptr;
}

std::string standingWords(const Look& look, const Drawn& drawn, const Finding& finding) {
  if (finding.confirmed) return "";
  const Adoption* adoption = adoptionOf(drawn, finding);
  if (!finding.adopted || adoption == nullptr) return say("papers.limit.unconfirmed");
  const std::optional<Fact> fact = look.snapshot.fact(adoption->fact);
  return say("papers.limit.adopted",
             {{"day", fact ? view::dayAndTime(look, fact->recorded).substr(0, 10) : ""},
              {"who", numberOf(adoption->person)}});
}

void addResults(const Look& look, const Drawn& drawn, const VerdictGiven& verdict,
                std::vector<paper::ResultWords>& results) {
  for (const Finding& f : verdict.findings) {
    const PlanLine* line = lineOf(drawn, f);
    if (line == nullptr || (!f.lower && !f.upper)) continue;
    const std::optional<figure::StripInput> strip = view::stripInput(f);
    if (!strip) continue;
    paper::ResultWords words;
    words.characteristic = f.title;
    words.detail = f.wanted > 1 ? say("papers.results.statistic",
                                      {{"statistic", word(line->statistic)}, {"n", f.wanted}})
                                : "";
    words.result = view::resultWords(f);
    words.crosses = f.note.has_value();
    words.n = std::to_string(f.counted);
    words.strip = *strip;
    words.limit = view::limitWords(f);
    words.source = f.source;
    words.standing = standingWords(look, drawn, f);
    words.method = methodWords(*line);
    results.push_back(std::move(words));
  }
}

std::optional<paper::CureWords> cureWords(const House& house, const Look& look,
                                          const Drawn& drawn) {
  if (drawn.file.batch.loads.empty()) return {};
  const Result<view::ChartFile> chart = view::chartFile(look, drawn.file.batch.loads.back());
  if (!chart || !chart->recorded) return {};
  const auto saved = stateAs<Issued<Layout>>(
      look.snapshot, projection::layout,
      ledger::issueKey(chart->recorded->layout, chart->recorded->layout_issue));
  if (!saved) return {};
  const Result<intake::FileLayout> layout = layoutFrom(saved->noun.mapping);
  if (!layout) return {};
  const Result<intake::Series> series =
      readRecording(*house.store, chart->recorded->attachment, chart->recorded->file_name, *layout);
  if (!series) return {};
  const Result<figure::CureChartInput> input = view::chartInput(*chart, *series, look.card.zone);
  if (!input) return {};
  paper::CureWords words{*input, {}};
  int n = 0;
  for (const ChartMark& mark : chart->load.marks)
    words.marked.push_back({++n, unbroken(mark.words)});
  return words;
}

std::string hexOf(std::string_view raw) {
  std::string hex;
  for (const char c : raw) hex += fmt::format("{:02x}", static_cast<unsigned char>(c));
  return hex;
}

/// What a signature that still opens a gate means; "" for any other fact.
std::string standingSignature(const BatchState& batch, const Fact& fact) {
  const bool release = batch.cure.release == fact.sequence || batch.final.release == fact.sequence;
  if (fact.kind == "release.signed") return release ? fact.body.text("meaning") : "";
  if (fact.kind != "concession.granted") return "";
  const std::string code = fact.body.text("concession");
  if (batch.cure.concession != code && batch.final.concession != code) return "";
  return say("papers.concession", {{"concession", code},
                                   {"authority", fact.body.text("authority")},
                                   {"reference", fact.body.text("reference")},
                                   {"pads", *fact.body["pads"].asInteger()},
                                   {"until", fact.body.text("until")}});
}

paper::CertificateContent certificateContent(const House& house, const Look& look,
                                             const Drawn& drawn) {
  paper::CertificateContent content;
  content.head = headOf(look, drawn);
  content.verdict = verdictWords(drawn);
  addResults(look, drawn, drawn.cure, content.results);
  if (drawn.verdict.gate == Gate::final) addResults(look, drawn, drawn.verdict, content.results);
  content.cure = cureWords(house, look, drawn);
  for (const Adoption& a : drawn.file.adoptions) {
    const std::optional<Fact> fact = look.snapshot.fact(a.fact);
    content.adopted.push_back({a.adopted.characteristic, a.adopted.document_read,
                               numberWords(look, a.person),
                               fact ? view::dayAndTime(look, fact->recorded) : ""});
  }
  for (const Fact& fact : drawn.facts)
    if (const std::string meaning = standingSignature(drawn.file.batch, fact); !meaning.empty())
      content.signatures.push_back({meaning, numberWords(look, fact.person),
                                    view::dayAndTime(look, fact.recorded), hexOf(fact.signature)});
  return content;
}

std::string remarkWords(const Fact& fact) {
  std::string words;
  const Value& remark = fact.body["remark"];
  if (const std::int64_t* corrects = remark["corrects"].asInteger())
    words +=
        say("papers.remark.corrects", {{"fact", *corrects}, {"why", remark.text("why")}}) + " ";
  if (const Value::Array* irregular = remark["irregular"].asArray())
    for (const Value& why : *irregular)
      words +=
          say("papers.remark.irregular", {{"what", *why.asString()}, {"why", remark.text("why")}}) +
          " ";
  if (fact.happened.late_because)
    words += say("papers.remark.late", {{"why", *fact.happened.late_because}});
  return words;
}

std::int64_t scrapOf(const Counts& c) {
  std::int64_t n = 0;
  for (const auto& [reason, count] : c.scrap) n += count;
  return n;
}

/// The sum of one run, or of all runs of the step where the last of them stands.
std::string balanceWords(const gate::StepTotal& total, const paper::StepRow& row) {
  const std::string in = view::grouped(total.in);
  std::string words =
      total.runs.size() == 1
          ? fmt::format("{} = {} + {} + {}", in, row.good, row.scrap, row.samples)
          : say("papers.steps.runs", {{"in", in},
                                      {"out", view::grouped(total.out)},
                                      {"runs", static_cast<std::int64_t>(total.runs.size())}});
  if (total.out != total.in) words += " " + say("papers.steps.unbalanced");
  return words;
}

void addCounts(const StepDone& step, const std::vector<gate::StepTotal>& totals,
               paper::StepRow& row) {
  row.good = view::grouped(step.counts.good);
  row.scrap = view::grouped(scrapOf(step.counts));
  row.samples = view::grouped(step.counts.samples);
  for (const gate::StepTotal& total : totals) {
    if (std::find(total.runs.begin(), total.runs.end(), step.fact) == total.runs.end()) continue;
    row.in = view::grouped(total.in);
    if (step.step == Step::sample) row.good = view::grouped(total.good);
    if (total.runs.back() == step.fact) row.balance = balanceWords(total, row);
  }
}

/// "; lot C-1" standing alone.
std::string afterMark(const std::string& words) { return words.size() < 2 ? "" : words.substr(2); }

std::string joined(const std::string& first, const std::string& second) {
  return first.empty() || second.empty() ? first + second : first + ". " + second;
}

/// A bake counts no pads of its own.
void addBakes(const Look& look, const BatchState& batch, std::vector<paper::StepRow>& rows) {
  for (const BakeDone& bake : batch.bakes) {
    const std::optional<Fact> fact = look.snapshot.fact(bake.fact);
    paper::StepRow row;
    row.when = view::dayAndTime(look, bake.happened);
    row.step = say("service.step.bake") + view::bakeWords(batch, bake);
    row.facts = std::to_string(bake.fact);
    row.remark = bake.corrected_by ? say("papers.remark.corrected", {{"fact", *bake.corrected_by}})
                 : fact            ? remarkWords(*fact)
                                   : "";
    rows.push_back(std::move(row));
  }
}

void addSteps(const Look& look, const Drawn& drawn, std::vector<paper::StepRow>& rows) {
  const std::vector<gate::StepTotal> totals =
      gate::stepTotals(drawn.file.batch, drawn.file.dispositions);
  for (const StepDone& step : drawn.file.batch.steps) {
    const std::optional<Fact> fact = look.snapshot.fact(step.fact);
    paper::StepRow row;
    row.when = view::dayAndTime(look, step.happened);
    row.step = view::capital(word(step.step)) + (step.what.empty() ? "" : ", " + step.what);
    row.facts = std::to_string(step.fact);
    row.remark = step.corrected_by ? say("papers.remark.corrected", {{"fact", *step.corrected_by}})
                 : fact            ? remarkWords(*fact)
                                   : "";
    row.remark = joined(afterMark(view::putOnWords(step)), row.remark);
    if (step.counted) addCounts(step, totals, row);
    rows.push_back(std::move(row));
  }
  addBakes(look, drawn.file.batch, rows);
}

void addLots(const Look& look, const std::vector<LotState>& lots,
             std::vector<paper::LotRow>& rows) {
  for (const LotState& lot : lots) {
    const std::optional<Fact> decided =
        lot.decided_by ? look.snapshot.fact(*lot.decided_by) : std::nullopt;
    rows.push_back({lot.received.lot, lot.received.material,
                    lot.received.supplier + ", " + lot.received.supplier_lot,
                    lot.disposition == LotDisposition::clear && decided
                        ? view::dayAndTime(look, decided->recorded)
                        : std::string(word(lot.disposition)),
                    lot.received.use_by
                        ? say("papers.lots.use_by", {{"day", formatDay(*lot.received.use_by)}})
                        : "",
                    lot.decided_why});
  }
}

/// "A-0219; film 11.2 µm, 11.4 µm"
std::string adhesiveWords(const PlatesPrepared& plates, const std::string& film) {
  const std::string adhesive = plates.adhesive_lot.value_or(say("papers.plates.no_adhesive"));
  return film.empty() ? adhesive
                      : say("papers.plates.film", {{"adhesive", adhesive}, {"film", film}});
}

/// "T-1041-B, cavity 4": which charge was weighed.
std::string cavityWords(const PressRun& run, std::size_t check) {
  if (run.check_cavities.empty()) return run.tool;
  return say("papers.charges.of_cavity",
             {{"tool", run.tool}, {"cavity", run.check_cavities[check]}});
}

void addFromFact(const Look& look, const Fact& fact, paper::BatchRecordContent& content) {
  const std::string when = view::dayAndTime(look, fact.happened.instant),
                    who = numberOf(fact.person);
  if (const std::string remark = remarkWords(fact); !remark.empty())
    content.corrections.push_back({std::to_string(fact.sequence), view::factWords(fact), remark,
                                   view::dayAndTime(look, fact.recorded), who});
  if (fact.kind == "mix.weighed") {
    const Result<Weighed> w = fromValue<Weighed>(fact.body);
    if (w)
      content.weighings.push_back({w->mix, w->material, w->lot,
                                   w->wanted.value.text() + " ± " + format(w->tolerance),
                                   format(w->mass), w->gauge, when, who, remarkWords(fact)});
  } else if (fact.kind == "press.run") {
    const Result<PressRun> run = fromValue<PressRun>(fact.body);
    if (!run) return;
    for (std::size_t i = 0; i < run->charge_checks.size(); ++i)
      content.charge_checks.push_back(
          {when, cavityWords(*run, i), format(run->charge_checks[i]),
           say("papers.charges.target", {{"mass", format(run->charge_target)}}), run->gauge, who,
           remarkWords(fact)});
    for (const Measure& check : run->underlayer_checks)
      content.charge_checks.push_back(
          {when, run->tool, format(check),
           say("papers.charges.underlayer_target", {{"mass", format(*run->underlayer_target)}}),
           run->gauge, who, remarkWords(fact)});
  } else if (fact.kind == "plates.prepared") {
    const Result<PlatesPrepared> p = fromValue<PlatesPrepared>(fact.body);
    if (!p) return;
    std::string film;
    for (const Measure& m : p->film) film += (film.empty() ? "" : ", ") + format(m);
    content.plates.push_back({p->plate_lot, view::grouped(p->counts.good), p->machine,
                              adhesiveWords(*p, film), remarkWords(fact)});
  } else if (fact.kind == "samples.drawn") {
    const Result<SamplesDrawn> drawn = fromValue<SamplesDrawn>(fact.body);
    if (!drawn) return;
    for (const Sample& s : drawn->samples)
      content.samples.push_back(
          {s.sample, when, s.clamp.empty() ? "" : say("papers.samples.clamp", {{"clamp", s.clamp}}),
           say("papers.samples.laboratory"), drawn->retained, remarkWords(fact)});
  } else if (fact.kind == "release.signed" || fact.kind == "hold.placed" ||
             fact.kind == "hold.lifted") {
    content.dispositions.push_back(
        {view::factWords(fact),
         fact.body.text("meaning").empty() ? fact.body.text("why") : fact.body.text("meaning"),
         view::dayAndTime(look, fact.recorded), numberWords(look, fact.person)});
  }
}

void addReading(const Look& look, const Fact& fact, std::vector<paper::ReadingRow>& rows) {
  const Result<ReadingTaken> r = fromValue<ReadingTaken>(fact.body);
  if (!r) return;
  std::string gauges, due;
  for (const std::string& code : r->gauges) {
    gauges += (gauges.empty() ? "" : ", ") + code;
    const auto gauge =
        stateAs<Issued<Gauge>>(look.snapshot, projection::gauge, ledger::nowKey(code));
    if (gauge) due += (due.empty() ? "" : ", ") + formatDay(gauge->noun.calibration_due);
  }
  std::string remark = remarkWords(fact);
  for (const std::string& doubt : r->doubts)
    remark += say("papers.remark.not_counted", {{"why", doubt}}) + " ";
  if (r->repeat_because) remark += say("papers.remark.repeated", {{"why", *r->repeat_because}});
  for (const auto& [name, measures] : r->numbers) {
    std::string values;
    for (const Measure& m : measures) values += (values.empty() ? "" : ", ") + format(m);
    rows.push_back({r->characteristic + ", " + name,
                    r->sample.empty() ? say("papers.readings.batch") : r->sample, values, gauges,
                    due, view::dayAndTime(look, fact.happened.instant), numberOf(fact.person),
                    remark});
  }
}

paper::BatchRecordContent recordContent(const House& house, const Look& look, const Drawn& drawn) {
  paper::BatchRecordContent content;
  content.certificate = certificateContent(house, look, drawn);
  addSteps(look, drawn, content.steps);
  addLots(look, drawn.file.lots, content.lots);
  addLots(look, drawn.file.finishing_lots, content.lots);
  for (const Fact& fact : drawn.facts) {
    addFromFact(look, fact, content);
    if (fact.kind == "reading.taken") addReading(look, fact, content.readings);
  }
  return content;
}

Error unknownPaper(const std::string& paper) {
  Error error;
  error.code = "paper.unknown";
  error.what = fmt::format("There is no paper '{}'.", paper);
  error.expected = "certificate, batch record";
  return error;
}

Result<std::string> keep(ledger::Store& store, const std::vector<std::byte>& bytes) {
  std::unique_ptr<ledger::AttachmentSink> sink = store.attach();
  if (Result<void> written = sink->write(bytes); !written) return written.error();
  const Result<ledger::Attachment> kept = sink->finish();
  if (!kept) return kept.error();
  return kept->hash;
}

}  // namespace

Result<ledger::Receipt> issuePaper(House& house, const std::string& batch, const std::string& name,
                                   const std::string& token, PersonNumber person) {
  if (name != "certificate" && name != "batch record") return unknownPaper(name);
  const std::unique_ptr<ledger::Snapshot> snapshot = house.store->read();
  const Look look{*snapshot, house.card, {}, *house.people};
  const Result<Drawn> drawn = draw(look, batch);
  if (!drawn) return drawn.error();
  const Result<std::vector<std::byte>> pdf =
      name == "certificate" ? paper::certificate(certificateContent(house, look, *drawn))
                            : paper::batchRecord(recordContent(house, look, *drawn));
  if (!pdf) return pdf.error();
  const Result<std::string> hash = keep(*house.store, *pdf);
  if (!hash) return hash.error();
  PaperIssued issued;
  issued.paper = name;
  issued.number =
      fmt::format("{}-{}-{}", batch, name == "certificate" ? "C" : "R", snapshot->sequence());
  issued.subject = {"batch", batch};
  issued.attachment = *hash;
  issued.anchor = snapshot->sequence();
  issued.anchor_head = snapshot->head();
  return ask(house, {"paper issue", toValue(issued), token, person, {}, {}, {}});
}

}  // namespace platemark::service
