#include "support.h"

#include <fmt/format.h>

namespace platemark::act {

Error unknown(std::string_view kind, std::string_view id) {
  Error error;
  error.fault = Fault::not_found;
  error.code = std::string(kind) + ".unknown";
  error.what = fmt::format("There is no {} '{}' on record.", kind, id);
  error.remedy = fmt::format("Check the number, or record the {} first.", kind);
  return error;
}

Error badInput(std::string_view code, std::string what, std::string field, std::string expected) {
  Error error;
  error.code = std::string(code);
  error.what = std::move(what);
  error.where.field = std::move(field);
  error.expected = std::move(expected);
  return error;
}

Result<void> permitOrReport(std::string what, gate::Obstacles obstacles, Remark& remark) {
  remark.irregular.clear();
  if (obstacles.empty()) return {};
  if (!remark.why || remark.why->empty()) {
    Error refused = gate::refusal(std::move(what), std::move(obstacles));
    refused.remedy = "Settle what is missing. If it has happened all the same, report it with the reason; it will be kept and held.";
    return refused;
  }
  for (const Missing& missing : obstacles) remark.irregular.push_back(missing.what);
  return {};
}

void holdIfIrregular(std::vector<NewFact>& facts, const Context& context, const Remark& remark, const Subject& subject) {
  if (remark.irregular.empty()) return;
  const std::string why = fmt::format("it happened without permission ({}); given reason: {}", remark.irregular.front(), *remark.why);
  facts.push_back(fact(context, "hold.placed", HoldPlaced{subject, why}, {subject}));
}

Result<void> checkCorrection(const Context& context, const Remark& remark, std::string_view kind, const Subject& subject) {
  if (!remark.corrects) return {};
  const std::string field = "remark.corrects";
  if (!remark.why || remark.why->empty()) return badInput("correction.why_missing", "A correction needs its reason.", "remark.why");
  const std::optional<Fact> mended = context.snapshot.fact(*remark.corrects);
  if (!mended) return badInput("correction.unknown", fmt::format("There is no fact {}.", *remark.corrects), field);
  if (mended->kind != kind) return badInput("correction.other_kind", fmt::format("Fact {} is '{}'; it cannot be mended by '{}'.", *remark.corrects, mended->kind, kind), field);
  for (const Subject& s : mended->subjects)
    if (s == subject) return {};
  return badInput("correction.other_subject", fmt::format("Fact {} is not about {} {}.", *remark.corrects, subject.kind, subject.id), field);
}

Result<void> checkCounts(const Counts& counts) {
  bool negative = counts.good < 0 || counts.samples < 0 || counts.rework < 0;
  for (const auto& [reason, n] : counts.scrap) negative = negative || n < 0;
  if (negative) return badInput("counts.negative", "A count cannot be below zero.", "counts", "whole numbers from 0");
  return {};
}

std::string nextNumber(const Snapshot& snapshot, std::string_view fact_kind, std::string_view prefix, int digits) {
  const std::optional<Value> counter = snapshot.state(projection::counter, fact_kind);
  const std::int64_t* n = counter ? counter->asInteger() : nullptr;
  return fmt::format("{}{:0{}}", prefix, (n == nullptr ? 0 : *n) + 1, digits);
}

}  // namespace platemark::act
