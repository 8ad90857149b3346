/// What a reader left out, doubted or noticed; nothing is dropped in silence.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace platemark::intake {

struct Remark {
  std::int64_t line = 0;
  std::string column;  ///< title or meaning, where one column is concerned
  std::string text;    ///< what stood there, at most 200 bytes
};

/// All remarks of one code: how many, and the first of them.
struct Tally {
  std::string code;
  std::int64_t count = 0;
  std::vector<Remark> first;  ///< in line order, up to Limits::kept_remarks
};

/// Codes of rows left out: row.blank, row.too_few_columns, row.no_time,
/// row.skipped_hour (the spring hour that never was), row.cut_off (last line
/// without its end), header.repeated, title.repeated, row.no_number (weighings).
/// Codes of what was kept but is worth knowing: cell.not_a_number (that cell is
/// empty now), time.same (same moment as the row before), time.repeat_missing
/// (the autumn hour stands there once though the record runs on: the clock may
/// not follow the change), time.repeat_unsure (nothing tells which of the two
/// hours it was; the earlier is taken).
struct Report {
  std::int64_t lines = 0;   ///< lines in the file
  std::uint64_t bytes = 0;  ///< bytes read
  std::vector<Tally> tallies;

  [[nodiscard]] std::int64_t count(std::string_view code) const;
  [[nodiscard]] const Tally* find(std::string_view code) const;
  /// Rows of the file that gave no row of the result, for whatever reason.
  [[nodiscard]] std::int64_t rowsLeftOut() const;
};

/// "row.skipped_hour" as a person says it.
[[nodiscard]] std::string_view wordsFor(std::string_view code);

}  // namespace platemark::intake
