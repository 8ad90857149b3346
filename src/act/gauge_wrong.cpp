/// A gauge found wrong: what it measured since it was last right no longer counts, until somebody
/// signs what becomes of it.
#include <fmt/format.h>

#include <algorithm>

#include "platemark/gate/counts.h"
#include "platemark/gate/gauge_trust.h"
#include "platemark/plant/gauge_check.h"
#include "support.h"

namespace platemark::act {
namespace {

struct FindWrong {
  std::string gauge;
  std::string found;
  std::optional<Measure> off;
  std::optional<Sequence> last_right;  ///< the newest check that passed or calibration, when absent
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("gauge", gauge);
    v("found", found);
    v("off", off);
    v("last_right", last_right);
    v("remark", remark);
  }
};

/// A moment at which the gauge was known to be right.
struct LastRight {
  Sequence fact = 0;
  Instant at;
};

/// An issue with another certificate than the one before is a calibration; the first one too.
struct CalibrationsSoFar {
  std::string certificate;
  bool isNew(const Fact& fact) {
    const std::string named = fact.body["noun"].text("calibration");
    if (named == certificate) return false;
    certificate = named;
    return true;
  }
};

/// Checks that passed and were not mended since, and calibrations, before a moment.
std::vector<LastRight> momentsRight(const Context& context, const std::string& gauge) {
  std::vector<LastRight> moments;
  CalibrationsSoFar calibrations;
  for (Sequence after = 0;;) {
    const std::vector<Fact> facts = context.snapshot.factsOf({"gauge", gauge}, after, 500);
    for (const Fact& f : facts) {
      const std::int64_t* mended = f.body["remark"]["corrects"].asInteger();
      if (f.kind == "gauge.checked" && mended != nullptr)
        std::erase_if(moments, [&](const LastRight& m) { return m.fact == *mended; });
      const bool passed = f.kind == "gauge.checked" && *f.body["passed"].asBool();
      const bool calibrated = f.kind == "gauge.issued" && calibrations.isNew(f);
      if ((passed || calibrated) && f.happened.instant <= context.happened.instant)
        moments.push_back({f.sequence, f.happened.instant});
    }
    if (facts.size() < 500) return moments;
    after = facts.back().sequence;
  }
}

LastRight newestOf(const std::vector<LastRight>& moments) {
  return *std::max_element(moments.begin(), moments.end(),
                           [](const LastRight& a, const LastRight& b) { return a.at < b.at; });
}

Result<LastRight> lastRight(const Context& context, const std::string& gauge,
                            const std::optional<Sequence>& named) {
  const std::vector<LastRight> moments = momentsRight(context, gauge);
  if (moments.empty())
    return badInput("gauge.never_right",
                    fmt::format("No check or calibration of gauge {} is on record before that "
                                "time.",
                                gauge),
                    "gauge");
  if (!named) return newestOf(moments);
  const auto found = std::find_if(moments.begin(), moments.end(),
                                  [&](const LastRight& m) { return m.fact == *named; });
  if (found != moments.end()) return *found;
  return badInput("gauge.last_right",
                  fmt::format("Fact {} does not say that gauge {} was right.", *named, gauge),
                  "last_right", "a check of the gauge that passed, or an issue with a calibration");
}

/// A batch is in the house while it has pads that have not left.
bool inTheHouse(const Context& context, const Subject& subject) {
  if (subject.kind == "lot") return true;
  if (subject.kind != "batch") return false;
  const auto batch = stateAs<BatchState>(context.snapshot, projection::batch, subject.id);
  return batch && batch->shipped < gate::goodPads(*batch, dispositionsOf(context, subject.id));
}

void reportWrong(std::vector<NewFact>& facts, const Context& context, GaugeFoundWrong report) {
  const std::vector<GaugeUse> uses =
      usesSince(context.snapshot, report.gauge, report.last_right_at);
  for (const GaugeUse& use : uses) report.results.push_back(use.fact);
  report.remark.irregular.clear();
  const std::vector<Subject> subjects = subjectsOf(report.gauge, uses);
  facts.push_back(fact(context, "gauge.found_wrong", report, subjects));
  const std::string why = fmt::format("gauge {} was found wrong: {}", report.gauge, report.found);
  for (const Subject& subject : subjects)
    if (inTheHouse(context, subject))
      facts.push_back(fact(context, "hold.placed", HoldPlaced{subject, why}, {subject}));
}

Decision findWrong(const Context& context, FindWrong in) {
  const auto gauge = requireNoun<Gauge>(context, projection::gauge, in.gauge);
  if (!gauge) return Error(gauge.error()).at({"", 0, "", "gauge"});
  if (in.found.empty())
    return badInput("gauge.found", "What was found?", "found", "in a few words");
  if (in.off)
    if (const Result<Measure> off =
            convert(*in.off, gauge->noun.unit == "Cel" ? "K" : gauge->noun.unit, 12);
        !off)
      return Error(off.error()).at({"", 0, "", "off"});
  if (Result<void> c = checkNoCorrection(in.remark, "Sign what becomes of the results instead.");
      !c)
    return c.error();
  const Result<LastRight> right = lastRight(context, in.gauge, in.last_right);
  if (!right) return right.error();
  std::vector<NewFact> facts;
  reportWrong(facts, context,
              {in.gauge, in.found, in.off, {}, right->fact, right->at, {}, in.remark});
  return facts;
}

struct Assess {
  std::string gauge;
  Sequence found_wrong = 0;
  GaugeAssessment outcome = GaugeAssessment::repeat;
  std::vector<Sequence> except;
  std::string reason;
  template <class V>
  void describe(V& v) {
    v("gauge", gauge);
    v("found_wrong", found_wrong);
    v("outcome", outcome);
    v("except", except);
    v("reason", reason);
  }
};

/// The report that is to be answered, open still.
Result<WrongOnFile> openReport(const Context& context, const Assess& in) {
  for (const WrongOnFile& wrong : gaugeTrustOf(context.snapshot, in.gauge).wrong) {
    if (wrong.fact != in.found_wrong) continue;
    if (!wrong.assessed_by && !wrong.withdrawn_by) return wrong;
    Error error = badInput("gauge.assessed",
                           fmt::format("Fact {} was answered by fact {}.", wrong.fact,
                                       wrong.assessed_by.value_or(wrong.withdrawn_by.value_or(0))),
                           "found_wrong");
    error.fault = Fault::conflict;
    return error;
  }
  return badInput(
      "gauge.not_found_wrong",
      fmt::format("Fact {} does not say that gauge {} was found wrong.", in.found_wrong, in.gauge),
      "found_wrong");
}

/// The holds that a fact led to stand right behind it, in the same act.
void liftHoldsAfter(std::vector<NewFact>& facts, const Context& context, Sequence report,
                    const std::string& why) {
  const std::optional<Fact> said = context.snapshot.fact(report);
  for (Sequence next = report + 1;; ++next) {
    const std::optional<Fact> placed = context.snapshot.fact(next);
    if (!placed || placed->token != said->token || placed->kind != "hold.placed") return;
    const Subject subject = placed->subjects.front();
    const std::optional<Value> state = context.snapshot.state(subject.kind, subject.id);
    const auto holds = fromValue<std::vector<Hold>>((*state)["holds"]);
    for (const Hold& hold : *holds)
      if (hold.fact == next && !hold.lifted_by)
        facts.push_back(fact(context, "hold.lifted", HoldLifted{subject, next, why}, {subject}));
  }
}

Decision assess(const Context& context, Assess in) {
  const auto gauge = requireNoun<Gauge>(context, projection::gauge, in.gauge);
  if (!gauge) return Error(gauge.error()).at({"", 0, "", "gauge"});
  if (in.reason.empty())
    return badInput("gauge.assess_reason", "An assessment needs its reason.", "reason",
                    "why the results stand, or must be repeated");
  const Result<WrongOnFile> wrong = openReport(context, in);
  if (!wrong) return wrong.error();
  std::vector<Sequence> touched;
  for (const GaugeUse& use : usesSince(context.snapshot, in.gauge, wrong->report.last_right_at))
    if (wrong->reaches(use.happened)) touched.push_back(use.fact);
  for (std::size_t i = 0; i < in.except.size(); ++i)
    if (std::find(touched.begin(), touched.end(), in.except[i]) == touched.end())
      return badInput("gauge.except",
                      fmt::format("Fact {} is none of the results in question.", in.except[i]),
                      fmt::format("except[{}]", i));
  std::vector<NewFact> facts{
      fact(context, "gauge.assessed",
           GaugeAssessed{in.gauge, in.found_wrong, in.outcome, in.except, touched, in.reason},
           {{"gauge", in.gauge}})};
  liftHoldsAfter(facts, context, in.found_wrong,
                 fmt::format("what becomes of the results of gauge {} was signed: {}", in.gauge,
                             word(in.outcome)));
  return facts;
}

}  // namespace

