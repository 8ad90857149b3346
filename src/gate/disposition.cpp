#include "platemark/gate/disposition.h"

#include <fmt/format.h>

#include <algorithm>

#include "findings.h"

namespace platemark::gate {
namespace {

bool contains(const std::vector<std::string>& list, const std::string& item) {
  return std::find(list.begin(), list.end(), item) != list.end();
}

/// A disposition rests on the newest verdict, which must have seen everything.
Obstacles verdictObstacles(const DispositionFile& file) {
  if (!file.state.verdict)
    return {
        {fmt::format("Batch {} has not been judged at the {} gate.", file.batch, word(file.gate)),
         "quality manager", "judge it first"}};
  if (*file.state.verdict != file.verdict_named)
    return {{fmt::format("The newest verdict is fact {}, not {}.", *file.state.verdict,
                         file.verdict_named),
             "quality manager", "read the newest verdict and decide on that one"}};
  if (file.state.overtaken_by)
    return {{fmt::format("The verdict is overtaken: {}.", file.state.overtaken_why),
             "quality manager", "judge the batch again"}};
  return {};
}

bool standsAgainst(const VerdictGiven& verdict, const std::string& characteristic) {
  return std::any_of(verdict.findings.begin(), verdict.findings.end(), [&](const Finding& f) {
    return f.characteristic == characteristic && speaksAgainst(f.word);
  });
}

/// The plan must list the reaction for the characteristic; what is no line of the plan (a route, a
/// count) has no reaction at all.
std::optional<Missing> reactionMissing(const ControlPlan& plan, const std::string& characteristic,
                                       Reaction reaction) {
  for (const PlanLine& line : plan.lines)
    if (line.characteristic == characteristic &&
        std::find(line.reactions.begin(), line.reactions.end(), reaction) != line.reactions.end())
      return {};
  return Missing{fmt::format("Control plan {} does not allow {} for '{}'.", plan.code,
                             word(reaction), characteristic),
                 "quality manager", "choose a reaction that the plan lists"};
}

Obstacles characteristicObstacles(const DispositionFile& file, Reaction reaction) {
  Obstacles obstacles;
  if (file.characteristics.empty())
    obstacles.push_back({"No characteristic is named.", "quality manager",
                         "name those that stand against the batch"});
  for (const std::string& named : file.characteristics) {
    if (!standsAgainst(file.verdict, named))
      obstacles.push_back({fmt::format("'{}' does not stand against the batch.", named),
                           "quality manager", "name only what the verdict finds outside"});
    const bool redone = reaction == Reaction::rework && contains(file.redo, named);
    if (std::optional<Missing> missing = reactionMissing(file.plan, named, reaction);
        missing && !redone)
      obstacles.push_back(std::move(*missing));
  }
  return obstacles;
}

Obstacles loopObstacles(const DispositionFile& file) {
  Obstacles obstacles;
  const auto loops = static_cast<std::int64_t>(file.so_far.reworks.size());
  const std::int64_t allowed = file.plan.rework_loops.value_or(0);
  if (loops >= allowed)
    obstacles.push_back(
        {fmt::format("Control plan {} allows {} rework {} for one batch; {} {} ordered already.",
                     file.plan.code, allowed, allowed == 1 ? "loop" : "loops", loops,
                     loops == 1 ? "was" : "were"),
         "quality manager", "scrap the batch, or ask for a concession"});
  for (const Rework& rework : file.so_far.reworks)
    if (!rework.done)
      obstacles.push_back(
          {fmt::format("Rework {} is ordered and not reported done.", rework.ordered.rework),
           "finishing crew", "report it first"});
  return obstacles;
}

const Concession* named(const DispositionState& so_far, const std::optional<std::string>& code) {
  if (!code) return nullptr;
  for (const Concession& c : so_far.concessions)
    if (c.granted.concession == *code) return &c;
  return nullptr;
}

}  // namespace

Obstacles mayRework(const DispositionFile& file) {
  Obstacles obstacles = verdictObstacles(file);
  if (!obstacles.empty()) return obstacles;
  append(obstacles, characteristicObstacles(file, Reaction::rework));
  append(obstacles, loopObstacles(file));
  return obstacles;
}

Obstacles mayConcede(const DispositionFile& file, Day until) {
  Obstacles obstacles = verdictObstacles(file);
  if (!obstacles.empty()) return obstacles;
  append(obstacles, characteristicObstacles(file, Reaction::concession));
  for (const Finding& finding : file.verdict.findings) {
    if (finding.word == FindingWord::inside) continue;
    if (!speaksAgainst(finding.word))
      obstacles.push_back({"Not known, so not to be conceded: " + finding.sentence, finding.who,
                           "supply what is missing and judge again"});
    else if (!contains(file.characteristics, finding.characteristic))
      obstacles.push_back({fmt::format("'{}' stands against the batch too and is not named.",
                                       finding.characteristic),
                           "quality manager", "have it conceded as well, or rework it"});
  }
  if (until < file.today)
    obstacles.push_back({fmt::format("The concession ended on {}.", formatDay(until)),
                         "quality manager", "ask the authority for a new one"});
  return obstacles;
}

const Concession* concessionInForce(const BatchState& batch, const DispositionState& so_far) {
  for (const GateState* gate : {&batch.final, &batch.cure})
    if (const Concession* c = gate->open() ? named(so_far, gate->concession) : nullptr) return c;
  return nullptr;
}

Obstacles concessionCovers(const BatchState& batch, const DispositionState& so_far,
                           std::int64_t pads, Day today) {
  Obstacles obstacles;
  for (const GateState* gate : {&batch.cure, &batch.final}) {
    const Concession* c = gate->open() ? named(so_far, gate->concession) : nullptr;
    if (c == nullptr) continue;
    const ConcessionGranted& granted = c->granted;
    if (granted.until < today)
      obstacles.push_back({fmt::format("Concession {} ({}) ended on {}.", granted.concession,
                                       granted.reference, formatDay(granted.until)),
                           "quality manager", "ask the authority for a new one"});
    if (c->packed + pads > granted.pads)
      obstacles.push_back(
          {fmt::format("Concession {} ({}) covers {} pads; {} are boxed under it, {} more are too "
                       "many.",
                       granted.concession, granted.reference, granted.pads, c->packed, pads),
           "quality manager", "box what is left of it, and ask the authority for more"});
  }
  return obstacles;
}

Obstacles deviationCovers(const DeviationState& deviation, const std::string& part,
                          const std::string& batch, Step step, const std::string& instead_of,
                          const std::string& use, Day today) {
  const DeviationAllowed& d = deviation.allowed;
  Obstacles obstacles;
  const auto no = [&](std::string what) {
    obstacles.push_back({std::move(what), "quality manager",
                         "work as the route says, or have another deviation allowed"});
  };
  if (d.part != part || d.step != step || d.instead_of != instead_of || d.use != use)
    no(fmt::format("Deviation {} allows {} instead of {} for part {} at '{}', not this.",
                   d.deviation, d.use, d.instead_of, d.part, word(d.step)));
  if (today < d.from || d.until < today)
    no(fmt::format("Deviation {} holds from {} to {}.", d.deviation, formatDay(d.from),
                   formatDay(d.until)));
  if (!contains(deviation.used_by, batch) &&
      static_cast<std::int64_t>(deviation.used_by.size()) >= d.batches)
    no(fmt::format("Deviation {} was for {} {}, which are used up.", d.deviation, d.batches,
                   d.batches == 1 ? "batch" : "batches"));
  return obstacles;
}

std::vector<Finding> reworkFindings(Gate gate, const DispositionState& so_far) {
  std::vector<Finding> findings;
  for (const Rework& rework : so_far.reworks) {
    if (rework.done || rework.ordered.gate != gate) continue;
    findings.push_back(requirement("rework", "Rework " + rework.ordered.rework,
                                   FindingWord::missing,
                                   fmt::format("Rework {} is ordered and not reported done: {}.",
                                               rework.ordered.rework, rework.ordered.instruction),
                                   "finishing crew", {rework.order_fact}));
  }
  return findings;
}

const Rework* madeOldBy(const Evidence& evidence, const std::string& characteristic,
                        const DispositionState& so_far) {
  for (const Rework& rework : so_far.reworks)
    if (evidence.figure < rework.order_fact &&
        contains(rework.ordered.characteristics, characteristic))
      return &rework;
  return nullptr;
}

}  // namespace platemark::gate
