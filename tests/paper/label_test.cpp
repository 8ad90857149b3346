#include "platemark/paper/label.h"

#include <doctest/doctest.h>

#include "paper/reading.h"

using namespace platemark;
using namespace platemark::paper;
using reading::flat;
using reading::ScratchPdf;

namespace {

Label lotLabel() {
  Label label;
  label.what = "LOT";
  label.big = "R-2310";
  label.under = "Phenolic resin";
  label.facts = {{"Supplier", "Tern Resins, lot T-0230"}, {"Use by", "2026-12-01"}};
  label.barcode = Barcode{Barcode::Kind::code128, "R-2310"};
  label.foot = "Marrowfen Friction Works";
  label.program_version = "Platemark 0.1.0";
  label.created = *parseInstant("2026-11-25T15:10:00Z");
  return label;
}

Label cartonLabel(const std::string& sscc) {
  Label label = lotLabel();
  label.size = LabelSize::shipping;
  label.what = "CARTON";
  label.big = sscc.substr(10);
  label.barcode = Barcode{Barcode::Kind::sscc, sscc};
  return label;
}

FloorSheet sheetOf(int rows) {
  FloorSheet sheet;
  sheet.what = "TRAVELLER";
  sheet.big = "K7M4J-7";
  sheet.under = "MF-1041";
  sheet.barcode = Barcode{Barcode::Kind::code128, "K7M4J-7"};
  sheet.facts = {{"Compound", "Heron 3, issue 14"}, {"Plates", "2 400"}};
  sheet.columns = {{"Done", 1}, {"Step", 3}, {"Good", 1}};
  for (int i = 1; i <= rows; ++i)
    sheet.rows.push_back({{.tick = true}, {.words = "step-" + std::to_string(i)}, {}});
  sheet.foot = "Marrowfen Friction Works";
  sheet.program_version = "Platemark 0.1.0";
  sheet.created = *parseInstant("2026-11-25T15:10:00Z");
  return sheet;
}

template <class T>
T must(Result<T> result) {
  if (!result) FAIL(describe(result.error()));
  return *std::move(result);
}

/// What a reader of barcodes that shares no code with the drawer sees on the first page.
std::string scanned(const std::vector<std::byte>& pdf) {
  const ScratchPdf file(pdf);
  const std::string picture = file.path() + ".png";
  reading::run("pdftoppm -r 203 -f 1 -l 1 -png -singlefile " + file.path() + " " + file.path());
  const std::string seen = reading::run("zbarimg --quiet " + picture + " 2>/dev/null");
  reading::run("rm " + picture);
  return seen.substr(0, seen.find('\n'));
}

}  // namespace

TEST_CASE("a label's bars are read as its number, at a label printer's 203 dots per inch") {
  for (const std::string code :
       {"R-2310", "K7M4J-7", "M-0007", "X-000417", "K7M4J-7/12", "aA zZ0O~!"}) {
    Label label = lotLabel();
    label.barcode->data = code;
    CHECK(scanned(must(paper::label(label))) == "CODE-128:" + code);
  }
}

TEST_CASE("a carton's bars are a GS1 symbol with its number under (00)") {
  // The first is the worked example of the GS1 General Specifications.
  for (const std::string sscc : {"376104250021234569", "106141412345678908"})
    CHECK(scanned(must(paper::label(cartonLabel(sscc)))) == "CODE-128:00" + sscc);
  const ScratchPdf pdf(must(paper::label(cartonLabel("376104250021234569"))));
  CHECK(flat(reading::textOf(pdf)).find("(00) 376104250021234569") != std::string::npos);
}

TEST_CASE("a label says all its words, inside its edges, the number largest") {
  const ScratchPdf pdf(must(paper::label(lotLabel())));
  const std::string text = flat(reading::textOf(pdf));
  for (const std::string words : {"LOT", "R-2310", "Phenolic resin", "Tern Resins, lot T-0230",
                                  "Use by", "2026-12-01", "Marrowfen Friction Works"}) {
    CAPTURE(words);
    CHECK(text.find(words) != std::string::npos);
  }
  double tallest = 0;
  for (const reading::WordBox& box : reading::wordBoxes(pdf)) {
    CHECK(box.left >= 0);
    CHECK(box.right <= 105 * 72 / 25.4);
    CHECK(box.bottom <= 74 * 72 / 25.4);
    tallest = std::max(tallest, box.bottom - box.top);
  }
  CHECK(tallest > 30);  // points: the number can be read from two metres
}

