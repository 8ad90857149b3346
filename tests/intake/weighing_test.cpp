#include "platemark/intake/weighing.h"

#include "files.h"
#include "platemark/intake/propose.h"

using namespace platemark;
using namespace platemark::intake;
using namespace platemark::intake::testing;

namespace {

FileLayout balanceLayout() {
  FileLayout layout;
  layout.decimal_mark = DecimalMark::comma;
  layout.time = {.column = 1,
                 .clock_column = 2,
                 .form = StampForm::day_month_year,
                 .zone = "Europe/Berlin",
                 .elapsed_unit = "s"};
  layout.columns = {{3, Role::reading, "Net", "net", "g", Kind::mass, 0.0, 5000.0},
                    {4, Role::unit, "Unit", "", "1", Kind::number, {}, {}},
                    {5, Role::label, "Sample", "", "1", Kind::number, {}, {}}};
  return layout;
}

Result<Weighings> weigh(const std::string& text, const FileLayout& layout = balanceLayout()) {
  MemorySource source("balance.csv", text);
  return readWeighings(source, layout);
}

const std::string header = "Date;Clock;Net;Unit;Sample\n";

}  // namespace

TEST_CASE("Weighings keep their digits, their unit and their sample") {
  const auto weighings = weigh(header +
                               "25.11.2026;07:40:00;12,340;g;S-17\n25.11.2026;07:41:00;1,5;kg;\"S "
                               "\"\"18\"\"\"\n25.11.2026;07:42:00;+7,0;;S-19\n");
  REQUIRE(weighings);
  REQUIRE(weighings->rows.size() == 3);
  CHECK(weighings->rows[0].net.value.text() == "12.340");
  CHECK(weighings->rows[0].net.unit == "g");
  CHECK(weighings->rows[0].id == "S-17");
  CHECK(weighings->rows[0].line == 2);
  CHECK(formatInstant(weighings->rows[0].time) == "2026-11-25T06:40:00Z");
  CHECK(weighings->rows[1].net.unit == "kg");
  CHECK(weighings->rows[1].id == "S \"18\"");
  CHECK(weighings->rows[2].net.unit == "g");
}

TEST_CASE("The unit may stand in the number's own cell") {
  FileLayout layout = balanceLayout();
  layout.columns.erase(layout.columns.begin() + 1);
  const auto weighings =
      weigh("Date;Clock;Net;;Sample\n25.11.2026;07:40:00;  1,234 kg ;;S-17\n", layout);
  REQUIRE(weighings);
  CHECK(weighings->rows[0].net == Measure{*Decimal::parse("1.234"), "kg"});
}

TEST_CASE("What cannot be weighed is refused or reported with its line") {
  const auto unit = weigh(header + "25.11.2026;07:40:00;12,34;bar;S-17\n");
  REQUIRE_FALSE(unit);
  CHECK(unit.error().code == "weighing.wrong_unit");
  CHECK(unit.error().where.line == 2);
  CHECK(unit.error().where.column == "Net");
  CHECK(weigh(header + "25.11.2026;07:40:00;12,34;kg;S-17\n").error().code ==
        "intake.impossible_value");
  CHECK(weigh(header + "25.11.2026;07:40:00;-0,1;g;S-17\n").error().code ==
        "intake.impossible_value");
  CHECK(weigh(header + "25.11.2026;07:40:00;1;g;a\n25.11.2026;07:39:00;1;g;b\n").error().code ==
        "intake.clock_backwards");
  const auto messy =
      weigh(header + "25.11.2026;07:40:00;1;g;a\n25.11.2026;07:41:00;unstable;g;b\n" + header +
            "\n25.11.2026;07:42:00;2;g;c");
  REQUIRE(messy);
  CHECK(messy->rows.size() == 1);
  CHECK(messy->report.find("row.no_number")->first[0].line == 3);
  CHECK(messy->report.count("header.repeated") == 1);
  CHECK(messy->report.count("row.blank") == 1);
  CHECK(messy->report.find("row.cut_off")->first[0].line == 6);
  FileLayout two = balanceLayout();
  two.columns[0].kind = Kind::temperature_point;
  two.columns[0].unit = "Cel";
  CHECK(weigh(header, two).error().code == "weighing.layout");
}

TEST_CASE("A balance's file proposes a layout that weighs") {
  const std::string text =
      header + "25.11.2026;07:40:00;12,34;g;S-17\n25.11.2026;07:41:00;12,5;g;S-18\n";
  const auto proposal = proposeLayout(text, "Europe/Berlin");
  REQUIRE(proposal);
  CHECK(proposal->layout.columns[1].role == Role::unit);
  CHECK(proposal->layout.columns[2].role == Role::label);
  const auto weighings = weigh(text, proposal->layout);
  REQUIRE(weighings);
  CHECK(weighings->rows[1].id == "S-18");
  CHECK(weighings->rows[1].net.unit == "g");
}
