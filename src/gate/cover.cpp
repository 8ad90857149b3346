#include "platemark/gate/cover.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <tuple>

namespace platemark::gate {
namespace {

using Codes = std::vector<std::string>;

bool within(const Codes& codes, const std::string& code) {
  return std::find(codes.begin(), codes.end(), code) != codes.end();
}

/// "A-1", "A-1 and A-2", "A-1, A-2, A-3, A-4 and 3 more"
std::string listed(const Codes& codes) {
  constexpr std::size_t most = 5;
  const std::size_t shown = codes.size() > most ? most - 1 : codes.size();
  std::string words;
  for (std::size_t i = 0; i < shown; ++i) {
    const bool last = i + 1 == codes.size();
    words += (i == 0 ? "" : last ? " and " : ", ") + codes[i];
  }
  return shown == codes.size() ? words : fmt::format("{} and {} more", words, codes.size() - shown);
}

std::string capital(std::string words) {
  if (!words.empty())
    words[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(words[0])));
  return words;
}

/// Customers are typed by hand: letters and digits count, case and what stands between do not.
std::string folded(std::string_view name) {
  std::string letters;
  for (const char c : name) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte >= 0x80 || std::isalnum(byte)) letters += static_cast<char>(std::tolower(byte));
  }
  return letters;
}

bool named(const Codes& names, const std::string& name) {
  return std::any_of(names.begin(), names.end(),
                     [&](const std::string& n) { return folded(n) == folded(name); });
}

CoverLine line(CoverOf of, bool covered, std::string wanted, const std::string& approval,
               const std::string& covers) {
  std::string sentence = covered ? fmt::format("{} is in {}.", capital(wanted), approval)
                                 : fmt::format("{} is not in {}, which covers {} only.",
                                               capital(wanted), approval, covers);
  return {of, covered, std::move(wanted), std::move(sentence)};
}

/// One kind of material: every one that was used must be named.
CoverLine materialLine(CoverOf of, std::string_view what, const Codes& used, const Codes& allowed,
                       const std::string& approval) {
  Codes outside;
  for (const std::string& code : used)
    if (!within(allowed, code)) outside.push_back(code);
  const bool covered = outside.empty() && used.empty() == allowed.empty();
  const std::string wanted =
      used.empty() ? fmt::format("a pad without {}", what)
                   : fmt::format("{} {}", what, listed(outside.empty() ? used : outside));
  return line(of, covered, wanted, approval,
              allowed.empty() ? fmt::format("pads without {}", what) : listed(allowed));
}

std::string issueRange(const ApprovedCompound& c) {
  return c.issue_from == c.issue_to
             ? fmt::format("{} issue {}", c.compound, c.issue_from)
             : fmt::format("{} issues {} to {}", c.compound, c.issue_from, c.issue_to);
}

Codes rangesOf(const Approval& a, Layer layer) {
  Codes ranges;
  for (const ApprovedCompound& c : a.compounds)
    if (c.layer == layer) ranges.push_back(issueRange(c));
  return ranges;
}

bool coversAs(const Approval& a, Layer layer, const CompoundIssue& used) {
  return std::any_of(a.compounds.begin(), a.compounds.end(), [&](const ApprovedCompound& c) {
    return c.layer == layer && c.compound == used.compound && c.issue_from <= used.issue &&
           used.issue <= c.issue_to;
  });
}

CoverLine compoundLine(const Approval& a, const MadeOf& made, const std::string& approval) {
  return line(CoverOf::compound, coversAs(a, Layer::friction, {made.compound, made.compound_issue}),
              fmt::format("compound {} issue {}", made.compound, made.compound_issue), approval,
              listed(rangesOf(a, Layer::friction)));
}

/// None when neither the pad nor the approval has an underlayer.
std::optional<CoverLine> underlayerLine(const Approval& a, const MadeOf& made,
                                        const std::string& approval) {
  const Codes ranges = rangesOf(a, Layer::underlayer);
  if (!made.underlayer && ranges.empty()) return {};
  const std::string wanted =
      made.underlayer
          ? fmt::format("underlayer {} issue {}", made.underlayer->compound, made.underlayer->issue)
          : "a pad without underlayer";
  return line(CoverOf::underlayer,
              made.underlayer && coversAs(a, Layer::underlayer, *made.underlayer), wanted, approval,
              ranges.empty() ? "pads without underlayer" : "underlayer " + listed(ranges));
}