std::vector<GaugeUse> usesSince(const Snapshot& snapshot, const std::string& gauge, Instant from) {
  constexpr std::size_t page = 1000;
  std::vector<GaugeUse> uses;
  std::string after = gaugeUseKey(gauge, from);
  for (;;) {
    const std::vector<ledger::State> states =
        snapshot.states(projection::gauge_use, gauge + "/", after, page);
    for (const ledger::State& state : states)
      if (Result<GaugeUse> use = fromValue<GaugeUse>(state.value)) uses.push_back(std::move(*use));
    if (states.size() < page) return uses;
    after = states.back().key;
  }
}

std::vector<Subject> subjectsOf(const std::string& gauge, const std::vector<GaugeUse>& uses) {
  std::vector<Subject> subjects{{"gauge", gauge}};
  for (const GaugeUse& use : uses)
    if (std::find(subjects.begin(), subjects.end(), use.subject) == subjects.end())
      subjects.push_back(use.subject);
  return subjects;
}

void findWrongByCheck(std::vector<NewFact>& facts, const Context& context, const Gauge& gauge,
                      std::string found) {
  for (const WrongOnFile& wrong : gaugeTrustOf(context.snapshot, gauge.code).wrong)
    if (wrong.report.check && !wrong.right_again && !wrong.withdrawn_by) return;
  const std::vector<LastRight> moments = momentsRight(context, gauge.code);
  if (moments.empty()) return;  // a check of a time before the gauge came to the plant
  const LastRight right = newestOf(moments);
  const Sequence check = context.snapshot.sequence() + static_cast<Sequence>(facts.size());
  reportWrong(facts, context,
              {gauge.code, std::move(found), {}, check, right.fact, right.at, {}, {}});
}

void liftWithdrawn(std::vector<NewFact>& facts, const Context& context, const std::string& gauge,
                   Sequence check) {
  for (const WrongOnFile& wrong : gaugeTrustOf(context.snapshot, gauge).wrong)
    if (wrong.report.check == check && !wrong.withdrawn_by && !wrong.assessed_by)
      liftHoldsAfter(facts, context, wrong.fact,
                     fmt::format("the check of gauge {} was mended: it had passed", gauge));
}

std::span<const Kind> gaugeWrongVerbs() {
  static constexpr Kind list[] = {
      verb<FindWrong, findWrong>("gauge found-wrong", Operation::gauges,
                                 "report that a gauge reads wrong, and hold what it measured since "
                                 "it was last right"),
      verb<Assess, assess>("gauge assess", Operation::adoption,
                           "sign what becomes of the results of a gauge that was found wrong",
                           true),
  };
  return list;
}

}  // namespace platemark::act
