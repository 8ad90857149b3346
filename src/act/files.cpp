#include "platemark/act/files.h"

#include <algorithm>

#include "support.h"

namespace platemark::act {
namespace {

template <class Noun>
Result<Noun> noun(const Snapshot& snapshot, std::string_view projection, const std::string& code,
                  std::int64_t issue) {
  auto issued = stateAs<Issued<Noun>>(snapshot, projection, ledger::issueKey(code, issue));
  if (!issued) return unknown(projection, code);
  return std::move(issued->noun);
}

/// Lots of a batch: those of its steps and those weighed into its mixes, each once.
std::vector<std::string> lotsOf(const BatchState& batch, const std::vector<MixState>& mixes) {
  std::vector<std::string> lots;
  const auto add = [&](const std::string& lot) {
    for (const std::string& known : lots)
      if (known == lot) return;
    lots.push_back(lot);
  };
  for (const StepDone& step : batch.steps)
    if (!step.corrected_by && step.step == Step::plates)
      for (const std::string& lot : step.lots) add(lot);
  for (const MixState& mix : mixes)
    for (const WeighingDone& w : mix.weighings)
      if (!w.corrected_by) add(w.lot);
  return lots;
}

/// Lots that finishing and its reworks put on, each once.
std::vector<std::string> finishingLotsOf(const BatchState& batch, const DispositionState& so_far) {
  std::vector<std::string> lots;
  const auto add = [&](const std::string& lot) {
    if (std::find(lots.begin(), lots.end(), lot) == lots.end()) lots.push_back(lot);
  };
  for (const StepDone& step : batch.steps)
    if (!step.corrected_by && step.step == Step::finish)
      for (const std::string& lot : step.lots) add(lot);
  for (const Rework& rework : so_far.reworks)
    if (rework.done)
      for (const SpotPut& spot : rework.done->spots) add(spot.lot);
  return lots;
}

template <class State>
std::vector<State> states(const Snapshot& snapshot, std::string_view projection,
                          const std::vector<std::string>& ids) {
  std::vector<State> list;
  for (const std::string& id : ids)
    if (auto state = stateAs<State>(snapshot, projection, id)) list.push_back(std::move(*state));
  return list;
}

void addTrust(GaugeTrusts& trusts, const Snapshot& snapshot, const std::string& gauge) {
  if (gauge.empty() || trusts.contains(gauge)) return;
  trusts.emplace(gauge, gaugeTrustOf(snapshot, gauge));
}

/// What is known of the gauges behind these results.
GaugeTrusts trustsOf(const Snapshot& snapshot, const std::vector<Evidence>& evidence) {
  GaugeTrusts trusts;
  for (const Evidence& e : evidence)
    for (const std::string& gauge : e.gauges) addTrust(trusts, snapshot, gauge);
  return trusts;
}

/// The same of a batch: its results and its weighings.
GaugeTrusts trustsOf(const Snapshot& snapshot, const BatchState& batch,
                     const std::vector<MixState>& mixes) {
  GaugeTrusts trusts = trustsOf(snapshot, batch.evidence);
  for (const MixState& mix : mixes)
    for (const WeighingDone& w : mix.weighings) addTrust(trusts, snapshot, w.gauge);
  return trusts;
}

}  // namespace

GaugeTrust gaugeTrustOf(const Snapshot& snapshot, std::string_view gauge) {
  return stateAs<GaugeTrust>(snapshot, projection::gauge_trust, gauge).value_or(GaugeTrust{});
}

std::vector<Adoption> adoptionsOf(const Snapshot& snapshot, std::string_view plan,
                                  std::int64_t issue) {
  std::vector<Adoption> list;
  const std::string of_plan = std::string(plan) + "/" + std::to_string(issue) + "/";
  for (const auto& [key, adoption] :
       ledger::allStates<Adoption>(snapshot, projection::adoption, of_plan))
    list.push_back(*adoption);
  return list;
}

Result<gate::LotFile> lotFile(const Snapshot& snapshot, std::string_view lot, Day today) {
  auto state = stateAs<LotState>(snapshot, projection::lot, lot);
  if (!state) return unknown(projection::lot, lot);
  gate::LotFile file;
  const auto material = ledger::issueInForce<Material>(snapshot, projection::material,
                                                       state->received.material, today);
  if (!material) return unknown(projection::material, state->received.material);
  file.material = material->noun;
  if (file.material.plan) {
    const auto plan =
        ledger::issueInForce<ControlPlan>(snapshot, projection::plan, *file.material.plan, today);
    if (!plan) return unknown(projection::plan, *file.material.plan);
    file.plan = plan->noun;
    file.plan_issue = plan->issue;
    file.adoptions = adoptionsOf(snapshot, plan->noun.code, plan->issue);
  }
  file.gauges = trustsOf(snapshot, state->evidence);
  file.lot = std::move(*state);
  file.seen = snapshot.sequence();
  return file;
}

Result<gate::SetUpFile> setUpFile(const Snapshot& snapshot, std::string_view set_up) {
  auto state = stateAs<SetUpState>(snapshot, projection::set_up, set_up);
  if (!state) return unknown(projection::set_up, set_up);
  const auto batch = stateAs<BatchState>(snapshot, projection::batch, state->made.batch);
  if (!batch) return unknown(projection::batch, state->made.batch);
  auto plan =
      noun<ControlPlan>(snapshot, projection::plan, batch->opened.plan, batch->opened.plan_issue);
  if (!plan) return plan.error();
  gate::SetUpFile file;
  file.plan = std::move(*plan);
  file.plan_issue = batch->opened.plan_issue;
  file.adoptions = adoptionsOf(snapshot, file.plan.code, file.plan_issue);
  file.gauges = trustsOf(snapshot, state->evidence);
  file.seen = snapshot.sequence();
  file.set_up = std::move(*state);
  return file;
}

std::vector<Issued<Approval>> approvalsOn(const Snapshot& snapshot, Day day) {
  std::vector<Issued<Approval>> list;
  for (const Issued<Approval>& newest : allOf<Approval>(snapshot, projection::approval))
    if (auto then =
            ledger::issueInForce<Approval>(snapshot, projection::approval, newest.noun.code, day))
      list.push_back(std::move(*then));
  return list;
}

gate::CoverFile coverFile(const Snapshot& snapshot, const BatchState& batch, const Part& part,
                          Day day) {
  const auto lots = states<LotState>(snapshot, projection::lot, lotsOf(batch, {}));
  return {gate::madeOf(batch, part, lots, snapshot.plant()), approvalsOn(snapshot, day)};
}

Result<gate::BatchFile> batchFile(const Snapshot& snapshot, std::string_view batch, Day today) {
  auto state = stateAs<BatchState>(snapshot, projection::batch, batch);
  if (!state) return unknown(projection::batch, batch);
  const BatchOpened& opened = state->opened;
  gate::BatchFile file;
  auto part = noun<Part>(snapshot, projection::part, opened.part, opened.part_issue);
  if (!part) return part.error();
  auto compound =
      noun<Compound>(snapshot, projection::compound, opened.compound, opened.compound_issue);
  if (!compound) return compound.error();
  if (opened.underlayer) {
    auto lower = noun<Compound>(snapshot, projection::compound, opened.underlayer->compound,
                                opened.underlayer->issue);
    if (!lower) return lower.error();
    file.underlayer = std::move(*lower);
  }
  auto plan = noun<ControlPlan>(snapshot, projection::plan, opened.plan, opened.plan_issue);
  if (!plan) return plan.error();
  file.part = std::move(*part);
  file.compound = std::move(*compound);
  file.plan = std::move(*plan);
  file.plan_issue = opened.plan_issue;
  file.mixes = states<MixState>(snapshot, projection::mix, state->mixes);
  file.loads = states<LoadState>(snapshot, projection::load, state->loads);
  file.lots = states<LotState>(snapshot, projection::lot, lotsOf(*state, file.mixes));
  file.cover = {gate::madeOf(*state, file.part, file.lots, snapshot.plant()),
                approvalsOn(snapshot, today)};
  file.adoptions = adoptionsOf(snapshot, opened.plan, opened.plan_issue);
  file.dispositions = stateAs<DispositionState>(snapshot, projection::disposition, batch)
                          .value_or(DispositionState{});
  file.finishing_lots =
      states<LotState>(snapshot, projection::lot, finishingLotsOf(*state, file.dispositions));
  file.gauges = trustsOf(snapshot, *state, file.mixes);
  file.today = today;
  file.seen = snapshot.sequence();
  file.batch = std::move(*state);
  return file;
}

}  // namespace platemark::act
