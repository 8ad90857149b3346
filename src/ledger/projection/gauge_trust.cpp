/// Which gauge read what, and how far each gauge can be trusted.
#include "platemark/plant/gauge_trust.h"

#include <fmt/format.h>

#include "fold.h"
#include "platemark/plant/bake.h"
#include "platemark/plant/gauge_check.h"

namespace platemark::ledger {
namespace {

std::vector<std::string> gaugesNamed(const Fact& fact) {
  if (fact.kind == "reading.taken") return bodyOf<ReadingTaken>(fact).gauges;
  if (fact.kind != "bake.recorded") return {};
  const auto bake = bodyOf<BakeRecorded>(fact);
  return bake.gauge ? std::vector<std::string>{*bake.gauge} : std::vector<std::string>{};
}

void putUse(const Fact& fact, ProjectionView& view, const std::string& gauge, GaugeUse use) {
  use.fact = fact.sequence;
  use.happened = fact.happened.instant;
  view.put(fmt::format("{}/{:012}", gaugeUseKey(gauge, use.happened), use.fact), use);
}

void foldUse(const Fact& fact, ProjectionView& view) {
  GaugeUse use;
  if (fact.kind == "mix.weighed") {
    const auto weighed = bodyOf<Weighed>(fact);
    const auto mix = get<MixState>(view, projection::mix, weighed.mix);
    if (!mix) return;
    use.subject = {"batch", mix->opened.batch};
    use.characteristic = weighed.material;
    return putUse(fact, view, weighed.gauge, use);
  }
  if (fact.kind == "reading.taken") {
    const auto reading = bodyOf<ReadingTaken>(fact);
    use.subject = reading.subject;
    use.characteristic = reading.characteristic;
    use.sample = reading.sample;
  } else if (fact.kind == "bake.recorded") {
    use.subject = {"batch", fact.body.text("batch")};
    use.characteristic = fact.body.text("operation");
  }
  for (const std::string& gauge : gaugesNamed(fact)) putUse(fact, view, gauge, use);
}

Day dayOf(const Fact& fact) { return dayIn(fact.happened.instant, fact.happened.zone); }

/// The state of the gauge, made when there is none.
void changeTrust(ProjectionView& view, const std::string& gauge,
                 const std::function<void(GaugeTrust&)>& with) {
  GaugeTrust trust = get<GaugeTrust>(view, projection::gauge_trust, gauge).value_or(GaugeTrust{});
  with(trust);
  view.put(gauge, trust);
}

void study(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<GaugeStudied>(fact);
  if (!body.standing) return;
  changeTrust(view, body.gauge, [&](GaugeTrust& trust) {
    for (StudyOnFile& s : trust.studies)
      if (s.fact == body.remark.corrects) s.corrected_by = fact.sequence;
    trust.studies.push_back({fact.sequence,
                             body.characteristic,
                             fact.happened.instant,
                             dayOf(fact),
                             *body.standing,
                             body.notes.empty() ? "" : body.notes.front(),
                             {},
                             {}});
  });
}

void accept(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<GaugeAccepted>(fact);
  changeTrust(view, body.gauge, [&](GaugeTrust& trust) {
    for (StudyOnFile& s : trust.studies)
      if (s.fact == body.study) s.accepted_by = fact.sequence;
  });
}

void findWrong(const Fact& fact, ProjectionView& view) {
  WrongOnFile wrong;
  wrong.fact = fact.sequence;
  wrong.report = bodyOf<GaugeFoundWrong>(fact);
  wrong.happened = fact.happened.instant;
  wrong.day = dayOf(fact);
  wrong.last_right_day = dayIn(wrong.report.last_right_at, fact.happened.zone);
  changeTrust(view, wrong.report.gauge, [&](GaugeTrust& t) { t.wrong.push_back(wrong); });
}

void assess(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<GaugeAssessed>(fact);
  changeTrust(view, body.gauge, [&](GaugeTrust& trust) {
    for (WrongOnFile& w : trust.wrong)
      if (w.fact == body.found_wrong) {
        w.assessed_by = fact.sequence;
        w.assessed = body;
      }
  });
}

void endWrong(const Fact& fact, ProjectionView& view, const std::string& gauge,
              bool by_calibration) {
  const auto known = get<GaugeTrust>(view, projection::gauge_trust, gauge);
  if (!known || known->wrong.empty()) return;
  changeTrust(view, gauge, [&](GaugeTrust& trust) {
    for (WrongOnFile& w : trust.wrong)
      if (!w.right_again && fact.happened.instant >= w.happened &&
          (by_calibration || w.report.check))
        w.right_again = fact.happened.instant;
  });
}

/// A check that passes ends what a check has shown; one that mends a failed check takes back what
/// that one has shown.
void check(const Fact& fact, ProjectionView& view) {
  const auto body = bodyOf<GaugeChecked>(fact);
  if (!body.passed) return;
  if (!body.remark.corrects) return endWrong(fact, view, body.gauge, false);
  if (!get<GaugeTrust>(view, projection::gauge_trust, body.gauge)) return;
  changeTrust(view, body.gauge, [&](GaugeTrust& trust) {
    for (WrongOnFile& w : trust.wrong)
      if (w.report.check == body.remark.corrects) w.withdrawn_by = fact.sequence;
  });
}

/// An issue with another certificate is a calibration.
void issue(const Fact& fact, ProjectionView& view) {
  const auto issued = bodyOf<Issued<Gauge>>(fact);
  const auto before =
      get<Issued<Gauge>>(view, projection::gauge, issueKey(issued.noun.code, issued.issue - 1));
  if (before && before->noun.calibration != issued.noun.calibration)
    endWrong(fact, view, issued.noun.code, true);
}

struct Row {
  std::string_view kind;
  void (*fold)(const Fact&, ProjectionView&);
};
constexpr Row rows[] = {{"gauge.studied", study},         {"gauge.accepted", accept},
                        {"gauge.found_wrong", findWrong}, {"gauge.assessed", assess},
                        {"gauge.checked", check},         {"gauge.issued", issue}};

void foldTrust(const Fact& fact, ProjectionView& view) {
  for (const Row& row : rows)
    if (row.kind == fact.kind) row.fold(fact, view);
}

}  // namespace

Projection gaugesOfProjection() {
  return {projection::gauges_of, [](const Fact& fact, ProjectionView& view) {
            if (const std::vector<std::string> gauges = gaugesNamed(fact); !gauges.empty())
              view.put(std::to_string(fact.sequence), gauges);
          }};
}
Projection gaugeUseProjection() { return {projection::gauge_use, foldUse}; }
Projection gaugeTrustProjection() { return {projection::gauge_trust, foldTrust}; }

}  // namespace platemark::ledger
