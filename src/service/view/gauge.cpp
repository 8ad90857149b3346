/// A gauge: calibration, checks, studies, what it measured lately, and when it was found wrong.
#include "gauge.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "platemark/catalogue/catalogue.h"
#include "platemark/gate/gauge_trust.h"
#include "platemark/plant/carton.h"
#include "platemark/plant/gauge_check.h"
#include "platemark/plant/set_up.h"

namespace platemark::service::view {
namespace {

constexpr std::size_t checks_shown = 60;
constexpr std::size_t uses_shown = 15;
constexpr int days_of_uses = 90;

/// Facts about the gauge of one kind, oldest first.
std::vector<Fact> factsOf(const Look& look, const std::string& gauge, std::string_view kind) {
  constexpr std::size_t page = 500;
  std::vector<Fact> found;
  for (Sequence after = 0;;) {
    std::vector<Fact> facts = look.snapshot.factsOf({"gauge", gauge}, after, page);
    const bool last = facts.size() < page;
    if (!facts.empty()) after = facts.back().sequence;
    for (Fact& f : facts)
      if (f.kind == kind) found.push_back(std::move(f));
    if (last) return found;
  }
}

Value calibrationValue(const Look& look, const Gauge& gauge) {
  const bool late = gauge.calibration_due < look.today();
  return Value::Object{{"word", late ? "late" : "in calibration"},
                       {"words", say(late ? "service.gauge.late" : "service.gauge.until",
                                     {{"day", formatDay(gauge.calibration_due)}})},
                       {"certificate", gauge.calibration}};
}

// --- daily checks ---

void addChecked(const Look& look, const Fact& fact, const GaugeChecked& checked,
                const UnitRow& unit, figure::RunInput& run) {
  for (const Measure& reading : checked.readings)
    run.points.push_back(
        {valueIn(reading, unit), monthDay(look, fact.happened.instant),
         say("service.gauge.check_of",
             {{"when", dayAndTime(look, fact.happened.instant)}, {"fact", fact.sequence}}),
         checked.passed ? figure::RunMark::counted : figure::RunMark::outside});
}

/// The reference and how far a reading may be off it.
void addReference(const DailyCheck& check, const UnitRow& unit, figure::RunInput& run) {
  const double nominal = valueIn(check.nominal, unit);
  const double tolerance =
      check.tolerance.value.value() * findUnit(check.tolerance.unit)->factor / unit.factor;
  run.centre = nominal;
  run.centre_words = say("service.gauge.reference", {{"value", check.nominal.value.text()}});
  const int decimals = std::max(check.nominal.value.decimals(), check.tolerance.value.decimals());
  for (const double limit : {nominal - tolerance, nominal + tolerance})
    run.limits.push_back({limit, Decimal::fixed(limit, decimals).text(), true});
}

std::string checksSvg(const Look& look, const Gauge& gauge, const std::vector<Fact>& facts) {
  if (!gauge.daily_check || facts.empty()) return "";
  const Result<UnitRow> unit = findUnit(gauge.daily_check->nominal.unit);
  figure::RunInput run;
  run.title = say("service.gauge.checks", {{"gauge", gauge.code}});
  run.quantity = gauge.daily_check->reference;
  run.unit = std::string(unit->symbol);
  std::size_t failed = 0;
  for (std::size_t i = facts.size() - std::min(facts.size(), checks_shown); i < facts.size(); ++i) {
    const auto checked = fromValue<GaugeChecked>(facts[i].body);
    addChecked(look, facts[i], *checked, *unit, run);
    failed += checked->passed ? 0U : 1U;
  }
  addReference(*gauge.daily_check, *unit, run);
  run.reading = say("service.gauge.checks_reading", {{"n", run.points.size()}, {"failed", failed}});
  return runSvg(run);
}

Value::Array checkRows(const Look& look, const std::vector<Fact>& facts) {
  Value::Array rows;
  for (std::size_t i = facts.size(); i-- > 0 && rows.size() < 10;) {
    const auto checked = fromValue<GaugeChecked>(facts[i].body);
    std::string readings;
    for (const Measure& m : checked->readings)
      readings += (readings.empty() ? "" : ", ") + format(m);
    rows.push_back(Value::Object{
        {"fact", facts[i].sequence},
        {"when", dayAndTime(look, facts[i].happened.instant)},
        {"readings", readings},
        {"word", checked->passed ? "inside" : "not met"},
        {"words", say(checked->passed ? "service.gauge.passed" : "service.gauge.failed")},
        {"who", dutyOf(look, facts[i].person)}});
  }
  return rows;
}

// --- studies ---

std::string titleOf(const GaugeStudied& study) {
  return say("service.gauge.study." + std::string(word(study.study)),
             {{"characteristic", study.characteristic}});
}

/// Four significant digits, or as many as the method shows where those are fewer.
int shownDecimals(double value, int of_method) {
  if (value == 0) return std::min(of_method, 2);
  const int for_four = 3 - static_cast<int>(std::floor(std::log10(std::abs(value))));
  return std::clamp(for_four, 0, of_method);
}

/// The method's outputs with their words; those without a unit are in that of the readings.
Value::Array figureRows(const GaugeStudied& study) {
  const catalogue::Entry* method =
      catalogue::find(study.method, static_cast<int>(study.method_version));
  static const std::set<std::string> plain{"categories", "kappa",       "p",
                                           "p_slope",    "p_intercept", "slope"};
  Value::Array rows;
  for (const FigureValue& value : study.values) {
    std::string words = value.name, symbol;
    int decimals = 4;
    if (method != nullptr)
      for (const catalogue::Output& out : method->outputs)
        if (out.name == value.name) {
          words = out.words;
          symbol = out.symbol;
          decimals = out.decimals;
        }
    const bool in_unit = value.value.unit == "1" && !plain.contains(value.name);
    const double number = value.value.value.value();
    const Measure shown{Decimal::fixed(number, shownDecimals(number, decimals)),
                        in_unit ? study.unit : value.value.unit};
    rows.push_back(Value::Object{{"symbol", symbol}, {"words", words}, {"value", format(shown)}});
  }
  return rows;
}

std::string markOfStudy(const GaugeStudied& study, const StudyOnFile* on_file) {
  if (!study.standing) return "";
  if (*study.standing == GaugeStanding::blocked) return "not met";
  const bool waits = *study.standing == GaugeStanding::needs_acceptance &&
                     (on_file == nullptr || !on_file->accepted_by);
  return waits ? "missing" : "inside";
}

std::string standingWords(const Look& look, const GaugeStudied& study, const StudyOnFile* on_file) {
  if (!study.standing) return study.notes.empty() ? "" : study.notes.front();
  if (on_file != nullptr && on_file->accepted_by) {
    const std::optional<Fact> accepted = look.snapshot.fact(*on_file->accepted_by);
    return say("service.gauge.accepted", {{"who", dutyOf(look, accepted->person)},
                                          {"reason", accepted->body.text("reason")}});
  }
  if (*study.standing == GaugeStanding::blocked) return say("service.gauge.blocked");
  return *study.standing == GaugeStanding::usable ? say("service.gauge.usable")
                                                  : say("service.gauge.waits");
}

const StudyOnFile* onFile(const GaugeTrust& trust, Sequence fact) {
  for (const StudyOnFile& s : trust.studies)
    if (s.fact == fact) return &s;
  return nullptr;
}

Value::Array studyRows(const Look& look, const std::string& gauge, const GaugeTrust& trust) {
  Value::Array rows;
  std::vector<Fact> facts = factsOf(look, gauge, "gauge.studied");
  std::set<Sequence> mended;
  for (const Fact& f : facts)
    if (const std::int64_t* corrects = f.body["remark"]["corrects"].asInteger())
      mended.insert(*corrects);
  std::reverse(facts.begin(), facts.end());
  for (const Fact& f : facts) {
    const auto study = fromValue<GaugeStudied>(f.body);
    const StudyOnFile* on_file = onFile(trust, f.sequence);
    Value::Object row{{"fact", f.sequence},
                      {"when", dayAndTime(look, f.happened.instant)},
                      {"title", titleOf(*study)},
                      {"word", markOfStudy(*study, on_file)},
                      {"words", standingWords(look, *study, on_file)},
                      {"figures", figureRows(*study)},
                      {"working", studyWorking(*study)},
                      {"mended", mended.contains(f.sequence)},
                      {"who", dutyOf(look, f.person)}};
    if (on_file != nullptr && !mended.contains(f.sequence) &&
        gate::mayAccept(trust, gauge, study->characteristic, f.sequence).empty())
      row.emplace("accept", permittedValue(look, "gauge accept", say("service.gauge.accept"),
                                           {{"gauge", gauge},
                                            {"characteristic", study->characteristic},
                                            {"study", f.sequence}}));
    rows.push_back(std::move(row));
  }
  return rows;
}

// --- results ---

std::string usedFor(const GaugeUse& use) {
  return use.sample.empty() ? use.characteristic
                            : say("service.gauge.use_sample",
                                  {{"characteristic", use.characteristic}, {"sample", use.sample}});
}

Value useValue(const Look& look, const GaugeUse& use) {
  return Value::Object{{"fact", use.fact},
                       {"when", dayAndTime(look, use.happened)},
                       {"of", subjectValue(use.subject)},
                       {"what", usedFor(use)}};
}

Value::Array lately(const Look& look, const std::string& gauge) {
  const Instant from = Instant::fromUnixMs(look.snapshot.now().unixMs() -
                                           std::int64_t{days_of_uses} * 24 * 3'600'000);
  const std::vector<GaugeUse> uses = act::usesSince(look.snapshot, gauge, from);
  Value::Array rows;
  for (std::size_t i = uses.size(); i-- > 0 && rows.size() < uses_shown;)
    rows.push_back(useValue(look, uses[i]));
  return rows;
}

// --- found wrong ---

std::string whereBoxIs(const Look& look, const BoxState& box) {
  if (!box.shipment.empty()) {
    const auto sent =
        ledger::stateAs<ShipmentState>(look.snapshot, projection::shipment, box.shipment);
    return say("service.gauge.box_sent",
               {{"shipment", box.shipment}, {"customer", sent ? sent->shipped.customer : ""}});
  }
  if (box.carton.empty()) return say("service.gauge.box_loose");
  const auto carton = ledger::stateAs<CartonState>(look.snapshot, projection::carton, box.carton);
  const std::string place = carton ? carton->place() : "";
  return place.empty()
             ? say("service.gauge.box_carton", {{"carton", box.carton}})
             : say("service.gauge.box_stored", {{"carton", box.carton}, {"place", place}});
}

Value::Array boxRows(const Look& look, const BatchState& batch) {
  Value::Array rows;
  for (const std::string& id : batch.boxes)
    if (const auto box = ledger::stateAs<BoxState>(look.snapshot, projection::box, id))
      rows.push_back(Value::Object{
          {"box", id}, {"pads", grouped(box->packed.pads)}, {"words", whereBoxIs(look, *box)}});
  return rows;
}

std::string gateWords(std::string_view gate, const GateState& state) {
  if (!state.verdict) return "";
  return say(state.overtaken_by ? "service.gauge.verdict_overtaken" : "service.gauge.verdict",
             {{"gate", gate}, {"verdict", *state.verdict}, {"outcome", word(state.outcome)}});
}

Value batchTouched(const Look& look, const std::string& id) {
  const auto batch = ledger::stateAs<BatchState>(look.snapshot, projection::batch, id);
  Value::Array verdicts;
  for (const std::string& words :
       {gateWords("cure", batch->cure), gateWords("final", batch->final)})
    if (!words.empty()) verdicts.push_back(words);
  return Value::Object{{"of", subjectValue({"batch", id})},
                       {"words", say("service.gauge.pads",
                                     {{"here", grouped(goodPads(look, *batch) - batch->shipped)},
                                      {"boxed", grouped(batch->boxed)},
                                      {"shipped", grouped(batch->shipped)}})},
                       {"verdicts", std::move(verdicts)},
                       {"boxes", boxRows(look, *batch)}};
}

Value otherTouched(const Look& look, const Subject& subject) {
  Value::Array verdicts;
  if (const auto lot = ledger::stateAs<LotState>(look.snapshot, subject.kind, subject.id);
      lot && subject.kind == "lot")
    if (const std::string words = gateWords("lot", lot->gate); !words.empty())
      verdicts.push_back(words);
  return Value::Object{{"of", subjectValue(subject)},
                       {"words", ""},
                       {"verdicts", std::move(verdicts)},
                       {"boxes", Value::Array{}}};
}

Value::Array touched(const Look& look, const std::vector<GaugeUse>& uses) {
  Value::Array rows;
  std::set<Subject> seen;
  for (const GaugeUse& use : uses) {
    if (!seen.insert(use.subject).second) continue;
    const bool batch = use.subject.kind == "batch" &&
                       look.snapshot.state(projection::batch, use.subject.id).has_value();
    rows.push_back(batch ? batchTouched(look, use.subject.id) : otherTouched(look, use.subject));
  }
  return rows;
}

std::string endWords(const Look& look, const WrongOnFile& wrong) {
  if (wrong.withdrawn_by) return say("service.gauge.withdrawn", {{"fact", *wrong.withdrawn_by}});
  if (!wrong.assessed_by) return say("service.gauge.unassessed");
  const std::optional<Fact> assessed = look.snapshot.fact(*wrong.assessed_by);
  return say("service.gauge.assessed", {{"who", dutyOf(look, assessed->person)},
                                        {"outcome", word(wrong.assessed->outcome)},
                                        {"except", wrong.assessed->except.size()},
                                        {"reason", wrong.assessed->reason}});
}

Value wrongValue(const Look& look, const std::string& gauge, const WrongOnFile& wrong) {
  std::vector<GaugeUse> uses = act::usesSince(look.snapshot, gauge, wrong.report.last_right_at);
  std::erase_if(uses, [&](const GaugeUse& use) {
    return use.happened >= wrong.report.last_right_at &&
           (wrong.right_again && use.happened >= *wrong.right_again);
  });
  Value::Array results;
  for (const GaugeUse& use : uses) results.push_back(useValue(look, use));
  const bool open = !wrong.assessed_by && !wrong.withdrawn_by;
  Value::Object row{{"fact", wrong.fact},
                    {"word", open ? "missing" : "inside"},
                    {"when", dayAndTime(look, wrong.happened)},
                    {"found", wrong.report.found},
                    {"off", wrong.report.off ? format(*wrong.report.off) : ""},
                    {"last_right", wrong.report.last_right},
                    {"last_right_when", dayAndTime(look, wrong.report.last_right_at)},
                    {"right_again", wrong.right_again ? dayAndTime(look, *wrong.right_again) : ""},
                    {"words", endWords(look, wrong)},
                    {"results", std::move(results)},
                    {"touched", touched(look, uses)}};
  if (open)
    row.emplace("assess", permittedValue(look, "gauge assess", say("service.gauge.assess"),
                                         {{"gauge", gauge}, {"found_wrong", wrong.fact}}));
  return row;
}

Value::Array wrongRows(const Look& look, const std::string& gauge, const GaugeTrust& trust) {
  Value::Array rows;
  for (auto wrong = trust.wrong.rbegin(); wrong != trust.wrong.rend(); ++wrong)
    rows.push_back(wrongValue(look, gauge, *wrong));
  return rows;
}

Error noGauge(const std::string& code) {
  Error error;
  error.fault = Fault::not_found;
  error.code = "gauge.unknown";
  error.what = fmt::format("There is no gauge '{}' on record.", code);
  error.remedy = "Check the number.";
  return error;
}

}  // namespace

double valueIn(const Measure& measure, const UnitRow& unit) {
  const Result<UnitRow> own = findUnit(measure.unit);
  return (measure.value.value() * own->factor + own->offset - unit.offset) / unit.factor;
}

std::string runSvg(const figure::RunInput& input) {
  const Result<figure::Scene> scene = figure::runChart(input);
  return scene ? figure::toSvg(*scene) : "";
}

std::string histogramSvg(const figure::RunInput& input) {
  const Result<figure::Scene> scene = figure::histogram(input);
  return scene ? figure::toSvg(*scene) : "";
}

Result<Value> gauge(const Look& look, const std::string& code) {
  const auto issued =
      ledger::stateAs<Issued<Gauge>>(look.snapshot, projection::gauge, ledger::nowKey(code));
  if (!issued) return noGauge(code);
  const GaugeTrust trust = act::gaugeTrustOf(look.snapshot, code);
  const std::vector<Fact> checks = factsOf(look, code, "gauge.checked");
  Value::Array acts;
  for (const auto& [act, label] : {std::pair{"gauge study", say("service.gauge.do_study")},
                                   {"gauge bias", say("service.gauge.do_bias")},
                                   {"gauge linearity", say("service.gauge.do_linearity")},
                                   {"gauge agreement", say("service.gauge.do_agreement")},
                                   {"gauge found-wrong", say("service.gauge.do_wrong")}})
    acts.push_back(permittedValue(look, act, label, {{"gauge", code}}));
  return Value(Value::Object{{"code", code},
                             {"calibration", calibrationValue(look, issued->noun)},
                             {"checks_svg", checksSvg(look, issued->noun, checks)},
                             {"checks", checkRows(look, checks)},
                             {"studies", studyRows(look, code, trust)},
                             {"wrong", wrongRows(look, code, trust)},
                             {"lately", lately(look, code)},
                             {"acts", std::move(acts)}});
}

}  // namespace platemark::service::view
