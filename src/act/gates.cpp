/// Judging a batch, signing its release, adopting a limit, holds.
#include <fmt/format.h>

#include <algorithm>

#include "support.h"

namespace platemark::act {
namespace {

struct JudgeBatch {
  std::string batch;
  Gate gate = Gate::cure;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("gate", gate);
  }
};

const GateState& gateOf(const BatchState& batch, Gate gate) {
  return gate == Gate::cure ? batch.cure : batch.final;
}

Result<void> checkGate(Gate gate) {
  if (gate == Gate::cure || gate == Gate::final) return {};
  return badInput("gate.not_of_a_batch",
                  fmt::format("A batch does not meet the {} gate here.", word(gate)), "gate",
                  "cure, final");
}

std::string openedBy(const GateState& state) {
  return state.release ? fmt::format("released by fact {}", *state.release)
                       : fmt::format("opened by concession {}", *state.concession);
}

Error conflict(std::string_view code, std::string what) {
  Error error = badInput(code, std::move(what), "batch");
  error.fault = Fault::conflict;
  return error;
}

Decision judge(const Context& context, JudgeBatch in) {
  if (Result<void> c = checkGate(in.gate); !c) return c.error();
  Result<gate::BatchFile> file = batchFile(context.snapshot, in.batch, context.today());
  if (!file) return file.error();
  const GateState& state = gateOf(file->batch, in.gate);
  if (state.open())
    return conflict("gate.open", fmt::format("Nothing has come since the {} gate was {}.",
                                             word(in.gate), openedBy(state)));
  return std::vector<NewFact>{
      fact(context, "verdict.given", gate::judgeBatch(in.gate, *file), {batchSubject(in.batch)})};
}

struct Release {
  std::string batch;
  Gate gate = Gate::cure;
  Sequence verdict = 0;
  std::string meaning;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("gate", gate);
    v("verdict", verdict);
    v("meaning", meaning);
  }
};

/// A release rests on the newest verdict of its gate, which must conform and have seen everything.
gate::Obstacles mayRelease(const BatchState& batch, const Release& in) {
  const GateState& state = gateOf(batch, in.gate);
  if (!state.verdict)
    return {{fmt::format("Batch {} has not been judged at the {} gate.", in.batch, word(in.gate)),
             "quality manager", "judge it first"}};
  if (*state.verdict != in.verdict)
    return {{fmt::format("The newest verdict is fact {}, not {}.", *state.verdict, in.verdict),
             "quality manager", "read the newest verdict and sign that one"}};
  if (state.overtaken_by)
    return {{fmt::format("The verdict is overtaken: {}.", state.overtaken_why), "quality manager",
             "judge the batch again"}};
  if (state.outcome != Outcome::conforms)
    return {{fmt::format("The verdict says '{}'.", word(state.outcome)), "quality manager",
             "settle its findings; a release needs a verdict that conforms"}};
  return gate::openHolds(batch.holds);
}

Decision release(const Context& context, Release in) {
  if (Result<void> c = checkGate(in.gate); !c) return c.error();
  Result<BatchState> batch = require<BatchState>(context, projection::batch, in.batch);
  if (!batch) return batch.error();
  if (in.meaning.empty())
    return badInput("release.meaning", "A signature needs its meaning in words.", "meaning");
  const GateState& state = gateOf(*batch, in.gate);
  if (state.open())
    return conflict("release.signed", fmt::format("The {} gate of batch {} was {}.", word(in.gate),
                                                  in.batch, openedBy(state)));
  const auto person = stateAs<Issued<Person>>(context.snapshot, projection::person,
                                              ledger::nowKey(std::to_string(context.person)));
  gate::Obstacles obstacles;
  if (person->noun.public_key.empty())
    obstacles.push_back(
        {"the person has no signing key on record", "quality manager", "have the key issued"});
  for (Missing& missing : mayRelease(*batch, in)) obstacles.push_back(std::move(missing));
  if (!obstacles.empty())
    return gate::refusal(
        fmt::format("Batch {} cannot be released at the {} gate.", in.batch, word(in.gate)),
        std::move(obstacles));
  const ReleaseSigned signed_release{in.gate,      batchSubject(in.batch), in.verdict,
                                     state.digest, state.outcome,          in.meaning};
  return std::vector<NewFact>{
      fact(context, "release.signed", signed_release, {batchSubject(in.batch)})};
}

