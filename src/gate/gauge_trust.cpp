#include "platemark/gate/gauge_trust.h"

#include <fmt/format.h>

#include <algorithm>

namespace platemark::gate {
namespace {

std::optional<double> figure(const std::vector<FigureValue>& values, std::string_view name) {
  for (const FigureValue& value : values)
    if (value.name == name && value.determined)
      return value.value.value.value() * findUnit(value.value.unit)->factor;
  return {};
}

/// The studies that a result stands between.
struct Neighbours {
  const StudyOnFile* before = nullptr;
  const StudyOnFile* after = nullptr;
};

Neighbours studiesAround(const GaugeResult& result, const GaugeTrust& trust) {
  Neighbours found;
  for (const StudyOnFile& study : trust.studies) {
    if (study.corrected_by || study.characteristic != result.characteristic) continue;
    if (study.happened <= result.taken) {
      if (found.before == nullptr || study.happened >= found.before->happened)
        found.before = &study;
    } else if (found.after == nullptr || study.happened < found.after->happened) {
      found.after = &study;
    }
  }
  return found;
}

std::string studyWords(const StudyOnFile& study) {
  return fmt::format("its study of {} (fact {}) says: {}", formatDay(study.day), study.fact,
                     study.found);
}

bool unaccepted(const StudyOnFile& study) {
  return study.standing == GaugeStanding::needs_acceptance && !study.accepted_by;
}

std::string blockedWords(const GaugeResult& result, const StudyOnFile& study) {
  return fmt::format("gauge {} cannot tell one from another for {}; {}", result.gauge,
                     result.characteristic, studyWords(study));
}

std::string unacceptedWords(const GaugeResult& result, const StudyOnFile& study) {
  return fmt::format("gauge {} needs quality's acceptance for {}; {}", result.gauge,
                     result.characteristic, studyWords(study));
}

bool listed(const std::vector<Sequence>& list, Sequence fact) {
  return std::find(list.begin(), list.end(), fact) != list.end();
}

std::string wrongWords(const GaugeResult& result, const WrongOnFile& wrong) {
  return fmt::format("gauge {} was found wrong on {} (fact {}) and was last right on {}",
                     result.gauge, formatDay(wrong.day), wrong.fact,
                     formatDay(wrong.last_right_day));
}

/// Nothing when the assessment lets it stand.
std::optional<std::string> assessedWords(const GaugeResult& result, const WrongOnFile& wrong) {
  if (!wrong.assessed) return "; nobody has signed yet what becomes of its results";
  if (!listed(wrong.assessed->results, result.fact))
    return fmt::format("; the assessment (fact {}) did not know this result", *wrong.assessed_by);
  const bool excepted = listed(wrong.assessed->except, result.fact);
  if ((wrong.assessed->outcome == GaugeAssessment::results_stand) != excepted) return {};
  return fmt::format("; it is to be repeated (fact {})", *wrong.assessed_by);
}

}  // namespace

GaugeStanding studyStanding(const std::vector<FigureValue>& values, const GaugeBounds& bounds) {
  const std::optional<double> share = figure(values, "share"),
                              categories = figure(values, "categories");
  if (!share || !categories) return GaugeStanding::blocked;
  const double worst = std::max(*share, figure(values, "tolerance_share").value_or(0));
  if (worst > bounds.block_above || *categories < bounds.fewest_categories)
    return GaugeStanding::blocked;
  return worst >= bounds.accept_from ? GaugeStanding::needs_acceptance : GaugeStanding::usable;
}

std::vector<std::string> studyDoubts(const GaugeResult& result, const GaugeTrust& trust,
                                     bool required) {
  const auto [before, after] = studiesAround(result, trust);
  std::vector<std::string> doubts;
  if (before != nullptr && before->standing == GaugeStanding::blocked)
    doubts.push_back(blockedWords(result, *before));
  if (before != nullptr && unaccepted(*before)) doubts.push_back(unacceptedWords(result, *before));
  if (after != nullptr && after->standing == GaugeStanding::blocked)
    doubts.push_back(blockedWords(result, *after));
  if (before != nullptr || !required) return doubts;
  if (after == nullptr)
    doubts.push_back(fmt::format("gauge {} has no study for {}, and the control plan asks for one",
                                 result.gauge, result.characteristic));
  else if (unaccepted(*after))
    doubts.push_back(unacceptedWords(result, *after));
  return doubts;
}

std::vector<std::string> wrongDoubts(const GaugeResult& result, const GaugeTrust& trust) {
  std::vector<std::string> doubts;
  for (const WrongOnFile& wrong : trust.wrong) {
    if (!wrong.reaches(result.taken)) continue;
    if (const std::optional<std::string> more = assessedWords(result, wrong))
      doubts.push_back(wrongWords(result, wrong) + *more);
  }
  return doubts;
}

Obstacles mayAccept(const GaugeTrust& trust, const std::string& gauge,
                    const std::string& characteristic, Sequence study) {
  const StudyOnFile* newest = nullptr;
  for (const StudyOnFile& s : trust.studies)
    if (s.characteristic == characteristic && !s.corrected_by &&
        (newest == nullptr || s.happened >= newest->happened))
      newest = &s;
  if (newest == nullptr)
    return {{fmt::format("Gauge {} has no study for {}.", gauge, characteristic),
             "laboratory technician", "make the study first"}};
  if (newest->fact != study)
    return {{fmt::format("The newest study for {} is fact {}, not {}.", characteristic,
                         newest->fact, study),
             "quality manager", "read the newest study and sign that one"}};
  if (newest->standing == GaugeStanding::blocked)
    return {{fmt::format("The study blocks the gauge: {}", newest->found), "laboratory technician",
             "mend the gauge or the way it is read, and study it again"}};
  if (newest->standing == GaugeStanding::usable)
    return {{"The study asks for no acceptance.", "quality manager", "nothing needs to be signed"}};
  if (newest->accepted_by)
    return {{fmt::format("It was accepted by fact {}.", *newest->accepted_by), "quality manager",
             "nothing more needs to be signed"}};
  return {};
}

Obstacles mayUseGauge(const GaugeTrust& trust, const std::string& gauge) {
  Obstacles obstacles;
  for (const WrongOnFile& wrong : trust.wrong)
    if (!wrong.right_again && !wrong.withdrawn_by)
      obstacles.push_back(
          {fmt::format("gauge {} was found wrong on {} (fact {}) and is not right again", gauge,
                       formatDay(wrong.day), wrong.fact),
           "laboratory technician",
           wrong.report.check ? "mend it and check it again, or use another"
                              : "have it calibrated again, or use another"});
  return obstacles;
}

}  // namespace platemark::gate
