#include "pen.h"

#include <numbers>
#include <string>

namespace platemark::paper {
namespace {

double channel(std::string_view hex, std::size_t index) {
  return std::stoi(std::string(hex.substr(1 + 2 * index, 2)), nullptr, 16) / 255.0;
}

double baselineOf(PangoLayout* layout) {
  return static_cast<double>(pango_layout_get_baseline(layout)) / PANGO_SCALE;
}

}  // namespace

void Pen::tone(figure::Tone tone) {
  // Paper is the surface, and paper is white.
  const auto hex = figure::toneHex(tone == figure::Tone::surface ? figure::Tone::white : tone);
  cairo_set_source_rgb(cairo_, channel(hex, 0), channel(hex, 1), channel(hex, 2));
}

void Pen::words(PangoLayout* layout, double x, double y, figure::Tone ink) {
  tone(ink);
  cairo_move_to(cairo_, x, y);
  pango_cairo_show_layout(cairo_, layout);
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
  const LayoutPtr layout = type_.set(text.words, {.size = look.text_px, .bold = look.bold});
  const double width = widthOf(layout.get());
  const double shift = text.anchor == figure::Anchor::start ? 0.0
                       : text.anchor == figure::Anchor::end ? 1.0
                                                            : 0.5;
  const double x = text.at.x - shift * width;
  const double y = text.at.y - baselineOf(layout.get());
  if (halo) {
    tone(figure::Tone::white);
    cairo_set_dash(cairo_, nullptr, 0, 0.0);
    cairo_set_line_width(cairo_, 3.0);
    cairo_move_to(cairo_, x, y);
    pango_cairo_layout_path(cairo_, layout.get());
    cairo_stroke(cairo_);
  }
  words(layout.get(), x, y, fill);
}

void Pen::scene(const figure::Scene& scene, double x, double y, double scale) {
  cairo_save(cairo_);
  cairo_translate(cairo_, x, y);
  cairo_scale(cairo_, scale, scale);
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