Decision adopt(const Context& context, LimitAdopted in) {
  const auto plan = requireIssue<ControlPlan>(context, projection::plan, in.plan, in.plan_issue);
  if (!plan) return plan.error();
  const auto& lines = plan->noun.lines;
  const auto line = std::find_if(lines.begin(), lines.end(), [&](const PlanLine& l) {
    return l.characteristic == in.characteristic;
  });
  if (line == lines.end())
    return badInput("adopt.unknown",
                    fmt::format("Plan {} has no characteristic '{}'.", in.plan, in.characteristic),
                    "characteristic");
  if (std::all_of(line->limits.begin(), line->limits.end(),
                  [](const Limit& l) { return l.source.confirmed; }))
    return badInput("adopt.confirmed", "Every limit of this characteristic is confirmed already.",
                    "characteristic");
  if (in.document_read.empty())
    return badInput("adopt.document", "Name the document that was read: title, edition, page.",
                    "document_read");
  return std::vector<NewFact>{fact(context, "limit.adopted", in, {{"plan", in.plan}})};
}

Decision hold(const Context& context, HoldPlaced in) {
  if (in.why.empty()) return badInput("hold.why", "A hold needs its reason.", "why");
  if (in.subject.kind != "batch" && in.subject.kind != "lot")
    return badInput("hold.subject", "A hold is placed on a batch or a lot.", "subject.kind",
                    "batch, lot");
  if (!context.snapshot.state(in.subject.kind, in.subject.id))
    return unknown(in.subject.kind, in.subject.id);
  return std::vector<NewFact>{fact(context, "hold.placed", in, {in.subject})};
}

Decision lift(const Context& context, HoldLifted in) {
  if (in.why.empty()) return badInput("hold.why", "Lifting a hold needs its reason.", "why");
  const std::optional<Value> state = context.snapshot.state(
      in.subject.kind == "lot" ? projection::lot : projection::batch, in.subject.id);
  if (!state) return unknown(in.subject.kind, in.subject.id);
  const Result<std::vector<Hold>> holds = fromValue<std::vector<Hold>>((*state)["holds"]);
  if (!holds) return holds.error();
  const bool open = std::any_of(holds->begin(), holds->end(),
                                [&](const Hold& h) { return h.fact == in.hold && !h.lifted_by; });
  if (!open)
    return badInput(
        "hold.none",
        fmt::format("Fact {} is no open hold of {} {}.", in.hold, in.subject.kind, in.subject.id),
        "hold");
  return std::vector<NewFact>{fact(context, "hold.lifted", in, {in.subject})};
}

Operation releasePermit(const Value& input) {
  return input.text("gate") == word(Gate::final) ? Operation::final_gate : Operation::cure_gate;
}

constexpr Kind releaseVerb() {
  Kind kind = verb<Release, release>("batch release", Operation::cure_gate,
                                     "sign the release of a batch at a gate", true);
  kind.operation_for = releasePermit;
  return kind;
}

}  // namespace

std::span<const Kind> gateVerbs() {
  static constexpr Kind list[] = {
      verb<JudgeBatch, judge>("batch judge", Operation::laboratory,
                              "compare a batch's figures with its control plan at a gate"),
      releaseVerb(),
      verb<LimitAdopted, adopt>("limit adopt", Operation::adoption,
                                "adopt an unconfirmed limit after reading its document", true),
      verb<HoldPlaced, hold>("hold place", Operation::laboratory, "put a batch or a lot on hold"),
      verb<HoldLifted, lift>("hold lift", Operation::cure_gate, "lift a hold with its reason"),
  };
  return list;
}

}  // namespace platemark::act
