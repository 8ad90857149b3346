#include "pen.h"

#include <algorithm>
#include <numbers>
#include <string>

namespace platemark::paper {
namespace {

constexpr double kLeastPoints = 7.0;  // no words in a figure are smaller, however it is fitted

constexpr double kCapHeight = 0.714;  // of the size, in Noto Sans

double channel(std::string_view hex, std::size_t index) {
  return std::stoi(std::string(hex.substr(1 + 2 * index, 2)), nullptr, 16) / 255.0;
}

using LinesPtr = std::unique_ptr<PangoLayoutIter, decltype(&pango_layout_iter_free)>;
LinesPtr linesOf(PangoLayout* layout) {
  return {pango_layout_get_iter(layout), &pango_layout_iter_free};
}

double baselineOf(PangoLayoutIter* line) {
  return static_cast<double>(pango_layout_iter_get_baseline(line)) / PANGO_SCALE;
}

}  // namespace

void Pen::tone(figure::Tone tone) {
  // Paper is the surface, and paper is white.
  const auto hex = figure::toneHex(tone == figure::Tone::surface ? figure::Tone::white : tone);
  cairo_set_source_rgb(cairo_, channel(hex, 0), channel(hex, 1), channel(hex, 2));
}

/// Each line is set again by itself, with the space that ends it: in a wrapped layout
/// that space has no shape, and readers of the tags lose what follows it.
void Pen::words(const Setting& setting, double x, double y, figure::Tone ink) {
  tone(ink);
  const LinesPtr at = linesOf(setting.get());
  do {
    const PangoLayoutLine* line = pango_layout_iter_get_line_readonly(at.get());
    PangoRectangle logical;
    pango_layout_iter_get_line_extents(at.get(), nullptr, &logical);
    cairo_move_to(cairo_, x + static_cast<double>(logical.x) / PANGO_SCALE,
                  y + baselineOf(at.get()));
    const auto from = static_cast<std::size_t>(line->start_index);
    const auto length = static_cast<std::size_t>(line->length);
    const Setting alone =
        type_.set(std::string_view(setting.words).substr(from, length),
                  {.size = setting.ink.size, .bold = setting.ink.bold, .code = setting.ink.code});
    pango_cairo_show_layout_line(cairo_, pango_layout_get_line_readonly(alone.get(), 0));
  } while (pango_layout_iter_next_line(at.get()));
}

/// Words cut to their width with a mark of omission; only for running heads and feet.
void Pen::cutWords(const Setting& setting, double x, double y, PangoEllipsizeMode where) {
  pango_layout_set_ellipsize(setting.get(), where);
  tone(setting.ink.tone);
  cairo_move_to(cairo_, x, y);
  pango_cairo_show_layout(cairo_, setting.get());
}

void Pen::rule(double x, double y, double length, double width, figure::Tone ink) {
  tone(ink);
  cairo_set_line_width(cairo_, width);
  cairo_move_to(cairo_, x, y);
  cairo_line_to(cairo_, x + length, y);
  cairo_stroke(cairo_);
}

void Pen::frame(double x, double y, double width, double height, double line) {
  tone(figure::Tone::ink);
  cairo_set_line_width(cairo_, line);
  cairo_rectangle(cairo_, x, y, width, height);
  cairo_stroke(cairo_);
}

void Pen::path(const figure::Piece& piece) {
  for (const auto& stroke : piece.strokes) {
    cairo_new_sub_path(cairo_);
    if (piece.radius > 0) {
      cairo_arc(cairo_, stroke[0].x, stroke[0].y, piece.radius, 0, 2 * std::numbers::pi);
    } else {
      for (const figure::Point& p : stroke) cairo_line_to(cairo_, p.x, p.y);
    }
    if (piece.closed || piece.radius > 0) cairo_close_path(cairo_);
  }
}

void Pen::piece(const figure::Piece& piece) {
  if (piece.fill != figure::Tone::none) {
    path(piece);
    tone(piece.fill);
    cairo_fill(cairo_);
  }
  if (piece.stroke == figure::Tone::none) return;
  path(piece);
  tone(piece.stroke);
  cairo_set_line_width(cairo_, piece.width);
  cairo_set_dash(cairo_, piece.dash.data(), static_cast<int>(piece.dash.size()), 0.0);
  cairo_stroke(cairo_);
}

void Pen::text(const figure::Text& text, figure::Tone fill, bool halo) {
  const figure::Look& look = figure::lookOf(text.style);
  const double size = std::max(look.text_px, kLeastPoints / scale_);
  const Setting layout = type_.set(text.words, {.size = size, .bold = look.bold});
  const double width = widthOf(layout.get());
  const double shift = text.anchor == figure::Anchor::start ? 0.0
                       : text.anchor == figure::Anchor::end ? 1.0
                                                            : 0.5;
  const double x = text.at.x - shift * width;
  const double grown =
      kCapHeight * (size - look.text_px);  // grows downwards, off the marks above it
  const double y = text.at.y + grown - baselineOf(linesOf(layout.get()).get());
  if (halo) {
    tone(figure::Tone::white);
    cairo_set_dash(cairo_, nullptr, 0, 0.0);
    cairo_set_line_width(cairo_, 3.0);
    cairo_move_to(cairo_, x, y);
    pango_cairo_layout_path(cairo_, layout.get());
    cairo_stroke(cairo_);
  }
  words(layout, x, y, fill);
}

void Pen::scene(const figure::Scene& scene, double x, double y, double scale) {
  cairo_save(cairo_);
  cairo_translate(cairo_, x, y);
  cairo_scale(cairo_, scale, scale);
  scale_ = scale;
  cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_ROUND);
  for (const figure::Item& item : scene.items) {
    for (const figure::Piece& part : figure::piecesOf(item)) piece(part);
    if (const auto* words = std::get_if<figure::Text>(&item)) {
      text(*words, figure::lookOf(words->style).fill, true);
    }
    const auto* mark = std::get_if<figure::Mark>(&item);
    if (mark != nullptr && !mark->words.empty())
      text(figure::flagText(*mark), figure::Tone::white, false);
  }
  cairo_restore(cairo_);
}

}  // namespace platemark::paper
