/// Fewer points to draw, no peak lost.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "platemark/method/cure/recording.h"
#include "platemark/quantity/result.h"

namespace platemark::method::cure {

struct Point {
  std::int64_t at_ms;
  double celsius;  ///< NaN where a whole column has no reading
};

/// The lowest and the highest reading of each of `columns` equal stretches of
/// time, in order of time, with the first and the last reading of the series.
/// A series of at most 2·columns readings comes back whole; otherwise at most
/// 2·columns + 2 points. O(n).
/// Errors: cure.lengths_differ, cure.clock_backwards, cure.time_range, cure.no_columns.
[[nodiscard]] Result<std::vector<Point>> thin(const Series& series, std::size_t columns);

}  // namespace platemark::method::cure
