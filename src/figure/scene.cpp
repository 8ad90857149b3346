#include "platemark/figure/scene.h"

#include <algorithm>
#include <cmath>

#include "platemark/figure/words.h"

namespace platemark::figure {
namespace {

constexpr double kHatchStep = 6.0;

Piece plain(Style style) {
  const Look& look = lookOf(style);
  return {.strokes = {},
          .fill = look.fill,
          .stroke = look.stroke,
          .width = look.width,
          .dash = {look.dash.begin(), look.dash.end()}};
}

/// The finite runs of a line: a point that is not finite ends one.
std::vector<std::vector<Point>> runs(const std::vector<Point>& points) {
  std::vector<std::vector<Point>> out;
  bool open = false;
  for (const Point& point : points) {
    const bool finite = std::isfinite(point.x) && std::isfinite(point.y);
    if (finite && !open) out.emplace_back();
    if (finite) out.back().push_back(point);
    open = finite;
  }
  return out;
}

/// Strokes that rise to the right, cut at the edges of the box. They start from
/// multiples of the step on the page, so that neighbouring boxes join.
std::vector<std::vector<Point>> hatchStrokes(const Box& box) {
  std::vector<std::vector<Point>> out;
  const double first = std::ceil((box.x + box.y) / kHatchStep) * kHatchStep;
  for (double sum = first; sum < box.right() + box.bottom(); sum += kHatchStep) {
    const double left = std::max(box.x, sum - box.bottom());
    const double right = std::min(box.right(), sum - box.y);
    if (right - left > 0.3) out.push_back({{left, sum - left}, {right, sum - right}});
  }
  return out;
}

std::vector<Piece> pieces(const Line& line) {
  Piece piece = plain(line.style);
  piece.strokes = runs(line.points);
  piece.fill = Tone::none;
  return {piece};
}

std::vector<Piece> pieces(const Area& area) {
  Piece piece = plain(area.style);
  piece.strokes = runs(area.outline);
  piece.closed = true;
  return {piece};
}

std::vector<Piece> pieces(const Rect& rect) {
  const Box& b = rect.box;
  Piece piece = plain(rect.style);
  piece.strokes = {{{b.x, b.y}, {b.right(), b.y}, {b.right(), b.bottom()}, {b.x, b.bottom()}}};
  piece.closed = true;
  return {piece};
}

std::vector<Piece> pieces(const Hatch& hatch) {
  Piece piece = plain(hatch.style);
  piece.strokes = hatchStrokes(hatch.box);
  return {piece};
}

Piece circle(const Mark& mark, double radius) {
  Piece piece = plain(mark.style);
  piece.strokes = {{mark.at}};
  piece.radius = radius;
  piece.dash.clear();
  return piece;
}

/// A filled outline given in units of half the mark's size, with an edge in the
/// tone of the surface so that it stands off what lies under it.
Piece outline(const Mark& mark, std::vector<Point> unit) {
  Piece piece = plain(mark.style);
  for (Point& p : unit) p = {mark.at.x + p.x * mark.size / 2, mark.at.y + p.y * mark.size / 2};
  piece.strokes = {std::move(unit)};
  piece.closed = true;
  piece.dash.clear();
  piece.stroke = Tone::surface;
  piece.width = 1.0;
  return piece;
}

Piece filledCircle(const Mark& mark) {
  Piece piece = circle(mark, mark.size / 2);
  piece.stroke = Tone::surface;
  piece.width = 1.0;
  return piece;
}

Piece hollowCircle(const Mark& mark) {
  Piece piece = circle(mark, mark.size / 2);
  piece.fill = Tone::surface;
  return piece;
}

std::vector<Piece> brokenRing(const Mark& mark) {
  Piece ground = hollowCircle(mark);
  ground.stroke = Tone::none;
  Piece ring = circle(mark, mark.size / 2);
  ring.fill = Tone::none;
  ring.width = 1.8;
  ring.dash = {3.0, 2.2};
  return {ground, ring};
}

std::vector<Piece> halfDiamond(const Mark& mark) {
  Piece whole = outline(mark, {{0, -1}, {1, 0}, {0, 1}, {-1, 0}});
  whole.stroke = whole.fill;
  whole.fill = Tone::surface;
  whole.width = 1.6;
  Piece half = outline(mark, {{0, -1}, {0, 1}, {-1, 0}});
  half.stroke = Tone::none;
  return {whole, half};
}

std::vector<Piece> pieces(const Mark& mark) {
  switch (mark.shape) {
    case Shape::dot:
    case Shape::round:
    case Shape::flag:
      return {filledCircle(mark)};
    case Shape::open_dot:
      return {hollowCircle(mark)};
    case Shape::broken_ring:
      return brokenRing(mark);
    case Shape::half_diamond:
      return halfDiamond(mark);
    case Shape::triangle_up:
      return {outline(mark, {{0, -1}, {1, 0.8}, {-1, 0.8}})};
    case Shape::triangle_down:
      return {outline(mark, {{0, 1}, {1, -0.8}, {-1, -0.8}})};
    case Shape::square:
      return {outline(mark, {{-1, -1}, {1, -1}, {1, 1}, {-1, 1}})};
    case Shape::arrow_left:
      return {outline(mark, {{-1, 0}, {1, -1}, {1, 1}})};
    case Shape::arrow_right:
      return {outline(mark, {{1, 0}, {-1, -1}, {-1, 1}})};
  }
  return {};
}

std::vector<Piece> pieces(const Text&) { return {}; }

}  // namespace

std::vector<Piece> piecesOf(const Item& item) {
  return std::visit([](const auto& it) { return pieces(it); }, item);
}

Text flagText(const Mark& flag) {
  constexpr double kToBaseline = 4.5;  // half the height of a 13 px digit
  return {
      Style::label_strong, {flag.at.x, flag.at.y + kToBaseline}, Anchor::middle, flag.words, {}};
}

Style styleOf(const Item& item) {
  return std::visit([](const auto& it) { return it.style; }, item);
}
const Data& dataOf(const Item& item) {
  return std::visit([](const auto& it) -> const Data& { return it.data; }, item);
}

Box boxOf(const Text& text) {
  const Look& look = lookOf(text.style);
  const double width = textWidth(text.words, look.text_px, look.bold);
  const double shift = text.anchor == Anchor::start ? 0.0 : text.anchor == Anchor::end ? 1.0 : 0.5;
  return {text.at.x - shift * width, text.at.y - 0.8 * look.text_px, width, 1.05 * look.text_px};
}

bool overlap(const Box& a, const Box& b) {
  return a.x < b.right() && b.x < a.right() && a.y < b.bottom() && b.y < a.bottom();
}

}  // namespace platemark::figure
