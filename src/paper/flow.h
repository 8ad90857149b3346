// How blocks run over pages.
#pragma once

#include <string>
#include <vector>

#include "pen.h"

namespace platemark::paper {

/// A4 upright, points. The running head stands above the body, the foot below it.
struct Sheet {
  static constexpr double width = 595.276;
  static constexpr double height = 841.890;
  static constexpr double left = 45.0;  // 16 mm
  static constexpr double right = width - 45.0;
  static constexpr double top = 64.0;
  static constexpr double bottom = height - 66.0;
  static constexpr double body_width = right - left;
  static constexpr double body_height = bottom - top;
};

class Flow {
 public:
  /// `pages` of the whole paper for "page n of m"; 0 while they are being counted.
  Flow(cairo_t* cairo, Typesetter& type, const Paper& paper, int pages);

  void run();
  [[nodiscard]] int pages() const { return page_; }
  /// Sentences of the figures in the order of their tags.
  [[nodiscard]] const std::vector<std::string>& altTexts() const { return alt_texts_; }

  // For the drawers of single blocks:
  [[nodiscard]] double y() const { return y_; }
  [[nodiscard]] double room() const { return Sheet::bottom - y_; }
  void down(double points) { y_ += points; }
  void newPage();
  /// A new page unless `height` fits on this one.
  void need(double height);
  void figure(const figure::Scene& scene, double x, double y, double scale);
  cairo_t* cairo() { return cairo_; }
  Typesetter& type() { return type_; }
  Pen& pen() { return pen_; }

 private:
  void draw(const Heading& heading);
  /// The height that a heading wants below it: its section never begins on another page.
  double following(std::size_t block);
  double drawingHeight(const Drawing& drawing, double& scale);
  void draw(const Paragraph& paragraph);
  void draw(const FactGrid& grid);
  void draw(const Table& table);
  void draw(const Drawing& drawing);
  void draw(const Break&);
  void runningHead();
  void runningFoot();
  void plainWords(const std::string& words, const Ink& ink, const char* tag);
  void framedWords(const std::string& words, Voice voice);
  double factHeight(const Fact& fact, double width);
  void fact(const Fact& fact, double x, double width);

  cairo_t* cairo_;
  Typesetter& type_;
  Pen pen_;
  const Paper& paper_;
  int pages_;
  std::size_t block_ = 0;  // the one being drawn
  int page_ = 1;
  double y_ = Sheet::top;
  std::vector<std::string> alt_texts_;
};

/// table.cpp
void drawTable(Flow& flow, const Table& table);

}  // namespace platemark::paper
