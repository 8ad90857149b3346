#include "platemark/figure/svg.h"

#include <fmt/format.h>

#include "platemark/figure/words.h"

namespace platemark::figure {
namespace {

/// At most two decimals, no trailing zeros, no "-0".
std::string number(double value) {
  std::string text = fmt::format("{:.2f}", value);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}

std::string attribute(std::string_view name, std::string_view value) {
  return fmt::format(" {}=\"{}\"", name, xmlEscaped(value));
}

std::string dataAttributes(const Data& data) {
  std::string out;
  for (const auto& [name, value] : data) out += attribute("data-" + name, value);
  return out;
}

std::string pathOf(const Piece& piece) {
  std::string d;
  for (const auto& stroke : piece.strokes) {
    char verb = 'M';
    for (const Point& p : stroke) {
      d += fmt::format("{}{} {}", verb, number(p.x), number(p.y));
      verb = 'L';
    }
    if (piece.closed) d += 'Z';
  }
  return d;
}

std::string paint(std::string_view property, Tone tone) {
  return fmt::format(" {}=\"{}\"", property, tone == Tone::none ? "none" : toneHex(tone));
}

std::string dashAttribute(const std::vector<double>& dash) {
  if (dash.empty()) return "";
  return fmt::format(" stroke-dasharray=\"{} {}\"", number(dash[0]), number(dash[1]));
}

std::string classesOf(Style style, const Piece& piece) {
  std::string out = fmt::format(" class=\"fig-{}", lookOf(style).name);
  if (piece.fill != Tone::none) out += fmt::format(" fill-{}", toneName(piece.fill));
  if (piece.stroke != Tone::none) out += fmt::format(" stroke-{}", toneName(piece.stroke));
  return out + '"';
}

std::string look(Style style, const Piece& piece) {
  std::string out = classesOf(style, piece) + paint("fill", piece.fill);
  if (piece.stroke == Tone::none) return out;
  return out + paint("stroke", piece.stroke) +
         fmt::format(" stroke-width=\"{}\"", number(piece.width)) + dashAttribute(piece.dash);
}

std::string element(Style style, const Piece& piece, const std::string& data) {
  if (piece.strokes.empty()) return "";
  const std::string tail = look(style, piece) + data + "/>";
  if (piece.radius <= 0) return fmt::format("<path d=\"{}\"", pathOf(piece)) + tail;
  const Point centre = piece.strokes[0][0];
  return fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\"", number(centre.x), number(centre.y),
                     number(piece.radius)) +
         tail;
}

std::string_view anchorName(Anchor anchor) {
  if (anchor == Anchor::start) return "start";
  return anchor == Anchor::end ? "end" : "middle";
}

std::string textElement(const Text& text, Tone fill, bool halo) {
  const Look& look = lookOf(text.style);
  std::string out = fmt::format(
      "<text x=\"{}\" y=\"{}\" text-anchor=\"{}\" font-size=\"{}\" "
      "font-family=\"Noto Sans, sans-serif\"",
      number(text.at.x), number(text.at.y), anchorName(text.anchor), number(look.text_px));
  if (look.bold) out += " font-weight=\"700\"";
  out += fmt::format(" class=\"fig-{} fill-{}{}\"", look.name, toneName(fill),
                     halo ? " stroke-surface" : "");
  out += paint("fill", fill);
  if (halo) {
    out += paint("stroke", Tone::surface) +
           " stroke-width=\"4\" stroke-linejoin=\"round\" paint-order=\"stroke\"";
  }
  return out + dataAttributes(text.data) + ">" + xmlEscaped(text.words) + "</text>";
}

std::string wordsOf(const Item& item) {
  if (const Text* text = std::get_if<Text>(&item)) {
    return textElement(*text, lookOf(text->style).fill, true);
  }
  const Mark* mark = std::get_if<Mark>(&item);
  if (mark == nullptr || mark->words.empty()) return "";
  return textElement(flagText(*mark), Tone::white, false);
}

std::string itemElements(const Item& item) {
  std::string out;
  std::string data = dataAttributes(dataOf(item));
  for (const Piece& piece : piecesOf(item)) {
    out += element(styleOf(item), piece, data);
    data.clear();  // said once, on the first piece
  }
  return out + wordsOf(item);
}

}  // namespace

std::string toSvg(const Scene& scene) {
  const std::string width = number(scene.width);
  const std::string height = number(scene.height);
  std::string out = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"figure\" width=\"{0}\" height=\"{1}\" "
      "viewBox=\"0 0 {0} {1}\" role=\"img\"",
      width, height);
  out += attribute("aria-label", scene.reading.empty() ? scene.title : scene.reading) + ">";
  for (const Item& item : scene.items) out += itemElements(item);
  return out + "</svg>";
}

}  // namespace platemark::figure
