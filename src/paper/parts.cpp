#include "parts.h"

#include <fmt/format.h>

namespace platemark::paper {
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
  Cell where;
  where.drawing = std::move(*strip);
  Cell limit{.words = result.limit, .note = result.source};
  if (result.standing == "confirmed") {
    limit.note += ", confirmed";
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

const std::string& caution() {
  static const std::string words =
      "The results on this paper support the decision. They do not replace the approval authority, "
      "the legal text "
      "in force or the judgement of the responsible person.";
  return words;
}

Cell plain(std::string words) { return {.words = std::move(words)}; }
Cell coded(std::string words) { return {.words = std::move(words), .code = true}; }
Cell strong(std::string words) { return {.words = std::move(words), .bold = true}; }

Paper blankPaper(const BatchHead& head, const std::string& title) {
  Paper paper;
  paper.title = title;
  paper.record_id = head.batch;
  paper.author = head.plant;
  paper.chain_head = fmt::format("{} at fact {}", head.chain_head_short, head.sequence);
  paper.program_version = head.program_version;
  paper.created = head.created;
  return paper;
}

void addHead(Paper& paper, const BatchHead& head) {
  paper.blocks.emplace_back(Heading{1, paper.title});
  FactGrid grid;
  grid.facts = {{"Batch (stamp)", head.batch, true},
                {"Plant", head.plant},
                {"Part", head.part, true},
                {"Compound", head.compound_issue},
                {"What it is", head.part_words},
                {"Control plan", head.control_plan},
                {"Issued", head.issued},
                {"Times", head.zone}};
  paper.blocks.emplace_back(std::move(grid));
  paper.blocks.emplace_back(Paragraph{"Counts: " + head.counts});
}

void addVerdict(Paper& paper, const VerdictWords& verdict) {
  paper.blocks.emplace_back(Paragraph{verdict.sentence, Voice::verdict});
  for (const std::string& reason : verdict.reasons)
    paper.blocks.emplace_back(Paragraph{"– " + reason});
}

Result<void> addResults(Paper& paper, const std::vector<ResultWords>& results) {
  addSection(paper, "Results");
  Table table{"results",
              {{"Characteristic", 80},
               {"Result, ± at k = 2", 80},
               {"n", 22, Align::right},
               {"Finding", 56},
               {"Where it lies", 118},
               {"Limit and source", 71},
               {"Method", 78}},
              {},
              "None: no characteristic has been judged."};
  for (const ResultWords& result : results) {
    auto row = resultRow(result);
    if (!row) return row.error();
    table.rows.push_back(std::move(*row));
  }
  paper.blocks.emplace_back(std::move(table));
  if (!results.empty()) {
    paper.blocks.emplace_back(Paragraph{
        "Strip: thick ticks are the limits, hatching is outside, short ticks above are "
        "single readings, the whisker is the expanded uncertainty (k\u00a0=\u00a02); a hollow tick "
        "is an unconfirmed limit, an arrow a value off the scale.",
        Voice::note});
  }
  return {};
}

Result<void> addCure(Paper& paper, const std::optional<CureWords>& cure) {
  addSection(paper, "Cure");
  if (!cure) {
    paper.blocks.emplace_back(Paragraph{"None: no cure is on record for this batch."});
    return {};
  }
  auto chart = figure::cureChart(cure->chart);
  if (!chart) return chart.error();
  paper.blocks.emplace_back(Paragraph{cure->chart.reading});
  paper.blocks.emplace_back(Drawing{
      std::move(*chart),
      "Recorded is solid (squares: the channel studied), calculated is dashed (long dashes: the "
      "pad that decides); shaded is the programme window; a hatched stretch was not recorded."});
  Table table{"marked on the chart",
              {{"No.", 1}, {"Marked on the chart", 14}},
              {},
              "Marked on the chart: none; no fault and no gap."};
  for (const NumberedWords& marked : cure->marked) table.rows.push_back(numberedRow(marked));
  paper.blocks.emplace_back(std::move(table));
  return {};
}

void addAdopted(Paper& paper, const std::vector<AdoptedLimit>& adopted) {
  addSection(paper, "Limits adopted by the plant");
  Table table{"adopted limits",
              {{"Limit", 4}, {"Document read", 6}, {"Adopted by", 3}, {"When", 3}},
              {},
              "None: every limit used is confirmed or marked above."};
  for (const AdoptedLimit& limit : adopted) {
    table.rows.push_back(
        {{strong(limit.limit), plain(limit.document), plain(limit.who), plain(limit.when)}});
  }
  paper.blocks.emplace_back(std::move(table));
}

void addSignatures(Paper& paper, const std::vector<SignatureWords>& signatures) {
  addSection(paper, "Signatures");
  Table table{"signatures",
              {{"Meaning", 4}, {"Signed by", 4}, {"When", 3}, {"Fingerprint of the signature", 6}},
              {},
              "None: nobody has signed. This paper releases nothing."};
  for (const SignatureWords& signature : signatures) {
    Row row{{strong(signature.meaning), plain(signature.person), plain(signature.when),
             coded(signature.fingerprint)}};
    row.keep_with_next = true;  // signatures are read together
    table.rows.push_back(std::move(row));
  }
  paper.blocks.emplace_back(std::move(table));
}

void addAnchor(Paper& paper, const BatchHead& head) {
  addSection(paper, "Place in the record");
  Table table{"anchor", {{"Last fact seen", 1}, {"Chain head", 5}}, {}, ""};
  table.rows.push_back({{coded(head.sequence), coded(head.chain_head)}});
  paper.blocks.emplace_back(std::move(table));
  paper.blocks.emplace_back(
      Paragraph{"Keep this pair: with it anyone can check that the record still ends, up to this "
                "fact, as it did when this paper was made.",
                Voice::note});
}

void addCaution(Paper& paper) { paper.blocks.emplace_back(Paragraph{caution(), Voice::caution}); }

}  // namespace platemark::paper
