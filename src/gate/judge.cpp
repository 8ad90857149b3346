#include "platemark/gate/judge.h"

#include "findings.h"
#include "platemark/gate/disposition.h"
#include "platemark/plant/digest.h"

namespace platemark::gate {
namespace {

Outcome outcomeOf(const std::vector<Finding>& findings) {
  bool all_inside = !findings.empty();
  for (const Finding& finding : findings) {
    if (speaksAgainst(finding.word)) return Outcome::does_not_conform;
    all_inside = all_inside && finding.word == FindingWord::inside;
  }
  return all_inside ? Outcome::conforms : Outcome::cannot_decide;
}

VerdictGiven sealed(VerdictGiven verdict) {
  verdict.outcome = outcomeOf(verdict.findings);
  verdict.digest = verdictDigest(verdict);
  return verdict;
}

std::vector<Finding> holdFindings(const std::vector<Hold>& holds) {
  std::vector<Finding> findings;
  for (const Hold& hold : holds)
    if (!hold.lifted_by)
      findings.push_back(requirement("hold", "Hold", FindingWord::missing, "On hold: " + hold.why,
                                     "quality manager", {hold.fact}));
  return findings;
}

/// A load's chart serves every batch that lay in it.
std::vector<Evidence> evidenceOf(const BatchFile& file) {
  std::vector<Evidence> all = file.batch.evidence;
  for (const LoadState& load : file.loads)
    all.insert(all.end(), load.evidence.begin(), load.evidence.end());
  return all;
}

}  // namespace

bool speaksAgainst(FindingWord word) {
  return word == FindingWord::outside_above || word == FindingWord::outside_below ||
         word == FindingWord::not_met;
}

Finding requirement(std::string characteristic, std::string title, FindingWord word,
                    std::string sentence, std::string who, std::vector<Sequence> facts) {
  Finding finding;
  finding.characteristic = std::move(characteristic);
  finding.title = std::move(title);
  finding.word = word;
  finding.sentence = std::move(sentence);
  finding.who = std::move(who);
  finding.figures = std::move(facts);
  return finding;
}

std::string verdictDigest(VerdictGiven verdict) {
  verdict.digest.clear();
  return sha256Hex(canonicalJson(toValue(verdict)));
}

VerdictGiven judgeLot(const LotFile& file) {
  VerdictGiven verdict;
  verdict.gate = Gate::lot;
  verdict.subject = {"lot", file.lot.received.lot};
  verdict.seen = file.seen;
  verdict.plan = file.plan.code;
  verdict.plan_issue = file.plan_issue;
  verdict.findings = compareWithPlan(Gate::lot, file.plan, file.plan_issue, file.lot.evidence,
                                     file.adoptions, {}, file.gauges);
  append(verdict.findings, holdFindings(file.lot.holds));
  return sealed(std::move(verdict));
}

VerdictGiven judgeSetUp(const SetUpFile& file) {
  VerdictGiven verdict;
  verdict.gate = Gate::set_up;
  verdict.subject = {"set-up", file.set_up.made.set_up};
  verdict.seen = file.seen;
  verdict.plan = file.plan.code;
  verdict.plan_issue = file.plan_issue;
  ControlPlan of_operation = file.plan;
  std::erase_if(of_operation.lines,
                [&](const PlanLine& line) { return line.operation != file.set_up.made.operation; });
  verdict.findings = compareWithPlan(Gate::set_up, of_operation, file.plan_issue,
                                     file.set_up.evidence, file.adoptions, {}, file.gauges);
  return sealed(std::move(verdict));
}

VerdictGiven judgeBatch(Gate gate, const BatchFile& file) {
  VerdictGiven verdict;
  verdict.gate = gate;
  verdict.subject = {"batch", file.batch.opened.batch};
  verdict.seen = file.seen;
  verdict.plan = file.plan.code;
  verdict.plan_issue = file.plan_issue;
  verdict.findings = compareWithPlan(gate, file.plan, file.plan_issue, evidenceOf(file),
                                     file.adoptions, file.dispositions, file.gauges);
  append(verdict.findings, reworkFindings(gate, file.dispositions));
  append(verdict.findings, batchFindings(gate, file));
  append(verdict.findings, holdFindings(file.batch.holds));
  return sealed(std::move(verdict));
}

}  // namespace platemark::gate
