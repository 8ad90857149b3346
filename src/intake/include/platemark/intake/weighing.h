/// A balance's file to weighings, through the same file layouts.
#pragma once

#include <string>
#include <vector>

#include "platemark/intake/series.h"

namespace platemark::intake {

struct Weighing {
  Instant time;
  Measure net;     ///< digits as the balance wrote them, with the unit
  std::string id;  ///< text of the label column, empty without one
  std::int64_t line = 0;
};

struct Weighings {
  std::vector<Weighing> rows;
  Report report;
};

/// The layout has exactly one reading, of kind mass; the unit is in a column
/// with Role::unit, or in the reading's own cell ("12.34 g"), or else the
/// reading column's unit; the id is in the column with Role::label.
/// Errors: those of readSeries, and weighing.layout, weighing.wrong_unit
/// (a unit that is no mass, or not known) with line and column.
[[nodiscard]] Result<Weighings> readWeighings(ByteSource& source, const FileLayout& layout,
                                              const Limits& limits = {});

}  // namespace platemark::intake
