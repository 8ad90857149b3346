// Drawing on the page: words, rules, scenes; tags of the document's structure.
#pragma once

#include <cairo.h>

#include "type.h"

namespace platemark::paper {

constexpr double kPointsPerPx = 0.75;  // scenes count 96 px, paper 72 points to the inch

/// Opens a tag of the structure and closes it at the end of its block.
class Tag {
 public:
  Tag(cairo_t* cairo, const char* name) : cairo_(cairo), name_(name) {
    cairo_tag_begin(cairo_, name_, "");
  }
  ~Tag() { cairo_tag_end(cairo_, name_); }
  Tag(const Tag&) = delete;
  Tag& operator=(const Tag&) = delete;

 private:
  cairo_t* cairo_;
  const char* name_;
};

class Pen {
 public:
  Pen(cairo_t* cairo, Typesetter& type) : cairo_(cairo), type_(type) {}

  /// Top left of the words at (x, y), in their own tone or another.
  void words(const Setting& setting, double x, double y) { words(setting, x, y, setting.ink.tone); }
  void words(const Setting& setting, double x, double y, figure::Tone tone);
  void cutWords(const Setting& setting, double x, double y, PangoEllipsizeMode where);
  void rule(double x, double y, double length, double width, figure::Tone tone);
  void frame(double x, double y, double width, double height, double line);
  /// The scene with its top left at (x, y), `scale` points for each px.
  void scene(const figure::Scene& scene, double x, double y, double scale);

 private:
  void tone(figure::Tone tone);
  void piece(const figure::Piece& piece);
  void text(const figure::Text& text, figure::Tone fill, bool halo);
  void path(const figure::Piece& piece);

  cairo_t* cairo_;
  Typesetter& type_;
  double scale_ = 1.0;  // points for each px of the scene being drawn
};

}  // namespace platemark::paper
