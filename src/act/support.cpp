#include "support.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

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

namespace {

/// Every fact about the subject after one of them, in order, until the visitor says to stop.
template <class Visit>
void eachFactOf(const Context& context, const Subject& subject, Sequence after, Visit visit) {
  constexpr std::size_t page = 500;
  for (;;) {
    const std::vector<Fact> facts = context.snapshot.factsOf(subject, after, page);
    for (const Fact& f : facts)
      if (!visit(f)) return;
    if (facts.size() < page) return;
    after = facts.back().sequence;
  }
}

}  // namespace

Error notInForce(std::string_view kind, const std::string& code, Day from) {
  Error error = badInput(
      "noun.not_in_force",
      fmt::format("{} {} is on file; it is in force from {}.", kind, code, formatDay(from)), "");
  error.remedy = "Wait for that day, or issue it with an earlier one.";
  return error;
}

Result<Gauge> gaugeThen(const Context& context, const std::string& code) {
  std::optional<Gauge> then;
  eachFactOf(context, {"gauge", code}, 0, [&](const Fact& f) {
    if (f.kind != "gauge.issued") return true;
    auto issued = fromValue<Issued<Gauge>>(f.body);
    const Day from = issued->effective.value_or(dayIn(f.happened.instant, f.happened.zone));
    if (!then || from <= context.day()) then = std::move(issued->noun);
    return true;
  });
  if (!then) return unknown(projection::gauge, code);
  return std::move(*then);
}

Result<void> checkMachine(const Context& context, const std::string& code, MachineClass wanted) {
  std::string of_class;
  bool known = false;
  for (const Issued<Machine>& m : allOf<Machine>(context.snapshot, projection::machine)) {
    known = known || m.noun.code == code;
    if (m.noun.machine_class != wanted) continue;
    if (m.noun.code == code) return {};
    of_class += (of_class.empty() ? "" : ", ") + m.noun.code;
  }
  Error error =
      badInput(known ? "machine.other_class" : "machine.unknown",
               known ? fmt::format("Machine {} is not of the class '{}'.", code, word(wanted))
                     : fmt::format("There is no machine '{}' on record.", code),
               "machine", of_class.empty() ? "a machine on record" : of_class);
  error.remedy = "Take one of the machines named, or have the machine issued.";
  return error;
}

Result<void> checkStation(const Context& context, const std::string& machine,
                          const std::optional<std::string>& station) {
  const auto noun = requireNoun<Machine>(context, projection::machine, machine);
  if (!noun) return Error(noun.error()).at({"", 0, "", "machine"});
  const std::vector<std::string>& stations = noun->noun.stations;
  const std::string named = fmt::format("{}", fmt::join(stations, ", "));
  if (stations.empty() && station)
    return badInput("press.no_stations", fmt::format("Machine {} has no stations.", machine),
                    "station", "nothing");
  if (stations.empty()) return {};
  if (!station)
    return badInput("press.station_missing",
                    fmt::format("Machine {} has stations; none was named.", machine), "station",
                    named);
  if (std::find(stations.begin(), stations.end(), *station) != stations.end()) return {};
  return badInput("press.station_unknown",
                  fmt::format("Machine {} has no station '{}'.", machine, *station), "station",
                  named);
}

Result<void> permitOrReport(std::string what, gate::Obstacles obstacles, Remark& remark) {
  remark.irregular.clear();
  if (obstacles.empty()) return {};
  if (!remark.why || remark.why->empty()) {
    Error refused = gate::refusal(std::move(what), std::move(obstacles));
    refused.remedy =
        "Settle what is missing. If it has happened all the same, report it with the reason; it "
        "will be kept and held.";
    return refused;
  }
  for (const Missing& missing : obstacles) remark.irregular.push_back(missing.what);
  return {};
}

void holdIfIrregular(std::vector<NewFact>& facts, const Context& context, const Remark& remark,
                     const Subject& subject) {
  if (remark.irregular.empty()) return;
  const std::string why = fmt::format("it happened without permission ({}); given reason: {}",
                                      remark.irregular.front(), *remark.why);
  facts.push_back(fact(context, "hold.placed", HoldPlaced{subject, why}, {subject}));
}