/// "from 2026-01-01 to 2026-12-31"
std::string dayRange(const Approval& a) {
  const std::optional<Day> last = lastDay(a);
  return "from " + formatDay(a.valid_from) + (last ? " to " + formatDay(*last) : "");
}

CoverLine dayLine(const Approval& a, Day day, const std::string& approval) {
  const std::string wanted = formatDay(day);
  const std::string name = capital(approval);
  if (day < a.valid_from)
    return {CoverOf::days, false, wanted,
            fmt::format("{} begins on {}; the day is {}.", name, formatDay(a.valid_from), wanted)};
  if (a.withdrawn_from && *a.withdrawn_from <= day)
    return {CoverOf::days, false, wanted,
            fmt::format("{} is withdrawn from {} on; the day is {}.", name,
                        formatDay(*a.withdrawn_from), wanted)};
  if (a.valid_until && *a.valid_until < day)
    return {CoverOf::days, false, wanted,
            fmt::format("{} ended on {}; the day is {}.", name, formatDay(*a.valid_until), wanted)};
  return {CoverOf::days, true, wanted, fmt::format("{} is valid {}.", name, dayRange(a))};
}

std::string markingOf(const Approval& a) { return a.marking.value_or(a.code); }

bool answers(const Approval& a, const ApprovalNeed& need) {
  if (need.kind == ApprovalKind::type_approval)
    return a.kind == ApprovalKind::type_approval && within(need.of, markingOf(a));
  if (need.kind == ApprovalKind::customer_approval)
    return a.kind == ApprovalKind::customer_approval && named(need.of, a.by);
  return a.kind == ApprovalKind::type_approval || a.by.empty() || need.of.empty() ||
         named(need.of, a.by);
}

ApprovalNeed markingNeed(const PartMarking& marking) {
  return {ApprovalKind::type_approval, {marking.marking}};
}

std::vector<ApprovalNeed> markingNeeds(const Part& part) {
  std::vector<ApprovalNeed> needs;
  for (const PartMarking& marking : part.markings) needs.push_back(markingNeed(marking));
  return needs;
}

bool isCovered(const std::vector<CoverLine>& lines) {
  return !lines.empty() &&
         std::all_of(lines.begin(), lines.end(), [](const CoverLine& l) { return l.covered; });
}

/// Smaller is nearer: names the part, has fewer dimensions outside, ends later.
auto distance(const Cover& cover) {
  const auto outside = std::count_if(cover.lines.begin(), cover.lines.end(),
                                     [](const CoverLine& l) { return !l.covered; });
  const std::optional<Day> last = lastDay(cover.approval->noun);
  const Day end = last.value_or(Day{9999, 12, 31});
  return std::tuple(!cover.lines.front().covered, outside, -end.year, -end.month, -end.day);
}

}  // namespace

MadeOf madeAs(const Part& part, std::int64_t compound_issue, std::string plant,
              std::optional<std::int64_t> underlayer_issue) {
  MadeOf made{part.code, part.compound, compound_issue, {part.plate}, {}, std::move(plant), {}};
  if (part.adhesive) made.adhesives.push_back(*part.adhesive);
  if (part.underlayer)
    made.underlayer = CompoundIssue{part.underlayer->compound, underlayer_issue.value_or(0)};
  return made;
}

MadeOf madeOf(const BatchState& batch, const Part& part, const std::vector<LotState>& lots,
              std::string plant) {
  MadeOf made = madeAs(part, batch.opened.compound_issue, std::move(plant));
  made.compound = batch.opened.compound;
  made.underlayer = batch.opened.underlayer;
  Codes plates, adhesives;
  const auto add = [&](Codes& to, const std::string& lot) {
    const auto found = std::find_if(lots.begin(), lots.end(),
                                    [&](const LotState& l) { return l.received.lot == lot; });
    const std::string material =
        found == lots.end() ? "of unknown lot " + lot : found->received.material;
    if (!within(to, material)) to.push_back(material);
  };
  for (const StepDone& step : batch.steps) {
    if (step.step != Step::plates || step.corrected_by || step.lots.empty()) continue;
    add(plates, step.lots[0]);
    if (step.lots.size() > 1) add(adhesives, step.lots[1]);
  }
  if (plates.empty()) return made;
  made.plates = std::move(plates);
  made.adhesives = std::move(adhesives);
  return made;
}

