/// The page on which a person reads the findings and decides.
#include "view.h"

namespace platemark::service::view {
namespace {

/// One thing that may be decided, with what stands in its way.
struct Choice {
  std::string_view act;
  std::string label;
  std::string meaning;
  Value::Object input;
  bool must_be_signed = false;
  bool far = false;  ///< cannot be undone: stands apart
  bool reason_wanted = false;
  std::vector<Missing> blocked;
};

Value choiceValue(Choice choice) {
  Value::Object value{{"act", choice.act},
                      {"label", std::move(choice.label)},
                      {"meaning", std::move(choice.meaning)},
                      {"input", std::move(choice.input)},
                      {"signed", choice.must_be_signed},
                      {"far", choice.far},
                      {"reason_wanted", choice.reason_wanted}};
  if (!choice.blocked.empty()) value.emplace("blocked", missingValue(choice.blocked));
  return value;
}

/// Why the newest verdict is not the last word; null when it is.
Value staleness(const GateState& gate) {
  if (!gate.verdict) return Value(say("service.judgement.none"));
  return gate.overtaken_by ? Value(gate.overtaken_why) : Value();
}

/// What keeps a verdict from being acted on.
std::vector<Missing> verdictObstacles(const GateState& gate) {
  if (!gate.verdict)
    return {{say("service.judgement.unjudged"), say("service.quality"),
             say("service.judgement.judge")}};
  if (gate.overtaken_by)
    return {{say("service.judgement.overtaken", {{"why", gate.overtaken_why}}),
             say("service.quality"), say("service.judgement.again")}};
  if (gate.outcome != Outcome::conforms)
    return {{say("service.judgement.against", {{"outcome", word(gate.outcome)}}),
             say("service.quality"), say("service.judgement.settle")}};
  return {};
}

void append(std::vector<Missing>& to, std::vector<Missing> more) {
  to.insert(to.end(), more.begin(), more.end());
}

Choice lotChoice(const Look& look, const LotState& lot, std::string_view disposition) {
  const std::string& id = lot.received.lot;
  const bool clear = disposition == "clear";
  Choice choice{"lot/decide",
                say(clear                   ? "service.lot.clear"
                    : disposition == "hold" ? "service.lot.hold"
                                            : "service.lot.refuse"),
                say("service.lot.meaning", {{"lot", id}, {"disposition", disposition}}),
                {{"lot", id}, {"disposition", disposition}},
                false,
                disposition == "refuse",
                !clear,
                permitObstacles(look, "lot decide")};
  if (clear) append(choice.blocked, verdictObstacles(lot.gate));
  return choice;
}

Value page(const Subject& subject, std::string_view gate, std::string title, Value bar, Value stale,
           std::string_view judge_act, Value::Array decisions, Value::Array review) {
  return Value::Object{{"subject", subjectValue(subject)},  {"gate", gate},
                       {"title", std::move(title)},         {"bar", std::move(bar)},
                       {"stale", std::move(stale)},         {"judge_act", judge_act},
                       {"decisions", std::move(decisions)}, {"review", std::move(review)}};
}

Result<Value> lotJudgement(const Look& look, const Subject& subject) {
  const Result<gate::LotFile> file = act::lotFile(look.snapshot, subject.id, look.today());
  if (!file) return file.error();
  Value::Array decisions;
  for (const std::string_view disposition : {"clear", "hold", "refuse"})
    decisions.push_back(choiceValue(lotChoice(look, file->lot, disposition)));
  const VerdictGiven now = gate::judgeLot(*file);
  return page(subject, word(Gate::lot),
              say("service.lot.title", {{"lot", subject.id}, {"material", file->material.name}}),
              barValue(look, {Gate::lot, subject, file->lot.gate, now, true}),
              staleness(file->lot.gate), "lot/judge", std::move(decisions), {});
}

/// What is signed, once more before the signature.
Value::Array reviewOf(const Look& look, const gate::BatchFile& file, const GateState& gate) {
  Value::Array review;
  const auto line = [&](std::string label, std::string value) {
    review.push_back(Value::Object{{"label", std::move(label)}, {"value", std::move(value)}});
  };
  const BatchOpened& opened = file.batch.opened;
  line(say("service.review.batch"), opened.batch);
  line(say("service.review.part"),
       issueWords(file.part.code + " " + file.part.name, opened.part_issue));
  line(say("service.review.compound"), issueWords(file.compound.name, opened.compound_issue));
  if (file.underlayer)
    line(say("service.review.underlayer"),
         issueWords(file.underlayer->name, opened.underlayer->issue));
  line(say("service.review.pads"), grouped(gate::goodPads(file.batch, file.dispositions)));
  if (gate.verdict)
    line(say("service.review.verdict"),
         say("service.review.verdict_of",
             {{"fact", *gate.verdict}, {"outcome", word(gate.outcome)}}));
  if (!gate.digest.empty()) line(say("service.review.digest"), gate.digest);
  line(say("service.review.head"), look.snapshot.head());
  return review;
}

Choice releaseChoice(const Look& look, const std::string& batch, Gate gate,
                     const GateState& state) {
  const std::string meaning = say(
      gate == Gate::cure ? "service.release.cure" : "service.release.final", {{"batch", batch}});
  Choice choice{"batch/release",
                say("service.release.label"),
                meaning,
                {{"batch", batch},
                 {"gate", word(gate)},
                 {"verdict", state.verdict.value_or(0)},
                 {"meaning", meaning}},
                true,
                false,
                false,
                permitObstacles(look, "batch release", Value::Object{{"gate", word(gate)}})};
  append(choice.blocked, verdictObstacles(state));
  if (state.open()) choice.blocked.push_back({say("service.release.already"), "", ""});
  return choice;
}

Result<Value> batchJudgement(const Look& look, Gate gate, const Subject& subject) {
  const Result<gate::BatchFile> file = act::batchFile(look.snapshot, subject.id, look.today());
  if (!file) return file.error();
  const BatchState& batch = file->batch;
  const GateState& state = gate == Gate::cure ? batch.cure : batch.final;
  const VerdictGiven now = gate::judgeBatch(gate, *file);
  const bool reached = gate == Gate::cure || batch.cure.open();
  return page(subject, word(gate),
              say("service.judgement.title", {{"batch", subject.id}, {"gate", word(gate)}}),
              barValue(look, {gate, subject, state, now, reached}), staleness(state), "batch/judge",
              {choiceValue(releaseChoice(look, subject.id, gate, state))},
              reviewOf(look, *file, state));
}

}  // namespace

Result<Value> judgement(const Look& look, const std::string& gate_name, const Subject& subject) {
  const Result<Gate> gate = fromValue<Gate>(Value(gate_name), "gate");
  if (!gate) return gate.error();
  return subject.kind == "lot" ? lotJudgement(look, subject) : batchJudgement(look, *gate, subject);
}

}  // namespace platemark::service::view
