/// One characteristic of a control plan across batches or lots: its run, its spread, its limits.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <span>

#include "gauge.h"
#include "platemark/method/statistics/control_chart.h"
#include "platemark/method/statistics/outlier.h"
#include "platemark/method/statistics/summary.h"
#include "platemark/plant/trend.h"

namespace platemark::service::view {
namespace {

constexpr std::size_t most_results = 200;
constexpr int days_back = 400;
/// Level of the flags: the usual one; a flag asks a question and takes nothing out.
constexpr double flag_level = 0.05;
constexpr int most_flags = 5;
/// So many things say what is usual; the later ones are held against them.
constexpr std::size_t usual_things = 20;
/// Of the sums, in standard deviations between things: half a one is let pass. A sign at eight
/// comes by chance once in some ten thousand things, by Siegmund's approximation; the usual four
/// to five would call too often where every characteristic of every plan is watched.
constexpr double let_pass = 0.5, sign_height = 8;

/// The newest results' places, oldest first.
std::vector<TrendEntry> entriesOf(const Look& look, const std::string& plan,
                                  const std::string& characteristic) {
  constexpr std::size_t page = 1000;
  const Instant from =
      Instant::fromUnixMs(look.snapshot.now().unixMs() - std::int64_t{days_back} * 24 * 3'600'000);
  std::string after = trendKey(plan, characteristic, from);
  std::vector<TrendEntry> entries;
  for (bool more = true; more;) {
    const std::vector<ledger::State> states =
        look.snapshot.states(projection::trend, plan + "/" + characteristic + "/", after, page);
    for (const ledger::State& s : states)
      if (Result<TrendEntry> entry = fromValue<TrendEntry>(s.value))
        entries.push_back(std::move(*entry));
    more = states.size() == page;
    if (more) after = states.back().key;
  }
  if (entries.size() > most_results)
    entries.erase(entries.begin(), entries.end() - static_cast<std::ptrdiff_t>(most_results));
  return entries;
}

/// Results of a thing, with what is known of their gauges.
struct Measured {
  std::vector<Evidence> evidence;
  GaugeTrusts gauges;
};

Measured measuredOf(const Look& look, const Subject& subject) {
  Measured measured;
  if (subject.kind == "batch") {
    if (auto batch = ledger::stateAs<BatchState>(look.snapshot, projection::batch, subject.id))
      measured.evidence = std::move(batch->evidence);
  } else if (auto lot = ledger::stateAs<LotState>(look.snapshot, projection::lot, subject.id)) {
    measured.evidence = std::move(lot->evidence);
  }
  for (const Evidence& e : measured.evidence)
    for (const std::string& gauge : e.gauges)
      if (!measured.gauges.contains(gauge))
        measured.gauges.emplace(gauge, act::gaugeTrustOf(look.snapshot, gauge));
  return measured;
}

/// One line of a plan, for one result at a time.
struct Asked {
  ControlPlan plan;
  std::int64_t issue = 0;
  std::vector<Adoption> adoptions;
  [[nodiscard]] const PlanLine& line() const { return plan.lines.front(); }
};

/// What the gate says of one result by itself: against the worst of its limits.
Finding worstOf(const Asked& asked, const Evidence& evidence, const GaugeTrusts& gauges) {
  const auto rank = [](const Finding& f) {
    return f.word == FindingWord::outside_above || f.word == FindingWord::outside_below ? 2
           : f.word == FindingWord::inside                                              ? 0
                                                                                        : 1;
  };
  const std::vector<Finding> findings = gate::compareWithPlan(
      asked.line().gate, asked.plan, asked.issue, {evidence}, asked.adoptions, {}, gauges);
  return *std::max_element(findings.begin(), findings.end(),
                           [&](const Finding& a, const Finding& b) { return rank(a) < rank(b); });
}

struct Point {
  TrendEntry entry;
  Evidence evidence;
  Measure value;
  Finding finding;
  bool flagged = false;
  [[nodiscard]] figure::RunMark mark() const {
    if (finding.word == FindingWord::missing) return figure::RunMark::aside;
    const bool outside =
        finding.word == FindingWord::outside_above || finding.word == FindingWord::outside_below;
    return outside ? figure::RunMark::outside : figure::RunMark::counted;
  }
};

const FigureValue* valueNamed(const Evidence& evidence, const std::string& output) {
  for (const FigureValue& value : evidence.values)
    if (value.name == output) return &value;
  return nullptr;
}

std::vector<Point> pointsOf(const Look& look, const Asked& asked,
                            const std::vector<TrendEntry>& entries) {
  std::vector<Point> points;
  std::map<Subject, Measured> known;
  for (const TrendEntry& entry : entries) {
    if (!known.contains(entry.subject))
      known.emplace(entry.subject, measuredOf(look, entry.subject));
    const Measured& measured = known.at(entry.subject);
    for (const Evidence& e : measured.evidence) {
      if (e.figure != entry.figure || e.corrected_by) continue;
      if (const FigureValue* value = valueNamed(e, asked.line().output))
        points.push_back({entry, e, value->value, worstOf(asked, e, measured.gauges), false});
    }
  }
  return points;
}

/// The unit of the limits; without any, that of the first result.
UnitRow unitOf(const PlanLine& line, const std::vector<Point>& points) {
  for (const Limit& limit : line.limits)
    for (const std::optional<Measure>& bound : {limit.lower, limit.upper})
      if (bound) return *findUnit(bound->unit);
  return *findUnit(points.empty() ? "1" : points.front().value.unit);
}

std::vector<double> countedValues(const std::vector<Point>& points, const UnitRow& unit) {
  std::vector<double> values;
  for (const Point& p : points)
    if (p.mark() != figure::RunMark::aside) values.push_back(valueIn(p.value, unit));
  return values;
}

/// Results that stand far off the others; they stay in every figure.
void flagOutliers(std::vector<Point>& points, const UnitRow& unit) {
  const std::vector<double> values = countedValues(points, unit);
  if (values.size() < 15) return;  // below that the level of the test does not hold
  const auto found = method::statistics::severalOutliers(values, most_flags, flag_level);
  if (!found) return;
  std::size_t at = 0;
  for (Point& p : points) {
    if (p.mark() == figure::RunMark::aside) continue;
    p.flagged = std::find(found->flagged.begin(), found->flagged.end(), at) != found->flagged.end();
    ++at;
  }
}

void addLimits(figure::RunInput& run, const PlanLine& line, const UnitRow& unit) {
  for (const Limit& limit : line.limits) {
    if (limit.lower)
      run.limits.push_back({valueIn(*limit.lower, unit),
                            say("service.limit.lower", {{"limit", format(*limit.lower)}}),
                            limit.source.confirmed});
    if (limit.upper)
      run.limits.push_back({valueIn(*limit.upper, unit),
                            say("service.limit.upper", {{"limit", format(*limit.upper)}}),
                            limit.source.confirmed});
  }
}

int decimalsOf(const PlanLine& line) {
  int decimals = 2;
  for (const Limit& limit : line.limits)
    for (const std::optional<Measure>& bound : {limit.lower, limit.upper})
      if (bound) decimals = bound->value.decimals() + 1;
  return decimals;
}

std::string nameOf(const Point& point) {
  return point.evidence.sample.empty()
             ? point.entry.subject.id
             : say("service.gauge.use_sample",
                   {{"characteristic", point.entry.subject.id}, {"sample", point.evidence.sample}});
}

figure::RunInput runOf(const Look& look, const PlanLine& line, const std::vector<Point>& points,
                       const UnitRow& unit) {
  figure::RunInput run;
  run.title = line.words;
  run.quantity = line.words;
  run.unit = unit.code == "1" ? "" : std::string(unit.symbol);
  for (const Point& p : points)
    run.points.push_back(
        {valueIn(p.value, unit), monthDay(look, p.evidence.happened), nameOf(p), p.mark()});
  addLimits(run, line, unit);
  return run;
}

std::string inUnitWords(double value, int decimals, const UnitRow& unit) {
  return format(Measure{Decimal::fixed(value, decimals), std::string(unit.code)});
}

Value::Array rowsOf(const Look& look, const std::vector<Point>& points, const UnitRow& unit,
                    int decimals) {
  Value::Array rows;
  for (std::size_t i = points.size(); i-- > 0;) {
    const Point& p = points[i];
    rows.push_back(
        Value::Object{{"fact", p.entry.figure},
                      {"when", dayAndTime(look, p.evidence.happened)},
                      {"of", subjectValue(p.entry.subject)},
                      {"sample", p.evidence.sample},
                      {"value", inUnitWords(valueIn(p.value, unit), decimals, unit)},
                      {"word", word(p.finding.word)},
                      {"words", p.finding.word == FindingWord::missing ? p.finding.sentence : ""},
                      {"flag", p.flagged ? say("service.trend.flag") : ""}});
  }
  return rows;
}

/// Mean, spread and range of what counts.
std::string summarySentence(const std::vector<Point>& points, const std::vector<double>& values,
                            const UnitRow& unit, int decimals, figure::RunInput& run) {
  const auto outside = std::count_if(points.begin(), points.end(), [](const Point& p) {
    return p.mark() == figure::RunMark::outside;
  });
  const Result<method::statistics::Summary> summary = method::statistics::summary(values);
  if (!summary) return say("service.trend.none");
  run.centre = summary->mean;
  run.centre_words =
      say("service.trend.mean", {{"mean", Decimal::fixed(summary->mean, decimals).text()}});
  return say("service.trend.summary",
             {{"n", summary->n},
              {"aside", points.size() - summary->n},
              {"outside", outside},
              {"mean", inUnitWords(summary->mean, decimals, unit)},
              {"s", summary->s ? Decimal::fixed(*summary->s, decimals).text() : "–"},
              {"min", Decimal::fixed(summary->min, decimals).text()},
              {"max", Decimal::fixed(summary->max, decimals).text()}});
}

/// The mean of what counts of one batch or lot.
struct ThingMean {
  std::string id;
  double sum = 0;
  int count = 0;
};

std::vector<ThingMean> meansOf(const std::vector<Point>& points, const UnitRow& unit) {
  std::vector<ThingMean> means;
  for (const Point& p : points) {
    if (p.mark() == figure::RunMark::aside) continue;
    auto of = std::find_if(means.begin(), means.end(),
                           [&](const ThingMean& m) { return m.id == p.entry.subject.id; });
    if (of == means.end()) of = means.insert(of, {p.entry.subject.id, 0, 0});
    of->sum += valueIn(p.value, unit);
    of->count += 1;
  }
  return means;
}

/// Whether the newest things lie elsewhere than the first ones, though each may be inside; "" while
/// too few are on record to say.
std::string driftSentence(const std::vector<Point>& points, const UnitRow& unit, int decimals) {
  namespace statistics = method::statistics;
  const std::vector<ThingMean> means = meansOf(points, unit);
  if (means.size() <= usual_things) return "";
  std::vector<double> values;
  for (const ThingMean& m : means) values.push_back(m.sum / m.count);
  const auto usual = statistics::individuals(std::span(values).first(usual_things));
  if (!usual) return "";
  const auto sums = statistics::cumulativeSum(std::span(values).subspan(usual_things),
                                              usual->centre, usual->sigma, let_pass, sign_height);
  if (!sums) return "";
  if (!sums->standing) return say("service.trend.steady", {{"n", usual_things}});
  return say(sums->shift > 0 ? "service.trend.drifts_up" : "service.trend.drifts_down",
             {{"since", means[usual_things + sums->since].id},
              {"by", inUnitWords(std::abs(sums->shift), decimals, unit)},
              {"n", usual_things}});
}

Result<Asked> askedOf(const Look& look, const std::string& plan,
                      const std::string& characteristic) {
  Error error;
  error.fault = Fault::not_found;
  error.code = "characteristic.unknown";
  error.what = fmt::format("The control plan {} has no characteristic '{}'.", plan, characteristic);
  error.remedy = "Its page lists them.";
  const auto issued =
      ledger::issueInForce<ControlPlan>(look.snapshot, projection::plan, plan, look.today());
  if (!issued) return error;
  for (const PlanLine& line : issued->noun.lines) {
    if (line.characteristic != characteristic || line.gate == Gate::set_up) continue;
    Asked asked{issued->noun, issued->issue, act::adoptionsOf(look.snapshot, plan, issued->issue)};
    asked.plan.lines = {line};
    asked.plan.lines.front().samples = 1;
    asked.plan.lines.front().statistic = Statistic::each;
    return asked;
  }
  return error;
}

}  // namespace

Result<Value> characteristic(const Look& look, const std::string& plan, const std::string& name) {
  const Result<Asked> asked = askedOf(look, plan, name);
  if (!asked) return asked.error();
  std::vector<Point> points = pointsOf(look, *asked, entriesOf(look, plan, name));
  const PlanLine& line = asked->line();
  const UnitRow unit = unitOf(line, points);
  flagOutliers(points, unit);
  const int decimals = decimalsOf(line);
  figure::RunInput run = runOf(look, line, points, unit);
  std::string sentence = summarySentence(points, countedValues(points, unit), unit, decimals, run);
  if (const std::string drift = driftSentence(points, unit, decimals); !drift.empty())
    sentence += " " + drift;
  run.reading = sentence;
  return Value(Value::Object{{"plan", plan},
                             {"characteristic", name},
                             {"title", line.words},
                             {"sentence", sentence},
                             {"run_svg", runSvg(run)},
                             {"histogram_svg", histogramSvg(run)},
                             {"rows", rowsOf(look, points, unit, decimals)}});
}

}  // namespace platemark::service::view
