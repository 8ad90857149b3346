/// What the pages are told: states and verdicts put into words and lists. The
/// words come from the gate and from states; nothing is judged here.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "platemark/act/act.h"
#include "platemark/act/files.h"
#include "platemark/figure/strip.h"
#include "platemark/gate/balance.h"
#include "platemark/gate/counts.h"
#include "platemark/plant/state.h"
#include "platemark/service/house.h"
#include "platemark/words/words.h"

namespace platemark::service::view {

using words::say;

/// What a view is made from: one snapshot, who looks, and the plant's card.
struct Look {
  const ledger::Snapshot& snapshot;
  const PlantCard& card;
  std::optional<Person> person;
  const ledger::People& people;
  [[nodiscard]] Day today() const { return dayIn(snapshot.now(), card.zone); }
};

// --- words ---
[[nodiscard]] std::string dayAndTime(const Look& look, Instant instant);  ///< "2026-11-23 06:10"
[[nodiscard]] std::string clockTime(const Look& look, Instant instant);   ///< "06:10"
[[nodiscard]] std::string monthDay(const Look& look, Instant instant);    ///< "11-23"
[[nodiscard]] std::string lasted(Instant from, Instant to);               ///< "1 d 2 h", "14 min"
[[nodiscard]] std::string grouped(std::int64_t n);          ///< "2 400" with thin space
[[nodiscard]] std::string capital(std::string_view words);  ///< "Conforms"
[[nodiscard]] std::string issueWords(std::string_view what, std::int64_t issue);
/// The sentence for one or for more of a thing; {n} is the number.
[[nodiscard]] std::string counted(std::int64_t n, std::string_view one, std::string_view more);
/// Their duty; once their name is erased the number with that, and the duty.
[[nodiscard]] std::string dutyOf(const Look& look, PersonNumber number);

// --- parts that several pages show ---
[[nodiscard]] Value missingValue(const std::vector<Missing>& missing);
[[nodiscard]] Value subjectValue(const Subject& subject);
[[nodiscard]] std::string hrefOf(const Subject& subject);
/// Limits of a finding in words, with source and state of confirmation.
[[nodiscard]] Value limitsValue(const Look& look, const Finding& finding, const std::string& plan,
                                std::int64_t plan_issue);
[[nodiscard]] Value findingValue(const Look& look, const Finding& finding, const std::string& plan,
                                 std::int64_t plan_issue);
/// "2.180 to 2.300 g/cm³", "at least 118 °C". The finding has a limit.
[[nodiscard]] std::string limitWords(const Finding& finding);
[[nodiscard]] Value holdsValue(const Look& look, const std::vector<Hold>& holds);
/// An act that may be wanted now, with what stands in its way.
[[nodiscard]] Value permittedValue(const Look& look, std::string_view act, std::string label,
                                   Value::Object prefill, std::vector<Missing> obstacles = {},
                                   const std::string& href = "");
/// One gate of one thing: state, what is missing, findings, verdict, release.
struct BarInput {
  Gate gate;
  Subject subject;
  const GateState& state;
  const VerdictGiven& now;  ///< what the gate says of the record as it stands
  bool reached = true;      ///< false: the thing has not come to this bar yet
};
[[nodiscard]] Value barValue(const Look& look, const BarInput& input);
/// The evidence strip of a finding; nothing when it has neither limit nor result.
[[nodiscard]] std::optional<figure::StripInput> stripInput(const Finding& finding);
/// The same as SVG; "" when none can be drawn.
[[nodiscard]] std::string stripSvg(const Finding& finding);
/// "2.188 ± 0.011 g/cm³"
[[nodiscard]] std::string resultWords(const Finding& finding);
/// "2.188", to stand apart from its unit.
[[nodiscard]] std::string resultNumber(const Finding& finding);
[[nodiscard]] std::string uncertaintyWords(const Finding& finding);
/// "; lot C-1, 76 pieces; printed “MF-1041”; 430 °C at left edge, lot T-430"
[[nodiscard]] std::string putOnWords(const StepDone& step);
/// " of “coat”: 38 pads, line-3, programme PB-200; metal hot enough for 11 min"
[[nodiscard]] std::string bakeWords(const BatchState& batch, const BakeDone& bake);
/// "hold", "released", … of a batch.
[[nodiscard]] std::string_view markOf(const gate::BatchFile& file, const VerdictGiven& cure_now);
/// The first sentence a person should read about a batch.
[[nodiscard]] std::string batchSentence(const Look& look, const BatchState& batch,
                                        const VerdictGiven& cure_now,
                                        const VerdictGiven& final_now);
/// Good pads after all steps and all that was decided.
[[nodiscard]] std::int64_t goodPads(const Look& look, const BatchState& batch);
[[nodiscard]] DispositionState dispositionsOf(const Look& look, const std::string& batch);
/// "2 400 plates stamped − 4 scrapped (chipped) = 2 396 pads"
[[nodiscard]] std::string countsSentence(const BatchState& batch, const DispositionState& so_far);
/// Its counts with what was decided about it.
[[nodiscard]] gate::Balance balanceFor(const Look& look, const BatchState& batch);
/// May the looking person do this act? The obstacles when not.
[[nodiscard]] std::vector<Missing> permitObstacles(const Look& look, std::string_view act,
                                                   const Value& input = {});
/// One line on a fact.
[[nodiscard]] std::string factWords(const Fact& fact);
[[nodiscard]] Value factLine(const Look& look, const Fact& fact);

// --- pages ---
[[nodiscard]] Value today(const Look& look);
/// Two issues of a compound beside each other: each line in parts, mass and volume; void-free
/// density, target, porosity; limited substances; the lots and parts that it touches. Errors:
/// compound.unknown, compound.density_missing, composition.*.
[[nodiscard]] Result<Value> formulaChange(const Look& look, const std::string& code,
                                          const std::string& from, const std::string& to);
/// Batches opened since a day ("": of the last quarter), those that do not balance first.
[[nodiscard]] Result<Value> yield(const Look& look, const std::string& since);
[[nodiscard]] Value batches(const Look& look, const std::string& after);
[[nodiscard]] Result<Value> batch(const Look& look, const std::string& id);
[[nodiscard]] Value lots(const Look& look, const std::string& after);
[[nodiscard]] Result<Value> lot(const Look& look, const std::string& id);
[[nodiscard]] Value loads(const Look& look, const std::string& after);
[[nodiscard]] Result<Value> load(const Look& look, const std::string& id);
[[nodiscard]] Result<Value> fact(const Look& look, const ledger::Store& store, Sequence sequence);
/// How a figure was worked out, replayed from its readings.
[[nodiscard]] Result<Value> figureWorking(const Look& look, const Fact& figure);
[[nodiscard]] Value facts(const Look& look, const Subject& subject, Sequence after);
[[nodiscard]] Result<Value> find(const Look& look, const std::string& code);
[[nodiscard]] Value acts();
[[nodiscard]] Value nounKinds(const Look& look);
[[nodiscard]] Result<Value> nouns(const Look& look, const std::string& kind,
                                  const std::string& after);
[[nodiscard]] Result<Value> noun(const Look& look, const std::string& kind,
                                 const std::string& code);
/// A characteristic of a control plan across batches or lots: the newest 200 results.
[[nodiscard]] Result<Value> characteristic(const Look& look, const std::string& plan,
                                           const std::string& name);
/// One gauge: calibration, checks, studies, results, and what was found wrong.
[[nodiscard]] Result<Value> gauge(const Look& look, const std::string& code);
[[nodiscard]] Value methods();
[[nodiscard]] Result<Value> evaluate(const std::string& method, const Value& asked);
[[nodiscard]] Result<Value> laboratory(const Look& look, const Subject& subject);
/// Lots and batches for which the bench still owes results, the longest waiting first.
[[nodiscard]] Value bench(const Look& look);
[[nodiscard]] Result<Value> judgement(const Look& look, const std::string& gate,
                                      const Subject& subject);
[[nodiscard]] Result<Value> adoption(const Look& look, const std::string& plan, std::int64_t issue,
                                     const std::string& characteristic);

}  // namespace platemark::service::view
