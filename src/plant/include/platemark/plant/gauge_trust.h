/// How far a gauge can be trusted: studies of it, their acceptance, a gauge found wrong and what
/// becomes of its results.
#pragma once

#include "platemark/plant/event.h"

namespace platemark {

enum class GaugeStudyKind { spread, bias, linearity, agreement };
template <>
struct EnumWords<GaugeStudyKind> {
  static constexpr std::array<std::string_view, 4> words{"spread", "bias", "linearity",
                                                         "agreement"};
};

enum class GaugeStanding { usable, needs_acceptance, blocked };
template <>
struct EnumWords<GaugeStanding> {
  static constexpr std::array<std::string_view, 3> words{"usable", "needs acceptance", "blocked"};
};

/// What one person read on one part, once for each trial.
struct StudyReadings {
  std::string appraiser;
  std::string part;
  std::vector<Measure> readings;
  template <class V>
  void describe(V& v) {
    v("appraiser", appraiser);
    v("part", part);
    v("readings", readings);
  }
};

/// A study of a gauge, with the inputs of its method and what came of it.
struct GaugeStudied {
  std::string gauge;
  GaugeStudyKind study = GaugeStudyKind::spread;
  std::string characteristic;
  std::string unit;                     ///< of the readings; the method takes plain numbers
  std::vector<StudyReadings> readings;  ///< of a study of the spread, as typed
  std::string method;
  std::int64_t method_version = 1;
  std::map<std::string, std::vector<Measure>> numbers;
  std::map<std::string, std::string> choices;
  std::string inputs_hash;  ///< SHA-256 over the canonical inputs
  std::vector<FigureValue> values;
  std::vector<std::string> notes;
  std::optional<GaugeStanding> standing;  ///< of a study of the spread
  std::vector<Sequence> results;          ///< of a study that blocks: those it speaks against
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("gauge", gauge);
    v("study", study);
    v("characteristic", characteristic);
    v("unit", unit);
    v("readings", readings);
    v("method", method);
    v("method_version", method_version);
    v("numbers", numbers);
    v("choices", choices);
    v("inputs_hash", inputs_hash);
    v("values", values);
    v("notes", notes);
    v("standing", standing);
    v("results", results);
    v("remark", remark);
  }
};

/// Signed: quality accepts a gauge whose study asks for it.
struct GaugeAccepted {
  std::string gauge;
  std::string characteristic;
  Sequence study = 0;
  std::string reason;
  template <class V>
  void describe(V& v) {
    v("gauge", gauge);
    v("characteristic", characteristic);
    v("study", study);
    v("reason", reason);
  }
};

/// Something shows that a gauge reads wrong; since when is not known, only when it was last right.
struct GaugeFoundWrong {
  std::string gauge;
  std::string found;              ///< in words
  std::optional<Measure> off;     ///< what it reads too much, where it is known
  std::optional<Sequence> check;  ///< the failed daily check that shows it
  Sequence last_right = 0;        ///< the check that passed, or the issue with its calibration
  Instant last_right_at;
  std::vector<Sequence> results;  ///< readings and weighings since then
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("gauge", gauge);
    v("found", found);
    v("off", off);
    v("check", check);
    v("last_right", last_right);
    v("last_right_at", last_right_at);
    v("results", results);
    v("remark", remark);
  }
};

enum class GaugeAssessment { results_stand, repeat };
template <>
struct EnumWords<GaugeAssessment> {
  static constexpr std::array<std::string_view, 2> words{"results stand", "repeat"};
};

/// Signed: what becomes of the results of a gauge that was found wrong.
struct GaugeAssessed {
  std::string gauge;
  Sequence found_wrong = 0;
  GaugeAssessment outcome = GaugeAssessment::repeat;
  std::vector<Sequence> except;   ///< results of which the opposite is said
  std::vector<Sequence> results;  ///< all that were there when it was signed
  std::string reason;
  template <class V>
  void describe(V& v) {
    v("gauge", gauge);
    v("found_wrong", found_wrong);
    v("outcome", outcome);
    v("except", except);
    v("results", results);
    v("reason", reason);
  }
};

// What they add up to.

struct StudyOnFile {
  Sequence fact = 0;
  std::string characteristic;
  Instant happened;
  Day day;
  GaugeStanding standing = GaugeStanding::blocked;
  std::string found;  ///< its figures in words
  std::optional<Sequence> accepted_by;
  std::optional<Sequence> corrected_by;
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("characteristic", characteristic);
    v("happened", happened);
    v("day", day);
    v("standing", standing);
    v("found", found);
    v("accepted_by", accepted_by);
    v("corrected_by", corrected_by);
  }
};

struct WrongOnFile {
  Sequence fact = 0;
  GaugeFoundWrong report;
  Instant happened;
  Day day;
  Day last_right_day;
  std::optional<Instant> right_again;    ///< calibrated again, or, found by a check, passed one
  std::optional<Sequence> withdrawn_by;  ///< the check that showed it was mended: it had passed
  std::optional<Sequence> assessed_by;
  std::optional<GaugeAssessed> assessed;
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("report", report);
    v("happened", happened);
    v("day", day);
    v("last_right_day", last_right_day);
    v("right_again", right_again);
    v("withdrawn_by", withdrawn_by);
    v("assessed_by", assessed_by);
    v("assessed", assessed);
  }
  /// Whether something taken then is touched by it.
  [[nodiscard]] bool reaches(Instant taken) const {
    return !withdrawn_by && taken >= report.last_right_at && (!right_again || taken < *right_again);
  }
};

/// All of one gauge.
struct GaugeTrust {
  std::vector<StudyOnFile> studies;  ///< of its spread
  std::vector<WrongOnFile> wrong;
  template <class V>
  void describe(V& v) {
    v("studies", studies);
    v("wrong", wrong);
  }
};

using GaugeTrusts = std::map<std::string, GaugeTrust>;

/// One reading or weighing with a gauge.
struct GaugeUse {
  Sequence fact = 0;
  Subject subject;
  std::string characteristic;  ///< of a weighing the material
  std::string sample;
  Instant happened;
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("subject", subject);
    v("characteristic", characteristic);
    v("sample", sample);
    v("happened", happened);
  }
};

/// The key of a use: by gauge, then by the time of it.
[[nodiscard]] std::string gaugeUseKey(const std::string& gauge, Instant happened);

namespace projection {
/// By gauge; by gaugeUseKey() and the fact; by the fact of a reading.
inline constexpr std::string_view gauge_trust = "gauge trust", gauge_use = "gauge use",
                                  gauges_of = "gauges of";
}  // namespace projection

}  // namespace platemark
