/// A chart as a scene: what is drawn, where, and what each item means.
///
/// Coordinates in px at 96 per inch, origin top left, y downwards. A scene is a
/// plain value; toSvg makes it part of a page, the paper room draws it in a PDF.
#pragma once

#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "platemark/figure/look.h"

namespace platemark::figure {

struct Point {
  double x = 0.0;
  double y = 0.0;
  friend bool operator==(const Point&, const Point&) = default;
};

/// Becomes data-<name>="<value>" on the page; names in lower case with hyphens.
using Data = std::vector<std::pair<std::string, std::string>>;

/// A line through points; a point that is not finite breaks it (a gap).
struct Line {
  Style style = Style::axis;
  std::vector<Point> points;
  Data data = {};
};
/// A filled outline, closed by itself.
struct Area {
  Style style = Style::window;
  std::vector<Point> outline;
  Data data = {};
};
struct Box {
  double x = 0.0, y = 0.0, width = 0.0, height = 0.0;
  [[nodiscard]] double right() const { return x + width; }
  [[nodiscard]] double bottom() const { return y + height; }
  friend bool operator==(const Box&, const Box&) = default;
};
struct Rect {
  Style style = Style::limit_unconfirmed;
  Box box;
  Data data = {};
};
/// Slanting strokes that fill a box.
struct Hatch {
  Style style = Style::outside;
  Box box;
  Data data = {};
};
enum class Shape {
  dot,
  open_dot,
  triangle_up,
  triangle_down,
  half_diamond,
  broken_ring,
  square,
  round,
  flag,
  arrow_left,
  arrow_right
};
/// A mark of its own outline, centred on `at`.
struct Mark {
  Style style = Style::result;
  Shape shape = Shape::dot;
  Point at;
  double size = 9.2;       ///< full width in px
  std::string words = {};  ///< inside a flag
  Data data = {};
};
enum class Anchor { start, middle, end };
/// One line of words; `at` lies on its base line.
struct Text {
  Style style = Style::label;
  Point at;
  Anchor anchor = Anchor::start;
  std::string words;
  Data data = {};
};
using Item = std::variant<Line, Area, Rect, Hatch, Mark, Text>;

struct Scene {
  double width = 0.0;   ///< px
  double height = 0.0;  ///< px
  std::string title;    ///< what the figure is: "Cure of load N-0412"
  std::string reading;  ///< what it says, one sentence: the figure for who cannot see it
  std::vector<Item> items;

  template <class T>
  T& add(T item) {
    return std::get<T>(items.emplace_back(std::move(item)));
  }
};

/// One stroke or fill of an item, ready to be drawn by any drawer.
struct Piece {
  std::vector<std::vector<Point>> strokes;  ///< or, for a circle, one stroke with its centre
  double radius = 0.0;                      ///< > 0: a circle
  bool closed = false;
  Tone fill = Tone::none;
  Tone stroke = Tone::none;
  double width = 0.0;
  std::vector<double> dash = {};
};
/// The strokes and fills of an item in drawing order; none for Text.
[[nodiscard]] std::vector<Piece> piecesOf(const Item& item);
/// The words inside a flag, as the text that is drawn in it; empty words: none.
[[nodiscard]] Text flagText(const Mark& flag);

[[nodiscard]] Style styleOf(const Item& item);
[[nodiscard]] const Data& dataOf(const Item& item);
/// The room that words take, by textWidth.
[[nodiscard]] Box boxOf(const Text& text);
[[nodiscard]] bool overlap(const Box& a, const Box& b);

}  // namespace platemark::figure
