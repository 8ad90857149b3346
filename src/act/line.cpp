/// Blasting, and clearing a machine between two runs.
#include <fmt/format.h>

#include "platemark/gate/line.h"
#include "support.h"

namespace platemark::act {
namespace {

Decision blast(const Context& context, PlatesBlasted in) {
  const Result<BatchState> batch = require<BatchState>(context, projection::batch, in.batch);
  if (!batch) return Error(batch.error()).at({"", 0, "", "batch"});
  const Result<Issued<Part>> part =
      requireIssue<Part>(context, projection::part, batch->opened.part, batch->opened.part_issue);
  if (!part) return part.error();
  if (Result<void> c =
          checkCorrection(context, in.remark, "plates.blasted", batchSubject(in.batch));
      !c)
    return c.error();
  if (Result<void> p = permitOrReport(fmt::format("Blasting for batch {} is refused.", in.batch),
                                      mayUse(context, in.plate_lot, part->noun.plate), in.remark);
      !p)
    return p.error();
  std::vector<NewFact> facts{
      fact(context, "plates.blasted", in, {batchSubject(in.batch), lotSubject(in.plate_lot)})};
  holdIfIrregular(facts, context, in.remark, batchSubject(in.batch));
  return facts;
}

Decision clearLine(const Context& context, LineCleared in) {
  const auto machine = requireNoun<Machine>(context, projection::machine, in.machine);
  if (!machine) return Error(machine.error()).at({"", 0, "", "machine"});
  if (in.cleaned.empty())
    return badInput("line.cleaned", "Say how the machine was cleaned.", "cleaned",
                    "what was done, and what became of the flush");
  const auto last = stateAs<LineState>(context.snapshot, projection::line, in.machine);
  if (!last)
    return badInput("line.unused", fmt::format("Nothing has run on {} yet.", in.machine),
                    "machine");
  if (Result<void> c = checkCorrection(context, in.remark, "line.cleared", {"machine", in.machine});
      !c)
    return c.error();
  in.remark.irregular.clear();
  return std::vector<NewFact>{
      fact(context, "line.cleared", in, {{"machine", in.machine}, batchSubject(last->batch)})};
}

}  // namespace

gate::Obstacles mayStart(const Context& context, const std::string& machine_code,
                         const BatchState& batch, const std::string& compound) {
  const auto machine = ledger::issueInForce<Machine>(context.snapshot, projection::machine,
                                                     machine_code, context.day());
  if (!machine) return {};
  return gate::mayStartOn(machine->noun,
                          stateAs<LineState>(context.snapshot, projection::line, machine_code),
                          batch, compound);
}
gate::Obstacles mayStart(const Context& context, const std::string& machine,
                         const BatchState& batch) {
  return mayStart(context, machine, batch, batch.opened.compound);
}

std::vector<MixState> mixesOf(const Context& context, const BatchState& batch) {
  std::vector<MixState> mixes;
  for (const std::string& id : batch.mixes)
    if (auto mix = stateAs<MixState>(context.snapshot, projection::mix, id))
      mixes.push_back(std::move(*mix));
  return mixes;
}

gate::Obstacles inTime(const Context& context, Step step, const BatchState& batch, const Part& part,
                       Instant began) {
  return gate::withinWindows(part, step, batch, mixesOf(context, batch), began);
}

std::span<const Kind> lineVerbs() {
  static constexpr Kind list[] = {
      verb<PlatesBlasted, blast>("plates blast", Operation::plates,
                                 "record that plates of a batch were blasted"),
      verb<LineCleared, clearLine>("line clear", Operation::clearance,
                                   "record that a machine was cleaned and cleared of its last run"),
  };
  return list;
}

}  // namespace platemark::act
