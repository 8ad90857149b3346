/// The bake of a coat at the final gate: is it on record for every pad, and known?
#include <fmt/format.h>

#include <algorithm>

#include "findings.h"
#include "platemark/gate/finishing.h"

namespace platemark::gate {
namespace {

constexpr const char* who = "finishing crew";

std::vector<const BakeDone*> bakesOf(const BatchState& batch, const std::string& operation) {
  std::vector<const BakeDone*> bakes;
  for (const BakeDone& bake : batch.bakes)
    if (bake.operation == operation && !bake.corrected_by) bakes.push_back(&bake);
  return bakes;
}

std::int64_t coatedPads(const BatchState& batch, const std::string& operation) {
  std::int64_t pads = 0;
  for (const StepDone& run : batch.steps)
    if (run.step == Step::finish && run.what == operation && !run.corrected_by)
      pads += run.counts.good;
  return pads;
}

Finding coverage(const BatchFile& file, const FinishingNeed& need,
                 const std::vector<const BakeDone*>& bakes) {
  std::int64_t baked = 0;
  std::vector<Sequence> facts;
  for (const BakeDone* bake : bakes) {
    baked += bake->pads;
    facts.push_back(bake->fact);
  }
  const std::int64_t coated = coatedPads(file.batch, need.operation);
  if (bakes.empty())
    return requirement("bake", "Bake", FindingWord::missing,
                       fmt::format("'{}': no bake is on record; the part asks for programme {}.",
                                   need.operation, *need.bake),
                       who);
  if (baked < coated)
    return requirement("bake", "Bake", FindingWord::missing,
                       fmt::format("'{}': {} good pads were coated; the bake of {} is on record.",
                                   need.operation, coated, baked),
                       who, facts);
  return requirement(
      "bake", "Bake", FindingWord::inside,
      fmt::format("'{}': the bake of all {} good pads is on record.", need.operation, coated), "",
      facts);
}

bool isBakeLine(const PlanLine& line) {
  return line.gate == Gate::final && line.method == bake_method;
}

/// Why the figures of a bake do not hold this output; empty when they do.
std::string whyUnknown(const BatchFile& file, const BakeDone& bake, const std::string& output) {
  for (const Evidence& evidence : file.batch.evidence) {
    if (evidence.method != bake_method || evidence.corrected_by || evidence.reading != bake.fact)
      continue;
    if (!evidence.doubts.empty()) return evidence.doubts.front();
    for (const FigureValue& value : evidence.values)
      if (value.name == output)
        return value.determined ? "" : value.why.value_or("it could not be determined");
  }
  return "no figure of it is on record";
}

/// One good bake must not speak for another one that is not known.
void addUnknown(std::vector<Finding>& findings, const BatchFile& file, const BakeDone& bake) {
  for (const PlanLine& line : file.plan.lines) {
    if (!isBakeLine(line)) continue;
    const std::string why = whyUnknown(file, bake, line.output);
    if (!why.empty())
      findings.push_back(requirement(line.characteristic, line.words, FindingWord::missing,
                                     fmt::format("{}: not known for the bake of {} pads on {}: {}",
                                                 line.words, bake.pads, bake.machine, why),
                                     line.who, {bake.fact}));
  }
}

/// The first putting on of the coat; none: it is not on record.
std::optional<Instant> coatedAt(const BatchState& batch, const std::string& operation) {
  std::optional<Instant> first;
  for (const StepDone& run : batch.steps)
    if (run.step == Step::finish && run.what == operation && !run.corrected_by &&
        (!first || run.happened < *first))
      first = run.happened;
  return first;
}

Missing otherRecording(std::string what) {
  return {std::move(what), who, "take the file of this bake, and look at the recorder's clock"};
}

Obstacles mayBeOfBake(const BakeRecording& recording, const std::optional<Instant>& coated,
                      Instant now, std::string_view zone) {
  constexpr std::int64_t slack_ms = 5 * 60 * 1000;
  if (coated && recording.to <= *coated)
    return {
        otherRecording(fmt::format("The recording ends at {}; the coat was put on at {}.",
                                   formatLocal(recording.to, zone), formatLocal(*coated, zone)))};
  if (recording.to.unixMs() > now.unixMs() + slack_ms)
    return {otherRecording(fmt::format("The recording ends at {}, which has not come yet.",
                                       formatLocal(recording.to, zone)))};
  return {};
}

}  // namespace

Obstacles mayBake(const BatchState& batch, const BakeRecorded& bake, Instant now,
                  std::string_view zone) {
  Obstacles obstacles = mayFinish(batch);
  const std::optional<Instant> coated = coatedAt(batch, bake.operation);
  const std::int64_t pads = coatedPads(batch, bake.operation);
  if (!coated)
    obstacles.push_back(
        {fmt::format("Batch {}: '{}' is not on record.", bake.batch, bake.operation), who,
         "report it first"});
  else if (bake.pads > pads)
    obstacles.push_back(
        {fmt::format("{} good pads were coated, not {}.", pads, bake.pads), who, "count again"});
  if (bake.recording)
    for (Missing& missing : mayBeOfBake(*bake.recording, coated, now, zone))
      obstacles.push_back(std::move(missing));
  return obstacles;
}

std::vector<Finding> bakeFindings(const BatchFile& file, const FinishingNeed& need) {
  if (!need.bake) return {};
  const std::vector<const BakeDone*> bakes = bakesOf(file.batch, need.operation);
  std::vector<Finding> findings{coverage(file, need, bakes)};
  if (std::none_of(file.plan.lines.begin(), file.plan.lines.end(), isBakeLine))
    findings.push_back(requirement(
        "bake", "Bake", FindingWord::no_limit,
        fmt::format("'{}': no limit for its bake is on file.", need.operation), "quality manager"));
  // The plan's own line says it of a single one.
  if (bakes.size() > 1)
    for (const BakeDone* bake : bakes) addUnknown(findings, file, *bake);
  return findings;
}

}  // namespace platemark::gate
