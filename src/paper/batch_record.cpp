#include "platemark/paper/batch_record.h"

#include "parts.h"
#include "platemark/words/words.h"

namespace platemark::paper {

using words::say;

namespace {

/// A section with a table: one row for each item, its remark under the first cell.
template <class Item, class Cells>
void addList(Paper& paper, const std::string& title, Table table, const std::vector<Item>& items,
             Cells cells) {
  paper.blocks.emplace_back(Heading{2, title});
  table.name = title;
  for (const Item& item : items) table.rows.push_back({cells(item)});
  paper.blocks.emplace_back(std::move(table));
}

Cell remarked(Cell cell, const std::string& remark) {
  cell.remark = remark;
  return cell;
}

void addSteps(Paper& paper, const std::vector<StepRow>& steps) {
  Table table{"",
              {{say("papers.column.when"), 62},
               {say("papers.steps.step"), 168},
               {say("papers.steps.in"), 46, Align::right},
               {say("papers.steps.good"), 46, Align::right},
               {say("papers.steps.scrap"), 46, Align::right},
               {say("papers.steps.samples"), 54, Align::right},
               {say("papers.steps.balance"), 96}},
              {},
              say("papers.steps.none")};
  addList(paper, say("papers.steps.title"), table, steps, [](const StepRow& s) {
    Cell step{.words = s.step, .note = s.facts, .remark = s.remark, .bold = true};
    return std::vector<Cell>{plain(s.when),   step,           plain(s.in),
                             plain(s.good),   plain(s.scrap), plain(s.samples),
                             plain(s.balance)};
  });
}

void addLots(Paper& paper, const std::vector<LotRow>& lots) {
  Table table{"",
              {{say("papers.column.lot"), 3},
               {say("papers.column.ingredient"), 5},
               {say("papers.lots.supplier"), 5},
               {say("papers.lots.cleared"), 5},
               {say("papers.lots.used"), 4}},
              {},
              say("papers.lots.none")};
  addList(paper, say("papers.lots.title"), table, lots, [](const LotRow& l) {
    return std::vector<Cell>{coded(l.lot), remarked(plain(l.ingredient), l.remark),
                             plain(l.supplier), plain(l.cleared), plain(l.used)};
  });
}

void addWeighings(Paper& paper, const std::vector<WeighingRow>& weighings) {
  Table table{"",
              {{say("papers.weighings.mix"), 42},
               {say("papers.column.ingredient"), 80},
               {say("papers.column.lot"), 46},
               {say("papers.weighings.asked"), 72, Align::right},
               {say("papers.weighings.weighed"), 54, Align::right},
               {say("papers.column.balance"), 50},
               {say("papers.column.when"), 70},
               {say("papers.column.who"), 34}},
              {},
              say("papers.weighings.none")};
  addList(paper, say("papers.weighings.title"), table, weighings, [](const WeighingRow& w) {
    return std::vector<Cell>{coded(w.mix),      remarked(plain(w.ingredient), w.remark),
                             coded(w.lot),      plain(w.asked),
                             strong(w.weighed), coded(w.gauge),
                             plain(w.when),     plain(w.who)};
  });
}

void addChargeChecks(Paper& paper, const std::vector<ChargeCheckRow>& checks) {
  Table table{"",
              {{say("papers.column.when"), 3},
               {say("papers.charges.cavity"), 3},
               {say("papers.charges.weight"), 3, Align::right},
               {say("papers.charges.limit"), 3},
               {say("papers.column.balance"), 2},
               {say("papers.column.who"), 2}},
              {},
              say("papers.charges.none")};
  addList(paper, say("papers.charges.title"), table, checks, [](const ChargeCheckRow& c) {
    return std::vector<Cell>{plain(c.when),    remarked(plain(c.cavity), c.remark),
                             strong(c.weight), plain(c.limit),
                             coded(c.gauge),   plain(c.who)};
  });
}

void addPlates(Paper& paper, const std::vector<PlateRow>& plates) {
  Table table{"",
              {{say("papers.column.lot"), 2},
               {say("papers.plates.plates"), 4},
               {say("papers.plates.preparation"), 5},
               {say("papers.plates.adhesive"), 5}},
              {},
              say("papers.plates.none")};
  addList(paper, say("papers.plates.title"), table, plates, [](const PlateRow& p) {
    return std::vector<Cell>{coded(p.lot), remarked(plain(p.plates), p.remark),
                             plain(p.preparation), plain(p.adhesive)};
  });
}

void addSamples(Paper& paper, const std::vector<SampleRow>& samples) {
  Table table{"",
              {{say("papers.samples.sample"), 2},
               {say("papers.samples.drawn"), 3},
               {say("papers.samples.from"), 4},
               {say("papers.samples.purpose"), 4},
               {say("papers.samples.where"), 3}},
              {},
              say("papers.samples.none")};
  addList(paper, say("papers.samples.title"), table, samples, [](const SampleRow& s) {
    return std::vector<Cell>{coded(s.sample), plain(s.drawn), remarked(plain(s.from), s.remark),
                             plain(s.purpose), plain(s.whereabouts)};
  });
}

void addReadings(Paper& paper, const std::vector<ReadingRow>& readings) {
  Table table{"",
              {{say("papers.readings.characteristic"), 110},
               {say("papers.readings.piece"), 60},
               {say("papers.readings.reading"), 76, Align::right},
               {say("papers.column.gauge"), 50},
               {say("papers.readings.calibration"), 62},
               {say("papers.column.when"), 76},
               {say("papers.column.who"), 40}},
              {},
              say("papers.readings.none")};
  addList(paper, say("papers.readings.title"), table, readings, [](const ReadingRow& r) {
    return std::vector<Cell>{remarked(plain(r.characteristic), r.remark),
                             plain(r.piece),
                             strong(r.reading),
                             coded(r.gauge),
                             plain(r.calibration_due),
                             plain(r.when),
                             plain(r.who)};
  });
}

void addCorrections(Paper& paper, const std::vector<CorrectionRow>& corrections) {
  Table table{"",
              {{say("papers.corrections.fact"), 3},
               {say("papers.corrections.what"), 6},
               {say("papers.corrections.reason"), 5},
               {say("papers.corrections.recorded"), 3},
               {say("papers.column.who"), 2}},
              {},
              say("papers.corrections.none")};
  addList(paper, say("papers.corrections.title"), table, corrections, [](const CorrectionRow& c) {
    return std::vector<Cell>{strong(c.fact), plain(c.what), plain(c.reason), plain(c.recorded),
                             plain(c.who)};
  });
}

void addDispositions(Paper& paper, const std::vector<DispositionRow>& dispositions) {
  Table table{"",
              {{say("papers.dispositions.disposition"), 3},
               {say("papers.dispositions.words"), 7},
               {say("papers.column.when"), 3},
               {say("papers.column.who"), 3}},
              {},
              say("papers.dispositions.none")};
  addList(paper, say("papers.dispositions.title"), table, dispositions,
          [](const DispositionRow& d) {
            return std::vector<Cell>{strong(d.disposition), plain(d.words), plain(d.when),
                                     plain(d.who)};
          });
}

}  // namespace

Result<Paper> batchRecordPaper(const BatchRecordContent& content) {
  const CertificateContent& shared = content.certificate;
  Paper paper = blankPaper(shared.head, say("papers.record.title"));
  addHead(paper, shared.head);
  addVerdict(paper, shared.verdict);
  addDispositions(paper, content.dispositions);
  addSteps(paper, content.steps);
  addCorrections(paper, content.corrections);
  if (auto added = addResults(paper, shared.results); !added) return added.error();
  if (auto added = addCure(paper, shared.cure); !added) return added.error();
  addLots(paper, content.lots);
  addWeighings(paper, content.weighings);
  addChargeChecks(paper, content.charge_checks);
  addPlates(paper, content.plates);
  addSamples(paper, content.samples);
  addReadings(paper, content.readings);
  addAdopted(paper, shared.adopted);
  addSignatures(paper, shared.signatures);
  addAnchor(paper, shared.head);
  addCaution(paper);
  return paper;
}

Result<std::vector<std::byte>> batchRecord(const BatchRecordContent& content) {
  const auto paper = batchRecordPaper(content);
  if (!paper) return paper.error();
  return render(*paper);
}

}  // namespace platemark::paper
