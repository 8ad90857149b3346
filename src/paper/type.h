// Setting words: fonts, wrapping and what cannot be set.
#pragma once

#include <pango/pangocairo.h>

#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "platemark/paper/sheet.h"

namespace platemark::paper {

struct Unref {
  void operator()(void* object) const { g_object_unref(object); }
};
using LayoutPtr = std::unique_ptr<PangoLayout, Unref>;

struct Ink {
  double size = 9.0;  // points
  bool bold = false;
  bool code = false;
  Align align = Align::left;
  figure::Tone tone = figure::Tone::ink;
};

/// Words as they were set: what was asked and how it falls into lines.
struct Setting {
  LayoutPtr layout;
  std::string words;
  Ink ink;
  [[nodiscard]] PangoLayout* get() const { return layout.get(); }
};

class Typesetter {
 public:
  /// Errors: paper.font_missing.
  static Result<Typesetter> open(const Typefaces& faces);

  /// Words wrapped to `width` points (no wrapping when it is not > 0), between
  /// words if possible, within a word if not.
  Setting set(std::string_view words, const Ink& ink, double width = 0.0);
  /// The first thing that could not be set; the paper must not be used then.
  [[nodiscard]] const std::optional<Error>& fault() const { return fault_; }

 private:
  struct FreeFont {
    void operator()(PangoFontDescription* font) const { pango_font_description_free(font); }
  };
  using FontPtr = std::unique_ptr<PangoFontDescription, FreeFont>;

  Typesetter() = default;
  void stand(PangoLayout* layout, std::string_view words, const Ink& ink);
  PangoFont* loaded(bool code) const { return code ? code_.get() : text_.get(); }

  std::unique_ptr<PangoFontMap, Unref> map_;
  std::unique_ptr<PangoContext, Unref> context_;
  std::unique_ptr<PangoFont, Unref> text_;
  std::unique_ptr<PangoFont, Unref> code_;
  Typefaces faces_;
  std::optional<Error> fault_;
};

[[nodiscard]] double heightOf(PangoLayout* layout);
[[nodiscard]] double widthOf(PangoLayout* layout);

/// Splits words so that the first part is at most `height` tall; the first part is
/// empty when not even one line fits.
struct SplitWords {
  std::string head;
  std::string tail;
};
[[nodiscard]] SplitWords splitAt(Typesetter& type, const std::string& words, const Ink& ink,
                                 double width, double height);

}  // namespace platemark::paper
