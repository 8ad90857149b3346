/// The set-up gate: the first piece of a run is measured and judged before the run.
#include "platemark/plant/set_up.h"

#include <fmt/format.h>

#include <algorithm>

#include "platemark/gate/line.h"
#include "support.h"

namespace platemark::act {
namespace {

struct MakeSetUp {
  std::string batch;
  std::string operation;
  std::string machine;
  std::optional<std::string> station;
  std::string tool;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("operation", operation);
    v("machine", machine);
    v("station", station);
    v.defaulted("tool", tool);
    v("remark", remark);
  }
};

std::string operationsAskedFor(const ControlPlan& plan) {
  std::string names;
  for (const PlanLine& line : plan.lines)
    if (line.gate == Gate::set_up && line.operation &&
        (", " + names + ", ").find(", " + *line.operation + ", ") == std::string::npos)
      names += (names.empty() ? "" : ", ") + *line.operation;
  return names;
}

Decision make(const Context& context, MakeSetUp in) {
  const Result<BatchState> batch = require<BatchState>(context, projection::batch, in.batch);
  if (!batch) return Error(batch.error()).at({"", 0, "", "batch"});
  const auto plan = requireIssue<ControlPlan>(context, projection::plan, batch->opened.plan,
                                              batch->opened.plan_issue);
  if (!plan) return plan.error();
  const auto machine = requireNoun<Machine>(context, projection::machine, in.machine);
  if (!machine) return Error(machine.error()).at({"", 0, "", "machine"});
  if (Result<void> c = checkStation(context, in.machine, in.station); !c) return c.error();
  const std::string asked = operationsAskedFor(plan->noun);
  if ((", " + asked + ", ").find(", " + in.operation + ", ") == std::string::npos)
    return badInput("set-up.not_asked",
                    fmt::format("Control plan {} asks for no first piece of '{}'.", plan->noun.code,
                                in.operation),
                    "operation",
                    asked.empty() ? "an operation with a line at the set-up gate" : asked);
  if (Result<void> c = checkNoCorrection(in.remark, "Record another set-up: the newest counts.");
      !c)
    return c.error();
  if (Result<void> p = permitOrReport(
          fmt::format("Setting up {} for batch {} is refused.", in.machine, in.batch),
          mayStart(context, in.machine, *batch), in.remark);
      !p)
    return p.error();
  const SetUpMade made{nextNumber(context.snapshot, "set-up.made", "E-", 4),
                       in.batch,
                       in.operation,
                       in.machine,
                       in.station,
                       in.tool,
                       in.remark};
  std::vector<NewFact> facts{
      fact(context, "set-up.made", made,
           {{"set-up", made.set_up}, batchSubject(in.batch), {"machine", in.machine}})};
  holdIfIrregular(facts, context, in.remark, batchSubject(in.batch));
  return facts;
}

struct JudgeSetUp {
  std::string set_up;
  template <class V>
  void describe(V& v) {
    v("set_up", set_up);
  }
};

Decision judge(const Context& context, JudgeSetUp in) {
  const Result<gate::SetUpFile> file = setUpFile(context.snapshot, in.set_up);
  if (!file) return Error(file.error()).at({"", 0, "", "set_up"});
  return std::vector<NewFact>{fact(context, "verdict.given", gate::judgeSetUp(*file),
                                   {{"set-up", in.set_up}, batchSubject(file->set_up.made.batch)})};
}

}  // namespace

gate::Obstacles mayRun(const Context& context, const BatchState& batch,
                       const std::string& operation, const std::string& machine,
                       const std::optional<std::string>& station) {
  const auto plan =
      stateAs<Issued<ControlPlan>>(context.snapshot, projection::plan,
                                   ledger::issueKey(batch.opened.plan, batch.opened.plan_issue));
  if (!plan) return {};
  const auto newest =
      stateAs<std::string>(context.snapshot, projection::set_up_for,
                           setUpKey(batch.opened.batch, operation, machine, station));
  return gate::mayRun(
      plan->noun, operation, station ? placeName(machine, *station) : machine,
      newest ? stateAs<SetUpState>(context.snapshot, projection::set_up, *newest) : std::nullopt);
}

std::span<const Kind> setUpVerbs() {
  static constexpr Kind list[] = {
      verb<MakeSetUp, make>("set-up make", Operation::set_up,
                            "record that a machine is set up and has made its first piece"),
      verb<JudgeSetUp, judge>("set-up judge", Operation::set_up,
                              "compare the first piece with the control plan"),
  };
  return list;
}

}  // namespace platemark::act
