/// What the pads of a load saw is computed off the writer; it is recorded only while the record
/// still says what it was computed from.
#include <fmt/format.h>

#include <algorithm>

#include "platemark/act/heat_files.h"
#include "support.h"

namespace platemark::act {
namespace {

struct RecordHeat {
  HeatComputed computed;
  std::vector<FigureComputed> figures;  ///< one for each batch
  template <class V>
  void describe(V& v) {
    v("computed", computed);
    v("figures", figures);
  }
};

Error overtaken(const std::string& load, const std::string& what) {
  Error error;
  error.fault = Fault::conflict;
  error.code = "heat.overtaken";
  error.what =
      fmt::format("While the heat of load {} was computed, {} on record changed.", load, what);
  error.remedy = "Compute it again.";
  return error;
}

std::vector<KineticsUsed> kineticsOf(const HeatFiles& files) {
  std::vector<KineticsUsed> used;
  for (const HeatBatch& batch : files.batches)
    if (batch.kinetics) {
      KineticsUsed one{batch.kinetics->noun.code, batch.kinetics->issue, batch.adopted};
      if (std::find(used.begin(), used.end(), one) == used.end()) used.push_back(std::move(one));
    }
  return used;
}

/// What it rests on is still what the record says, in the writer's turn.
Result<void> stillHolds(const HeatComputed& computed, const HeatFiles& files) {
  if (computed.recording != files.recording) return overtaken(computed.load, "its recording");
  if (computed.oven_issue != files.oven.issue) return overtaken(computed.load, "the oven");
  if (!(computed.survey == IssueUsed{files.survey.noun.code, files.survey.issue}))
    return overtaken(computed.load, "the survey of the oven");
  if (!(computed.stacking == IssueUsed{files.stacking.noun.code, files.stacking.issue}))
    return overtaken(computed.load, "the stacking of the oven");
  if (computed.kinetics != kineticsOf(files)) return overtaken(computed.load, "the kinetics");
  return {};
}

Decision recordHeat(const Context& context, RecordHeat in) {
  const Result<HeatFiles> files =
      heatFiles(context.snapshot, in.computed.load, context.happened.zone);
  if (!files) return files.error();
  if (Result<void> holds = stillHolds(in.computed, *files); !holds) return holds.error();
  std::vector<Subject> subjects{{"load", in.computed.load}};
  for (const HeatBatch& batch : files->batches) subjects.push_back(batchSubject(batch.batch));
  std::vector<NewFact> facts{fact(context, "heat.computed", in.computed, subjects)};
  for (std::size_t i = 0; i < in.figures.size(); ++i) {
    FigureComputed& figure = in.figures[i];
    if (std::find(subjects.begin(), subjects.end(), figure.subject) == subjects.end() ||
        figure.subject.kind != "batch")
      return badInput(
          "heat.other_batch",
          fmt::format("Batch {} did not lie in load {}.", figure.subject.id, in.computed.load),
          fmt::format("figures[{}].subject", i));
    // A corrected recording takes its figures along.
    figure.readings = {in.computed.recording};
    facts.push_back(fact(context, "figure.computed", figure, {figure.subject, subjects.front()}));
  }
  return facts;
}

}  // namespace

std::span<const Kind> loadHeatVerbs() {
  static constexpr Kind list[] = {
      verb<RecordHeat, recordHeat>("load heat", Operation::oven,
                                   "compute what the pads of a load saw", false, true),
  };
  return list;
}

}  // namespace platemark::act
