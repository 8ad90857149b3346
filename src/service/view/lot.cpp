#include <algorithm>

#include "platemark/figure/sieve.h"
#include "platemark/figure/svg.h"
#include "view.h"

namespace platemark::service::view {
namespace {

constexpr std::size_t page_rows = 100;

const Hold* openHold(const LotState& lot) {
  const auto open = std::find_if(lot.holds.begin(), lot.holds.end(),
                                 [](const Hold& hold) { return !hold.lifted_by; });
  return open == lot.holds.end() ? nullptr : &*open;
}

std::string_view markOfLot(const LotState& lot) {
  if (lot.disposition == LotDisposition::refuse) return "refused";
  if (lot.disposition == LotDisposition::clear && !lot.gate.overtaken_by &&
      openHold(lot) == nullptr)
    return "clear";
  return "hold";
}

std::string lotSentence(const LotState& lot, const VerdictGiven& now) {
  if (lot.disposition == LotDisposition::refuse)
    return say("service.lot.refused", {{"why", lot.decided_why}});
  if (lot.gate.overtaken_by) return say("service.lot.overtaken", {{"why", lot.gate.overtaken_why}});
  if (const Hold* hold = openHold(lot)) return say("service.lot.held", {{"why", hold->why}});
  if (lot.disposition == LotDisposition::clear) return say("service.lot.cleared");
  for (const Finding& f : now.findings)
    if (f.word != FindingWord::inside) return say("service.lot.on_hold", {{"why", f.sentence}});
  return say(
      "service.lot.on_hold",
      {{"why", say(now.findings.empty() ? "service.bar.no_plan" : "service.bar.waits_clear")}});
}

/// The newest sieve sheet on record, read back from its facts.
struct SieveSheet {
  ReadingTaken reading;
  FigureComputed figure;
};
std::optional<SieveSheet> sieveSheet(const Look& look, const LotState& lot) {
  for (auto e = lot.evidence.rbegin(); e != lot.evidence.rend(); ++e) {
    if (e->method != "powder.sieve" || e->corrected_by || !e->reading) continue;
    const std::optional<Fact> reading = look.snapshot.fact(*e->reading),
                              figure = look.snapshot.fact(e->figure);
    if (!reading || !figure) continue;
    Result<ReadingTaken> r = fromValue<ReadingTaken>(reading->body);
    Result<FigureComputed> f = fromValue<FigureComputed>(figure->body);
    if (r && f) return SieveSheet{std::move(*r), std::move(*f)};
  }
  return {};
}

double micrometres(const Measure& m) { return lengthFrom(m)->in(unit::micrometre); }

std::vector<Measure> passingOf(const SieveSheet& sheet) {
  std::vector<Measure> passing;
  for (const FigureValue& v : sheet.figure.values)
    if (v.name.starts_with("passing")) passing.push_back(v.value);
  return passing;
}

std::vector<Measure> numbersNamed(const SieveSheet& sheet, const std::string& name) {
  const auto found = sheet.reading.numbers.find(name);
  return found == sheet.reading.numbers.end() ? std::vector<Measure>{} : found->second;
}

const SieveBand* bandAt(const Material& material, const Measure& aperture) {
  for (const SieveBand& band : material.band)
    if (std::abs(micrometres(band.aperture) - micrometres(aperture)) < 1e-6) return &band;
  return nullptr;
}

std::string bandWords(const SieveBand& band) {
  return say("service.limit.between",
             {{"lower", band.passing_min.value.text()}, {"upper", format(band.passing_max)}});
}

Value sieveTable(const Material& material, const SieveSheet& sheet) {
  const std::vector<Measure> apertures = numbersNamed(sheet, "apertures"),
                             masses = numbersNamed(sheet, "retained"), passing = passingOf(sheet);
  Value::Array rows;
  for (std::size_t i = 0; i < apertures.size() && i < passing.size() && i < masses.size(); ++i) {
    const SieveBand* band = bandAt(material, apertures[i]);
    const double p = passing[i].value.value();
    const bool below = band != nullptr && p < band->passing_min.value.value(),
               above = band != nullptr && p > band->passing_max.value.value();
    rows.push_back(Value::Object{{"aperture", format(apertures[i])},
                                 {"retained", format(masses[i])},
                                 {"passing", Decimal::fixed(p, 2).text() + "\xC2\xA0%"},
                                 {"band", band == nullptr ? "" : bandWords(*band)},
                                 {"word", band == nullptr ? "no limit on file"
                                          : below         ? "outside below"
                                          : above         ? "outside above"
                                                          : "inside"}});
  }
  std::string fineness, balance;
  for (const FigureValue& v : sheet.figure.values) {
    if (v.name == "mass_balance" || v.name == "loss")
      balance =
          say("service.sieve.balance", {{"lost", Decimal::fixed(v.value.value.value(), 2).text()}});
    if (v.name != "d10" && v.name != "d50" && v.name != "d90") continue;
    const std::string value = v.determined
                                  ? Decimal::fixed(micrometres(v.value), 1).text() + "\xC2\xA0µm"
                                  : v.why.value_or(say("service.sieve.unknown"));
    fineness += (fineness.empty() ? "D" : " · D") + v.name.substr(1) + " " + value;
  }
  return Value::Object{{"rows", std::move(rows)}, {"balance", balance}, {"fineness", fineness}};
}

Value::Array ownResults(const Look& look, const LotState& lot, const VerdictGiven& now) {
  Value::Array own;
  for (const Finding& f : now.findings) {
    if (f.characteristic == "hold") continue;
    Value::Object row{{"word", word(f.word)},
                      {"characteristic", f.characteristic},
                      {"words", f.title},
                      {"limits", limitsValue(look, f, now.plan, now.plan_issue)}};
    if (const std::string result = resultWords(f); !result.empty()) row.emplace("result", result);
    if (f.note) row.emplace("note", *f.note);
    if (const auto certificate = lot.received.certificate.find(f.characteristic);
        certificate != lot.received.certificate.end())
      row.emplace("certificate", format(certificate->second));
    if (const std::string svg = stripSvg(f); !svg.empty()) row.emplace("strip_svg", svg);
    Value::Array figures;
    for (const Sequence s : f.figures) figures.push_back(Value(s));
    row.emplace("figures", std::move(figures));
    own.push_back(std::move(row));
  }
  return own;
}

Value::Array usedIn(const LotState& lot) {
  Value::Array list;
  for (const std::string& batch : lot.used_in)
    list.push_back(Value::Object{{"kind", "batch"}, {"id", batch}, {"words", ""}});
  return list;
}

std::string sieveSvg(const Material& material, const LotState& lot, const SieveSheet& sheet) {
  figure::SieveChartInput chart;
  chart.title = say("service.sieve.title", {{"lot", lot.received.lot}});
  const std::vector<Measure> apertures = numbersNamed(sheet, "apertures"),
                             passing = passingOf(sheet);
  for (std::size_t i = apertures.size();
       i-- > 0;)  // a stack is listed from coarse to fine, the axis runs from fine to coarse
    if (i < passing.size())
      chart.own.push_back({micrometres(apertures[i]), passing[i].value.value()});
  for (const SieveBand& band : material.band)
    chart.band.push_back({micrometres(band.aperture), band.passing_min.value.value(),
                          band.passing_max.value.value()});
  std::sort(chart.band.begin(), chart.band.end(),
            [](const auto& a, const auto& b) { return a.aperture_um < b.aperture_um; });
  for (const FigureValue& v : sheet.figure.values) {
    if ((v.name != "d10" && v.name != "d50" && v.name != "d90") || !v.determined) continue;
    const double size = micrometres(v.value);
    chart.sizes.push_back({"D" + v.name.substr(1), size, std::stod(v.name.substr(1)),
                           Decimal::fixed(size, 1).text() + " µm"});
  }
  chart.reading =
      say("service.sieve.reading", {{"sieves", chart.own.size()}, {"sizes", chart.sizes.size()}});
  const Result<figure::Scene> scene = figure::sieveChart(chart);
  return scene ? figure::toSvg(*scene) : "";
}

/// A lot is opened by its disposition: the bar is drawn as a released one.
GateState barOf(const Look& look, const LotState& lot) {
  GateState bar = lot.gate;
  if (lot.disposition != LotDisposition::clear) return bar;
  bar.release = lot.decided_by;
  const std::optional<Fact> decided =
      lot.decided_by ? look.snapshot.fact(*lot.decided_by) : std::nullopt;
  if (!decided) return bar;
  bar.released_by = decided->person;
  bar.released_at = decided->recorded;
  return bar;
}

Value materialValue(const Look& look, const Material& material) {
  const auto issued = ledger::stateAs<Issued<Material>>(look.snapshot, projection::material,
                                                        ledger::nowKey(material.code));
  return Value::Object{{"code", material.code}, {"name", material.name}, {"issue", issued->issue}};
}

void addUseBy(const Look& look, const LotState& lot, Value::Object& page) {
  if (!lot.received.use_by) return;
  page.emplace("use_by", formatDay(*lot.received.use_by));
  const bool late = *lot.received.use_by < look.today();
  if (late || *lot.received.use_by < addDays(look.today(), 14))
    page.emplace("use_by_word", late ? "late" : "due soon");
}

void addSieve(const Look& look, const gate::LotFile& file, Value::Object& page) {
  const std::optional<SieveSheet> sheet = sieveSheet(look, file.lot);
  if (!sheet) return;
  page.emplace("sieve_svg", sieveSvg(file.material, file.lot, *sheet));
  page.emplace("sieve_table", sieveTable(file.material, *sheet));
}

Value::Array factsOf(const Look& look, const Subject& subject) {
  Value::Array facts;
  for (const Fact& fact : look.snapshot.factsOf(subject, 0, 1000))
    facts.push_back(factLine(look, fact));
  return facts;
}

Value::Array permittedOf(const Look& look, const std::string& id) {
  return {permittedValue(look, "reading take", say("service.do.readings"), {}, {},
                         "/laboratory?subject=lot:" + id),
          permittedValue(look, "lot judge", say("service.do.judge_lot"), {{"lot", id}}, {},
                         "/judge/lot/lot/" + id)};
}

}  // namespace

Result<Value> lot(const Look& look, const std::string& id) {
  Result<gate::LotFile> file = act::lotFile(look.snapshot, id, look.today());
  if (!file) return file.error();
  const LotState& lot = file->lot;
  const Subject subject{"lot", id};
  const VerdictGiven now = gate::judgeLot(*file);
  const std::optional<Fact> received = look.snapshot.fact(lot.received_fact);
  Value::Object page{{"id", id},
                     {"material", materialValue(look, file->material)},
                     {"supplier", lot.received.supplier},
                     {"supplier_lot", lot.received.supplier_lot},
                     {"quantity", format(lot.received.quantity)},
                     {"received", received ? dayAndTime(look, received->happened.instant) : ""},
                     {"mark", markOfLot(lot)},
                     {"sentence", lotSentence(lot, now)},
                     {"bar", barValue(look, {Gate::lot, subject, barOf(look, lot), now, true})},
                     {"own", ownResults(look, lot, now)},
                     {"used_in", usedIn(lot)},
                     {"holds", holdsValue(look, lot.holds)},
                     {"facts", factsOf(look, subject)},
                     {"permitted", permittedOf(look, id)}};
  addUseBy(look, lot, page);
  addSieve(look, *file, page);
  return Value(std::move(page));
}

Value lots(const Look& look, const std::string& after) {
  Value::Array rows;
  std::string last;
  for (const ledger::State& s : look.snapshot.states(projection::lot, "", after, page_rows)) {
    last = s.key;
    const Result<gate::LotFile> file = act::lotFile(look.snapshot, s.key, look.today());
    if (!file) continue;
    const std::optional<Fact> received = look.snapshot.fact(file->lot.received_fact);
    rows.push_back(
        Value::Object{{"id", s.key},
                      {"material", file->material.name},
                      {"supplier", file->lot.received.supplier},
                      {"mark", markOfLot(file->lot)},
                      {"words", lotSentence(file->lot, gate::judgeLot(*file))},
                      {"when", received ? dayAndTime(look, received->happened.instant) : ""}});
  }
  Value::Object page{{"rows", rows}};
  if (rows.size() == page_rows) page.emplace("next", last);
  return page;
}

}  // namespace platemark::service::view
