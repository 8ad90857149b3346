#include "platemark/intake/report.h"

#include <algorithm>
#include <array>
#include <utility>

#include "report_book.h"

namespace platemark::intake {
namespace {

constexpr std::size_t shown_bytes = 200;
constexpr std::array<std::pair<std::string_view, std::string_view>, 13> words{{
    {"row.blank", "blank line"},
    {"row.too_few_columns", "fewer columns than the layout reads"},
    {"row.no_time", "no readable time"},
    {"row.skipped_hour", "a time in the hour that the spring clock change skips"},
    {"row.cut_off", "last line without its end: the file may be cut off"},
    {"row.no_number", "no readable number"},
    {"header.repeated", "the header again, as after a restart"},
    {"title.repeated", "a title line again, as after a restart"},
    {"cell.not_a_number", "a cell that is no number, left empty"},
    {"time.same", "the same time as the row before"},
    {"time.repeat_missing",
     "the hour that autumn repeats stands there once although the record runs on: the clock may "
     "not follow the change"},
    {"time.repeat_unsure", "nothing tells which of the two hours it was; the earlier is taken"},
    {"line.no_end", "last line without its end, read as the layout allows"},
}};

Tally& tallyOf(Report& report, std::string_view code) {
  for (Tally& tally : report.tallies)
    if (tally.code == code) return tally;
  return report.tallies.emplace_back(Tally{std::string(code), 0, {}});
}

bool isLeftOut(std::string_view code) {
  return code.starts_with("row.") || code.starts_with("header.") || code.starts_with("title.");
}

std::string shownPart(std::string_view raw, Encoding encoding) {
  if (raw.size() <= shown_bytes) return shown(raw, encoding);
  std::size_t end = shown_bytes;
  // A UTF-8 sign is not cut in two.
  while (encoding != Encoding::latin1 && end > shown_bytes - 4 && (raw[end] & 0xC0) == 0x80) --end;
  return shown(raw.substr(0, end), encoding) + "…";
}

}  // namespace

const Tally* Report::find(std::string_view code) const {
  const auto found =
      std::find_if(tallies.begin(), tallies.end(), [&](const Tally& t) { return t.code == code; });
  return found == tallies.end() ? nullptr : &*found;
}

std::int64_t Report::count(std::string_view code) const {
  const Tally* tally = find(code);
  return tally == nullptr ? 0 : tally->count;
}

std::int64_t Report::rowsLeftOut() const {
  std::int64_t sum = 0;
  for (const Tally& tally : tallies) sum += isLeftOut(tally.code) ? tally.count : 0;
  return sum;
}

std::string_view wordsFor(std::string_view code) {
  for (const auto& [known, text] : words)
    if (known == code) return text;
  return code;
}

void note(Report& report, std::size_t kept, std::string_view code, std::int64_t line,
          std::string_view column, std::string_view raw_text, Encoding encoding) {
  Tally& tally = tallyOf(report, code);
  ++tally.count;
  if (tally.first.size() < kept)
    tally.first.push_back({line, std::string(column), shownPart(raw_text, encoding)});
}

void append(Report& report, std::size_t kept, Report&& later) {
  for (Tally& from : later.tallies) {
    Tally& to = tallyOf(report, from.code);
    to.count += from.count;
    for (Remark& remark : from.first)
      if (to.first.size() < kept) to.first.push_back(std::move(remark));
  }
}

}  // namespace platemark::intake
