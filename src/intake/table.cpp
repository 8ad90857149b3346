#include "platemark/intake/table.h"

#include <fmt/format.h>

#include <algorithm>

#include "encoding.h"
#include "fault.h"
#include "head.h"
#include "number.h"

namespace platemark::intake {
namespace {

constexpr std::string_view formula_signs = "=+-@\t\r";

/// Apostrophes and then a sign that begins a formula: writeCsv puts one more
/// in front of these too, so that reading takes off just the one that was put.
bool isGuarded(std::string_view cell) {
  const auto sign = cell.find_first_not_of('\'');
  return sign != std::string_view::npos && sign > 0 &&
         formula_signs.find(cell[sign]) != std::string_view::npos;
}

class TableParser {
 public:
  TableParser(std::string_view text, const TableForm& form, std::string file)
      : text_(text), form_(form), file_(std::move(file)) {
    table_.delimiter = form.delimiter != 0 ? form.delimiter : foundDelimiter();
  }

  Result<Table> parse() {
    while (at_ < text_.size()) {
      if (auto ok = parseRow(); !ok) return ok.error();
      if (auto ok = keepRow(); !ok) return ok.error();
    }
    if (table_.rows.empty())
      return tableFault("intake.empty", "", "The file holds no row.", "a header and rows");
    return std::move(table_);
  }

 private:
  /// Of the usual delimiters the first that stands outside quotes in the first line.
  char foundDelimiter() const {
    for (const char candidate : {';', '\t', ','}) {
      bool quoted = false;
      for (const char c : text_) {
        if (c == '"') quoted = !quoted;
        if (quoted) continue;
        if (c == '\n') break;
        if (c == candidate) return candidate;
      }
    }
    return ',';
  }

  Error tableFault(std::string code, std::string column, std::string what,
                   std::string expected) const {
    return fault(std::move(code),
                 {std::move(what), std::move(expected), "Correct the file and read it again."},
                 {.file = file_,
                  .line = static_cast<long>(row_.line),
                  .column = std::move(column),
                  .field = {}});
  }

  bool atRowEnd() const { return at_ >= text_.size() || text_[at_] == '\n' || text_[at_] == '\r'; }

  void takeRowEnd() {
    if (at_ < text_.size() && text_[at_] == '\r') ++at_;
    if (at_ < text_.size() && text_[at_] == '\n') ++at_;
    ++line_;
  }

  Result<void> parseRow() {
    row_ = {line_, {}};
    quoted_ = false;
    while (true) {
      if (auto ok = parseCell(); !ok) return ok;
      if (atRowEnd()) break;
      ++at_;  // the delimiter
    }
    takeRowEnd();
    return {};
  }

  Result<void> parseCell() {
    std::string& cell = row_.cells.emplace_back();
    if (at_ < text_.size() && text_[at_] == '"') {
      if (auto ok = parseQuoted(cell); !ok) return ok;
    } else {
      const std::size_t begin = at_;
      while (!atRowEnd() && text_[at_] != table_.delimiter) ++at_;
      cell = text_.substr(begin, at_ - begin);
    }
    if (isGuarded(cell)) cell.erase(0, 1);
    return {};
  }

  Result<void> parseQuoted(std::string& cell) {
    quoted_ = true;
    for (++at_; at_ < text_.size(); ++at_) {
      if (text_[at_] == '"') {
        if (at_ + 1 >= text_.size() || text_[at_ + 1] != '"') break;
        ++at_;
      }
      line_ += text_[at_] == '\n';
      cell += text_[at_];
    }
    const std::string column = std::to_string(row_.cells.size());
    if (at_ >= text_.size())
      return tableFault("table.quote_open", column, "A quote is opened here and never closed.",
                        "a closing \"");
    ++at_;
    if (!atRowEnd() && text_[at_] != table_.delimiter)
      return tableFault("table.after_quote", column, "Text follows a closing quote.",
                        "the delimiter or the end of the line; a quote inside is written twice");
    return {};
  }

  Result<void> keepRow() {
    // An empty cell in quotes was written on purpose.
    if (row_.cells.size() == 1 && row_.cells[0].empty() && !quoted_) {
      ++table_.blank_lines;
      return {};
    }
    if (!table_.rows.empty() && row_.cells.size() != table_.rows[0].cells.size())
      return tableFault(
          "table.row_width", "",
          fmt::format("The row has {} cells, the header {}.", row_.cells.size(),
                      table_.rows[0].cells.size()),
          "as many cells as the header; a cell with the delimiter inside is put in quotes");
    if (table_.rows.size() >= form_.max_rows)
      return tableFault("intake.too_many_rows", "",
                        fmt::format("The table has more than {} rows.", form_.max_rows),
                        "a shorter table");
    table_.rows.push_back(std::move(row_));
    return {};
  }

  std::string_view text_;
  const TableForm& form_;
  std::string file_;
  std::size_t at_ = 0;
  std::int64_t line_ = 1;
  TableRow row_;
  bool quoted_ = false;  ///< some cell of the row stood in quotes
  Table table_;
};

Result<std::string> wholeText(ByteSource& source, std::uint64_t max_bytes) {
  const auto head = firstBytes(source, max_bytes);
  if (!head) return head.error();
  std::string bytes = *head;
  std::string block(256u << 10, '\0');
  while (bytes.size() <= max_bytes) {
    const auto got = source.read(bytes.size(), block);
    if (!got) return got.error();
    if (*got == 0) return toUtf8(bytes, detectEncoding(bytes));
    bytes.append(block, 0, *got);
  }
  return fault("intake.too_large",
               {"The table is larger than the limit.", "a smaller table", "Split the table."},
               {.file = source.name(), .line = 0, .column = {}, .field = {}});
}

/// A spreadsheet would take such a cell for a formula. A negative number is none.
bool looksLikeFormula(const std::string& cell) {
  if (cell.empty() || formula_signs.find(cell[0]) == std::string_view::npos) return false;
  double number = 0;
  return !exactNumber(cell, '.', number) && !exactNumber(cell, ',', number);
}

std::string written(const std::string& cell, char delimiter) {
  const std::string text = (looksLikeFormula(cell) || isGuarded(cell) ? "'" : "") + cell;
  const bool plain = text.find_first_of(std::string("\"\r\n") + delimiter) == std::string::npos;
  if (plain && !text.empty()) return text;
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + "\"";
}

}  // namespace

Result<Table> readTable(ByteSource& source, const TableForm& form) {
  const auto text = wholeText(source, form.max_bytes);
  if (!text) return text.error();
  if (const auto nul = text->find('\0'); nul != std::string::npos) {
    const auto line =
        std::count(text->begin(), text->begin() + static_cast<std::ptrdiff_t>(nul), '\n') + 1;
    return fault(
        "intake.nul_bytes",
        {"The table holds NUL bytes here.", "text only", "Export the table again."},
        {.file = source.name(), .line = static_cast<long>(line), .column = {}, .field = {}});
  }
  return TableParser(*text, form, source.name()).parse();
}

std::string writeCsv(std::span<const std::vector<std::string>> rows, char delimiter) {
  std::string text;
  for (const auto& row : rows) {
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (i > 0) text += delimiter;
      text += written(row[i], delimiter);
    }
    text += "\r\n";
  }
  return text;
}

}  // namespace platemark::intake
