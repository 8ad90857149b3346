#include "parts.h"

#include "platemark/words/words.h"

namespace platemark::paper {

using words::say;

namespace {

void addSection(Paper& paper, const std::string& words) {
  paper.blocks.emplace_back(Heading{2, words});
}

/// The finding in its mark and its word, over the strip that shows where it lies.
Result<Row> resultRow(const ResultWords& result) {
  auto strip = figure::evidenceStrip(result.strip);
  if (!strip) return strip.error();
  Cell what{.words = result.characteristic, .note = result.detail, .bold = true};
  Cell finding{.words = figure::findingWords(result.strip.finding)};
  finding.mark = figure::findingMark(result.strip.finding);
  if (result.crosses) finding.remark = say("papers.results.crosses");
  Cell where;
  where.drawing = std::move(*strip);
  Cell limit{.words = result.limit, .note = result.source};
  if (result.standing.empty()) {
    limit.note += say("papers.limit.confirmed");
  } else {
    limit.remark = result.standing;  // a limit that nobody confirmed must not be overlooked
  }
  return Row{
      {what, strong(result.result), plain(result.n), finding, where, limit, plain(result.method)}};
}

Row numberedRow(const NumberedWords& marked) {
  return {{strong(std::to_string(marked.number)), plain(marked.words)}};
}

}  // namespace

std::string caution() { return say("papers.caution"); }

Cell plain(std::string words) { return {.words = std::move(words)}; }
Cell coded(std::string words) { return {.words = std::move(words), .code = true}; }
Cell strong(std::string words) { return {.words = std::move(words), .bold = true}; }

Paper blankPaper(const BatchHead& head, const std::string& title) {
  Paper paper;
  paper.title = title;
  paper.record_id = head.batch;
  paper.author = head.plant;
  paper.chain_head =
      say("papers.foot.head", {{"head", head.chain_head_short}, {"sequence", head.sequence}});
  paper.program_version = head.program_version;
  paper.created = head.created;
  return paper;
}

void addHead(Paper& paper, const BatchHead& head) {
  paper.blocks.emplace_back(Heading{1, paper.title});
  FactGrid grid;
  grid.facts = {{say("papers.head.batch"), head.batch, true},
                {say("papers.head.plant"), head.plant},
                {say("papers.head.part"), head.part, true},
                {say("papers.head.compound"), head.compound_issue},
                {say("papers.head.part_words"), head.part_words},
                {say("papers.head.plan"), head.control_plan},
                {say("papers.head.issued"), head.issued},
                {say("papers.head.times"), head.zone}};
  paper.blocks.emplace_back(std::move(grid));
  paper.blocks.emplace_back(Paragraph{say("papers.head.counts", {{"counts", head.counts}})});
}

void addVerdict(Paper& paper, const VerdictWords& verdict) {
  paper.blocks.emplace_back(Paragraph{verdict.sentence, Voice::verdict});
  for (const std::string& reason : verdict.reasons)
    paper.blocks.emplace_back(Paragraph{"– " + reason});
}

Result<void> addResults(Paper& paper, const std::vector<ResultWords>& results) {
  addSection(paper, say("papers.results.title"));
  Table table{"results",
              {{say("papers.results.characteristic"), 78},
               {say("papers.results.result"), 68},
               {say("papers.results.n"), 16, Align::right},
               {say("papers.results.finding"), 50},
               {say("papers.results.where"), 104},
               {say("papers.results.limit"), 114},
               {say("papers.results.method"), 75}},
              {},
              say("papers.results.none")};
  for (const ResultWords& result : results) {
    auto row = resultRow(result);
    if (!row) return row.error();
    table.rows.push_back(std::move(*row));
  }
  paper.blocks.emplace_back(std::move(table));
  if (!results.empty()) {
    paper.blocks.emplace_back(Paragraph{say("papers.results.legend"), Voice::note});
  }
  return {};
}

Result<void> addCure(Paper& paper, const std::optional<CureWords>& cure) {
  addSection(paper, say("papers.cure.title"));
  if (!cure) {
    paper.blocks.emplace_back(Paragraph{say("papers.cure.none")});
    return {};
  }
  auto chart = figure::cureChart(cure->chart);
  if (!chart) return chart.error();
  paper.blocks.emplace_back(Paragraph{cure->chart.reading});
  paper.blocks.emplace_back(Drawing{std::move(*chart), say("papers.cure.legend")});
  Table table{"marked on the chart",
              {{say("papers.cure.number"), 1}, {say("papers.cure.marked"), 14}},
              {},
              say("papers.cure.unmarked")};
  for (const NumberedWords& marked : cure->marked) table.rows.push_back(numberedRow(marked));
  paper.blocks.emplace_back(std::move(table));
  return {};
}

void addAdopted(Paper& paper, const std::vector<AdoptedLimit>& adopted) {
  addSection(paper, say("papers.adopted.title"));
  Table table{"adopted limits",
              {{say("papers.adopted.limit"), 4},
               {say("papers.adopted.document"), 6},
               {say("papers.adopted.who"), 3},
               {say("papers.adopted.when"), 3}},
              {},
              say("papers.adopted.none")};
  for (const AdoptedLimit& limit : adopted) {
    table.rows.push_back(
        {{strong(limit.limit), plain(limit.document), plain(limit.who), plain(limit.when)}});
  }
  paper.blocks.emplace_back(std::move(table));
}

void addSignatures(Paper& paper, const std::vector<SignatureWords>& signatures) {
  addSection(paper, say("papers.signatures.title"));
  Table table{"signatures",
              {{say("papers.signatures.meaning"), 4},
               {say("papers.signatures.who"), 4},
               {say("papers.adopted.when"), 3},
               {say("papers.signatures.fingerprint"), 6}},
              {},
              say("papers.signatures.none")};
  for (const SignatureWords& signature : signatures) {
    Row row{{strong(signature.meaning), plain(signature.person), plain(signature.when),
             coded(signature.fingerprint)}};
    row.keep_with_next = true;  // signatures are read together
    table.rows.push_back(std::move(row));
  }
  paper.blocks.emplace_back(std::move(table));
}

void addAnchor(Paper& paper, const BatchHead& head) {
  addSection(paper, say("papers.anchor.title"));
  Table table{
      "anchor", {{say("papers.anchor.sequence"), 1}, {say("papers.anchor.head"), 5}}, {}, ""};
  table.rows.push_back({{coded(head.sequence), coded(head.chain_head)}});
  paper.blocks.emplace_back(std::move(table));
  paper.blocks.emplace_back(Paragraph{say("papers.anchor.more"), Voice::note});
}

void addCaution(Paper& paper) { paper.blocks.emplace_back(Paragraph{caution(), Voice::caution}); }

}  // namespace platemark::paper
