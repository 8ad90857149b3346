#include "platemark/intake/table.h"

#include <rapidcheck.h>

#include "files.h"

using namespace platemark;
using namespace platemark::intake;

namespace {

Result<Table> tableOf(const std::string& text, const TableForm& form = {}) {
  MemorySource source("lots.csv", text);
  return readTable(source, form);
}

}  // namespace

TEST_CASE("Quotes, doubled quotes and line ends inside quotes") {
  const auto table = tableOf("code;words\r\nA;\"one \"\"two\"\"\r\nthree; four\"\r\n\r\nB;\r\n");
  REQUIRE(table);
  CHECK(table->delimiter == ';');
  REQUIRE(table->rows.size() == 3);
  CHECK(table->rows[1].cells[1] == "one \"two\"\r\nthree; four");
  CHECK(table->rows[1].line == 2);
  CHECK(table->rows[2].line == 5);
  CHECK(table->rows[2].cells == std::vector<std::string>{"B", ""});
  CHECK(table->blank_lines == 1);
}

TEST_CASE("Encodings and delimiters of a table") {
  CHECK(tableOf("\xEF\xBB\xBF"
                "a,b\n1,2\n")
            ->rows[0]
            .cells[0] == "a");
  CHECK(tableOf("a\tb,c\n1\t2\n")->rows[0].cells[1] == "b,c");
  CHECK(tableOf("\xB0"
                "C\n")
            ->rows[0]
            .cells[0] == "°C");
  CHECK(tableOf(intake::testing::utf16("a;b\n1;2\n", true, true))->rows[1].cells[1] == "2");
}

TEST_CASE("A wrong table is refused with its place") {
  const auto open = tableOf("a;b\n1;\"2\n3;4\n");
  CHECK(open.error().code == "table.quote_open");
  CHECK(open.error().where.line == 2);
  CHECK(open.error().where.column == "2");
  CHECK(tableOf("a;b\n1;\"2\"x\n").error().code == "table.after_quote");
  const auto width = tableOf("a;b\n1;2\n3\n");
  CHECK(width.error().code == "table.row_width");
  CHECK(width.error().where.line == 3);
  CHECK(tableOf("").error().code == "intake.empty");
  CHECK(tableOf("\n\n").error().code == "intake.empty");
  CHECK(tableOf("%PDF-1.4").error().code == "intake.no_table");
  CHECK(tableOf(std::string("a;b\n1;x\0y\n", 10)).error().where.line == 2);
  TableForm small;
  small.max_bytes = 5;
  CHECK(tableOf("a;b\n1;2\n", small).error().code == "intake.too_large");
  small = {};
  small.max_rows = 1;
  CHECK(tableOf("a;b\n1;2\n", small).error().code == "intake.too_many_rows");
}

TEST_CASE("Cells that a spreadsheet would run are written as text") {
  const std::vector<std::vector<std::string>> rows{
      {"=1+1", "-12.5", "+12,5", "@x", "-a", "a\"b", "x,y", ""}};
  CHECK(writeCsv(rows) == "'=1+1,-12.5,\"+12,5\",'@x,'-a,\"a\"\"b\",\"x,y\",\"\"\r\n");
}

TEST_CASE("What is written is read back") {
  CHECK(rc::check("any table of text", [] {
    const auto width = *rc::gen::inRange<std::size_t>(1, 5);
    const auto cell = rc::gen::container<std::string>(rc::gen::element(
        'a', '=', '+', '-', '@', '\'', '"', ';', ',', '\t', '\n', '\r', ' ', '1', '.'));
    const auto rows = *rc::gen::container<std::vector<std::vector<std::string>>>(
        rc::gen::container<std::vector<std::string>>(width, cell));
    RC_PRE(!rows.empty());
    for (const char delimiter : {',', ';', '\t'}) {
      TableForm form;
      form.delimiter = delimiter;
      const auto table = tableOf(writeCsv(rows, delimiter), form);
      RC_ASSERT(static_cast<bool>(table));
      RC_ASSERT(table->rows.size() == rows.size());
      for (std::size_t i = 0; i < rows.size(); ++i) RC_ASSERT(table->rows[i].cells == rows[i]);
    }
  }));
}
