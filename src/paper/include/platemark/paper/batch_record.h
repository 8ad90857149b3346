/// The whole record of a batch on paper: what the certificate says, and the line of
/// descent with every fact it rests on.
#pragma once

#include "platemark/paper/certificate.h"

namespace platemark::paper {

/// Every row may carry a remark, printed bold: "Corrected by fact 418: …", "Late: …".
struct StepRow {
  std::string when, step, facts;
  std::string in, good, scrap, samples;
  std::string balance;  ///< "2 400 = 2 396 + 4 + 0"
  std::string remark;
};
struct LotRow {
  std::string lot, ingredient, supplier, cleared, used, remark;
};
struct WeighingRow {
  std::string mix, ingredient, lot, asked, weighed, gauge, when, who, remark;
};
struct ChargeCheckRow {
  std::string when, cavity, weight, limit, gauge, who, remark;
};
struct PlateRow {
  std::string lot, plates, preparation, adhesive, remark;
};
struct SampleRow {
  std::string sample, drawn, from, purpose, whereabouts, remark;
};
struct ReadingRow {
  std::string characteristic, piece;
  std::string reading;  ///< as read, with unit
  std::string gauge, calibration_due, when, who, remark;
};
struct CorrectionRow {
  std::string fact;  ///< "418 corrects 402"
  std::string what, reason, recorded, who;
};
struct DispositionRow {
  std::string disposition, words, when, who;
};

struct BatchRecordContent {
  CertificateContent certificate;
  std::vector<StepRow> steps;  ///< in the order in which they happened
  std::vector<LotRow> lots;
  std::vector<WeighingRow> weighings;
  std::vector<ChargeCheckRow> charge_checks;
  std::vector<PlateRow> plates;
  std::vector<SampleRow> samples;
  std::vector<ReadingRow> readings;
  std::vector<CorrectionRow> corrections;  ///< corrected and late facts
  std::vector<DispositionRow> dispositions;
};

/// The blocks of the record. Errors: those of evidenceStrip and cureChart.
[[nodiscard]] Result<Paper> batchRecordPaper(const BatchRecordContent& content);
/// Its PDF. Errors: those of batchRecordPaper and render.
[[nodiscard]] Result<std::vector<std::byte>> batchRecord(const BatchRecordContent& content);

}  // namespace platemark::paper
