#include "platemark/paper/batch_record.h"

#include "parts.h"

namespace platemark::paper {
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
              {{"When", 62},
               {"Step and facts", 168},
               {"In", 46, Align::right},
               {"Good", 46, Align::right},
               {"Scrap", 46, Align::right},
               {"Samples", 54, Align::right},
               {"Balance", 96}},
              {},
              "None: no step is on record."};
  addList(paper, "Line of descent, in time order", table, steps, [](const StepRow& s) {
    Cell step{.words = s.step, .note = s.facts, .remark = s.remark, .bold = true};
    return std::vector<Cell>{plain(s.when),   step,           plain(s.in),
                             plain(s.good),   plain(s.scrap), plain(s.samples),
                             plain(s.balance)};
  });
}

void addLots(Paper& paper, const std::vector<LotRow>& lots) {
  Table table{
      "",
      {{"Lot", 3}, {"Ingredient", 5}, {"Supplier and certificate", 5}, {"Cleared", 5}, {"Used", 4}},
      {},
      "None: no lot is on record as used."};
  addList(paper, "Lots used", table, lots, [](const LotRow& l) {
    return std::vector<Cell>{coded(l.lot), remarked(plain(l.ingredient), l.remark),
                             plain(l.supplier), plain(l.cleared), plain(l.used)};
  });
}

void addWeighings(Paper& paper, const std::vector<WeighingRow>& weighings) {
  Table table{"",
              {{"Mix", 42},
               {"Ingredient", 80},
               {"Lot", 46},
               {"Asked", 72, Align::right},
               {"Weighed", 54, Align::right},
               {"Balance", 50},
               {"When", 70},
               {"Who", 34}},
              {},
              "None: no weighing is on record."};
  addList(paper, "Weighings", table, weighings, [](const WeighingRow& w) {
    return std::vector<Cell>{coded(w.mix),      remarked(plain(w.ingredient), w.remark),
                             coded(w.lot),      plain(w.asked),
                             strong(w.weighed), coded(w.gauge),
                             plain(w.when),     plain(w.who)};
  });
}

void addChargeChecks(Paper& paper, const std::vector<ChargeCheckRow>& checks) {
  Table table{"",
              {{"When", 3},
               {"Cavity", 3},
               {"Charge weight", 3, Align::right},
               {"Limit", 3},
               {"Balance", 2},
               {"Who", 2}},
              {},
              "None: no charge weight was checked."};
  addList(paper, "Charge-weight checks", table, checks, [](const ChargeCheckRow& c) {
    return std::vector<Cell>{plain(c.when),    remarked(plain(c.cavity), c.remark),
                             strong(c.weight), plain(c.limit),
                             coded(c.gauge),   plain(c.who)};
  });
}

void addPlates(Paper& paper, const std::vector<PlateRow>& plates) {
  Table table{"",
              {{"Lot", 2}, {"Plates", 4}, {"Preparation", 5}, {"Adhesive", 5}},
              {},
              "None: no plate lot is on record."};
  addList(paper, "Plates", table, plates, [](const PlateRow& p) {
    return std::vector<Cell>{coded(p.lot), remarked(plain(p.plates), p.remark),
                             plain(p.preparation), plain(p.adhesive)};
  });
}

void addSamples(Paper& paper, const std::vector<SampleRow>& samples) {
  Table table{"",
              {{"Sample", 2}, {"Drawn", 3}, {"From", 4}, {"For", 4}, {"Where it is", 3}},
              {},
              "None: no sample was drawn."};
  addList(paper, "Samples", table, samples, [](const SampleRow& s) {
    return std::vector<Cell>{coded(s.sample), plain(s.drawn), remarked(plain(s.from), s.remark),
                             plain(s.purpose), plain(s.whereabouts)};
  });
}

void addReadings(Paper& paper, const std::vector<ReadingRow>& readings) {
  Table table{"",
              {{"Characteristic", 110},
               {"Piece", 60},
               {"Reading", 76, Align::right},
               {"Gauge", 50},
               {"Calibration due", 62},
               {"When", 76},
               {"Who", 40}},
              {},
              "None: no reading is on record."};
  addList(paper, "Readings as read", table, readings, [](const ReadingRow& r) {
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
              {{"Fact", 3}, {"What", 6}, {"Reason given", 5}, {"Recorded", 3}, {"Who", 2}},
              {},
              "None: no fact of this batch was corrected or entered late."};
  addList(paper, "Corrected and late facts", table, corrections, [](const CorrectionRow& c) {
    return std::vector<Cell>{strong(c.fact), plain(c.what), plain(c.reason), plain(c.recorded),
                             plain(c.who)};
  });
}

void addDispositions(Paper& paper, const std::vector<DispositionRow>& dispositions) {
  Table table{"",
              {{"Disposition", 3}, {"In words", 7}, {"When", 3}, {"Who", 3}},
              {},
              "None: nothing has been decided about this batch."};
  addList(paper, "Dispositions", table, dispositions, [](const DispositionRow& d) {
    return std::vector<Cell>{strong(d.disposition), plain(d.words), plain(d.when), plain(d.who)};
  });
}

}  // namespace

Result<Paper> batchRecordPaper(const BatchRecordContent& content) {
  const CertificateContent& shared = content.certificate;
  Paper paper = blankPaper(shared.head, "Batch record");
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
