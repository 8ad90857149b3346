#include "platemark/intake/propose.h"

#include "files.h"

using namespace platemark;
using namespace platemark::intake;
using namespace platemark::intake::testing;

namespace {

Proposal propose(const std::string& bytes) {
  auto proposal = proposeLayout(bytes, "Europe/Berlin", "shed/oven 3.csv");
  REQUIRE(proposal);
  for (const Guess& guess : proposal->guesses) {
    CHECK_FALSE(guess.reason.empty());
    CHECK(guess.confidence >= 0.0);
    CHECK(guess.confidence <= 1.0);
  }
  return *proposal;
}

bool asks(const Proposal& proposal, const std::string& member) {
  const Guess* guess = proposal.about(member);
  return guess != nullptr && (!guess->alternatives.empty() || guess->confidence < 0.5);
}

}  // namespace

TEST_CASE(
    "A usual recorder file needs no question but the zone's confirmation, and reads at once") {
  const std::string text =
      "Oven 3\nLoad 17\nTime;CH1 [\xB0"
      "C];CH2 [\xB0"
      "C];CH5 (bar);Note\n"
      "25.11.2026 07:40:00;20,5;---;1,25;start\n25.11.2026 07:40:10;21,25;20,75;1,5;\n25.11.2026 "
      "07:40:20;22,5;OPEN;1,75;\n25.11.2026 07:40:3";
  const Proposal proposal = propose(text);
  const FileLayout& layout = proposal.layout;
  CHECK(layout.name == "oven 3");
  CHECK(layout.delimiter == ';');
  CHECK(layout.decimal_mark == DecimalMark::comma);
  CHECK(layout.encoding == Encoding::latin1);
  CHECK(layout.header_line == 3);
  CHECK(layout.title_lines == 2);
  CHECK(layout.time.form == StampForm::day_month_year);
  CHECK(layout.time.zone == "Europe/Berlin");
  REQUIRE(layout.columns.size() == 4);
  CHECK(layout.columns[0].title == "CH1 [°C]");
  CHECK(layout.columns[0].unit == "Cel");
  CHECK(layout.columns[0].meaning == "channel 1");
  CHECK(layout.columns[2].unit == "bar");
  CHECK(layout.columns[2].kind == Kind::pressure);
  CHECK(layout.columns[2].meaning == "channel 5");
  CHECK(layout.columns[3].role == Role::label);
  CHECK(layout.empty_marks == std::vector<std::string>{"---", "OPEN"});
  CHECK(proposal.questions().empty());
  const auto shown = preview(layout, text);
  REQUIRE(shown);
  REQUIRE(shown->rows.size() == 3);
  CHECK(shown->rows[1].text == "25.11.2026 07:40:10;21,25;20,75;1,5;");
  CHECK(shown->rows[1].line == 5);
  CHECK(shown->rows[1].values[1] == 20.75);
  CHECK(shown->series.report.tallies.empty());
}

TEST_CASE("Day and month that nothing tells apart are named, not guessed in silence") {
  const Proposal open = propose("Time;T1\n03/04/2026 07:40:00;20.5\n03/04/2026 07:40:10;20.5\n");
  REQUIRE(asks(open, "time.form"));
  CHECK(open.about("time.form")->confidence < 0.5);
  CHECK(open.about("time.form")->alternatives.size() == 1);
  const Proposal month_first =
      propose("Time;T1\n11/25/2026 07:40:00;20.5\n11/25/2026 07:40:10;20.5\n");
  CHECK(month_first.layout.time.form == StampForm::month_day_year);
  CHECK_FALSE(asks(month_first, "time.form"));
  // Midnight passes: read as month first, a month would lie between two rows.
  const Proposal by_steps =
      propose("Time;T1\n03/04/2026 23:59:50;20.5\n04/04/2026 00:00:00;20.5\n");
  CHECK(by_steps.layout.time.form == StampForm::day_month_year);
  CHECK(asks(by_steps, "time.form"));
}

