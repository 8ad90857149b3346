/// What the facts add up to: the states that acts, gates and pages read. They
/// are derived, can be dropped and are rebuilt to the same.
#pragma once

#include "platemark/plant/bake.h"
#include "platemark/plant/cure.h"

namespace platemark {

/// One result on record for a thing: a figure with what it rests on.
struct Evidence {
  Sequence figure = 0;
  std::optional<Sequence> reading;
  std::string characteristic;
  std::string sample;
  std::string method;
  std::int64_t method_version = 1;
  std::vector<FigureValue> values;
  std::vector<std::string> gauges;       ///< of the reading
  std::vector<std::string> doubts;       ///< kept, not counted
  std::optional<Sequence> corrected_by;  ///< superseded, shown, not counted
  bool repeat = false;
  Instant happened;
  template <class V>
  void describe(V& v) {
    v("figure", figure);
    v("reading", reading);
    v("characteristic", characteristic);
    v("sample", sample);
    v("method", method);
    v("method_version", method_version);
    v("values", values);
    v("gauges", gauges);
    v("doubts", doubts);
    v("corrected_by", corrected_by);
    v("repeat", repeat);
    v("happened", happened);
  }
};

/// A hold that somebody must lift, or that lifts itself when its cause is corrected.
struct Hold {
  Sequence fact = 0;
  std::string why;
  std::optional<Sequence> lifted_by;
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("why", why);
    v("lifted_by", lifted_by);
  }
};

/// The newest verdict of a gate and what became of it.
struct GateState {
  std::optional<Sequence> verdict;
  Outcome outcome = Outcome::cannot_decide;
  Sequence seen = 0;
  std::string digest;
  std::optional<Sequence> overtaken_by;  ///< a later or corrected fact on its evidence
  std::string overtaken_why;
  std::optional<Sequence> release;
  std::optional<PersonNumber> released_by;
  std::optional<Instant> released_at;
  std::optional<std::string> concession;  ///< granted on this verdict
  template <class V>
  void describe(V& v) {
    v("verdict", verdict);
    v("outcome", outcome);
    v("seen", seen);
    v("digest", digest);
    v("overtaken_by", overtaken_by);
    v("overtaken_why", overtaken_why);
    v("release", release);
    v("released_by", released_by);
    v("released_at", released_at);
    v("concession", concession);
  }
  /// Released or conceded, and nothing has come since that the verdict did not see.
  [[nodiscard]] bool open() const {
    return (release.has_value() || concession.has_value()) && !overtaken_by.has_value();
  }
};

/// One step that happened to a batch.
struct StepDone {
  Sequence fact = 0;
  Step step = Step::plates;
  std::string what;  ///< finishing operation, load, mix …
  std::string machine;
  std::optional<std::string> station;   ///< of a press run
  std::vector<std::string> cavities;    ///< the same
  std::optional<Instant> started;       ///< the same, by the press's own times
  std::optional<Instant> ended;         ///< the same
  std::optional<std::int64_t> strokes;  ///< the same
  std::optional<Measure> press_time;    ///< the same, of one stroke
  Counts counts;
  bool counted = false;  ///< the step reports counts
  std::vector<std::string> lots;
  std::vector<UsedLot> used;           ///< of a finishing operation, with their pieces
  std::optional<std::string> printed;  ///< the same
  std::vector<SpotPut> spots;          ///< the same
  Instant happened;
  std::optional<Sequence> corrected_by;
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("step", step);
    v("what", what);
    v("machine", machine);
    v("station", station);
    v("cavities", cavities);
    v("started", started);
    v("ended", ended);
    v("strokes", strokes);
    v("press_time", press_time);
    v("counts", counts);
    v("counted", counted);
    v("lots", lots);
    v("used", used);
    v("printed", printed);
    v("spots", spots);
    v("happened", happened);
    v("corrected_by", corrected_by);
  }
};

struct LotState {
  LotReceived received;
  Sequence received_fact = 0;
  std::string plan;
  LotDisposition disposition = LotDisposition::hold;
  std::string decided_why;
  std::optional<Sequence> decided_by;
  std::optional<Sequence> extended_by;  ///< the newest fact that moved its use-by day
  std::vector<Evidence> evidence;
  GateState gate;
  std::vector<std::string> used_in;  ///< "mix 2231-1", "batch K7M4J-7"
  std::vector<Hold> holds;
  template <class V>
  void describe(V& v) {
    v("received", received);
    v("received_fact", received_fact);
    v("plan", plan);
    v("disposition", disposition);
    v("decided_why", decided_why);
    v("decided_by", decided_by);
    v("extended_by", extended_by);
    v("evidence", evidence);
    v("gate", gate);
    v("used_in", used_in);
    v("holds", holds);
  }
};

