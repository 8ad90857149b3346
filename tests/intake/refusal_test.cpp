#include <atomic>

#include "files.h"

using namespace platemark;
using namespace platemark::intake;
using namespace platemark::intake::testing;

namespace {

/// A source that says how large it is and counts what is read of it.
class CountingSource : public ByteSource {
 public:
  CountingSource(std::string text, std::optional<std::uint64_t> size)
      : text_(std::move(text)), size_(size) {}
  std::string name() const override { return "oven.csv"; }
  std::optional<std::uint64_t> size() const override { return size_; }
  Result<std::size_t> read(std::uint64_t offset, std::span<char> into) override {
    for (std::size_t i = 0; i < into.size(); ++i)
      into[i] = text_[static_cast<std::size_t>((offset + i) % text_.size())];
    bytes_read += into.size();
    return into.size();
  }
  std::atomic<std::uint64_t> bytes_read{0};

 private:
  std::string text_;
  std::optional<std::uint64_t> size_;
};

/// Fails, or ends early, from a given byte on.
class FaultySource : public ByteSource {
 public:
  FaultySource(std::string text, std::uint64_t sound, bool fails)
      : text_(std::move(text)), inner_("oven.csv", text_), sound_(sound), fails_(fails) {}
  std::string name() const override { return "oven.csv"; }
  std::optional<std::uint64_t> size() const override { return text_.size(); }
  Result<std::size_t> read(std::uint64_t offset, std::span<char> into) override {
    if (offset + into.size() <= sound_) return inner_.read(offset, into);
    if (!fails_)
      return offset >= sound_
                 ? std::size_t{0}
                 : *inner_.read(offset, into.subspan(0, static_cast<std::size_t>(sound_ - offset)));
    Error error;
    error.fault = Fault::environment;
    error.code = "intake.read_failed";
    return error;
  }

 private:
  std::string text_;
  MemorySource inner_;
  std::uint64_t sound_;
  bool fails_;
};

std::string codeOf(const std::string& bytes, const FileLayout& layout = ovenLayout()) {
  const auto series = readText(bytes, layout);
  if (series) return "read";
  CHECK_FALSE(series.error().remedy.empty());
  CHECK_FALSE(series.error().expected.empty());
  return series.error().code;
}

std::string longFile() {
  std::string text = "Time;T1\n";
  for (int i = 0; i < 60'000; ++i) {
    char line[48];
    std::snprintf(line, sizeof line, "25.11.2026 %02d:%02d:%02d;%d\n", i / 3600, i / 60 % 60,
                  i % 60, i % 200);
    text += line;
  }
  return text;
}

}  // namespace

TEST_CASE("What is no table is refused and named") {
  using namespace std::string_literals;
  for (const auto& [bytes, word] :
       std::vector<std::pair<std::string, std::string>>{{"%PDF-1.7\nx", "PDF"},
                                                        {"\x89PNG\r\n\x1A\n", "PNG"},
                                                        {"\xFF\xD8\xFF\xE0", "JPEG"},
                                                        {"<!DOCTYPE html><p>", "HTML"},
                                                        {"  <HTML>", "HTML"},
                                                        {"PK\x03\x04zz", "workbook"},
                                                        {"\x01\x02\x03\x04;\n", "binary"},
                                                        {std::string(4000, '\0'), "binary"}}) {
    const auto series = readText(bytes, ovenLayout());
    REQUIRE_FALSE(series);
    CHECK(series.error().code == "intake.no_table");
    CHECK(series.error().what.find(word) != std::string::npos);
    CHECK(series.error().where.file == "oven.csv");
  }
  CHECK(codeOf("") == "intake.empty");
  CHECK(codeOf("Time;T1\n") == "intake.no_rows");
  CHECK(codeOf("one\ntwo\nthree\n") == "intake.header_differs");
}

