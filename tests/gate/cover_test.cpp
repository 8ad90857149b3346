/// Approval cover: each dimension outside in turn, both edges of each date, and who needs what.
#include <sstream>

#include "platemark/gate/cover.h"
#include "support/cases.h"

namespace platemark::test {
namespace {

using gate::ApprovalNeed;
using gate::Cover;
using gate::CoverLine;
using gate::MadeOf;

/// As rows name them, in their order; none of the rows has an underlayer.
constexpr std::pair<gate::CoverOf, std::string_view> dimensions[] = {
    {gate::CoverOf::part, "part"},   {gate::CoverOf::compound, "compound"},
    {gate::CoverOf::plate, "plate"}, {gate::CoverOf::adhesive, "adhesive"},
    {gate::CoverOf::plant, "plant"}, {gate::CoverOf::days, "days"}};

std::vector<std::string> wordsOf(const std::string& text) {
  std::istringstream in(text);
  std::vector<std::string> words;
  for (std::string word; in >> word;) words.push_back(word);
  return words;
}

std::optional<Day> dayOf(const std::string& text) {
  return text.empty() ? std::optional<Day>() : *parseDay(text);
}

Issued<Approval> approvalOf(const Case& row) {
  Approval a;
  a.code = "TA-1";
  a.by = "the authority";
  a.parts = {"MF-1", "MF-2"};
  a.compounds = {{"C-1", 2, 3}, {"C-2", 1, 1}};
  a.plates = {"P-1", "P-2"};
  a.adhesives = wordsOf(row.text("allowed_adhesives"));
  a.plants = wordsOf(row.text("allowed_plants"));
  a.valid_from = {2026, 3, 1};
  a.valid_until = dayOf(row.text("until"));
  a.withdrawn_from = dayOf(row.text("withdrawn"));
  return {a, 2, {}, ""};
}

MadeOf madeIn(const Case& row) {
  return {row.text("part"),
          row.text("compound"),
          static_cast<std::int64_t>(row.number("issue")),
          wordsOf(row.text("plates")),
          wordsOf(row.text("adhesives")),
          row.text("plant"),
          {}};
}

/// "type:TA-1" or "customer:Greyling": an approval around the part P.
Issued<Approval> approvalFrom(const std::string& text) {
  Approval a;
  const auto colon = text.find(':');
  const std::string name = text.substr(colon + 1);
  a.code = name.empty() ? "CA" : name;
  a.kind = text.starts_with("type") ? ApprovalKind::type_approval : ApprovalKind::customer_approval;
  if (a.kind == ApprovalKind::customer_approval) a.by = name;
  a.parts = {"P"};
  a.compounds = {{"C", 1, 1}};
  a.plates = {"plate"};
  a.valid_from = {2026, 1, 1};
  return {a, 1, {}, ""};
}

Part partOf(const Case& row) {
  Part part;
  part.code = "P";
  part.compound = "C";
  part.plate = "plate";
  for (const std::string& text : wordsOf(row.text("markings"))) {
    const auto colon = text.find(':');
    PartMarking marking{text.substr(0, colon), {}};
    if (colon != std::string::npos) marking.operation = text.substr(colon + 1);
    part.markings.push_back(marking);
  }
  part.customers = wordsOf(row.text("customers"));
  part.other_customers = row.text("others") == "yes";
  return part;
}

std::vector<ApprovalNeed> needsIn(const Case& row, const Part& part) {
  const std::string question = row.text("question");
  if (question == "mark") return gate::needsToMark(part, row.text("asked_for"));
  if (question == "ship") return gate::needsToShip(part, row.text("asked_for"));
  REQUIRE(question == "leave");
  return gate::needsToLeave(part);
}

}  // namespace

TEST_CASE("cover: each dimension outside in turn, and both edges of each date") {
  eachCase("gate/cases/cover.csv", [](const Case& row) {
    const auto lines = gate::coverBy(approvalOf(row), madeIn(row), *parseDay(row.text("day")));
    REQUIRE(lines.size() == std::size(dimensions));
    std::string outside, first;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      CHECK(lines[i].of == dimensions[i].first);
      CHECK_FALSE(lines[i].sentence.empty());
      if (lines[i].covered) continue;
      outside += (outside.empty() ? "" : " ") + std::string(dimensions[i].second);
      if (first.empty()) first = lines[i].sentence;
    }
    CHECK(outside == row.text("outside"));
    CAPTURE(first);
    CHECK(first.find(row.text("sentence")) != std::string::npos);
  });
}