std::vector<CoverLine> coverBy(const Issued<Approval>& approval, const MadeOf& made, Day day) {
  const Approval& a = approval.noun;
  const std::string name = approvalWords(approval);
  std::vector<CoverLine> lines{
      line(CoverOf::part, within(a.parts, made.part), "part " + made.part, name, listed(a.parts)),
      compoundLine(a, made, name),
      materialLine(CoverOf::plate, "plate", made.plates, a.plates, name),
      materialLine(CoverOf::adhesive, "adhesive", made.adhesives, a.adhesives, name),
      line(CoverOf::plant, a.plants.empty() || within(a.plants, made.plant), "plant " + made.plant,
           name, listed(a.plants)),
      dayLine(a, day, name)};
  if (std::optional<CoverLine> underlayer = underlayerLine(a, made, name))
    lines.insert(lines.begin() + 2, std::move(*underlayer));
  return lines;
}

std::vector<ApprovalNeed> needsToMark(const Part& part, std::string_view operation) {
  std::vector<ApprovalNeed> needs;
  for (const PartMarking& marking : part.markings)
    if (marking.operation == operation) needs.push_back(markingNeed(marking));
  return needs;
}

std::vector<ApprovalNeed> needsToLeave(const Part& part) {
  if (!part.markings.empty()) return markingNeeds(part);
  if (!part.customers.empty()) return {{ApprovalKind::customer_approval, part.customers}};
  return {{std::nullopt, {}}};
}

std::vector<ApprovalNeed> needsToShip(const Part& part, const std::string& customer) {
  if (part.markings.empty() && part.customers.empty()) return {{std::nullopt, {customer}}};
  std::vector<ApprovalNeed> needs = markingNeeds(part);
  const bool markings_do =
      !part.markings.empty() && (part.customers.empty() || part.other_customers);
  if (named(part.customers, customer) || !markings_do)
    needs.push_back({ApprovalKind::customer_approval, {customer}});
  return needs;
}

std::vector<ApprovalNeed> allNeeds(const Part& part) {
  std::vector<ApprovalNeed> needs = markingNeeds(part);
  for (const std::string& customer : part.customers)
    needs.push_back({ApprovalKind::customer_approval, {customer}});
  return needs.empty() ? needsToLeave(part) : needs;
}

std::string needWords(const ApprovalNeed& need) {
  if (need.kind == ApprovalKind::type_approval)
    return fmt::format("type approval {}", listed(need.of));
  if (need.kind == ApprovalKind::customer_approval)
    return fmt::format("approval of {} {}", need.of.size() == 1 ? "customer" : "one of",
                       listed(need.of));
  return "approval of any kind";
}

bool Cover::covered() const { return isCovered(lines); }

std::vector<std::string> Cover::sentences() const {
  if (!approval) return {fmt::format("No {} is on file.", needWords(need))};
  if (covered())
    return {fmt::format("{} covers it {}.", capital(approvalWords(*approval)),
                        dayRange(approval->noun))};
  std::vector<std::string> outside;
  for (const CoverLine& l : lines)
    if (!l.covered) outside.push_back(l.sentence);
  return outside;
}

std::vector<Cover> coverOf(const std::vector<ApprovalNeed>& needs, const MadeOf& made,
                           const std::vector<Issued<Approval>>& approvals, Day day) {
  std::vector<Cover> covers;
  for (const ApprovalNeed& need : needs) {
    Cover nearest{need, {}, {}};
    for (const Issued<Approval>& approval : approvals) {
      if (!answers(approval.noun, need)) continue;
      Cover cover{need, approval, coverBy(approval, made, day)};
      if (!nearest.approval || distance(cover) < distance(nearest)) nearest = std::move(cover);
    }
    covers.push_back(std::move(nearest));
  }
  return covers;
}

std::optional<Day> lastDay(const Approval& approval) {
  if (!approval.withdrawn_from) return approval.valid_until;
  const Day before = addDays(*approval.withdrawn_from, -1);
  return approval.valid_until ? std::min(before, *approval.valid_until) : before;
}

std::string approvalWords(const Issued<Approval>& approval) {
  const Approval& a = approval.noun;
  return fmt::format("{} {} issue {}{}", word(a.kind), a.code, approval.issue,
                     a.by.empty() ? "" : " of " + a.by);
}

}  // namespace platemark::gate