TEST_CASE("a label of each size has room for five facts, a warning if not small, and bars") {
  for (const LabelSize size : {LabelSize::small, LabelSize::floor, LabelSize::shipping}) {
    Label label = lotLabel();
    label.size = size;
    label.under_code = true;
    label.warning = size == LabelSize::small ? "" : "CONCESSION N-0003";
    label.facts.assign(5, Fact{"Their lot", "OM-7706", true});
    const auto pdf = paper::label(label);
    const std::string why = pdf ? "" : describe(pdf.error());
    CHECK_MESSAGE(bool(pdf), why);
  }
}

TEST_CASE("a long number is drawn smaller, not cut") {
  Label label = lotLabel();
  label.big = "A-LOT-NUMBER-OF-A-SUPPLIER-WHO-LIKES-THEM-LONG";
  label.barcode.reset();
  const ScratchPdf pdf(must(paper::label(label)));
  CHECK(flat(reading::textOf(pdf)).find(label.big) != std::string::npos);
  for (const reading::WordBox& box : reading::wordBoxes(pdf)) CHECK(box.right <= 105 * 72 / 25.4);
}

TEST_CASE("the same label gives the same bytes; another number gives others") {
  CHECK(must(paper::label(lotLabel())) == must(paper::label(lotLabel())));
  Label other = lotLabel();
  other.big = "R-2311";
  CHECK(must(paper::label(other)) != must(paper::label(lotLabel())));
  CHECK(must(floorSheet(sheetOf(9))) == must(floorSheet(sheetOf(9))));
}

TEST_CASE("what cannot be a label says so") {
  const auto codeOf = [](auto change) {
    Label label = lotLabel();
    change(label);
    const auto pdf = paper::label(label);
    return pdf ? std::string("drawn") : pdf.error().code;
  };
  CHECK(codeOf([](Label&) {}) == "drawn");
  CHECK(codeOf([](Label& l) { l.barcode->data = ""; }) == "paper.bad_barcode");
  CHECK(codeOf([](Label& l) { l.barcode->data = "M\xC3\xBC"; }) == "paper.bad_barcode");
  CHECK(codeOf([](Label& l) { l.barcode->data = std::string(60, 'K'); }) == "paper.bad_barcode");
  CHECK(codeOf([](Label& l) { l.barcode->data = std::string(400, 'K'); }) == "paper.bad_barcode");
  CHECK(codeOf([](Label& l) { l.under = "\xC3("; }) == "paper.bad_text");
  CHECK(codeOf([](Label& l) { l.facts.assign(30, Fact{"a", "b"}); }) == "paper.label_full");
  CHECK(paper::label(cartonLabel("376104250021234568")).error().code == "paper.bad_barcode");
  CHECK(paper::label(cartonLabel("3761042500212345")).error().code == "paper.bad_barcode");
  CHECK(paper::label(cartonLabel("37610425002123456O")).error().code == "paper.bad_barcode");
  CHECK(paper::label(lotLabel(), {.text = "No Such Face"}).error().code == "paper.font_missing");
}

TEST_CASE("a sheet runs over its pages, with its number and column heads on each") {
  CHECK(reading::pagesOf(ScratchPdf(must(floorSheet(sheetOf(9))))) == 1);
  const ScratchPdf pdf(must(floorSheet(sheetOf(60))));
  const int pages = reading::pagesOf(pdf);
  REQUIRE(pages == 3);
  for (int page = 1; page <= pages; ++page) {
    const std::string n = std::to_string(page);
    const std::string text = flat(reading::textOf(pdf, "-f " + n + " -l " + n));
    CHECK(text.find("K7M4J-7") != std::string::npos);
    CHECK(text.find("Good") != std::string::npos);
    CHECK(text.find("page " + n + " of 3") != std::string::npos);
  }
  const std::string all = flat(reading::textOf(pdf));
  for (int i = 1; i <= 60; ++i)
    CHECK(reading::countOf(all + " ", "step-" + std::to_string(i) + " ") == 1);
  for (const reading::WordBox& box : reading::wordBoxes(pdf)) CHECK(box.bottom < 842);
  CHECK(scanned(must(floorSheet(sheetOf(60)))) == "CODE-128:K7M4J-7");
}

TEST_CASE("a sheet's table must be a table") {
  FloorSheet sheet = sheetOf(2);
  sheet.rows[1].pop_back();
  CHECK(floorSheet(sheet).error().code == "paper.bad_table");
  sheet = sheetOf(2);
  sheet.columns[0].share = 0;
  CHECK(floorSheet(sheet).error().code == "paper.bad_table");
  sheet = sheetOf(0);
  sheet.columns.clear();
  CHECK(floorSheet(sheet).error().code == "paper.bad_table");
}