namespace {

/// Two corrections of one fact would both count; the second has to mend the first.
Result<void> checkNotMendedYet(const Context& context, const Fact& mended, const Subject& subject) {
  std::optional<Sequence> by;
  eachFactOf(context, subject, mended.sequence, [&](const Fact& f) {
    const std::int64_t* corrects =
        f.kind == mended.kind ? f.body["remark"]["corrects"].asInteger() : nullptr;
    if (corrects != nullptr && *corrects == mended.sequence) by = f.sequence;
    return !by;
  });
  if (!by) return {};
  Error error =
      badInput("correction.mended",
               fmt::format("Fact {} was corrected by fact {} already.", mended.sequence, *by),
               "remark.corrects");
  error.fault = Fault::conflict;
  error.remedy = fmt::format("Look at fact {}; if it is wrong too, correct that one.", *by);
  return error;
}

}  // namespace

Result<void> checkNoCorrection(const Remark& remark, std::string_view instead) {
  if (!remark.corrects) return {};
  Error error =
      badInput("correction.not_here", "This report cannot be corrected by another of its kind.",
               "remark.corrects");
  error.remedy = std::string(instead);
  return error;
}

Result<void> checkCorrection(const Context& context, const Remark& remark, std::string_view kind,
                             const Subject& subject) {
  if (!remark.corrects) return {};
  const std::string field = "remark.corrects";
  if (!remark.why || remark.why->empty())
    return badInput("correction.why_missing", "A correction needs its reason.", "remark.why");
  const std::optional<Fact> mended = context.snapshot.fact(*remark.corrects);
  if (!mended)
    return badInput("correction.unknown", fmt::format("There is no fact {}.", *remark.corrects),
                    field);
  if (mended->kind != kind)
    return badInput("correction.other_kind",
                    fmt::format("Fact {} is '{}'; it cannot be mended by '{}'.", *remark.corrects,
                                mended->kind, kind),
                    field);
  const bool about_it = std::find(mended->subjects.begin(), mended->subjects.end(), subject) !=
                        mended->subjects.end();
  if (about_it) return checkNotMendedYet(context, *mended, subject);
  return badInput(
      "correction.other_subject",
      fmt::format("Fact {} is not about {} {}.", *remark.corrects, subject.kind, subject.id),
      field);
}

std::string numberOf(const Context& context, const Remark& remark, std::string_view fact_kind,
                     std::string_view member, const std::string& fresh) {
  if (!remark.corrects) return fresh;
  const std::optional<Fact> mended = context.snapshot.fact(*remark.corrects);
  return mended && mended->kind == fact_kind ? mended->body.text(member) : fresh;
}

Result<void> checkCounts(const Counts& counts) {
  bool negative = counts.good < 0 || counts.samples < 0 || counts.rework < 0;
  for (const auto& [reason, n] : counts.scrap) negative = negative || n < 0;
  if (negative)
    return badInput("counts.negative", "A count cannot be below zero.", "counts",
                    "whole numbers from 0");
  return {};
}

DispositionState dispositionsOf(const Context& context, const std::string& batch) {
  return stateAs<DispositionState>(context.snapshot, projection::disposition, batch)
      .value_or(DispositionState{});
}

gate::Obstacles mayUse(const Context& context, const std::string& lot_id,
                       const std::string& material) {
  const auto lot = stateAs<LotState>(context.snapshot, projection::lot, lot_id);
  if (!lot)
    return {{fmt::format("Lot {} is not on record.", lot_id), "goods-in",
             "receive the lot, or scan the label again"}};
  return gate::mayUseLot(*lot, material, context.day());
}

std::string nextNumber(const Snapshot& snapshot, std::string_view fact_kind,
                       std::string_view prefix, int digits) {
  const std::optional<Value> counter = snapshot.state(projection::counter, fact_kind);
  const std::int64_t* n = counter ? counter->asInteger() : nullptr;
  return fmt::format("{}{:0{}}", prefix, (n == nullptr ? 0 : *n) + 1, digits);
}

}  // namespace platemark::act