TEST_CASE("A comma that is delimiter and decimal mark is named") {
  const Proposal both =
      propose("Time,T1,T2\n25.11.2026 07:40:00,20,5,21,5\n25.11.2026 07:40:10,20,5,21,5\n");
  REQUIRE(asks(both, "delimiter"));
  CHECK(both.about("delimiter")->confidence < 0.2);
  const Proposal quoted =
      propose("Time,T1 [degC]\n25.11.2026 07:40:00,\"20,5\"\n25.11.2026 07:40:10,\"20,75\"\n");
  CHECK(quoted.layout.delimiter == ',');
  CHECK(quoted.layout.decimal_mark == DecimalMark::comma);
  CHECK_FALSE(asks(quoted, "delimiter"));
  const Proposal thousands =
      propose("Time;T1\n25.11.2026 07:40:00;1,250\n25.11.2026 07:40:10;1,375\n");
  CHECK(asks(thousands, "decimal_mark"));
  const Proposal whole = propose("Time;T1\n25.11.2026 07:40:00;20\n25.11.2026 07:40:10;21\n");
  CHECK(asks(whole, "decimal_mark"));
  const Proposal mixed =
      propose("Time;T1;T2\n25.11.2026 07:40:00;20,5;20.5\n25.11.2026 07:40:10;21,5;21.5\n");
  CHECK(asks(mixed, "decimal_mark"));
}

TEST_CASE("A unit that the file does not name is asked for") {
  const Proposal proposal = propose("Time;Left\n25.11.2026 07:40:00;20,5\n");
  CHECK(asks(proposal, "columns[0].unit"));
}

TEST_CASE("Units in their own line, tabs, date and clock apart, 16-bit text") {
  const std::string text =
      "Date\tClock\tT1\tT2\n\t\tdegF\tdegF\n11/25/2026\t07:40:00\t68.5\t70\n11/25/"
      "2026\t07:40:10\t68.5\t70\n";
  for (const std::string& bytes : {text, utf16(text, true, true), utf16(text, false, false)}) {
    const Proposal proposal = propose(bytes);
    CHECK(proposal.layout.delimiter == '\t');
    CHECK(proposal.layout.unit_line == 2);
    CHECK(proposal.layout.header_line == 1);
    CHECK(proposal.layout.time.clock_column == 2);
    CHECK(proposal.layout.columns[1].unit == "[degF]");
    const auto shown = preview(proposal.layout, bytes);
    REQUIRE(shown);
    CHECK(shown->rows.size() == 2);
    CHECK(shown->rows[0].text == "11/25/2026\t07:40:00\t68.5\t70");
  }
}

TEST_CASE("Times that are numbers") {
  const Proposal serial = propose("Time;T1\n46351,25;20,5\n46351,2501;20,5\n");
  CHECK(serial.layout.time.form == StampForm::day_serial);
  CHECK(asks(serial, "time.form"));
  const Proposal elapsed = propose("Elapsed [min];T1\n0;20,5\n0,5;20,5\n1;21,5\n");
  CHECK(elapsed.layout.time.form == StampForm::elapsed);
  CHECK(elapsed.layout.time.elapsed_unit == "min");
  CHECK(asks(propose("a;b\nx;1,5\ny;2,5\n"), "time.column"));
}

TEST_CASE("A file without header keeps all its rows") {
  const Proposal proposal = propose("2026-11-25 07:40:00,20.5\n2026-11-25 07:40:10,21.5\n");
  CHECK(proposal.layout.header_line == 0);
  const auto shown =
      preview(proposal.layout, "2026-11-25 07:40:00,20.5\n2026-11-25 07:40:10,21.5\n");
  REQUIRE(shown);
  CHECK(shown->rows.size() == 2);
}

TEST_CASE("No proposal for what is no table") {
  CHECK(proposeLayout("", "Etc/UTC").error().code == "intake.empty");
  CHECK(proposeLayout("%PDF-1.4", "Etc/UTC").error().code == "intake.no_table");
  CHECK(asks(propose("just words\nand more of them\n"), "delimiter"));
}
