#include "platemark/paper/label.h"

#include <fmt/format.h>

#include <algorithm>

#include "canvas.h"

namespace platemark::paper {
namespace {

constexpr double margin = 4 * millimetre;
constexpr double gap = 4;  // between what and value, points

struct Measures {
  double width, height, big, facts, bars;
  std::size_t columns;  ///< of facts
};
Measures measuresOf(LabelSize size) {
  switch (size) {
    case LabelSize::shipping:
      return {105 * millimetre, 148 * millimetre, 34, 12, 32 * millimetre, 1};
    case LabelSize::floor:
      return {148 * millimetre, 105 * millimetre, 44, 11, 14 * millimetre, 1};
    case LabelSize::small:
      break;
  }
  return {105 * millimetre, 74 * millimetre, 34, 10, 11 * millimetre, 2};
}
constexpr double widest_module = 0.5 * millimetre;

Error labelFull(const Label& label) {
  Error error;
  error.code = "paper.label_full";
  error.what = fmt::format("The label of {} has no room for all of its words.", label.big);
  error.expected = "fewer or shorter facts";
  error.remedy = "Shorten the longest of them.";
  return error;
}

/// White words in a black bar across the label; its height.
double heading(Canvas& canvas, const std::string& what) {
  const double height = 7 * millimetre;
  canvas.bar(0, 0, canvas.width(), height);
  const Setting words =
      canvas.type().set(what, {.size = 13, .bold = true, .tone = figure::Tone::white});
  canvas.pen().words(words, margin, (height - heightOf(words.get())) / 2, figure::Tone::white);
  return height;
}

/// What small, its value beside it; the height of the taller one.
double factLine(Canvas& canvas, const Fact& fact, double size, double x, double y, double width) {
  const double left = std::max(width * 0.27, size * 4.6);
  const double what = canvas.wrapped(fact.what, {.size = size - 2}, x, y + 1.5, left - gap);
  const double value = canvas.wrapped(fact.value, {.size = size, .bold = true, .code = fact.code},
                                      x + left, y, width - left);
  return std::max(what, value);
}

double factLines(Canvas& canvas, const Label& label, const Measures& m, double y) {
  const double from = y, width = (m.width - 2 * margin) / static_cast<double>(m.columns);
  for (std::size_t i = 0; i < label.facts.size(); i += m.columns) {
    double tallest = 0;
    for (std::size_t k = 0; k < m.columns && i + k < label.facts.size(); ++k)
      tallest = std::max(tallest, factLine(canvas, label.facts[i + k], m.facts,
                                           margin + width * static_cast<double>(k), y,
                                           width - (m.columns > 1 ? gap : 0)));
    y += tallest;
  }
  return y - from;
}

double framed(Canvas& canvas, const std::string& words, double x, double y, double width,
              double size) {
  constexpr double pad = 4;
  const Setting setting = canvas.type().set(words, {.size = size, .bold = true}, width - 2 * pad);
  const double height = heightOf(setting.get()) + 2 * pad;
  canvas.box(x, y, width, height, 1.5);
  canvas.pen().words(setting, x + pad, y + pad);
  return height;
}

/// The foot and the bars stand at the bottom; where they begin.
Result<double> bottomUp(Canvas& canvas, const Label& label, const Measures& m) {
  const double inner = m.width - 2 * margin;
  const double foot = m.height - margin - 7;
  canvas.fitted(label.foot, {.size = 6.5}, margin, foot, inner);
  if (!label.barcode) return foot;
  const double top = foot - m.bars - 18;
  const Result<double> drawn =
      canvas.barcode(*label.barcode, margin / 2, top, m.width - margin, m.bars, widest_module);
  if (!drawn) return drawn.error();
  return top;
}

}  // namespace

Result<std::vector<std::byte>> label(const Label& label, const Typefaces& faces) {
  auto type = Typesetter::open(faces);
  if (!type) return type.error();
  const Measures m = measuresOf(label.size);
  Canvas canvas(m.width, m.height, *type, label.what + " " + label.big, label.program_version,
                label.created);
  const double inner = m.width - 2 * margin;
  double y = heading(canvas, label.what);
  y += canvas.fitted(label.big, {.size = m.big, .bold = true, .code = true}, margin, y, inner);
  if (!label.under.empty())
    y += canvas.fitted(
        label.under,
        {.size = label.under_code ? 20.0 : 13.0, .bold = true, .code = label.under_code}, margin, y,
        inner);
  y += 2;
  if (!label.warning.empty()) y += framed(canvas, label.warning, margin, y, inner, 10) + 3;
  y += factLines(canvas, label, m, y);
  const Result<double> bottom = bottomUp(canvas, label, m);
  if (!bottom) return bottom.error();
  if (y > *bottom) return labelFull(label);
  return canvas.finish();
}

namespace {

constexpr double sheet_width = 210 * millimetre, sheet_height = 297 * millimetre;
constexpr double side = 14 * millimetre;
constexpr double row_height = 10 * millimetre;
constexpr double pad = 3;

Error badSheet(std::string what) {
  Error error;
  error.code = "paper.bad_table";
  error.what = std::move(what);
  error.expected = "columns with a share greater than 0, and as many cells in each row as columns";
  error.remedy = "Correct the content of the sheet.";
  return error;
}

std::optional<Error> faultOf(const FloorSheet& sheet) {
  if (sheet.columns.empty()) return badSheet("The sheet has no columns.");
  for (const Column& column : sheet.columns)
    if (!(column.share > 0)) return badSheet("The sheet has a column without a width.");
  for (const auto& row : sheet.rows)
    if (row.size() != sheet.columns.size())
      return badSheet("The sheet has a row with another number of cells.");
  return std::nullopt;
}

/// Draws one sheet over its pages; drawn twice, for the first time counts them.
class Drawer {
 public:
  Drawer(Canvas& canvas, const FloorSheet& sheet, int pages)
      : canvas_(canvas), sheet_(sheet), pages_(pages) {}

