/// Short ways to make layouts and files for the tests of this room.
#pragma once

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "platemark/intake/series.h"

namespace platemark::intake::testing {

/// Column 1 is the time as d.m.y, then `channels` temperatures "T1", "T2" …
inline FileLayout ovenLayout(int channels = 1, char delimiter = ';',
                             DecimalMark mark = DecimalMark::comma) {
  FileLayout layout;
  layout.name = "oven recorder";
  layout.delimiter = delimiter;
  layout.decimal_mark = mark;
  layout.time.form = StampForm::day_month_year;
  layout.time.zone = "Europe/Berlin";
  for (int i = 1; i <= channels; ++i) {
    const std::string n = std::to_string(i);
    layout.columns.push_back(
        {i + 1, Role::reading, "T" + n, "channel " + n, "Cel", Kind::temperature_point, {}, {}});
  }
  return layout;
}

inline Result<Series> readText(const std::string& text, const FileLayout& layout,
                               const Limits& limits = {}) {
  MemorySource source("oven.csv", text);
  return readSeries(source, layout, limits);
}

inline std::string at(const Series& series, std::size_t row) {
  return formatInstant(Instant::fromUnixMs(series.times[row]));
}

inline bool sameNumber(double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }

/// Every byte of two results, reports included.
inline bool same(const Series& a, const Series& b) {
  if (a.times != b.times || a.lines != b.lines || a.columns.size() != b.columns.size())
    return false;
  for (std::size_t c = 0; c < a.columns.size(); ++c)
    for (std::size_t i = 0; i < a.times.size(); ++i)
      if (!sameNumber(a.columns[c].values[i], b.columns[c].values[i])) return false;
  if (a.report.lines != b.report.lines || a.report.tallies.size() != b.report.tallies.size())
    return false;
  for (std::size_t t = 0; t < a.report.tallies.size(); ++t) {
    const Tally &x = a.report.tallies[t], &y = b.report.tallies[t];
    if (x.code != y.code || x.count != y.count || x.first.size() != y.first.size()) return false;
    for (std::size_t r = 0; r < x.first.size(); ++r)
      if (x.first[r].line != y.first[r].line || x.first[r].text != y.first[r].text) return false;
  }
  return true;
}

inline bool same(const Result<Series>& a, const Result<Series>& b) {
  if (static_cast<bool>(a) != static_cast<bool>(b)) return false;
  if (a) return same(*a, *b);
  return describe(a.error()) == describe(b.error()) && a.error().code == b.error().code;
}

inline std::string utf16(const std::string& ascii, bool little, bool mark) {
  std::string out = !mark ? "" : little ? "\xFF\xFE" : "\xFE\xFF";
  for (const char c : ascii) out += little ? std::string{c, '\0'} : std::string{'\0', c};
  return out;
}

}  // namespace platemark::intake::testing
