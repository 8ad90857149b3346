#include "platemark/paper/sheet.h"

#include <doctest/doctest.h>

#include <future>

#include "figure/samples.h"
#include "paper/reading.h"

using namespace platemark;
using namespace platemark::paper;
using reading::countOf;
using reading::flat;
using reading::ScratchPdf;

namespace {

Paper paperWith(std::vector<Block> blocks) {
  Paper paper;
  paper.title = "Batch record";
  paper.record_id = "K7M4J-7";
  paper.author = "Marrowfen Friction Works";
  paper.chain_head = "9f3c 1a7b e0d2";
  paper.program_version = "Platemark 0.1.0";
  paper.created = *parseInstant("2026-11-25T15:10:00Z");
  paper.blocks = std::move(blocks);
  return paper;
}

Table rowsOf(int count) {
  Table table{"rows", {{"Number", 1}, {"What was read", 3, Align::right}}, {}, "None: no row."};
  for (int i = 1; i <= count; ++i) {
    table.rows.push_back({{Cell{.words = "row-" + std::to_string(i)},
                           Cell{.words = "r" + std::to_string(i) + " N"}}});
  }
  return table;
}

std::vector<std::byte> made(const Paper& paper) {
  auto pdf = render(paper);
  if (!pdf) FAIL(describe(pdf.error()));
  return *pdf;
}

std::string errorCode(const Paper& paper) {
  const auto pdf = render(paper);
  REQUIRE_FALSE(pdf);
  return pdf.error().code;
}

void checkWordsInside(const ScratchPdf& pdf) {
  const auto boxes = reading::wordBoxes(pdf);
  CHECK(!boxes.empty());
  for (const reading::WordBox& box : boxes) {
    const bool inside =
        box.left >= 44 && box.right <= 595.276 - 44 && box.top >= 20 && box.bottom <= 841.89 - 20;
    if (!inside) CHECK_MESSAGE(inside, box.left, " ", box.top, " ", box.right, " ", box.bottom);
  }
}

}  // namespace

TEST_CASE("the document's own data comes from the input, never from the clock") {
  const ScratchPdf pdf(made(paperWith({Heading{1, "Title"}})));
  const std::string info = reading::infoOf(pdf);
  CHECK(info.find("Title:           Batch record K7M4J-7") != std::string::npos);
  CHECK(info.find("Author:          Marrowfen Friction Works") != std::string::npos);
  CHECK(info.find("CreationDate:    2026-11-25T15:10:00Z") != std::string::npos);
  CHECK(info.find("ModDate:         2026-11-25T15:10:00Z") != std::string::npos);
  CHECK(info.find("Tagged:          yes") != std::string::npos);
  CHECK(info.find("595.276 x 841.89") != std::string::npos);
}

TEST_CASE("the same paper gives the same bytes, another paper other bytes") {
  Paper paper = paperWith(
      {Heading{1, "Title"}, rowsOf(80), Drawing{*figure::cureChart(samples::cure()), "caption"}});
  const auto first = made(paper);
  CHECK(first == made(paper));
  paper.created = *parseInstant("2026-11-25T15:10:01Z");
  CHECK(first != made(paper));
}

TEST_CASE("papers drawn at the same time in several threads are the same papers") {
  const Paper paper = paperWith({Heading{1, "Title"}, rowsOf(40),
                                 Drawing{*figure::evidenceStrip(samples::density()), "caption"}});
  const auto alone = made(paper);
  std::vector<std::future<std::vector<std::byte>>> others;
  for (int i = 0; i < 4; ++i)
    others.push_back(std::async(std::launch::async, [&] { return *render(paper); }));
  for (auto& other : others) CHECK(other.get() == alone);
}

TEST_CASE("words that look like a part of the file stay words") {
  Paper paper = paperWith({Paragraph{"<< /Type /StructElem\n   /S /Figure\n endobj"},
                           Drawing{*figure::evidenceStrip(samples::density()), "endobj >>"}});
  paper.title = "<< /Type /StructElem\n   /S /Figure\n trailer startxref\n";
  const ScratchPdf pdf(made(paper));
  reading::run("qpdf --check " + pdf.path() + " 2>&1");
  CHECK(countOf(reading::bytesOf(pdf), "/Alt <FEFF") == 1);
}

