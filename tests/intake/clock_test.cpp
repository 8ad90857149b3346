#include <fstream>

#include "files.h"
#include "platemark/intake/table.h"
#include "stamp.h"

using namespace platemark;
using namespace platemark::intake;
using namespace platemark::intake::testing;

namespace {

std::string first(const std::string& stamp, StampForm form, int clock_column = 0,
                  const Limits& limits = {}) {
  FileLayout layout = ovenLayout();
  layout.header_line = 0;
  layout.time.form = form;
  layout.time.clock_column = clock_column;
  layout.columns[0].title.clear();
  if (clock_column > 0) layout.columns[0].position = 3;
  const auto series = readText(stamp + ";1\n", layout, limits);
  return series ? at(*series, 0) : series.error().code;
}

std::string rowsAt(std::initializer_list<const char*> clocks,
                   const std::string& day = "25.10.2026") {
  std::string text = "Time;T1\n";
  for (const char* clock : clocks) text += day + " " + clock + ";1\n";
  return text;
}

std::vector<std::string> times(const Series& series) {
  std::vector<std::string> list;
  for (std::size_t i = 0; i < series.times.size(); ++i) list.push_back(at(series, i).substr(11, 8));
  return list;
}

}  // namespace

TEST_CASE("Orders of date and clock") {
  CHECK(first("2026-11-25T07:40:05", StampForm::year_month_day) == "2026-11-25T06:40:05Z");
  CHECK(first("2026/11/25 7:40", StampForm::year_month_day) == "2026-11-25T06:40:00Z");
  CHECK(first("2026-11-25 07:40:05.25", StampForm::year_month_day) == "2026-11-25T06:40:05.250Z");
  CHECK(first("2026-11-25T07:40:05Z", StampForm::year_month_day) == "2026-11-25T07:40:05Z");
  CHECK(first("2026-11-25 07:40:05+05:30", StampForm::year_month_day) == "2026-11-25T02:10:05Z");
  CHECK(first("5.3.26 07:40:05", StampForm::day_month_year) == "2026-03-05T06:40:05Z");
  CHECK(first("11/25/2026 7:40:05 PM", StampForm::month_day_year) == "2026-11-25T18:40:05Z");
  CHECK(first("11/25/2026 12:00:00 AM", StampForm::month_day_year) == "2026-11-24T23:00:00Z");
  CHECK(first("25.11.2026;07:40:05", StampForm::day_month_year, 2) == "2026-11-25T06:40:05Z");
  for (const char* wrong :
       {"25.11.2026 24:00:00", "25.11.2026 07:60:00", "29.02.2026 07:40", "25.13.2026 07:40",
        "25.11.2026", "07:40:00", "25.11.026 07:40", "25.11-2026 07:40"})
    CHECK(first(wrong, StampForm::day_month_year) == "intake.no_rows");
}

