#include <algorithm>

#include "fields.h"
#include "head.h"
#include "platemark/intake/propose.h"

namespace platemark::intake {
namespace {

std::vector<std::string> linesOf(std::string_view bytes, const Head& head) {
  std::string text = toUtf8(bytes, {head.encoding, head.mark_bytes, true});
  if (head.cr_ends) std::replace(text.begin(), text.end(), '\r', '\n');
  std::vector<std::string> lines;
  std::string_view rest = text, line;
  while (takeLine(rest, line)) lines.emplace_back(line);
  return lines;
}

PreviewRow rowOf(const Series& series, std::size_t i, const std::vector<std::string>& lines) {
  PreviewRow row{series.lines[i], "", Instant::fromUnixMs(series.times[i]), {}};
  if (row.line <= static_cast<std::int64_t>(lines.size()))
    row.text = lines[static_cast<std::size_t>(row.line - 1)];
  for (const SeriesColumn& column : series.columns) row.values.push_back(column.values[i]);
  return row;
}

}  // namespace

Result<Preview> preview(const FileLayout& layout, std::string_view bytes, std::size_t rows,
                        std::string_view file_name) {
  MemorySource source(std::string(file_name), bytes);
  Limits limits;
  limits.threads = 1;
  auto series = readSeries(source, layout, limits);
  if (!series) return series.error();
  // The sample's end cuts a line, not the file.
  std::erase_if(series->report.tallies,
                [](const Tally& tally) { return tally.code == "row.cut_off"; });
  const auto head = findHead(bytes, layout, source.name());
  if (!head) return head.error();
  const auto lines = linesOf(bytes, *head);
  Preview out;
  for (std::size_t i = 0; i < std::min(rows, series->times.size()); ++i)
    out.rows.push_back(rowOf(*series, i, lines));
  out.series = std::move(*series);
  return out;
}

}  // namespace platemark::intake
