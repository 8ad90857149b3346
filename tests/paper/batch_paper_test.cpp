#include <doctest/doctest.h>

#include <sstream>

#include "paper/papers.h"
#include "paper/reading.h"
#include "platemark/figure/words.h"

using namespace platemark;
using namespace platemark::paper;
using reading::countOf;
using reading::flat;
using reading::ScratchPdf;

namespace {

template <class T>
T must(Result<T> result) {
  if (!result) FAIL(describe(result.error()));
  return *std::move(result);
}

void checkSays(const std::string& text, const std::string& words) {
  CAPTURE(words);
  CHECK(text.find(flat(words)) != std::string::npos);
}

void checkCertificate(const std::string& text, const CertificateContent& content) {
  for (const ResultWords& result : content.results) {
    for (const std::string& words :
         {result.characteristic, result.detail, result.result, result.limit, result.source,
          result.standing, result.method, figure::findingWords(result.strip.finding)}) {
      checkSays(text, words);
    }
    if (result.strip.lower) checkSays(text, result.strip.lower->words);
    if (result.strip.upper) checkSays(text, result.strip.upper->words);
  }
  for (const SignatureWords& s : content.signatures) {
    for (const std::string& words : {s.meaning, s.person, s.when, s.fingerprint})
      checkSays(text, words);
  }
  for (const AdoptedLimit& a : content.adopted) {
    for (const std::string& words : {a.limit, a.document, a.who, a.when}) checkSays(text, words);
  }
  for (const NumberedWords& marked : content.cure->marked) checkSays(text, marked.words);
  for (const std::string& reason : content.verdict.reasons) checkSays(text, reason);
  const BatchHead& head = content.head;
  for (const std::string& words :
       {head.plant, head.batch, head.part, head.part_words, head.compound_issue, head.counts,
        head.control_plan, head.issued, head.chain_head, head.sequence, content.verdict.sentence,
        caution()}) {
    checkSays(text, words);
  }
}

}  // namespace

TEST_CASE("the certificate holds every figure, limit, name and anchor, in reading order") {
  const CertificateContent content = samples::certificateContent();
  const ScratchPdf pdf(must(certificate(content)));
  checkCertificate(reading::heard(pdf), content);
  checkSays(flat(reading::textOf(pdf)), "421 ± 14 N/cm²");
  checkSays(flat(reading::textOf(pdf)), "soak 131 min, asked at least 120");
}

TEST_CASE("every strip of a certificate speaks its sentence") {
  const CertificateContent content = samples::certificateContent();
  const auto bytes = must(certificate(content));
  const std::string pdf(reinterpret_cast<const char*>(bytes.data()), bytes.size());
  // a mark and a strip for each result, and the cure chart
  CHECK(countOf(pdf, "/Alt <FEFF") == 2 * static_cast<long>(content.results.size()) + 1);
  CHECK(pdf.find("/Alt <FEFF00530068006500610072") != std::string::npos);  // "Shear…"
}

TEST_CASE("a limit that is not confirmed is marked apart from its source") {
  CertificateContent content = samples::certificateContent();
  content.results[0].standing = "unconfirmed";
  const Paper made = must(certificatePaper(content));
  bool found = false;
  for (const Block& block : made.blocks) {
    const Table* table = std::get_if<Table>(&block);
    if (table == nullptr || table->name != "results") continue;
    found = true;
    CHECK(table->rows[0].cells[5].remark == "unconfirmed");
    CHECK(table->rows[1].cells[5].remark.empty());
  }
  CHECK(found);
}

TEST_CASE("an uncertainty that reaches over the limit is said beside the finding") {
  CertificateContent content = samples::certificateContent();
  content.results[1].crosses = true;
  const Paper made = must(certificatePaper(content));
  for (const Block& block : made.blocks) {
    const Table* table = std::get_if<Table>(&block);
    if (table == nullptr || table->name != "results") continue;
    CHECK(table->rows[0].cells[3].remark.empty());
    CHECK(table->rows[1].cells[3].remark == "uncertainty reaches over the limit");
  }
}

