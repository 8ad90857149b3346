#include <filesystem>
#include <fstream>

#include "files.h"

using namespace platemark;
using namespace platemark::intake;
using namespace platemark::intake::testing;

TEST_CASE("A recorder's file becomes times, numbers and line numbers") {
  const auto series = readText(
      "Time;T1;T2\n25.11.2026 07:40:00;20,5;-3\n25.11.2026 07:40:01;20,75;---\n", ovenLayout(2));
  REQUIRE(series);
  CHECK(at(*series, 0) == "2026-11-25T06:40:00Z");
  CHECK(at(*series, 1) == "2026-11-25T06:40:01Z");
  CHECK(series->lines == Lines{2, 3});
  CHECK(series->columns[0].values[1] == 20.75);
  CHECK(series->columns[1].values[0] == -3.0);
  CHECK(std::isnan(series->columns[1].values[1]));
  CHECK(series->columns[1].meaning == "channel 2");
  CHECK(series->report.tallies.empty());
  CHECK(series->report.lines == 3);
}

TEST_CASE("Delimiters and decimal marks") {
  const auto tab = readText("Time\tT1\n25.11.2026 07:40\t20,5\n", ovenLayout(1, '\t'));
  REQUIRE(tab);
  CHECK(tab->columns[0].values[0] == 20.5);
  const auto comma =
      readText("Time,T1\n25.11.2026 07:40,20.5\n", ovenLayout(1, ',', DecimalMark::point));
  REQUIRE(comma);
  CHECK(comma->columns[0].values[0] == 20.5);
  const auto quoted =
      readText("Time,T1,T2\n\"25.11.2026 07:40\",\"20,5\",\"21,25\"\n", ovenLayout(2, ','));
  REQUIRE(quoted);
  CHECK(quoted->columns[1].values[0] == 21.25);
  const auto padded = readText(
      "Time;T1\r\n25.11.2026 07:40:00;  20,5 \r\n25.11.2026 07:40:01;  1,0E+2 \r\n", ovenLayout());
  REQUIRE(padded);
  CHECK(padded->columns[0].values == Numbers{20.5, 100.0});
}

TEST_CASE("A degree sign in UTF-8 with mark, in Latin-1 and in UTF-16") {
  FileLayout layout = ovenLayout();
  layout.columns[0].title = "T1 [°C]";
  const std::string rows = "25.11.2026 07:40:00;20,5\n25.11.2026 07:40:01;21\n";
  const auto with_mark = readText(
      "\xEF\xBB\xBFTime;T1 [\xC2\xB0"
      "C]\n" +
          rows,
      layout);
  REQUIRE(with_mark);
  CHECK(with_mark->times.size() == 2);
  layout.encoding = Encoding::latin1;
  const auto latin = readText(
      "Time;T1 [\xB0"
      "C]\n" +
          rows,
      layout);
  REQUIRE(latin);
  CHECK(same(*latin, *with_mark));
  for (const bool little : {true, false}) {
    layout.encoding = little ? Encoding::utf16_le : Encoding::utf16_be;
    std::string wide = utf16("Time;T1 [#C]\n" + rows, little, true);
    wide[wide.find('#')] = '\xB0';
    const auto series = readText(wide, layout);
    REQUIRE(series);
    CHECK(same(*series, *with_mark));
  }
}

TEST_CASE("Lines that end in a lone CR") {
  const auto series =
      readText("Time;T1\r25.11.2026 07:40:00;20,5\r25.11.2026 07:40:01;21\r", ovenLayout());
  REQUIRE(series);
  CHECK(series->lines == Lines{2, 3});
}

TEST_CASE("Title lines, a unit line, and a header that stands lower than usual") {
  FileLayout layout = ovenLayout();
  layout.title_lines = 2;
  layout.header_line = 3;
  layout.unit_line = 4;
  const std::string body =
      "Time;T1\n;\xC2\xB0"
      "C\n25.11.2026 07:40:00;20,5\n";
  const auto usual = readText("Oven 3\nLoad 17\n" + body, layout);
  REQUIRE(usual);
  CHECK(usual->titles == std::vector<std::string>{"Oven 3", "Load 17"});
  CHECK(usual->lines == Lines{5});
  const auto lower = readText("Oven 3\nLoad 17\nNight shift\n" + body, layout);
  REQUIRE(lower);
  CHECK(lower->lines == Lines{6});
  CHECK(lower->report.tallies.empty());
}