TEST_CASE("needs: what marking, boxing and shipping ask for, and what meets it") {
  eachCase("gate/cases/cover_needs.csv", [](const Case& row) {
    const Part part = partOf(row);
    std::vector<Issued<Approval>> approvals;
    for (const std::string& text : wordsOf(row.text("approvals")))
      approvals.push_back(approvalFrom(text));
    std::string not_met;
    for (const Cover& cover :
         gate::coverOf(needsIn(row, part), gate::madeAs(part, 1, "here"), approvals, {2026, 3, 2}))
      if (!cover.covered()) {
        not_met += (not_met.empty() ? "" : "; ") + gate::needWords(cover.need);
        CHECK(cover.sentences().front().find("is on file") != std::string::npos);
      }
    CAPTURE(not_met);
    CHECK(not_met.starts_with(row.text("not_met")));
    CHECK(not_met.empty() == row.text("not_met").empty());
  });
}

TEST_CASE("of several approvals the one that covers longest speaks, else the nearest") {
  Part part;
  part.code = "P";
  part.compound = "C";
  part.plate = "plate";
  part.adhesive = "glue-2";
  part.markings = {{"M", {}}};
  const auto approval = [](std::string code, std::string adhesive, std::optional<Day> until) {
    Issued<Approval> a = approvalFrom("type:" + code);
    a.noun.marking = "M";
    a.noun.adhesives = {std::move(adhesive)};
    a.noun.valid_until = until;
    return a;
  };
  const auto asked = [&](const std::vector<Issued<Approval>>& approvals) {
    return gate::coverOf(gate::needsToLeave(part), gate::madeAs(part, 1, "here"), approvals,
                         {2026, 3, 2})
        .front();
  };
  const auto wrong = approval("A", "glue-1", Day{2030, 1, 1}),
             right = approval("B", "glue-2", Day{2026, 12, 31}),
             longer = approval("C", "glue-2", Day{2027, 1, 1}),
             endless = approval("D", "glue-2", {}),
             ended = approval("E", "glue-2", Day{2026, 3, 1});
  CHECK(asked({wrong, right}).approval->noun.code == "B");
  CHECK(asked({longer, right}).approval->noun.code == "C");
  CHECK(asked({longer, endless}).approval->noun.code == "D");
  Issued<Approval> other_part = ended;
  other_part.noun.parts = {"Q"};
  other_part.noun.valid_until.reset();
  const Cover nearest = asked({other_part, ended});
  CHECK_FALSE(nearest.covered());
  CHECK(nearest.sentences() ==
        std::vector<std::string>{"Type approval E issue 1 ended on 2026-03-01; the day is "
                                 "2026-03-02."});
}

TEST_CASE("what was used counts, not what the part says; an unknown lot is not known") {
  Part part;
  part.code = "P";
  part.compound = "C";
  part.plate = "plate";
  part.adhesive = "glue";
  BatchState batch;
  batch.opened.compound = "C";
  batch.opened.compound_issue = 3;
  CHECK(gate::madeOf(batch, part, {}, "here").adhesives == std::vector<std::string>{"glue"});
  StepDone step;
  step.lots = {"L-1", "L-2"};
  batch.steps = {step};
  LotState plate, glue;
  plate.received.lot = "L-1";
  plate.received.material = "plate";
  glue.received.lot = "L-2";
  glue.received.material = "glue-new";
  MadeOf made = gate::madeOf(batch, part, {plate, glue}, "here");
  CHECK(made.adhesives == std::vector<std::string>{"glue-new"});
  CHECK(made.compound_issue == 3);
  CHECK(gate::madeOf(batch, part, {plate}, "here").adhesives ==
        std::vector<std::string>{"of unknown lot L-2"});
  batch.steps.front().lots = {"L-1"};
  CHECK(gate::madeOf(batch, part, {plate, glue}, "here").adhesives.empty());
  batch.steps.front().corrected_by = 9;
  CHECK(gate::madeOf(batch, part, {plate, glue}, "here").adhesives ==
        std::vector<std::string>{"glue"});
}

}  // namespace platemark::test
