/// Rows of one stretch of lines into their place in the columns.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "head.h"
#include "platemark/intake/report.h"
#include "stamp.h"

namespace platemark::intake {

/// A reading column, ready for the row loop.
struct ValueColumn {
  std::size_t cell = 0;  ///< 0-based place in the line
  double lowest = 0;     ///< in the file's unit; −∞ without a limit
  double highest = 0;
  const Column* column = nullptr;
};

/// Everything the row loop needs, made once per file. Refers to layout and head.
struct RowPlan {
  RowPlan(const FileLayout& layout, const Head& head, const Limits& limits, std::string file);

  enum class Cell : unsigned char { skip, stamp, value };

  const FileLayout& layout;
  const Head& head;
  const Limits& limits;
  std::string file;
  char delimiter;
  char mark;
  Encoding encoding;  ///< of the bytes of a line
  std::vector<ValueColumn> values;
  std::size_t date_cell;
  std::optional<std::size_t> clock_cell;
  std::size_t cells_needed;
  /// The cells in order for the quick loop; a clock right behind its date is
  /// part of the stamp. Empty when the quick loop cannot serve this layout.
  struct Step {
    Cell cell;
    std::size_t value = 0;  ///< index into `values`
  };
  std::vector<Step> steps;
};

/// Where rows go: `row(i)` is the i-th place from the chunk's first.
struct Places {
  std::int64_t* times;
  std::uint32_t* lines;
  std::vector<double*> values;
};

/// Rows whose wall time occurs twice; `times` holds the earlier moment.
struct FoldRun {
  std::int64_t first = 0;  ///< row index
  std::int64_t end = 0;
  std::int64_t later_by = 0;
};

struct ChunkResult {
  std::int64_t rows = 0;
  std::vector<FoldRun> folds;  ///< indices within the chunk
  Report report;
  std::optional<Error> error;  ///< the first one; no row after it was read
};

/// What a line above the rows is when it comes again; empty for any other line.
[[nodiscard]] std::string_view repeatedCode(const Head& head, std::string_view line);
/// The Error for a line with NUL bytes, for one that is too long.
[[nodiscard]] Error nulFault(const std::string& file, std::int64_t line);
[[nodiscard]] Error longLineFault(const std::string& file, std::int64_t line);

/// Reads `lines` (whole, each with '\n', `window_padding` bytes readable
/// behind); the first of them is line `first_line` of the file. With `careful`
/// the quick loop is left out: same result, and NUL bytes are found.
[[nodiscard]] ChunkResult readChunk(const RowPlan& plan, std::string_view lines,
                                    std::int64_t first_line, Places places, bool careful);

}  // namespace platemark::intake
