#include <algorithm>
#include <numeric>

#include "flow.h"

namespace platemark::paper {
namespace {

constexpr double kPad = 4.0;        // between columns, and at the ends of a row
constexpr double kMarkRoom = 14.0;  // left of words that have a mark
constexpr double kMarkScale = 0.68;
constexpr double kOneLine = 18.0;  // holds one line of words in any face

constexpr Ink kHeadInk{.size = 7.5, .tone = figure::Tone::soft};
constexpr Ink kNoteInk{.size = 7.5, .tone = figure::Tone::soft};
constexpr Ink kRemarkInk{.size = 8.0, .bold = true};
Ink wordsInk(const Cell& cell, Align align) {
  return {.size = 8.5, .bold = cell.bold, .code = cell.code, .align = align};
}

struct Strip {  // a column's place on the page
  double x;
  double width;
  Align align;
};

std::vector<Strip> placesOf(const Table& table) {
  double total = 0.0;
  for (const Column& column : table.columns) total += column.share;
  std::vector<Strip> out;
  double x = Sheet::left;
  for (const Column& column : table.columns) {
    const double width = Sheet::body_width * column.share / total;
    const double gap = column.align == Align::right ? 2.5 * kPad : 0.0;  // before words on the left
    out.push_back({x, width - 2 * kPad - gap, column.align});
    x += width;
  }
  return out;
}

double drawingScale(const figure::Scene& scene, double width) {
  constexpr double kTallest = 300.0;  // a row with a drawing always fits on a page
  return std::min({kPointsPerPx, width / scene.width, kTallest / scene.height});
}

/// One table on its way over the pages.
class TableDrawer {
 public:
  TableDrawer(Flow& flow, const Table& table)
      : flow_(flow), table_(table), places_(placesOf(table)) {}

  void run() {
    if (table_.rows.empty()) return;
    std::size_t next = 0;
    flow_.need(headHeight() + std::min(groupHeight(0), Sheet::body_height / 2));
    while (next < table_.rows.size()) page(next);
    flow_.down(6.0);
  }

 private:
  /// A piece of the table that lies on one page, with its own head.
  void page(std::size_t& next) {
    {
      const Tag table(flow_.cairo(), "Table");
      head();
      bool first = true;
      while (next < table_.rows.size()) {
        const double wanted = group_left_ > 0 ? rowHeight(current(next)) : startGroup(next);
        if (wanted > flow_.room() && !first) break;
        if (!row(next)) break;
        first = false;
      }
    }
    if (next < table_.rows.size()) flow_.newPage();
  }

  /// Rows kept together are asked for at once, if one page can hold them at all.
  double startGroup(std::size_t next) {
    const double whole = groupHeight(next);
    if (carried_ || whole > Sheet::body_height - headHeight()) return rowHeight(current(next));
    group_left_ = groupSize(next);
    return whole;
  }
  std::size_t groupSize(std::size_t first) const {
    std::size_t last = first;
    while (last + 1 < table_.rows.size() && table_.rows[last].keep_with_next) ++last;
    return last - first + 1;
  }
  double groupHeight(std::size_t first) {
    double height = 0.0;
    for (std::size_t i = 0; i < groupSize(first); ++i) height += rowHeight(table_.rows[first + i]);
    return height;
  }

  const Row& current(std::size_t next) const { return carried_ ? *carried_ : table_.rows[next]; }

  /// Draws the next row, or the part of it that fits on an empty page; false when a
  /// rest is carried to the next page.
  bool row(std::size_t& next) {
    const Row whole = current(next);
    carried_.reset();
    if (group_left_ > 0) --group_left_;
    if (rowHeight(whole) <= flow_.room()) {
      drawRow(whole);
      ++next;
      return true;
    }
    auto [part, rest] = split(whole, flow_.room());
    drawRow(part);
    if (rest) carried_ = std::move(*rest);
    if (!rest) ++next;
    return !rest;
  }

  /// A row taller than a page breaks between lines; the rest has the words alone.
  std::pair<Row, std::optional<Row>> split(const Row& whole, double height) {
    Row part = whole;
    Row rest = whole;
    bool any = false;
    for (std::size_t i = 0; i < whole.cells.size(); ++i) {
      Cell& cell = part.cells[i];
      if (cellHeight(cell, i) - wordsHeight(cell, i) > height / 2) foldNotes(cell);
      const Ink ink = wordsInk(cell, places_[i].align);
      const double fixed = cellHeight(cell, i) - wordsHeight(cell, i);
      SplitWords words = splitAt(flow_.type(), cell.words, ink, wordsWidth(cell, i),
                                 std::max(height - 2 * kPad - fixed, kOneLine));
      rest.cells[i] = Cell{.words = words.tail, .bold = cell.bold, .code = cell.code};
      cell.words = words.head;
      any = any || (!words.tail.empty() && !words.head.empty());
    }
    return {part, any ? std::optional(rest) : std::nullopt};
  }

