/// Everything a verdict rests on, gathered from a snapshot.
#pragma once

#include "platemark/gate/judge.h"
#include "platemark/ledger/projections.h"

namespace platemark::act {

/// Errors: lot.unknown, plan.unknown, material.unknown.
[[nodiscard]] Result<gate::LotFile> lotFile(const ledger::Snapshot& snapshot, std::string_view lot,
                                            Day today);
/// Errors: batch.unknown, part.unknown, compound.unknown, plan.unknown.
[[nodiscard]] Result<gate::BatchFile> batchFile(const ledger::Snapshot& snapshot,
                                                std::string_view batch, Day today);
/// Errors: set-up.unknown, plan.unknown.
[[nodiscard]] Result<gate::SetUpFile> setUpFile(const ledger::Snapshot& snapshot,
                                                std::string_view set_up);
/// Readings and weighings with the gauge from a moment on, in the order of time.
[[nodiscard]] std::vector<GaugeUse> usesSince(const ledger::Snapshot& snapshot,
                                              const std::string& gauge, Instant from);
/// What is known of a gauge: its studies, and whether it was found wrong.
[[nodiscard]] GaugeTrust gaugeTrustOf(const ledger::Snapshot& snapshot, std::string_view gauge);
/// The approvals on record, each as its issue in force on the day says it.
[[nodiscard]] std::vector<Issued<Approval>> approvalsOn(const ledger::Snapshot& snapshot, Day day);
/// What the batch is made of, and the approvals of the day.
[[nodiscard]] gate::CoverFile coverFile(const ledger::Snapshot& snapshot, const BatchState& batch,
                                        const Part& part, Day day);
[[nodiscard]] std::vector<Adoption> adoptionsOf(const ledger::Snapshot& snapshot,
                                                std::string_view plan, std::int64_t issue);

}  // namespace platemark::act