TEST_CASE("A restart repeats titles and header: counted with their lines, nothing else is lost") {
  FileLayout layout = ovenLayout();
  layout.title_lines = 1;
  layout.header_line = 2;
  const auto series = readText(
      "Oven 3\nTime;T1\n25.11.2026 07:40:00;20\nOven 3\nTime;T1\n25.11.2026 07:50:00;21\n", layout);
  REQUIRE(series);
  CHECK(series->lines == Lines{3, 6});
  REQUIRE(series->report.find("header.repeated"));
  CHECK(series->report.find("header.repeated")->first[0].line == 5);
  CHECK(series->report.count("title.repeated") == 1);
  CHECK(series->report.rowsLeftOut() == 2);
}

TEST_CASE("Rows left out are counted with line, reason and text; texts are kept up to a cap") {
  const std::string text =
      "Time;T1;T2\n25.11.2026 07:40:00;20;1\n\nservice called\n25.11.2026 07:41:00;20\n"
      "31.11.2026 07:42:00;20;1\nanother word\n25.11.2026 07:43:00;Error 5;1\n";
  const auto series = readText(text, ovenLayout(2));
  REQUIRE(series);
  CHECK(series->lines == Lines{2, 8});
  const Report& report = series->report;
  CHECK(report.count("row.blank") == 1);
  CHECK(report.find("row.blank")->first[0].line == 3);
  CHECK(report.count("row.too_few_columns") == 1);
  CHECK(report.find("row.too_few_columns")->first[0].text == "25.11.2026 07:41:00;20");
  CHECK(report.count("row.no_time") == 3);
  CHECK(report.find("row.no_time")->first[1].text == "31.11.2026 07:42:00;20;1");
  CHECK(report.find("cell.not_a_number")->first[0].text == "Error 5");
  CHECK(report.find("cell.not_a_number")->first[0].column == "T1");
  CHECK(std::isnan(series->columns[0].values[1]));
  Limits limits;
  limits.kept_remarks = 1;
  const auto capped = readText(text, ovenLayout(2), limits);
  CHECK(capped->report.count("row.no_time") == 3);
  CHECK(capped->report.find("row.no_time")->first.size() == 1);
  // Every line of the file is a row, above the rows, or in the report.
  CHECK(report.lines == 1 + static_cast<std::int64_t>(series->times.size()) + report.rowsLeftOut());
}

// source: 212 °F = 100 °C and 32 °F = 0 °C, the fixed points of the two scales (SI brochure, degree
// Celsius; water's boiling point by convention of the Fahrenheit scale)
TEST_CASE("Fahrenheit is converted and what was read is kept") {
  FileLayout layout = ovenLayout();
  layout.columns[0].unit = "[degF]";
  const auto series = readText(
      "Time;T1\n25.11.2026 07:40:00;212\n25.11.2026 07:40:01;32\n25.11.2026 07:40:02;\n", layout);
  REQUIRE(series);
  const SeriesColumn& column = series->columns[0];
  CHECK(column.unit == "Cel");
  CHECK(column.values[0] == 100.0);
  CHECK(column.values[1] == 0.0);
  CHECK(column.unit_as_read == "[degF]");
  CHECK(column.as_read[0] == 212.0);
  CHECK(std::isnan(column.as_read[2]));
}

TEST_CASE(
    "A last line without its end is left out and reported, unless the layout knows the habit") {
  const std::string text = "Time;T1\n25.11.2026 07:40:00;20\n25.11.2026 07:40:01;2";
  FileLayout layout = ovenLayout();
  const auto careful = readText(text, layout);
  REQUIRE(careful);
  CHECK(careful->times.size() == 1);
  CHECK(careful->report.find("row.cut_off")->first[0].line == 3);
  layout.last_line_may_lack_end = true;
  const auto trusting = readText(text, layout);
  REQUIRE(trusting);
  CHECK(trusting->times.size() == 2);
  CHECK(trusting->report.count("line.no_end") == 1);
}

TEST_CASE("Half a million rows at one second, from a file on disk") {
  const auto path = std::filesystem::temp_directory_path() / "platemark_intake_half_million.csv";
  {
    std::ofstream file(path, std::ios::binary);
    file << "Time;T1\n";
    for (int i = 0; i < 500'000; ++i) {
      const Instant moment = Instant::fromUnixMs(1'764'000'000'000 + i * 1000LL);
      const auto t = *localTime(moment, "Europe/Berlin");
      char line[64];
      std::snprintf(line, sizeof line, "%02d.%02d.%d %02d:%02d:%02d;%d,%02d\n", t.day, t.month,
                    t.year, t.hour, t.minute, t.second, i % 300, i % 100);
      file << line;
    }
  }
  auto source = openFile(path.string());
  REQUIRE(source);
  const auto series = readSeries(**source, ovenLayout());
  REQUIRE(series);
  REQUIRE(series->times.size() == 500'000);
  CHECK(series->times.back() == 1'764'000'000'000 + 499'999'000LL);
  CHECK(series->lines.back() == 500'001);
  CHECK(series->columns[0].values[123'456] == 156.56);
  std::filesystem::remove(path);
}
