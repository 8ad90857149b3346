/// Approval cover as pages and terminal show it: each need by dimension, and what ends soon.
#include "cover.h"

#include <fmt/format.h>

#include <algorithm>

#include "platemark/gate/cover.h"

namespace platemark::service::view {
namespace {

using Approvals = std::vector<Issued<Approval>>;

std::string dimensionWords(gate::CoverOf of) {
  switch (of) {
    case gate::CoverOf::part:
      return say("service.cover.part");
    case gate::CoverOf::compound:
      return say("service.cover.compound");
    case gate::CoverOf::underlayer:
      return say("service.cover.underlayer");
    case gate::CoverOf::plate:
      return say("service.cover.plate");
    case gate::CoverOf::adhesive:
      return say("service.cover.adhesive");
    case gate::CoverOf::plant:
      return say("service.cover.plant");
    case gate::CoverOf::days:
      return say("service.cover.days");
  }
  return "";
}

std::string_view wordFor(bool covered) {
  return word(covered ? FindingWord::inside : FindingWord::missing);
}

Value dimensionValue(const gate::CoverLine& line) {
  return Value::Object{{"dimension", dimensionWords(line.of)},
                       {"word", wordFor(line.covered)},
                       {"wanted", line.wanted},
                       {"sentence", line.sentence}};
}

Value coverRow(const gate::Cover& cover) {
  Value::Array dimensions;
  for (const gate::CoverLine& line : cover.lines) dimensions.push_back(dimensionValue(line));
  Value::Object row{{"need", capital(gate::needWords(cover.need))},
                    {"word", wordFor(cover.covered())},
                    {"words", fmt::format("{}", fmt::join(cover.sentences(), " "))},
                    {"dimensions", std::move(dimensions)}};
  if (cover.approval) {
    row.emplace("approval", cover.approval->noun.code);
    if (const std::optional<Day> last = gate::lastDay(cover.approval->noun))
      row.emplace("until", formatDay(*last));
  }
  return row;
}

Value::Array rowsOf(const std::vector<gate::Cover>& covers) {
  Value::Array rows;
  for (const gate::Cover& cover : covers) rows.push_back(coverRow(cover));
  return rows;
}

/// The part as its newest document and its compound's say it now.
std::optional<gate::MadeOf> madeNow(const Look& look, const Part& part) {
  const auto compound = ledger::issueInForce<Compound>(look.snapshot, projection::compound,
                                                       part.compound, look.today());
  if (!compound) return {};
  if (!part.underlayer) return gate::madeAs(part, compound->issue, look.snapshot.plant());
  const auto lower = ledger::issueInForce<Compound>(look.snapshot, projection::compound,
                                                    part.underlayer->compound, look.today());
  if (!lower) return {};
  return gate::madeAs(part, compound->issue, look.snapshot.plant(), lower->issue);
}

std::optional<Part> partNow(const Look& look, const std::string& code) {
  auto part = ledger::issueInForce<Part>(look.snapshot, projection::part, code, look.today());
  if (!part) return {};
  return std::move(part->noun);
}

/// Some need of the part is met by this approval on its last day and by none on the day after.
bool endsWith(const Look& look, const std::string& code, const Issued<Approval>& approval,
              const Approvals& approvals, Day last) {
  const std::optional<Part> part = partNow(look, code);
  const std::optional<gate::MadeOf> made = part ? madeNow(look, *part) : std::nullopt;
  if (!made) return false;
  const auto needs = gate::allNeeds(*part);
  const auto with = gate::coverOf(needs, *made, approvals, last);
  const auto without = gate::coverOf(needs, *made, approvals, addDays(last, 1));
  for (std::size_t i = 0; i < needs.size(); ++i)
    if (with[i].covered() && !without[i].covered() &&
        with[i].approval->noun.code == approval.noun.code)
      return true;
  return false;
}

std::vector<std::string> partsEndingWith(const Look& look, const Issued<Approval>& approval,
                                         const Approvals& approvals, Day last) {
  std::vector<std::string> parts;
  for (const std::string& code : approval.noun.parts)
    if (endsWith(look, code, approval, approvals, last)) parts.push_back(code);
  return parts;
}

Value endingRow(const Issued<Approval>& approval, const std::vector<std::string>& parts, Day last,
                bool late) {
  return Value::Object{{"word", late ? "late" : "due soon"},
                       {"what", capital(gate::approvalWords(approval))},
                       {"kind", "approval"},
                       {"id", approval.noun.code},
                       {"hangs", say(late ? "service.late.cover_late" : "service.late.cover_due",
                                     {{"parts", fmt::format("{}", fmt::join(parts, ", "))}})},
                       {"helps", say("service.late.extend")},
                       {"who", say("service.late.approvals")},
                       {"by", formatDay(last)}};
}

}  // namespace

Value batchCover(const Look& look, const gate::BatchFile& file) {
  return rowsOf(gate::coverOf(gate::allNeeds(file.part), file.cover.made, file.cover.approvals,
                              look.today()));
}

Value partCover(const Look& look, const std::string& code) {
  const std::optional<Part> part = partNow(look, code);
  const std::optional<gate::MadeOf> made = part ? madeNow(look, *part) : std::nullopt;
  if (!made) return Value::Array{};
  return rowsOf(gate::coverOf(gate::allNeeds(*part), *made,
                              act::approvalsOn(look.snapshot, look.today()), look.today()));
}

Value approvalCover(const Look& look, const std::string& code) {
  const auto approval =
      ledger::issueInForce<Approval>(look.snapshot, projection::approval, code, look.today());
  Value::Array rows;
  if (!approval) return rows;
  for (const std::string& part_code : approval->noun.parts) {
    const std::optional<Part> part = partNow(look, part_code);
    const std::optional<gate::MadeOf> made = part ? madeNow(look, *part) : std::nullopt;
    if (!made) continue;
    const gate::Cover cover{
        {approval->noun.kind, {}}, approval, gate::coverBy(*approval, *made, look.today())};
    Value row = coverRow(cover);
    row.asObject()->insert_or_assign("need", part_code);
    rows.push_back(std::move(row));
  }
  return rows;
}

void addEndingApprovals(const Look& look, Value::Array& rows) {
  const int notice = static_cast<int>(look.card.approval_notice_days);
  const Approvals approvals = act::approvalsOn(look.snapshot, look.today());
  for (const Issued<Approval>& approval : approvals) {
    const std::optional<Day> last = gate::lastDay(approval.noun);
    if (!last || addDays(look.today(), notice) < *last || *last < addDays(look.today(), -notice))
      continue;
    const auto parts = partsEndingWith(look, approval, approvals, *last);
    if (!parts.empty()) rows.push_back(endingRow(approval, parts, *last, *last < look.today()));
  }
}

}  // namespace platemark::service::view