TEST_CASE("Two gigabytes are refused without reading them") {
  CountingSource huge("Time;T1\n", 2'000'000'000);
  const auto refused = readSeries(huge, ovenLayout());
  REQUIRE_FALSE(refused);
  CHECK(refused.error().code == "intake.too_large");
  CHECK(huge.bytes_read == 0);
}

TEST_CASE("A stream of unknown length ends at the limit") {
  CountingSource endless("25.11.2026 07:40:00;20\n", std::nullopt);
  FileLayout layout = ovenLayout();
  layout.header_line = 0;
  Limits limits;
  limits.max_bytes = 3'000'000;
  limits.block_bytes = 1u << 20;
  const auto refused = readSeries(endless, layout, limits);
  REQUIRE_FALSE(refused);
  CHECK(refused.error().code == "intake.too_large");
  CHECK(endless.bytes_read < 5'000'000);
  limits.max_bytes = 1'000'000'000;
  limits.max_rows = 100'000;
  const auto rows = readSeries(endless, layout, limits);
  REQUIRE_FALSE(rows);
  CHECK(rows.error().code == "intake.too_many_rows");
  CHECK(rows.error().where.line == 100'001);
}

TEST_CASE("A source that fails gives its error, one that ends early a report") {
  const std::string text = longFile();
  Limits limits;
  limits.block_bytes = 64 << 10;
  FaultySource broken(text, 700'000, true);
  const auto failed = readSeries(broken, ovenLayout(), limits);
  REQUIRE_FALSE(failed);
  CHECK(failed.error().code == "intake.read_failed");
  FaultySource cut(text, 700'000, false);
  const auto series = readSeries(cut, ovenLayout(), limits);
  REQUIRE(series);
  CHECK(series->times.size() < 60'000);
  CHECK(series->report.count("row.cut_off") == 1);
}

TEST_CASE("Another header or unit than the layout's is refused with line and column") {
  FileLayout layout = ovenLayout(2);
  layout.columns[0].title = "T1 [degC]";
  const std::string row = "25.11.2026 07:40:00;20;20\n";
  const auto other = readText("Time;T1 [degC];Door\n" + row, layout);
  REQUIRE_FALSE(other);
  CHECK(other.error().code == "intake.header_differs");
  CHECK(other.error().where.line == 1);
  CHECK(other.error().where.column == "T2");
  const auto unit = readText("Time;T1 [degF];T2\n" + row, layout);
  REQUIRE_FALSE(unit);
  CHECK(unit.error().code == "intake.unit_differs");
  const auto kind = readText("Time;T1 [bar];T2\n" + row, layout);
  REQUIRE_FALSE(kind);
  CHECK(kind.error().what.find("a pressure and not a temperature") != std::string::npos);
  layout.unit_line = 2;
  const auto line = readText("Time;T1 [degC];T2\n;degC;bar\n" + row, layout);
  REQUIRE_FALSE(line);
  CHECK(line.error().code == "intake.unit_differs");
  CHECK(line.error().where.line == 2);
  layout.header_line = 40;
  CHECK(codeOf("Time;Door\n" + row, layout) == "intake.header_missing");
}

TEST_CASE("An impossible value is refused with line and column, whatever the loop that finds it") {
  FileLayout layout = ovenLayout(2);
  layout.columns[1].highest = 300.0;
  for (const char* row : {"25.11.2026 07:40:02;20;301", "25.11.2026 07:40:02;20;\"301\"",
                          "25.11.2026 07:40:02;20;  301 "}) {
    const auto series =
        readText("Time;T1;T2\n25.11.2026 07:40:00;20;20\n" + std::string(row) + "\n", layout);
    REQUIRE_FALSE(series);
    CHECK(series.error().code == "intake.impossible_value");
    CHECK(series.error().where.line == 3);
    CHECK(series.error().where.column == "T2");
  }
  CHECK(codeOf("Time;T1;T2\n25.11.2026 07:40:00;-273,2;20\n", layout) == "intake.impossible_value");
  CHECK(codeOf("Time;T1;T2\n25.11.2026 07:40:00;-273,15;300\n", layout) == "read");
  layout.empty_marks.push_back("9999");
  CHECK(codeOf("Time;T1;T2\n25.11.2026 07:40:00;20;9999\n", layout) == "read");
}

TEST_CASE("NUL bytes and endless lines are refused with their line") {
  using namespace std::string_literals;
  const auto nul =
      readText("Time;T1\n25.11.2026 07:40:00;20;x\n25.11.2026 07:40:01;20;x\0y\n"s, ovenLayout());
  REQUIRE_FALSE(nul);
  CHECK(nul.error().code == "intake.nul_bytes");
  CHECK(nul.error().where.line == 3);
  for (const std::size_t block : {std::size_t{64} << 10, std::size_t{8} << 20}) {
    Limits limits;
    limits.block_bytes = block;
    const auto endless = readText("Time;T1\n25.11.2026 07:40:00;20\n25.11.2026 07:40:01;20;" +
                                      std::string(2'000'000, 'x') + "\n",
                                  ovenLayout(), limits);
    REQUIRE_FALSE(endless);
    CHECK(endless.error().code == "intake.line_too_long");
    CHECK(endless.error().where.line == 3);
  }
}

TEST_CASE("A layout that contradicts itself is refused with the member") {
  const auto fieldOf = [](auto change) {
    FileLayout layout = ovenLayout(2);
    change(layout);
    const auto ok = checkLayout(layout);
    return ok ? std::string("sound") : ok.error().code + " " + ok.error().where.field;
  };
  CHECK(fieldOf([](FileLayout&) {}) == "sound");
  CHECK(fieldOf([](FileLayout& l) { l.delimiter = 'x'; }) == "layout.delimiter delimiter");
  CHECK(fieldOf([](FileLayout& l) { l.decimal_mark = DecimalMark::unknown; }) ==
        "layout.decimal_mark decimal_mark");
  CHECK(fieldOf([](FileLayout& l) { l.time.zone = "Nowhere/Town"; }) ==
        "time.zone_unknown time.zone");
  CHECK(fieldOf([](FileLayout& l) { l.columns[1].unit = "bar"; }) ==
        "unit.wrong_kind columns[1].unit");
  CHECK(fieldOf([](FileLayout& l) { l.columns[1].unit = "furlong"; }) ==
        "unit.unknown columns[1].unit");
  CHECK(fieldOf([](FileLayout& l) { l.columns[1].position = 2; }) ==
        "layout.position columns[1].position");
  CHECK(fieldOf([](FileLayout& l) { l.columns[1].meaning = "channel 1"; }) ==
        "layout.meaning columns[1].meaning");
  CHECK(fieldOf([](FileLayout& l) { l.columns.clear(); }) == "layout.no_reading columns");
  CHECK(fieldOf([](FileLayout& l) {
          l.columns[0].lowest = 5;
          l.columns[0].highest = 5;
        }) == "layout.range columns[0].lowest");
  for (const Encoding e :
       {Encoding::utf8, Encoding::latin1, Encoding::utf16_le, Encoding::utf16_be})
    CHECK(encodingNamed(nameOf(e)) == e);
  for (const StampForm f : {StampForm::year_month_day, StampForm::elapsed})
    CHECK(stampFormNamed(nameOf(f)) == f);
  CHECK_FALSE(roleNamed("owner"));
}

TEST_CASE("A folder, a device and a missing file are no files to read") {
  CHECK(openFile("/").error().code == "intake.no_file");
  CHECK(openFile("/dev/null").error().code == "intake.no_file");
  const auto missing = openFile("no/such/file.csv");
  CHECK(missing.error().code == "intake.cannot_open");
  CHECK(missing.error().where.file == "no/such/file.csv");
}