  Result<int> run() {
    if (Result<void> head = firstHead(); !head) return head.error();
    columnHeads();
    for (const auto& row : sheet_.rows) {
      need(heightOf(row));
      drawRow(row);
    }
    y_ += 8;
    for (const std::string& note : sheet_.notes) {
      need(30);
      y_ += canvas_.wrapped(note, {.size = 10}, side, y_, inner()) + 4;
    }
    foot();
    return page_;
  }

 private:
  [[nodiscard]] double inner() const { return sheet_width - 2 * side; }
  [[nodiscard]] double widthOfColumn(std::size_t i) const {
    double sum = 0;
    for (const Column& column : sheet_.columns) sum += column.share;
    return inner() * sheet_.columns[i].share / sum;
  }

  Result<void> firstHead() {
    y_ = heading(canvas_, sheet_.what) + 6;
    const double top = y_, for_bars = sheet_.barcode ? 70 * millimetre : 0;
    const double words = inner() - for_bars - (for_bars > 0 ? 8 : 0);
    y_ += canvas_.fitted(sheet_.big, {.size = 60, .bold = true, .code = true}, side, y_, words);
    y_ += canvas_.wrapped(sheet_.under, {.size = 14, .bold = true}, side, y_, words) + 4;
    if (sheet_.barcode) {
      const Result<double> bars =
          canvas_.barcode(*sheet_.barcode, sheet_width - side - for_bars, top + 8, for_bars,
                          16 * millimetre, widest_module);
      if (!bars) return bars.error();
      y_ = std::max(y_, top + 8 + *bars);
    }
    facts();
    if (!sheet_.warning.empty()) y_ += framed(canvas_, sheet_.warning, side, y_, inner(), 12) + 8;
    return {};
  }

