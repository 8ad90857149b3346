#include "head.h"

#include <fmt/format.h>

#include <algorithm>

#include "fault.h"
#include "fields.h"

namespace platemark::intake {
namespace {

constexpr std::size_t head_bytes = 256u << 10;
constexpr std::size_t head_lines = 200;

Error tooLarge(const std::string& file, std::uint64_t size, std::uint64_t most) {
  return fault("intake.too_large",
               {fmt::format("The file has {:.1f} MB; at most {:.1f} MB are read.",
                            static_cast<double>(size) / 1e6, static_cast<double>(most) / 1e6),
                "a file within the limit",
                "Export a shorter time span, e.g. one oven load, or have the limit raised."},
               {.file = file, .line = 0, .column = {}, .field = {}});
}

/// The head as lines of bytes; the encoding is UTF-8 after 16-bit text.
struct HeadText {
  Head head;
  std::vector<std::string> lines;
};

HeadText linesOf(std::string_view bytes, const FileLayout& layout) {
  HeadText out;
  const EncodingFound found = detectEncoding(bytes);
  const bool proven = found.mark_bytes > 0 || isWide(found.encoding) != isWide(layout.encoding) ||
                      isWide(found.encoding);
  out.head.encoding = proven ? found.encoding : layout.encoding;
  out.head.mark_bytes = found.mark_bytes;
  std::string text(bytes.substr(found.mark_bytes));
  if (isWide(out.head.encoding)) text = toUtf8(bytes, found);
  out.head.cr_ends = text.find('\n') == std::string::npos && text.find('\r') != std::string::npos;
  if (out.head.cr_ends) std::replace(text.begin(), text.end(), '\r', '\n');
  std::string_view rest = text, line;
  while (out.lines.size() < head_lines && takeLine(rest, line)) out.lines.emplace_back(line);
  return out;
}

Encoding lineEncoding(const Head& head) {
  return isWide(head.encoding) ? Encoding::utf8 : head.encoding;
}

class HeadFinder {
 public:
  HeadFinder(HeadText text, const FileLayout& layout, const std::string& file)
      : text_(std::move(text)), layout_(layout), file_(file) {}

  Result<Head> find() {
    int shift = 0;
    if (layout_.header_line > 0) {
      const int at = headerLine();
      if (at == 0) return headerFault();
      shift = at - layout_.header_line;
      text_.head.header = line(at);
      if (auto ok = checkUnitLine(layout_.unit_line + shift); layout_.unit_line > 0 && !ok)
        return ok.error();
    }
    const int above =
        std::max({layout_.title_lines, layout_.header_line, layout_.unit_line}) + shift;
    collect(above, layout_.header_line + shift);
    return std::move(text_.head);
  }

 private:
  const std::string& line(int number) const {
    return text_.lines[static_cast<std::size_t>(number - 1)];
  }
  int lineCount() const { return static_cast<int>(text_.lines.size()); }

  std::string cell(int line_number, int position) {
    splitFields(line(line_number), layout_.delimiter, cells_);
    const auto at = static_cast<std::size_t>(position - 1);
    return at < cells_.size() ? unescaped(shown(cells_[at], lineEncoding(text_.head)))
                              : std::string();
  }

  static bool isCompared(const Column& c) { return c.role != Role::ignored && !c.title.empty(); }

  bool matches(int number) {
    return std::all_of(layout_.columns.begin(), layout_.columns.end(), [&](const Column& column) {
      return !isCompared(column) || cell(number, column.position) == trimmed(column.title);
    });
  }

  /// The header is looked for at its place, then from the top: instruments
  /// write more or fewer title lines at times.
  int headerLine() {
    if (layout_.header_line <= lineCount() && matches(layout_.header_line))
      return layout_.header_line;
    if (std::none_of(layout_.columns.begin(), layout_.columns.end(), isCompared)) return 0;
    for (int n = 1; n <= lineCount(); ++n)
      if (matches(n)) return n;
    return 0;
  }

