#include "type.h"

#include <fmt/format.h>

#include "platemark/figure/words.h"

namespace platemark::paper {
namespace {

constexpr double kLineSpacing = 0.92;  // of the generous line height that the family asks for

Error fontMissing(const std::string& family) {
  Error error;
  error.fault = Fault::environment;
  error.code = "paper.font_missing";
  error.what = fmt::format("The font family '{}' is not installed", family);
  error.expected = "the families the paper is designed for; no other is put in their place";
  error.remedy =
      "Install the font package that holds it (Debian: fonts-noto-core, fonts-noto-mono).";
  return error;
}

Error badText(std::string_view words) {
  Error error;
  error.code = "paper.bad_text";
  error.what =
      fmt::format("The words '{}' hold bytes that are not text", figure::wellFormed(words));
  error.expected = "UTF-8 without control characters";
  error.remedy = "Correct the words in the record by a fact that names the first.";
  return error;
}

Error noGlyph(std::string_view words, unsigned code_point) {
  Error error;
  error.code = "paper.no_glyph";
  error.what = fmt::format("The sign U+{:04X} in '{}' has no shape in the fonts of the paper",
                           code_point, words);
  error.expected = "signs of Latin, Greek or Cyrillic writing and the usual signs of measurement";
  error.remedy = "Write the words in such signs.";
  return error;
}

bool hasFamily(PangoFontMap* map, const std::string& family) {
  PangoFontFamily** families = nullptr;
  int count = 0;
  pango_font_map_list_families(map, &families, &count);
  bool found = false;
  for (int i = 0; i < count; ++i)
    found = found || pango_font_family_get_name(families[i]) == family;
  g_free(families);
  return found;
}

PangoFont* load(PangoFontMap* map, PangoContext* context, const std::string& family) {
  PangoFontDescription* font = pango_font_description_new();
  pango_font_description_set_family(font, family.c_str());
  pango_font_description_set_absolute_size(font, 10 * PANGO_SCALE);
  PangoFont* loaded = pango_font_map_load_font(map, context, font);
  pango_font_description_free(font);
  return loaded;
}

/// No hinting: the same outlines at every size, on every machine.
void unhint(PangoContext* context) {
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options(context, options);
  cairo_font_options_destroy(options);
  pango_cairo_context_set_resolution(context, 72.0);
  pango_context_set_language(context, pango_language_from_string("en"));
  pango_context_set_round_glyph_positions(context, FALSE);
}

void insert(PangoAttrList* list, PangoAttribute* attribute, std::size_t from, std::size_t to) {
  attribute->start_index = static_cast<guint>(from);
  attribute->end_index = static_cast<guint>(to);
  pango_attr_list_insert(list, attribute);
}

constexpr std::size_t kToEnd = G_MAXUINT;

bool isDigit(std::string_view words, std::size_t at) {
  return at < words.size() && words[at] >= '0' && words[at] <= '9';
}

/// Whether the space at `at` groups thousands: a digit before, three digits and no more after.
bool groupsDigits(std::string_view words, std::size_t at, std::size_t length) {
  const std::size_t after = at + length;
  return at > 0 && isDigit(words, at - 1) && isDigit(words, after) && isDigit(words, after + 1) &&
         isDigit(words, after + 2) && !isDigit(words, after + 3);
}

void keepDigitGroups(PangoAttrList* list, std::string_view words) {
  for (const std::string_view space : {" ", "\u2009"}) {
    for (std::size_t at = words.find(space); at != std::string_view::npos;
         at = words.find(space, at + 1)) {
      if (groupsDigits(words, at, space.size()))
        insert(list, pango_attr_allow_breaks_new(FALSE), at - 1, at + space.size() + 3);
    }
  }
}

/// No hyphen is ever put in: in a lot number it would be read as part of it. No line
/// ends between ± and its number, within a number, or within a short unit such as N/cm².
void keepWhole(PangoAttrList* list, std::string_view words) {
  insert(list, pango_attr_insert_hyphens_new(FALSE), 0, kToEnd);
  keepDigitGroups(list, words);
  constexpr std::string_view kPlusMinus = "± ";
  for (std::size_t at = words.find(kPlusMinus); at != std::string_view::npos;
       at = words.find(kPlusMinus, at + 1)) {
    insert(list, pango_attr_allow_breaks_new(FALSE), at, at + kPlusMinus.size() + 1);
  }
  constexpr std::size_t kShort = 8;
  for (std::size_t at = words.find('/'); at != std::string_view::npos;
       at = words.find('/', at + 1)) {
    const std::size_t from = words.find_last_of(" \n\u00a0", at) + 1;
    const std::size_t to = std::min(words.find_first_of(" \n", at), words.size());
    if (to - from <= kShort) insert(list, pango_attr_allow_breaks_new(FALSE), from, to);
  }
}

bool isLayoutSign(gunichar sign) { return sign == '\n' || sign == '\t'; }

}  // namespace

Result<Typesetter> Typesetter::open(const Typefaces& faces) {
  Typesetter out;
  out.faces_ = faces;
  out.map_.reset(pango_cairo_font_map_new());
  for (const std::string& family : {faces.text, faces.code}) {
    if (!hasFamily(out.map_.get(), family)) return fontMissing(family);
  }
  out.context_.reset(pango_font_map_create_context(out.map_.get()));
  unhint(out.context_.get());
  out.text_.reset(load(out.map_.get(), out.context_.get(), faces.text));
  out.code_.reset(load(out.map_.get(), out.context_.get(), faces.code));
  if (!out.text_) return fontMissing(faces.text);
  if (!out.code_) return fontMissing(faces.code);
  return out;
}

/// Chooses the face sign by sign: the asked one, or for a sign it lacks the other of
/// the two. The system's own search for another font is switched off. Ligatures are
/// off too: with them a reader of the tags would lose the letters that follow one.
void Typesetter::stand(PangoLayout* layout, std::string_view words, const Ink& ink) {
  PangoAttrList* list = pango_attr_list_new();
  insert(list, pango_attr_fallback_new(FALSE), 0, kToEnd);
  insert(list, pango_attr_font_features_new("liga=0, clig=0, dlig=0, tnum=1"), 0, kToEnd);
  keepWhole(list, words);
  const std::string& other = ink.code ? faces_.text : faces_.code;
  const char* begin = words.data();
  const char* end = begin + words.size();
  for (const char* at = begin; at < end; at = g_utf8_next_char(at)) {
    const gunichar sign = g_utf8_get_char(at);
    if (isLayoutSign(sign) || pango_font_has_char(loaded(ink.code), sign)) continue;
    if (!pango_font_has_char(loaded(!ink.code), sign) && !fault_) fault_ = noGlyph(words, sign);
    insert(list, pango_attr_family_new(other.c_str()), static_cast<std::size_t>(at - begin),
           static_cast<std::size_t>(g_utf8_next_char(at) - begin));
  }
  pango_layout_set_attributes(layout, list);
  pango_attr_list_unref(list);
}

Setting Typesetter::set(std::string_view words, const Ink& ink, double width) {
  LayoutPtr layout(pango_layout_new(context_.get()));
  if (!figure::isWellFormed(words)) {
    if (!fault_) fault_ = badText(words);
    return {std::move(layout), "", ink};
  }
  const FontPtr font(pango_font_description_new());
  pango_font_description_set_family(font.get(), (ink.code ? faces_.code : faces_.text).c_str());
  pango_font_description_set_weight(font.get(), ink.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size(font.get(), ink.size * PANGO_SCALE);
  pango_layout_set_font_description(layout.get(), font.get());
  pango_layout_set_text(layout.get(), words.data(), static_cast<int>(words.size()));
  pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
  pango_layout_set_line_spacing(layout.get(), static_cast<float>(kLineSpacing));
  pango_layout_set_auto_dir(layout.get(), FALSE);
  pango_layout_set_alignment(layout.get(),
                             ink.align == Align::right ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT);
  if (width > 0) pango_layout_set_width(layout.get(), static_cast<int>(width * PANGO_SCALE));
  stand(layout.get(), words, ink);
  return {std::move(layout), std::string(words), ink};
}

double heightOf(PangoLayout* layout) {
  PangoRectangle logical;
  pango_layout_get_extents(layout, nullptr, &logical);
  return static_cast<double>(logical.height) / PANGO_SCALE;
}

double widthOf(PangoLayout* layout) {
  PangoRectangle logical;
  pango_layout_get_extents(layout, nullptr, &logical);
  return static_cast<double>(logical.width) / PANGO_SCALE;
}

SplitWords splitAt(Typesetter& type, const std::string& words, const Ink& ink, double width,
                   double height) {
  const Setting layout = type.set(words, ink, width);
  std::unique_ptr<PangoLayoutIter, decltype(&pango_layout_iter_free)> line(
      pango_layout_get_iter(layout.get()), &pango_layout_iter_free);
  std::size_t cut = 0;
  do {
    int top = 0;
    int bottom = 0;
    pango_layout_iter_get_line_yrange(line.get(), &top, &bottom);
    cut = static_cast<std::size_t>(pango_layout_iter_get_line_readonly(line.get())->start_index);
    if (static_cast<double>(bottom) / PANGO_SCALE > height)
      return {words.substr(0, cut), words.substr(cut)};
  } while (pango_layout_iter_next_line(line.get()));
  return {words, ""};
}

}  // namespace platemark::paper
