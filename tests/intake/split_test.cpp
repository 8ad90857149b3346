#include <rapidcheck.h>

#include <random>

#include "chunk.h"
#include "files.h"

using namespace platemark;
using namespace platemark::intake;
using namespace platemark::intake::testing;

namespace {

void property(const char* name, const auto& body) { CHECK_MESSAGE(rc::check(name, body), name); }

/// Rows of every sort: plain, missing, quoted, headers again, words, blank.
std::string messyFile(std::mt19937& random, int rows, int channels) {
  std::string header = "Time";
  for (int c = 1; c <= channels; ++c) header += ";T" + std::to_string(c);
  std::string text = header + "\n";
  std::int64_t ms = 1'764'000'000'000;
  for (int i = 0; i < rows; ++i) {
    ms += 1000 * static_cast<std::int64_t>(1 + random() % 60);
    const auto t = *localTime(Instant::fromUnixMs(ms), "Europe/Berlin");
    char stamp[40];
    std::snprintf(stamp, sizeof stamp, "%02d.%02d.%04d %02d:%02d:%02d", t.day, t.month, t.year,
                  t.hour, t.minute, t.second);
    std::string row = stamp;
    for (int c = 0; c < channels; ++c) {
      const auto choice = random() % 40;
      const std::string number =
          std::to_string(random() % 300) + "," + std::to_string(random() % 1000);
      row += choice == 0   ? ";---"
             : choice == 1 ? ";"
             : choice == 2 ? ";\"" + number + "\""
             : choice == 3 ? "; " + number + " "
                           : ";" + number;
    }
    const auto mess = random() % 60;
    if (mess == 0) row = header;
    if (mess == 1) row = "";
    if (mess == 2) row = "door opened";
    if (mess == 3) row = stamp;
    if (mess == 4) row += ";and more;of it";
    if (mess == 5) row += "\r";
    if (mess == 6)
      row = std::string(stamp) + ";Error" +
            row.substr(row.find(';', 20) == std::string::npos ? row.size() : row.find(';', 20));
    text += row + "\n";
  }
  return text;
}

FileLayout randomLayout(std::mt19937& random, int channels) {
  FileLayout layout = ovenLayout(channels);
  layout.delimiter = ";\t,|"[random() % 4];
  layout.decimal_mark =
      layout.delimiter != ',' && random() % 2 == 0 ? DecimalMark::comma : DecimalMark::point;
  layout.time.form = static_cast<StampForm>(random() % 3);
  layout.title_lines = static_cast<int>(random() % 3);
  layout.header_line = layout.title_lines + 1;
  const bool apart = random() % 2 == 0;
  if (apart) {
    layout.time.clock_column = 2;
    for (Column& column : layout.columns) ++column.position;
  }
  return layout;
}

std::string stampIn(const FileLayout& layout, std::int64_t ms) {
  const auto t = *localTime(Instant::fromUnixMs(ms), layout.time.zone);
  char text[64];
  const char gap = layout.time.clock_column > 0 ? layout.delimiter : ' ';
  if (layout.time.form == StampForm::year_month_day)
    std::snprintf(text, sizeof text, "%04d-%02d-%02d%c%02d:%02d:%02d", t.year, t.month, t.day, gap,
                  t.hour, t.minute, t.second);
  else if (layout.time.form == StampForm::day_month_year)
    std::snprintf(text, sizeof text, "%d.%d.%04d%c%d:%02d:%02d", t.day, t.month, t.year, gap,
                  t.hour, t.minute, t.second);
  else
    std::snprintf(text, sizeof text, "%02d/%02d/%04d%c%02d:%02d:%02d", t.month, t.day, t.year, gap,
                  t.hour, t.minute, t.second);
  return text;
}

struct Written {
  std::string text;
  std::vector<std::int64_t> times;
  std::vector<std::vector<double>> rows;
};

Written writeRandom(std::mt19937& random, const FileLayout& layout) {
  Written out;
  for (int i = 0; i < layout.title_lines; ++i) out.text += "title\n";
  out.text += "Time";
  if (layout.time.clock_column > 0) out.text += std::string(1, layout.delimiter) + "Clock";
  for (const Column& column : layout.columns) out.text += layout.delimiter + column.title;
  out.text += "\n";
  // From shortly before the autumn change of 2026 on, at steps of 1 to 60 s.
  std::int64_t ms = 1'792'886'000'000 + static_cast<std::int64_t>(random() % 4'000) * 1000;
  const int rows = 1 + static_cast<int>(random() % 400);
  for (int i = 0; i < rows; ++i) {
    ms += 1000 * static_cast<std::int64_t>(1 + random() % 60);
    out.times.push_back(ms);
    out.text += stampIn(layout, ms);
    out.rows.emplace_back();
    for (std::size_t c = 0; c < layout.columns.size(); ++c) {
      const double value = static_cast<double>(static_cast<int>(random() % 100'000)) / 64.0 - 200.0;
      char number[40];
      std::snprintf(number, sizeof number, "%.6f", value);
      if (layout.decimal_mark == DecimalMark::comma)
        *std::find(number, number + sizeof number - 1, '.') = ',';
      out.text += layout.delimiter + std::string(number);
      out.rows.back().push_back(value);
    }
    out.text += random() % 2 == 0 ? "\n" : "\r\n";
  }
  return out;
}

}  // namespace

TEST_CASE("A table written in any layout is read back, through the repeated hour") {
  property("write, read, compare", [] {
    std::mt19937 random(*rc::gen::arbitrary<unsigned>());
    const FileLayout layout = randomLayout(random, 1 + static_cast<int>(random() % 4));
    const Written written = writeRandom(random, layout);
    const auto series = readText(written.text, layout);
    RC_ASSERT(static_cast<bool>(series));
    RC_ASSERT(series->times.size() == written.times.size());
    // A file that begins inside the repeated hour and never leaves it cannot tell which it was.
    if (series->report.count("time.repeat_unsure") == 0)
      RC_ASSERT(std::equal(written.times.begin(), written.times.end(), series->times.begin()));
    for (std::size_t i = 0; i < written.rows.size(); ++i)
      for (std::size_t c = 0; c < layout.columns.size(); ++c)
        RC_ASSERT(series->columns[c].values[i] == written.rows[i][c]);
  });
}

TEST_CASE("Blocks and threads do not change a bit of the result") {
  property("same result for any block size and thread count", [] {
    std::mt19937 random(*rc::gen::arbitrary<unsigned>());
    const std::string text = messyFile(random, 300, 3);
    Limits plain;
    plain.threads = 1;
    Limits split;
    split.threads = 1 + static_cast<int>(random() % 4);
    split.block_bytes = 1 + random() % 2000;
    FileLayout layout = ovenLayout(3);
    if (random() % 3 == 0) layout.columns[1].highest = 299.5;  // an error somewhere, often
    RC_ASSERT(same(readText(text, layout, plain), readText(text, layout, split)));
  });
}

TEST_CASE("One, two and five threads agree on files larger than a thread's least part") {
  for (unsigned seed = 1; seed <= 3; ++seed) {
    std::mt19937 random(seed);
    const std::string text = messyFile(random, 30'000, 4);
    FileLayout layout = ovenLayout(4);
    for (const bool with_error : {false, true}) {
      if (with_error) layout.columns[2].highest = 298.999;
      Limits one, two, five;
      one.threads = 1;
      five.threads = 5;
      five.block_bytes = 300'001;
      const auto alone = readText(text, layout, one);
      CHECK(static_cast<bool>(alone) != with_error);
      CHECK(same(alone, readText(text, layout, two)));
      CHECK(same(alone, readText(text, layout, five)));
    }
  }
}

TEST_CASE("Chunks cut at any line give what the whole gives, quick loop or not") {
  property("random split points", [] {
    std::mt19937 random(*rc::gen::arbitrary<unsigned>());
    const std::string text = messyFile(random, 200, 2);
    const std::string padded = text + std::string(64, ' ');
    const FileLayout layout = ovenLayout(2);
    const Limits limits;
    const auto head = findHead(text, layout, "oven.csv");
    RC_ASSERT(static_cast<bool>(head));
    const RowPlan plan(layout, *head, limits, "oven.csv");
    const auto read = [&](std::size_t cut, bool careful) {
      std::vector<std::int64_t> times(300);
      std::vector<std::uint32_t> lines(300);
      std::vector<double> a(300), b(300);
      const std::string_view whole(padded.data(), text.size());
      const auto first = readChunk(plan, whole.substr(0, cut), 1,
                                   {times.data(), lines.data(), {a.data(), b.data()}}, careful);
      const auto n = first.rows;
      const auto line =
          1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(cut), '\n');
      const auto second =
          readChunk(plan, whole.substr(cut), line,
                    {times.data() + n, lines.data() + n, {a.data() + n, b.data() + n}}, careful);
      std::string seen;
      for (std::size_t i = 0; i < static_cast<std::size_t>(n + second.rows); ++i)
        seen += std::to_string(times[i]) + " " + std::to_string(lines[i]) + " " +
                std::to_string(a[i]) + " " + std::to_string(b[i]) + "\n";
      return seen;
    };
    std::size_t cut = text.find('\n', random() % (text.size() - 1)) + 1;
    const std::string whole = read(0, false);
    RC_ASSERT(read(cut, false) == whole);
    RC_ASSERT(read(cut, true) == whole);
  });
}

TEST_CASE("A good file cut after any byte gives fewer rows and a report, or an error") {
  std::mt19937 random(5);
  std::string text = "Time;T1\n";
  for (int i = 10; i < 40; ++i)
    text +=
        "25.11.2026 07:40:" + std::to_string(i) + ";" + std::to_string(random() % 1000) + ",25\n";
  const auto whole = readText(text, ovenLayout());
  REQUIRE(whole);
  for (std::size_t n = 0; n < text.size(); ++n) {
    const auto cut = readText(text.substr(0, n), ovenLayout());
    if (!cut) {
      CHECK_FALSE(cut.error().code.empty());
      continue;
    }
    CHECK(cut->times.size() < whole->times.size());
    // Cut exactly behind a line, the file is a good shorter file: nothing can be seen.
    CHECK(cut->report.count("row.cut_off") == (text[n - 1] == '\n' ? 0 : 1));
    for (std::size_t i = 0; i < cut->times.size(); ++i)
      CHECK(cut->columns[0].values[i] == whole->columns[0].values[i]);
  }
}

TEST_CASE("Random bytes never crash a reader") {
  property("any bytes", [] {
    std::mt19937 random(*rc::gen::arbitrary<unsigned>());
    std::string bytes = random() % 2 == 0 ? "Time;T1;T2\n" : "";
    const std::string likely = "0123456789.:,;\n\r\t \"-+eEZTAPM\xB0\xC2";
    for (auto n = random() % 3000; n > 0; --n)
      bytes +=
          random() % 20 == 0 ? static_cast<char>(random() % 256) : likely[random() % likely.size()];
    FileLayout layout = ovenLayout(2);
    layout.header_line = bytes.starts_with("Time") ? 1 : 0;
    layout.encoding = static_cast<Encoding>(random() % 4);
    layout.time.form = static_cast<StampForm>(random() % 5);
    layout.last_line_may_lack_end = random() % 2 == 0;
    Limits limits;
    limits.block_bytes = 1 + random() % 500;
    const auto series = readText(bytes, layout, limits);
    // The macro takes an expression apart, so that a bare || would ask for the error of a success.
    RC_ASSERT((series || !series.error().code.empty()));
    RC_ASSERT(same(series, readText(bytes, layout)));
  });
}
