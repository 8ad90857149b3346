/// Small tables of text, for nouns that come and go as CSV (RFC 4180).
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "platemark/intake/byte_source.h"
#include "platemark/intake/layout.h"
#include "platemark/quantity/result.h"

namespace platemark::intake {

struct TableForm {
  char delimiter = 0;  ///< 0: the first of ';', tab, ',' that the first line holds outside quotes
  std::uint64_t max_bytes = 16u << 20;
  std::size_t max_rows = 100'000;
};

struct TableRow {
  std::int64_t line = 0;           ///< line where the row begins; a quoted cell may hold line ends
  std::vector<std::string> cells;  ///< UTF-8
};

struct Table {
  std::vector<TableRow> rows;  ///< the header is the first; blank lines are no rows
  char delimiter = ';';
  std::int64_t blank_lines = 0;
};

/// Quotes, doubled quotes and line ends inside quotes as in RFC 4180; UTF-8
/// (with or without BOM), UTF-16 with BOM, else Latin-1. An apostrophe that
/// writeCsv put before a sign is taken off again.
/// Errors: intake.empty, intake.no_table, intake.too_large, intake.too_many_rows,
/// intake.nul_bytes, table.quote_open (never closed), table.after_quote (text
/// after a closing quote), table.row_width (cells differ from the first row),
/// intake.read_failed.
[[nodiscard]] Result<Table> readTable(ByteSource& source, const TableForm& form = {});

/// One CSV text with CRLF line ends, quoted where needed. A cell that begins
/// with = + - @, tab or CR and is no plain number gets an apostrophe in front,
/// so that a spreadsheet shows it and does not run it.
[[nodiscard]] std::string writeCsv(std::span<const std::vector<std::string>> rows,
                                   char delimiter = ',');

}  // namespace platemark::intake
