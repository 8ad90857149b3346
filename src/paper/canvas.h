// A PDF without flow: what stands where is said by whoever draws.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "pen.h"
#include "platemark/paper/label.h"

namespace platemark::paper {

inline constexpr double millimetre = 72.0 / 25.4;

class Canvas {
 public:
  Canvas(double width, double height, Typesetter& type, const std::string& title,
         const std::string& program, Instant created);

  [[nodiscard]] double width() const { return width_; }
  [[nodiscard]] double height() const { return height_; }
  Pen& pen() { return pen_; }
  Typesetter& type() { return type_; }

  /// Words at most `size` large and as much smaller as one line of `width` needs; their height.
  double fitted(const std::string& words, Ink ink, double x, double y, double width);
  /// Words wrapped to `width`; their height.
  double wrapped(const std::string& words, const Ink& ink, double x, double y, double width);
  void bar(double x, double y, double width, double height);
  void box(double x, double y, double width, double height, double line);
  /// Bars centred in `width`; no module is wider than `widest` points. The words stand beneath.
  /// Errors: paper.bad_barcode. The height of all.
  Result<double> barcode(const Barcode& barcode, double x, double y, double width, double height,
                         double widest);
  void newPage();

  /// The bytes. Errors: the typesetter's fault, paper.drawing_failed.
  Result<std::vector<std::byte>> finish();

 private:
  struct Destroy {
    void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
    void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  };
  double width_, height_;
  std::string pdf_;
  Typesetter& type_;
  std::unique_ptr<cairo_surface_t, Destroy> surface_;
  std::unique_ptr<cairo_t, Destroy> cairo_;
  Pen pen_;
};

}  // namespace platemark::paper