struct WeighingDone {
  Sequence fact = 0;
  std::string material;
  std::string lot;
  Measure wanted;
  Measure tolerance;
  Measure mass;
  std::string gauge;
  Instant happened;
  std::vector<std::string> irregular;
  std::optional<Sequence> corrected_by;
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("material", material);
    v("lot", lot);
    v("wanted", wanted);
    v("tolerance", tolerance);
    v("mass", mass);
    v.defaulted("gauge", gauge);
    v.defaulted("happened", happened);
    v("irregular", irregular);
    v("corrected_by", corrected_by);
  }
};

struct MixState {
  MixOpened opened;
  Instant opened_at;
  std::vector<WeighingDone> weighings;
  std::optional<MixFinished> finished;
  std::optional<Instant> finished_at;
  template <class V>
  void describe(V& v) {
    v("opened", opened);
    v("opened_at", opened_at);
    v("weighings", weighings);
    v("finished", finished);
    v("finished_at", finished_at);
  }
};

struct BatchState {
  BatchOpened opened;
  Instant opened_at;
  std::optional<Instant> blasted_at;  ///< the newest blasting of its plates
  std::vector<StepDone> steps;
  std::vector<BakeDone> bakes;  ///< of coats
  std::vector<std::string> mixes;
  std::vector<std::string> loads;
  std::vector<Sample> samples;
  std::vector<Sequence> samples_drawn;  ///< for each sample the fact that drew it
  std::vector<Evidence> evidence;
  std::vector<Hold> holds;
  GateState cure;
  GateState final;
  std::vector<std::string> boxes;
  std::int64_t boxed = 0;
  std::int64_t shipped = 0;
  std::vector<std::string> certificates;  ///< attachment hashes, newest last
  template <class V>
  void describe(V& v) {
    v("opened", opened);
    v("opened_at", opened_at);
    v("blasted_at", blasted_at);
    v("steps", steps);
    v("bakes", bakes);
    v("mixes", mixes);
    v("loads", loads);
    v("samples", samples);
    v("samples_drawn", samples_drawn);
    v("evidence", evidence);
    v("holds", holds);
    v("cure", cure);
    v("final", final);
    v("boxes", boxes);
    v("boxed", boxed);
    v("shipped", shipped);
    v("certificates", certificates);
  }
};

struct LoadState {
  LoadBuilt built;
  Instant built_at;
  std::vector<CureRecorded> recordings;
  std::vector<Sequence> recording_facts;
  std::vector<Evidence> evidence;
  std::vector<ChartMark> marks;
  std::optional<HeatComputed> heat;  ///< of the newest recording, unless that was mended since
  std::optional<Sequence> heat_fact;
  template <class V>
  void describe(V& v) {
    v("built", built);
    v("built_at", built_at);
    v("recordings", recordings);
    v("recording_facts", recording_facts);
    v("evidence", evidence);
    v("marks", marks);
    v("heat", heat);
    v("heat_fact", heat_fact);
  }
};

struct BoxState {
  BoxPacked packed;
  std::string shipment;
  std::string carton;  ///< in which it lies
  template <class V>
  void describe(V& v) {
    v("packed", packed);
    v("shipment", shipment);
    v.defaulted("carton", carton);
  }
};

struct ShipmentState {
  Shipped shipped;
  std::vector<std::string> batches;
  template <class V>
  void describe(V& v) {
    v("shipped", shipped);
    v("batches", batches);
  }
};

struct Adoption {
  Sequence fact = 0;
  LimitAdopted adopted;
  PersonNumber person = 0;
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("adopted", adopted);
    v("person", person);
  }
};

/// Names of the projections, so that no room spells them by hand.
namespace projection {
inline constexpr std::string_view material = "material", compound = "compound", part = "part",
                                  machine = "machine", gauge = "gauge", person = "person",
                                  plan = "plan", programme = "programme", approval = "approval",
                                  layout = "layout";
inline constexpr std::string_view lot = "lot", mix = "mix", batch = "batch", load = "load",
                                  box = "box", shipment = "shipment", adoption = "adoption",
                                  counter = "counter", code = "code";
}  // namespace projection

}  // namespace platemark