TEST_CASE("300 rows run over pages, each with its head, none lost, none twice") {
  const ScratchPdf pdf(made(paperWith({Heading{2, "Long"}, rowsOf(300)})));
  const int pages = reading::pagesOf(pdf);
  CHECK(pages > 5);
  const std::string text = flat(reading::textOf(pdf, "-layout"));
  CHECK(countOf(text, "What was read") == pages);
  for (int i = 1; i <= 300; ++i) {
    CAPTURE(i);
    CHECK(countOf(text, " row-" + std::to_string(i) + " ") == 1);
    CHECK(countOf(text, " r" + std::to_string(i) + " N ") == 1);
  }
  CHECK(countOf(text, "page 1 of " + std::to_string(pages)) == 1);
  CHECK(countOf(text, "page " + std::to_string(pages) + " of " + std::to_string(pages)) == 1);
  CHECK(countOf(text, "K7M4J-7") == pages);
  CHECK(countOf(text, "Chain head 9f3c 1a7b e0d2") == pages);
  const std::string tags = reading::structureOf(pdf);
  CHECK(countOf(tags, "/Scope /Column") == 2 * pages);
  CHECK(countOf(tags, "TD") == 600);
  checkWordsInside(pdf);
}

TEST_CASE("the reader of the tags hears every word in order, over line ends") {
  const std::string words =
      "The first fine line of this paragraph is long enough that it certainly runs over the end of "
      "its first line and goes on, 421 ± 14 N/cm² ≥ 320 − done.";
  const ScratchPdf pdf(made(paperWith(
      {Heading{1, "Title"}, Paragraph{words}, FactGrid{{{"Part", "MF-1041", true}}}, rowsOf(1)})));
  const std::string tags = reading::structureOf(pdf);
  CHECK(tags.find("\"" + words + "\"") != std::string::npos);
  CHECK(tags.find("\"Part MF-1041\"") != std::string::npos);
  for (const char* tag : {"Document", "H1", "Table", "TR", "TH", "TD"})
    CHECK(tags.find(tag) != std::string::npos);
  CHECK(flat(reading::textOf(pdf)).find(words) != std::string::npos);
  reading::run("qpdf --check " + pdf.path() + " 2>&1");
}

TEST_CASE("a figure speaks its sentence") {
  const figure::Scene strip = *figure::evidenceStrip(samples::density());
  const ScratchPdf pdf(made(paperWith({Drawing{strip, "A strip."}})));
  const ScratchPdf plain;
  reading::run("qpdf --qdf --object-streams=disable " + pdf.path() + " " + plain.path());
  const std::string text = reading::bytesOf(plain);
  CHECK(countOf(text, "/Alt ") == 1);
  CHECK(countOf(text, "/DisplayDocTitle true") == 1);
  CHECK(countOf(text, "/Lang ") == 1);
  // "Density: 2.188 ± 0.011 g/cm³, too close to say…" in UTF-16BE begins with "Dens", then "±" is
  // 00B1
  CHECK(flat(reading::textOf(pdf)).find("2.180") != std::string::npos);
  CHECK(reading::structureOf(pdf).find("Figure") != std::string::npos);
}

TEST_CASE("long unbroken words wrap inside their column and stay whole") {
  const std::string word(700, 'W');
  Table table = rowsOf(1);
  table.rows[0].cells[0].words = word;
  table.rows[0].cells[1].words = word;
  const ScratchPdf pdf(made(paperWith({Paragraph{word}, FactGrid{{{word, word}, {"a", "b"}}}, table,
                                       Paragraph{word, Voice::verdict}})));
  checkWordsInside(pdf);
  CHECK(countOf(reading::textOf(pdf), "W") == 6 * 700 + 1);  // and one in the table's head
}

TEST_CASE("no hyphen comes into a number, no line ends inside a unit") {
  Table table{"t", {{"A", 1}, {"B", 7}}, {}, ""};
  table.rows.push_back({{Cell{.words = "compressibility-of-lots 421 ± 14 N/cm²"}, Cell{}}});
  table.rows.push_back({{Cell{.words = "of all 12 400 and 9\u2009384\u2009123 pads"}, Cell{}}});
  const ScratchPdf pdf(made(paperWith({table})));
  const std::string text = reading::textOf(pdf, "-layout");
  CHECK(text.find("N/cm²") != std::string::npos);
  CHECK(text.find("± 14") != std::string::npos);
  CHECK(text.find("12 400") != std::string::npos);
  CHECK(text.find("9 384 123") != std::string::npos);  // read back with plain spaces
  CHECK(countOf(text, "-") == 3);  // the two that were written, and the one of the record's id
}

TEST_CASE("a row taller than a page goes on over the next pages") {
  std::string words;
  for (int i = 1; i <= 2500; ++i) words += "w" + std::to_string(i) + " ";
  Table table = rowsOf(2);
  table.rows[1].cells[0].words = words;
  table.rows[1].cells[0].note = words;
  table.rows.push_back({{Cell{.words = "last"}, Cell{}}});
  const ScratchPdf pdf(made(paperWith({table})));
  checkWordsInside(pdf);
  const std::string text = " " + flat(reading::textOf(pdf));
  for (int i = 1; i <= 2500; i += 7) CHECK(countOf(text, " w" + std::to_string(i) + " ") == 2);
  CHECK(countOf(text, " last ") == 1);
}

