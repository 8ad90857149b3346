/// A recorder's file to typed series.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "platemark/intake/byte_source.h"
#include "platemark/intake/column_memory.h"
#include "platemark/intake/layout.h"
#include "platemark/intake/report.h"
#include "platemark/quantity/time.h"

namespace platemark::intake {

/// What the caller can bear, and how to work.
struct Limits {
  std::uint64_t max_bytes = 1'000'000'000;  ///< a larger file is refused before it is read
  std::int64_t max_rows = 40'000'000;
  std::size_t kept_remarks = 100;  ///< remarks kept per code; more are only counted
  /// 1…16; the result is the same for any number.
  int threads = 2;
  /// Bytes in memory at a time; the result is the same for any size.
  std::size_t block_bytes = 2u << 20;
  /// Moment of elapsed zero; without it times count from zero.
  std::optional<Instant> start;
};

struct SeriesColumn {
  std::string meaning;
  std::string title;
  std::string unit;  ///< UCUM code of `values`: the file's unit, but Cel for [degF]
  Kind kind = Kind::number;
  Numbers values;            ///< NaN where the cell was empty
  std::string unit_as_read;  ///< the file's unit
  Numbers as_read;           ///< what stood in the file; filled only when `values` were converted
};

struct Series {
  Times times;                        ///< milliseconds since 1970-01-01T00:00:00Z; never decreasing
  Lines lines;                        ///< 1-based line of each row in the file
  std::vector<SeriesColumn> columns;  ///< the layout's readings, in its order
  bool from_zero = false;             ///< elapsed time without Limits::start: times count from zero
  std::vector<std::string> titles;    ///< the lines above the header, UTF-8
  Report report;
};

/// Reads the whole file. Memory: the result and one block per call.
///
/// °F is converted by (F − 32) × 5 ÷ 9. Numbers are the nearest double of the
/// text, as std::from_chars gives it. Local times follow the zone; in the hour
/// that autumn shows twice, rows are the earlier hour until the clock steps
/// back, the later from there on.
///
/// Errors, with file, line and column: those of checkLayout;
/// intake.empty, intake.no_table, intake.too_large, intake.too_many_rows,
/// intake.nul_bytes, intake.line_too_long (over 1 MiB), intake.header_missing,
/// intake.header_differs, intake.unit_differs, intake.impossible_value,
/// intake.clock_backwards, intake.no_rows, intake.read_failed.
[[nodiscard]] Result<Series> readSeries(ByteSource& source, const FileLayout& layout,
                                        const Limits& limits = {});

}  // namespace platemark::intake