  Error headerFault() {
    const int at = layout_.header_line;
    Place place{.file = file_, .line = at, .column = {}, .field = {}};
    if (at > lineCount())
      return fault("intake.header_missing",
                   {fmt::format("The file ends before its header: it has {} lines.", lineCount()),
                    fmt::format("the column titles in line {}", at),
                    "Check that the file is complete and belongs to this layout."},
                   place);
    for (const Column& column : layout_.columns) {
      if (!isCompared(column) || cell(at, column.position) == trimmed(column.title)) continue;
      return titleFault(column, cell(at, column.position), place);
    }
    return fault("intake.header_missing", {"The header is not where the layout says.", "", ""},
                 place);
  }

  Error titleFault(const Column& column, const std::string& found, Place place) {
    std::string found_name, wanted_name;
    const std::string found_unit = unitInTitle(found, found_name);
    const std::string wanted_unit = unitInTitle(column.title, wanted_name);
    place.column = column.title;
    if (found_name == wanted_name && found_unit != wanted_unit && !found_unit.empty())
      return unitFault(column, found_unit, place);
    return fault(
        "intake.header_differs",
        {fmt::format("Column {} is titled '{}' and not '{}'.", column.position, found,
                     column.title),
         fmt::format("the title '{}'", column.title),
         "Choose the layout that belongs to this instrument, or make a new one from this file."},
        place);
  }

  Error unitFault(const Column& column, const std::string& found_unit, const Place& place) {
    const auto found = findUnit(found_unit);
    const bool other_kind = found && found->kind != column.kind;
    return fault("intake.unit_differs",
                 {fmt::format("The file gives '{}' in {}{}; the layout reads it in {}.",
                              column.title, found_unit,
                              other_kind ? fmt::format(", which is {} and not {}",
                                                       kindName(found->kind), kindName(column.kind))
                                         : "",
                              column.unit),
                  fmt::format("the unit {}", column.unit),
                  "Check the unit set at the instrument; if it is meant, make a layout for it."},
                 place);
  }

  Result<void> checkUnitLine(int number) {
    if (number < 1 || number > lineCount()) return {};
    for (const Column& column : layout_.columns) {
      if (column.role != Role::reading) continue;
      std::string name;
      const std::string text = cell(number, column.position);
      const auto unit = findUnit(text);
      const std::string code = unit ? std::string(unit->code) : unitInTitle(text, name);
      if (!code.empty() && code != column.unit)
        return unitFault(column, code,
                         {.file = file_, .line = number, .column = column.title, .field = {}});
    }
    return {};
  }

  void collect(int above, int header_at) {
    Head& head = text_.head;
    head.first_row_line = above + 1;
    for (int n = 1; n <= std::min(above, lineCount()); ++n) {
      if (layout_.header_line > 0 && n == header_at) continue;
      head.other_lines.push_back(line(n));
      if (n < header_at || layout_.header_line == 0)
        head.titles.push_back(shown(line(n), lineEncoding(head)));
    }
  }

  HeadText text_;
  const FileLayout& layout_;
  const std::string& file_;
  std::vector<std::string_view> cells_;
};

}  // namespace

Result<std::string> firstBytes(ByteSource& source, std::uint64_t max_bytes) {
  const Place place{.file = source.name(), .line = 0, .column = {}, .field = {}};
  const auto size = source.size();
  if (size && *size > max_bytes) return tooLarge(source.name(), *size, max_bytes);
  std::string bytes(
      static_cast<std::size_t>(std::min<std::uint64_t>(size.value_or(head_bytes), head_bytes)),
      '\0');
  const auto got = source.read(0, bytes);
  if (!got) return got.error();
  bytes.resize(*got);
  if (bytes.empty())
    return fault("intake.empty",
                 {"The file is empty.", "a file with rows",
                  "Export the data again and check the free space of the medium."},
                 place);
  if (const auto other = noTable(bytes))
    return fault("intake.no_table",
                 {fmt::format("This is {} and no table of text.", other->seems),
                  "a text file with rows and columns (CSV)", other->remedy},
                 place);
  return bytes;
}

Result<Head> findHead(std::string_view first_bytes, const FileLayout& layout,
                      const std::string& file) {
  return HeadFinder(linesOf(first_bytes, layout), layout, file).find();
}

Result<Head> readHead(ByteSource& source, const FileLayout& layout, const Limits& limits) {
  const auto bytes = firstBytes(source, limits.max_bytes);
  if (!bytes) return bytes.error();
  return findHead(*bytes, layout, source.name());
}

}  // namespace platemark::intake