TEST_CASE("A remembered minute reads only seconds that exist") {
  const auto series =
      readText(rowsAt({"07:40:00", "07:40:75", "07:40:5", "07:40:59", "07:40:59,5"}, "25.11.2026"),
               ovenLayout());
  REQUIRE(series);
  CHECK(series->lines == Lines{2, 5, 6});
  CHECK(series->times[2] - series->times[0] == 59'500);
  CHECK(series->report.count("row.no_time") == 2);
}

// source: day 25569 of the serial count from 1899-12-30 is 1970-01-01 (days between the two dates)
TEST_CASE("Spreadsheet days and elapsed time") {
  CHECK(first("46351,25", StampForm::day_serial) == "2026-11-25T05:00:00Z");
  Limits limits;
  limits.start = *parseInstant("2026-11-25T06:00:00Z");
  CHECK(first("90,5", StampForm::elapsed, 0, limits) == "2026-11-25T06:01:30.500Z");
  CHECK(first("26:00:01", StampForm::elapsed, 0, limits) == "2026-11-26T08:00:01Z");
  FileLayout layout = ovenLayout();
  layout.time.form = StampForm::elapsed;
  layout.time.elapsed_unit = "min";
  const auto series = readText("Time;T1\n0;1\n1,5;2\n", layout);
  REQUIRE(series);
  CHECK(series->from_zero);
  CHECK(series->times == Times{0, 90'000});
}

TEST_CASE("Date and clock in columns apart from each other") {
  FileLayout layout = ovenLayout();
  layout.time.clock_column = 3;
  const auto series =
      readText("Date;T1;Clock\n25.11.2026;20,5;07:40:00\n25.11.2026;21;07:40:10\n", layout);
  REQUIRE(series);
  CHECK(series->times[1] - series->times[0] == 10'000);
}

TEST_CASE("Wall clocks of several zones agree with another implementation") {
  std::ifstream file(PLATEMARK_TESTS_DIR "/intake/cases/wall_clocks.csv");
  std::string line, text;
  REQUIRE(std::getline(file, line));
  REQUIRE(line.starts_with("# source:"));
  while (std::getline(file, line))
    if (!line.starts_with('#')) text += line + "\n";
  MemorySource source("wall_clocks.csv", text);
  const auto cases = readTable(source);
  REQUIRE(cases);
  REQUIRE(cases->rows.size() > 60);
  for (std::size_t i = 1; i < cases->rows.size(); ++i) {
    const auto& cells = cases->rows[i].cells;
    FileLayout layout = ovenLayout();
    layout.time.zone = cells[0];
    const auto series = readText("Time;T1\n" + cells[1] + ";1\n", layout);
    REQUIRE(series);
    CHECK(at(*series, 0) == cells[2]);
  }
}

// source: IANA time zone data, Europe/Berlin: on 2026-10-25 at 01:00 UTC the clocks go back from
// 03:00 to 02:00
TEST_CASE("The hour that occurs twice is told apart by the order of the rows") {
  const auto both =
      readText(rowsAt({"01:59:50", "02:00:00", "02:59:50", "02:00:00", "02:59:50", "03:00:00"}),
               ovenLayout());
  REQUIRE(both);
  CHECK(times(*both) == std::vector<std::string>{"23:59:50", "00:00:00", "00:59:50", "01:00:00",
                                                 "01:59:50", "02:00:00"});
  CHECK(both->report.tallies.empty());
}

TEST_CASE("One of the two hours only: its neighbours tell which") {
  const auto earlier = readText(rowsAt({"01:59:50", "02:10:00", "02:20:00"}), ovenLayout());
  CHECK(times(*earlier) == std::vector<std::string>{"23:59:50", "00:10:00", "00:20:00"});
  const auto later = readText(rowsAt({"02:40:00", "02:50:00", "03:00:00"}), ovenLayout());
  CHECK(times(*later) == std::vector<std::string>{"01:40:00", "01:50:00", "02:00:00"});
  CHECK(later->report.tallies.empty());
  const auto alone = readText(rowsAt({"02:10:00", "02:20:00"}), ovenLayout());
  CHECK(times(*alone) == std::vector<std::string>{"00:10:00", "00:20:00"});
  CHECK(alone->report.count("time.repeat_unsure") == 1);
}

TEST_CASE("A record that runs through the change without repeating the hour is doubted") {
  const auto series =
      readText(rowsAt({"01:50:00", "02:00:00", "02:50:00", "03:00:00"}), ovenLayout());
  REQUIRE(series);
  REQUIRE(series->report.count("time.repeat_missing") == 1);
  CHECK(series->report.find("time.repeat_missing")->first[0].line == 3);
}

// source: IANA time zone data, Europe/Berlin: on 2026-03-29 at 01:00 UTC the clocks go from 02:00
// to 03:00
TEST_CASE("Rows in the hour that spring skips are reported") {
  const auto series =
      readText(rowsAt({"01:59:00", "02:10:00", "03:00:00"}, "29.03.2026"), ovenLayout());
  REQUIRE(series);
  CHECK(times(*series) == std::vector<std::string>{"00:59:00", "01:00:00"});
  CHECK(series->report.find("row.skipped_hour")->first[0].line == 3);
}

TEST_CASE("A clock that steps back is an error with its place") {
  const auto back = readText(rowsAt({"07:00:00", "07:00:10", "07:00:05"}), ovenLayout());
  REQUIRE_FALSE(back);
  CHECK(back.error().code == "intake.clock_backwards");
  CHECK(back.error().where.line == 4);
  CHECK(back.error().where.file == "oven.csv");
  // Two steps back in one autumn night: the change explains only one.
  const auto twice = readText(rowsAt({"02:50:00", "02:10:00", "02:05:00"}), ovenLayout());
  REQUIRE_FALSE(twice);
  CHECK(twice.error().where.line == 4);
}

TEST_CASE("Rows of the same moment are kept and named") {
  const auto series =
      readText("Time;T1\n25.11.2026 07:40:00;1\n25.11.2026 07:40:00;1\n25.11.2026 07:40:00;2\n",
               ovenLayout());
  REQUIRE(series);
  CHECK(series->times.size() == 3);
  const Tally* tally = series->report.find("time.same");
  REQUIRE(tally);
  CHECK(tally->count == 2);
  CHECK(tally->first[0].text == "with the same values");
  CHECK(tally->first[1].text == "with other values");
  CHECK(tally->first[1].line == 4);
}