  /// Notes as long as pages go on as words, so that they can break too.
  static void foldNotes(Cell& cell) {
    for (std::string* more : {&cell.note, &cell.remark}) {
      if (!more->empty()) cell.words += "\n" + *more;
      more->clear();
    }
  }

  double wordsWidth(const Cell& cell, std::size_t i) const {
    return places_[i].width - (cell.mark ? kMarkRoom : 0.0);
  }
  double heightOfWords(const std::string& words, const Ink& ink, double width) {
    return words.empty() ? 0.0 : heightOf(flow_.type().set(words, ink, width).get());
  }
  double wordsHeight(const Cell& cell, std::size_t i) {
    return heightOfWords(cell.words, wordsInk(cell, places_[i].align), wordsWidth(cell, i));
  }
  double cellHeight(const Cell& cell, std::size_t i) {
    const double drawing =
        cell.drawing ? cell.drawing->height * drawingScale(*cell.drawing, places_[i].width) : 0.0;
    return drawing + wordsHeight(cell, i) + heightOfWords(cell.note, kNoteInk, places_[i].width) +
           heightOfWords(cell.remark, kRemarkInk, places_[i].width);
  }
  double rowHeight(const Row& row) {
    double height = 0.0;
    for (std::size_t i = 0; i < row.cells.size(); ++i)
      height = std::max(height, cellHeight(row.cells[i], i));
    return height + 2 * kPad;
  }
  double headHeight() {
    double height = 0.0;
    for (std::size_t i = 0; i < places_.size(); ++i) {
      height = std::max(height, heightOfWords(table_.columns[i].head, kHeadInk, places_[i].width));
    }
    return height + 6.0;
  }

  void head() {
    const Tag row(flow_.cairo(), "TR");
    const double height = headHeight();
    for (std::size_t i = 0; i < places_.size(); ++i) {
      const Tag cell(flow_.cairo(), "TH");
      Ink ink = kHeadInk;
      ink.align = places_[i].align;
      const Setting words = flow_.type().set(table_.columns[i].head, ink, places_[i].width);
      flow_.pen().words(words, places_[i].x, flow_.y() + height - 3 - heightOf(words.get()));
    }
    flow_.down(height);
    flow_.pen().rule(Sheet::left, flow_.y(), Sheet::body_width, 1.2, figure::Tone::ink);
  }

  void drawRow(const Row& row) {
    const double height = rowHeight(row);
    {
      const Tag tag(flow_.cairo(), "TR");
      for (std::size_t i = 0; i < row.cells.size(); ++i) drawCell(row.cells[i], i);
    }
    flow_.down(height);
    flow_.pen().rule(Sheet::left, flow_.y(), Sheet::body_width, 0.4, figure::Tone::edge);
  }

  /// A cell with a figure holds elements of its own; the library tags only the innermost.
  void drawCell(const Cell& cell, std::size_t i) {
    const Tag tag(flow_.cairo(), "TD");
    double y = flow_.y() + kPad;
    if (cell.drawing) {
      const double scale = drawingScale(*cell.drawing, places_[i].width);
      flow_.figure(*cell.drawing, places_[i].x, y, scale);
      y += cell.drawing->height * scale;
    }
    if (cell.mark) flow_.figure(*cell.mark, places_[i].x - 1, y, kMarkScale);
    if (!cell.drawing && !cell.mark) return cellWords(cell, i, y);
    if (cell.words.empty() && cell.note.empty() && cell.remark.empty()) return;
    const Tag words(flow_.cairo(), "P");
    cellWords(cell, i, y);
  }

  void cellWords(const Cell& cell, std::size_t i, double y) {
    const double indent = cell.mark ? kMarkRoom : 0.0;
    const auto put = [&](const std::string& words, const Ink& ink, double x, double width) {
      if (words.find_first_not_of(' ') == std::string::npos) return;
      const Setting layout = flow_.type().set(words, ink, width);
      flow_.pen().words(layout, x, y);
      y += heightOf(layout.get());
    };
    const Strip& place = places_[i];
    // The space between them keeps words and notes apart for who hears them.
    const std::string gap = cell.note.empty() && cell.remark.empty() ? "" : " ";
    put(cell.words + gap, wordsInk(cell, place.align), place.x + indent, place.width - indent);
    Ink note = kNoteInk;
    note.align = place.align;
    put(cell.note + (cell.remark.empty() ? "" : " "), note, place.x, place.width);
    put(cell.remark, kRemarkInk, place.x, place.width);
  }

  Flow& flow_;
  const Table& table_;
  std::vector<Strip> places_;
  std::optional<Row> carried_;
  std::size_t group_left_ = 0;
};

}  // namespace

void drawTable(Flow& flow, const Table& table) {
  if (!table.rows.empty()) return TableDrawer(flow, table).run();
  const Setting words = flow.type().set(table.none, {.size = 9.5}, Sheet::body_width);
  flow.need(heightOf(words.get()));
  {
    const Tag tag(flow.cairo(), "P");
    flow.pen().words(words, Sheet::left, flow.y());
  }
  flow.down(heightOf(words.get()) + 4);
}

}  // namespace platemark::paper