  /// Two columns of facts.
  void facts() {
    const double half = inner() / 2;
    for (std::size_t i = 0; i < sheet_.facts.size(); i += 2) {
      double taller = 0;
      for (std::size_t k = i; k < std::min(i + 2, sheet_.facts.size()); ++k) {
        const Fact& fact = sheet_.facts[k];
        const double x = side + half * static_cast<double>(k - i);
        canvas_.wrapped(fact.what, {.size = 9}, x, y_ + 1.5, 80);
        const Ink ink{.size = 11, .bold = true, .code = fact.code};
        taller = std::max(taller, canvas_.wrapped(fact.value, ink, x + 84, y_, half - 92));
      }
      y_ += taller + 3;
    }
    y_ += 6;
  }

  void columnHeads() {
    double x = side, tallest = 0;
    for (std::size_t i = 0; i < sheet_.columns.size(); ++i) {
      const Ink ink{.size = 9, .bold = true, .align = sheet_.columns[i].align};
      tallest = std::max(tallest, canvas_.wrapped(sheet_.columns[i].head, ink, x + pad, y_,
                                                  widthOfColumn(i) - 2 * pad));
      x += widthOfColumn(i);
    }
    y_ += tallest + 2;
  }

  double heightOf(const std::vector<SheetCell>& row) {
    double tallest = row_height;
    for (std::size_t i = 0; i < row.size(); ++i) {
      const Setting words =
          canvas_.type().set(row[i].words, inkOf(row[i], i), widthOfColumn(i) - 2 * pad);
      tallest = std::max(tallest, paper::heightOf(words.get()) + 2 * pad);
    }
    return tallest;
  }

  [[nodiscard]] Ink inkOf(const SheetCell& cell, std::size_t column) const {
    return {
        .size = 12, .bold = cell.code, .code = cell.code, .align = sheet_.columns[column].align};
  }

  void drawRow(const std::vector<SheetCell>& row) {
    const double height = heightOf(row);
    double x = side;
    for (std::size_t i = 0; i < row.size(); ++i) {
      const double width = widthOfColumn(i);
      canvas_.box(x, y_, width, height, 0.75);
      const double tick = 6 * millimetre;
      if (row[i].tick)
        canvas_.box(x + (width - tick) / 2, y_ + (height - tick) / 2, tick, tick, 1.5);
      const Setting words = canvas_.type().set(row[i].words, inkOf(row[i], i), width - 2 * pad);
      canvas_.pen().words(words, x + pad, y_ + (height - paper::heightOf(words.get())) / 2);
      x += width;
    }
    y_ += height;
  }

  void need(double height) {
    if (y_ + height <= sheet_height - side - 14) return;
    foot();
    canvas_.newPage();
    ++page_;
    y_ = heading(canvas_, sheet_.what + "  " + sheet_.big + ", continued") + 8;
    columnHeads();
  }

  void foot() {
    const std::string page = pages_ > 1 ? fmt::format("page {} of {}. ", page_, pages_) : "";
    canvas_.fitted(page + sheet_.foot, {.size = 8}, side, sheet_height - side, inner());
  }

  Canvas& canvas_;
  const FloorSheet& sheet_;
  int pages_;
  int page_ = 1;
  double y_ = 0;
};

}  // namespace

Result<std::vector<std::byte>> floorSheet(const FloorSheet& sheet, const Typefaces& faces) {
  if (auto fault = faultOf(sheet)) return *fault;
  auto type = Typesetter::open(faces);
  if (!type) return type.error();
  int pages = 0;
  for (;;) {
    Canvas canvas(sheet_width, sheet_height, *type, sheet.what + " " + sheet.big,
                  sheet.program_version, sheet.created);
    const Result<int> drawn = Drawer(canvas, sheet, pages).run();
    if (!drawn) return drawn.error();
    if (pages == *drawn) return canvas.finish();
    pages = *drawn;
  }
}

}  // namespace platemark::paper