TEST_CASE("the batch record holds every fact") {
  const BatchRecordContent content = samples::recordContent();
  const ScratchPdf pdf(must(batchRecord(content)));
  const std::string text = reading::heard(pdf);
  checkCertificate(text, content.certificate);
  for (const StepRow& s : content.steps) {
    for (const std::string& words : {s.when, s.step, s.facts, s.in, s.good, s.balance, s.remark})
      checkSays(text, words);
  }
  for (const LotRow& l : content.lots) {
    for (const std::string& words : {l.lot, l.ingredient, l.supplier, l.cleared, l.used, l.remark})
      checkSays(text, words);
  }
  for (const WeighingRow& w : content.weighings) {
    checkSays(text, w.asked + " " + w.weighed + " " + w.gauge + " " + w.when + " " + w.who);
  }
  for (const ReadingRow& r : content.readings) {
    checkSays(text,
              r.piece + " " + r.reading + " " + r.gauge + " " + r.calibration_due + " " + r.when);
    checkSays(text, r.remark);
  }
  for (const ChargeCheckRow& c : content.charge_checks) checkSays(text, c.weight + " " + c.limit);
  for (const PlateRow& p : content.plates) checkSays(text, p.preparation);
  for (const SampleRow& s : content.samples) checkSays(text, s.purpose + " " + s.whereabouts);
  for (const CorrectionRow& c : content.corrections)
    checkSays(text, c.fact + " " + c.what + " " + c.reason);
  for (const DispositionRow& d : content.dispositions) checkSays(text, d.words);
}

TEST_CASE("no word of a table's head and no number is broken") {
  const Paper made = must(batchRecordPaper(samples::recordContent()));
  const ScratchPdf pdf(must(render(made)));
  const std::string text = " " + flat(reading::textOf(pdf, "-layout"));
  for (const Block& block : made.blocks) {
    const Table* table = std::get_if<Table>(&block);
    if (table == nullptr || table->rows.empty()) continue;
    for (const Column& column : table->columns) {
      std::istringstream head(column.head);
      for (std::string word; head >> word;) checkSays(text, " " + word + " ");
    }
  }
  checkSays(text, "2 400 2 396 4 0 2 400 = 2 396 + 4");
  checkSays(text, "2 396 2 384 0 12 2 396 = 2 384 + 12");
}

TEST_CASE("another process writes the same bytes") {
  for (const std::string which : {"certificate", "record"}) {
    const auto here = which == "record" ? must(batchRecord(samples::recordContent()))
                                        : must(certificate(samples::certificateContent()));
    const ScratchPdf there;
    reading::run(std::string(PAPER_AGAIN) + " " + which + " " + there.path());
    const std::string bytes = reading::bytesOf(there);
    REQUIRE(bytes.size() == here.size());
    CHECK(std::equal(bytes.begin(), bytes.end(), here.begin(), [](char a, std::byte b) {
      return std::byte(static_cast<unsigned char>(a)) == b;
    }));
  }
}

TEST_CASE("a record of nothing says so in every section") {
  BatchRecordContent content;
  content.certificate.head = samples::batchHead();
  content.certificate.verdict.sentence = "Cannot be decided: nothing is on record.";
  const ScratchPdf pdf(must(batchRecord(content)));
  const std::string text = flat(reading::textOf(pdf));
  CHECK(countOf(text, "None:") == 13);
  checkSays(text, "None: nobody has signed. This paper releases nothing.");
}

TEST_CASE("nobody gets a release certificate that nobody signed") {
  CertificateContent content = samples::certificateContent();
  content.signatures.clear();
  const auto pdf = certificate(content);
  REQUIRE_FALSE(pdf);
  CHECK(pdf.error().code == "paper.unsigned");
  CHECK(pdf.error().fault == Fault::refused);
  REQUIRE(pdf.error().missing.size() == 1);
  CHECK(pdf.error().missing[0].what.find("K7M4J-7") != std::string::npos);
}

TEST_CASE("a strip or chart that would mislead stops the paper") {
  CertificateContent content = samples::certificateContent();
  content.results[1].strip.lower->value = 9;
  CHECK(certificate(content).error().code == "figure.limits_crossed");
  content = samples::certificateContent();
  content.cure->chart.hours = -1;
  CHECK(certificate(content).error().code == "figure.axis_empty");
  content = samples::certificateContent();
  content.head.part_words = "\xC3(";
  CHECK(certificate(content).error().code == "paper.bad_text");
}

TEST_CASE("the widths that figures count on are those of the font on paper") {
  // one line of words in a figure of its own; its width in the PDF against textWidth
  for (const char* words :
       {"soak 131 min, asked at least 120", "WMwm@ 0123456789", "Friction, hot: (0.371)"}) {
    figure::Scene scene;
    scene.width = 600;
    scene.height = 40;
    scene.add(figure::Text{figure::Style::label, {0, 20}, figure::Anchor::start, words});
    Paper made;
    made.created = Instant::fromUnixMs(0);
    made.blocks = {Drawing{scene, ""}};
    const ScratchPdf pdf(must(render(made)));
    double from = 1e9;
    double to = 0;
    for (const reading::WordBox& box : reading::wordBoxes(pdf)) {
      if (box.top < 55 || box.top > 100) continue;  // running head or foot
      from = std::min(from, box.left);
      to = std::max(to, box.right);
    }
    CHECK((to - from) / 0.75 == doctest::Approx(figure::textWidth(words, 13)).epsilon(0.02));
  }
}
