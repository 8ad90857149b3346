/// The beginning of a file: is it a table, and is it the layout's?
#pragma once

#include <string>
#include <vector>

#include "encoding.h"
#include "platemark/intake/byte_source.h"
#include "platemark/intake/layout.h"
#include "platemark/intake/series.h"

namespace platemark::intake {

struct Head {
  Encoding encoding = Encoding::utf8;  ///< the layout's, unless the bytes prove another
  std::size_t mark_bytes = 0;
  bool cr_ends = false;  ///< lines end in a lone CR
  std::int64_t first_row_line = 1;
  std::string header;                    ///< its bytes; empty without one
  std::vector<std::string> other_lines;  ///< bytes of the further lines above the rows
  std::vector<std::string> titles;       ///< lines above the header, UTF-8
};

/// Refuses what is too large, empty or no table, without reading further than
/// the first 256 KiB. Errors: see readSeries.
[[nodiscard]] Result<std::string> firstBytes(ByteSource& source, std::uint64_t max_bytes);
/// Errors: intake.header_missing, intake.header_differs, intake.unit_differs.
[[nodiscard]] Result<Head> findHead(std::string_view first_bytes, const FileLayout& layout,
                                    const std::string& file);
/// firstBytes, then findHead.
[[nodiscard]] Result<Head> readHead(ByteSource& source, const FileLayout& layout,
                                    const Limits& limits);

}  // namespace platemark::intake
