/// What the verbs of this room share.
#pragma once

#include <string>

#include "platemark/act/act.h"
#include "platemark/act/files.h"
#include "platemark/gate/gauge_trust.h"
#include "platemark/gate/permission.h"

namespace platemark::act {

using ledger::Decision;
using ledger::Snapshot;
using ledger::stateAs;

/// A fact of this context, in the newest version of its kind.
template <class Body>
NewFact fact(const Context& context, std::string kind, const Body& body,
             std::vector<Subject> subjects) {
  const FactKind* known = findFactKind(kind);
  return {std::move(kind),     known == nullptr ? 1 : known->version,
          context.happened,    context.person,
          std::move(subjects), toValue(body)};
}

[[nodiscard]] Error unknown(std::string_view kind, std::string_view id);
[[nodiscard]] Error badInput(std::string_view code, std::string what, std::string field,
                             std::string expected = "");

/// The state of a thing that must exist.
template <class State>
Result<State> require(const Context& context, std::string_view projection, const std::string& id) {
  std::optional<State> state = stateAs<State>(context.snapshot, projection, id);
  if (!state) return unknown(projection, id);
  return std::move(*state);
}

/// A noun whose first issue is not in force yet.
[[nodiscard]] Error notInForce(std::string_view kind, const std::string& code, Day from);

/// The issue of a noun that is in force on the day of the happening; it must exist.
template <class Noun>
Result<Issued<Noun>> requireNoun(const Context& context, std::string_view projection,
                                 const std::string& code) {
  auto issued = ledger::issueInForce<Noun>(context.snapshot, projection, code, context.day());
  if (issued) return std::move(*issued);
  const auto first = stateAs<Issued<Noun>>(context.snapshot, projection, ledger::issueKey(code, 1));
  if (first) return notInForce(projection, code, *first->effective);
  return unknown(projection, code);
}
template <class Noun>
Result<Issued<Noun>> requireIssue(const Context& context, std::string_view projection,
                                  const std::string& code, std::int64_t issue) {
  std::optional<Issued<Noun>> issued =
      stateAs<Issued<Noun>>(context.snapshot, projection, ledger::issueKey(code, issue));
  if (!issued) return unknown(projection, code);
  return std::move(*issued);
}

/// The gauge as it was issued on the day of the happening: a calibration of today does not reach
/// back. Before its first issue, the first stands. Errors: gauge.unknown.
[[nodiscard]] Result<Gauge> gaugeThen(const Context& context, const std::string& code);

/// A machine on record of the class the step needs. Errors: machine.unknown, machine.other_class;
/// both name the machines of that class.
[[nodiscard]] Result<void> checkMachine(const Context& context, const std::string& code,
                                        MachineClass wanted);
/// Of a machine that has stations one of them is named; of one that has none, none. Errors:
/// press.station_missing, press.station_unknown, press.no_stations.
[[nodiscard]] Result<void> checkStation(const Context& context, const std::string& machine,
                                        const std::optional<std::string>& station);
/// "press-4, station B"
[[nodiscard]] inline std::string placeName(const std::string& machine, const std::string& station) {
  return machine + ", station " + station;
}

/// Law 2: with obstacles, a question is refused; a report with its reason is kept and marked
/// irregular.
[[nodiscard]] Result<void> permitOrReport(std::string what, gate::Obstacles obstacles,
                                          Remark& remark);
/// The hold that follows an irregular report; nothing when it was regular.
void holdIfIrregular(std::vector<NewFact>& facts, const Context& context, const Remark& remark,
                     const Subject& subject);
/// A correction must name a fact of the same kind about the same thing that nothing has corrected
/// yet.
[[nodiscard]] Result<void> checkCorrection(const Context& context, const Remark& remark,
                                           std::string_view kind, const Subject& subject);
/// The number of the thing that the mended fact is about, by its member; a new one when nothing is
/// mended. Call checkCorrection() on the answer.
[[nodiscard]] std::string numberOf(const Context& context, const Remark& remark,
                                   std::string_view fact_kind, std::string_view member,
                                   const std::string& fresh);
/// For things that get a number of their own: a second one is a second thing.
[[nodiscard]] Result<void> checkNoCorrection(const Remark& remark, std::string_view instead);
[[nodiscard]] Result<void> checkCounts(const Counts& counts);

/// What was decided about the batch so far.
[[nodiscard]] DispositionState dispositionsOf(const Context& context, const std::string& batch);
/// Whether the lot may be used as this material; an unknown lot is an obstacle too.
[[nodiscard]] gate::Obstacles mayUse(const Context& context, const std::string& lot,
                                     const std::string& material);
/// Whether the machine is clear for this batch; an unknown machine says nothing here.
[[nodiscard]] gate::Obstacles mayStart(const Context& context, const std::string& machine,
                                       const BatchState& batch);
/// The same for a mixer and the compound to be mixed.
[[nodiscard]] gate::Obstacles mayStart(const Context& context, const std::string& machine,
                                       const BatchState& batch, const std::string& compound);
[[nodiscard]] std::vector<MixState> mixesOf(const Context& context, const BatchState& batch);
/// Whether the step's time windows still hold when it began.
[[nodiscard]] gate::Obstacles inTime(const Context& context, Step step, const BatchState& batch,
                                     const Part& part, Instant began);
/// Whether the first piece that the plan asks for is judged; `operation` is "press" or a finishing
/// one. A press that has stations is set up for each of them.
[[nodiscard]] gate::Obstacles mayRun(const Context& context, const BatchState& batch,
                                     const std::string& operation, const std::string& machine,
                                     const std::optional<std::string>& station = {});
/// Why a reading of this gauge, taken now, cannot count.
[[nodiscard]] std::vector<std::string> gaugeDoubts(const Context& context, const Gauge& gauge);
/// The gauge, and what was measured with it, each once.
[[nodiscard]] std::vector<Subject> subjectsOf(const std::string& gauge,
                                              const std::vector<GaugeUse>& uses);
/// What a failed check leads to: the report that the gauge was found wrong, and the holds on what
/// it measured since it was last right. Nothing while an earlier failed check is still open.
void findWrongByCheck(std::vector<NewFact>& facts, const Context& context, const Gauge& gauge,
                      std::string found);
/// A check that was mended and had passed: the holds that the failed one led to are lifted.
void liftWithdrawn(std::vector<NewFact>& facts, const Context& context, const std::string& gauge,
                   Sequence check);
inline void append(gate::Obstacles& to, gate::Obstacles more) {
  to.insert(to.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

/// "M-0007": the next number of a kind of fact.
[[nodiscard]] std::string nextNumber(const Snapshot& snapshot, std::string_view fact_kind,
                                     std::string_view prefix, int digits);

[[nodiscard]] inline Subject batchSubject(std::string id) { return {"batch", std::move(id)}; }
[[nodiscard]] inline Subject lotSubject(std::string id) { return {"lot", std::move(id)}; }

/// A verb whose input is a described struct.
template <class Input, Decision (*decide)(const Context&, Input)>
Decision decideWith(const Context& context, const Value& input) {
  Result<Input> read = fromValue<Input>(input);
  if (!read) return read.error();
  return decide(context, std::move(*read));
}
template <class Input, Decision (*decide)(const Context&, Input)>
constexpr Kind verb(std::string_view name, Operation operation, std::string_view words,
                    bool must_be_signed = false, bool prepared = false) {
  return {name,
          operation,
          words,
          must_be_signed,
          prepared,
          &fieldsOf<Input>,
          &decideWith<Input, decide>};
}

/// Each file of this room lists its verbs.
std::span<const Kind> nounVerbs();
std::span<const Kind> lotVerbs();
std::span<const Kind> storeRoomVerbs();
std::span<const Kind> gaugeCheckVerbs();
std::span<const Kind> gaugeStudyVerbs();
std::span<const Kind> gaugeWrongVerbs();
std::span<const Kind> lineVerbs();
std::span<const Kind> setUpVerbs();
std::span<const Kind> makingVerbs();
std::span<const Kind> pressVerbs();
std::span<const Kind> cureVerbs();
std::span<const Kind> kineticsVerbs();
std::span<const Kind> loadHeatVerbs();
std::span<const Kind> laboratoryVerbs();
std::span<const Kind> gateVerbs();
std::span<const Kind> dispositionVerbs();
std::span<const Kind> finishingVerbs();
std::span<const Kind> bakeVerbs();
std::span<const Kind> packingVerbs();
std::span<const Kind> cartonVerbs();

/// What stands in the way of pads of this batch leaving on the day of the act. Errors:
/// batch.unknown, part.unknown.
[[nodiscard]] Result<gate::Obstacles> mayLeaveNow(const Context& context, const std::string& batch);

/// What does not fit about so many pads as so many sets in a box of this size. Errors:
/// material.unknown, box.size, box_choice.*.
[[nodiscard]] Result<gate::Obstacles> boxObstacles(const Context& context, const Part& part,
                                                   std::int64_t pads, std::int64_t sets,
                                                   const std::optional<std::string>& size);

/// The cartons that are to be sent, by their numbers, with the boxes in them.
struct CartonsSent {
  std::vector<std::string> cartons;
  std::vector<std::string> boxes;
  gate::Obstacles obstacles;
};
/// Loose boxes must not lie in a carton; what left with this very shipment may stand in its
/// correction. Errors: sscc.*, carton.unknown, shipment.doubled.
[[nodiscard]] Result<CartonsSent> cartonsToSend(const Context& context, const std::string& shipment,
                                                const std::vector<std::string>& loose,
                                                const std::vector<std::string>& cartons);

/// Reading and figure of one measurement, computed by the catalogue.
struct Measurement {
  Subject subject;
  std::string characteristic;
  std::string sample;
  std::string method;
  std::vector<std::string> gauges;
  std::map<std::string, std::vector<Measure>> numbers;
  std::map<std::string, std::string> choices;
  std::optional<std::string> repeat_because;
  Remark remark;
  std::optional<std::string> attachment = {};  ///< the instrument's file
};
/// Appends reading.taken and figure.computed. Errors: method.unknown, gauge.unknown, what the
/// method says.
[[nodiscard]] Result<void> measure(std::vector<NewFact>& facts, const Context& context,
                                   Measurement measurement, std::vector<Subject> subjects);

}  // namespace platemark::act