TEST_CASE("a long paragraph runs over pages and loses nothing") {
  std::string words;
  for (int i = 1; i <= 4000; ++i) words += "p" + std::to_string(i) + " ";
  const ScratchPdf pdf(made(paperWith({Paragraph{words}, Paragraph{words, Voice::caution}})));
  checkWordsInside(pdf);
  const std::string text = " " + flat(reading::textOf(pdf));
  for (int i = 1; i <= 4000; i += 11) CHECK(countOf(text, " p" + std::to_string(i) + " ") == 2);
}

TEST_CASE("rows kept together stand on one page") {
  for (int before = 30; before < 50; ++before) {
    Table table = rowsOf(before + 4);
    for (int i = before; i < before + 3; ++i)
      table.rows[static_cast<std::size_t>(i)].keep_with_next = true;
    const ScratchPdf pdf(made(paperWith({table})));
    const std::string text = reading::textOf(pdf, "-layout");
    const std::size_t first = text.find("row-" + std::to_string(before + 1));
    const std::size_t last = text.find("row-" + std::to_string(before + 4));
    REQUIRE(first != std::string::npos);
    REQUIRE(last != std::string::npos);
    CHECK(text.substr(first, last - first).find('\f') == std::string::npos);
  }
}

TEST_CASE("a heading never stands apart from what follows it") {
  for (int before = 28; before < 44; before += 2) {
    const ScratchPdf pdf(made(paperWith({rowsOf(before), Heading{2, "Cure"}, Paragraph{"Sentence."},
                                         Drawing{*figure::cureChart(samples::cure()), ""}})));
    const std::string text = reading::textOf(pdf, "-layout");
    const std::size_t head = text.find("Cure\n");
    REQUIRE(head != std::string::npos);
    const std::string rest = text.substr(head);
    CHECK(rest.substr(0, rest.find("Degree of cure")).find('\f') == std::string::npos);
  }
}

TEST_CASE("empty lists are said in words, empty papers are papers") {
  const ScratchPdf pdf(made(paperWith({rowsOf(0)})));
  const std::string text = flat(reading::textOf(pdf));
  CHECK(text.find("None: no row.") != std::string::npos);
  CHECK(text.find("What was read") == std::string::npos);
  const ScratchPdf blank(made(paperWith({})));
  CHECK(reading::pagesOf(blank) == 1);
  const ScratchPdf broken(
      made(paperWith({Break{}, Paragraph{"a"}, Break{}, Break{}, Paragraph{"b"}})));
  CHECK(reading::pagesOf(broken) == 2);
}

TEST_CASE("a missing font is an error, not another font") {
  Typefaces faces;
  faces.text = "No Such Face";
  const auto pdf = render(paperWith({}), faces);
  REQUIRE_FALSE(pdf);
  CHECK(pdf.error().code == "paper.font_missing");
  CHECK(pdf.error().fault == Fault::environment);
  faces = {};
  faces.code = "No Such Face Mono";
  CHECK_FALSE(render(paperWith({}), faces));
}

TEST_CASE("only the two families are in the file") {
  const ScratchPdf pdf(
      made(paperWith({Paragraph{"a − b ≥ c → d ≈ é ß Ω Ж"}, Paragraph{"bold ≥", Voice::verdict}})));
  const auto fonts = reading::fontsOf(pdf);
  CHECK(fonts.size() >= 3);
  for (const std::string& name : fonts) CHECK((name == "NotoSans" || name == "NotoSansMono"));
}

TEST_CASE("words that cannot be set are an error") {
  CHECK(errorCode(paperWith({Paragraph{"bad \xFF byte"}})) == "paper.bad_text");
  CHECK(errorCode(paperWith({Paragraph{std::string("a\0b", 3)}})) == "paper.bad_text");
  CHECK(errorCode(paperWith({Paragraph{"\u6f22"}})) == "paper.no_glyph");
  Table table = rowsOf(1);
  table.rows[0].cells.pop_back();
  CHECK(errorCode(paperWith({table})) == "paper.bad_table");
  table = rowsOf(1);
  table.columns.clear();
  CHECK(errorCode(paperWith({table})) == "paper.bad_table");
  table = rowsOf(1);
  table.columns[0].share = 0;
  CHECK(errorCode(paperWith({table})) == "paper.bad_table");
}
