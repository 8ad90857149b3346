#include "platemark/figure/svg.h"

#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <algorithm>
#include <cmath>

#include "figure/samples.h"

using namespace platemark::figure;

namespace {

double luminance(std::string_view hex) {
  double out = 0;
  const double weight[] = {0.2126, 0.7152, 0.0722};
  for (std::size_t i = 0; i < 3; ++i) {
    const double c = std::stoi(std::string(hex.substr(1 + 2 * i, 2)), nullptr, 16) / 255.0;
    out += weight[i] * (c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4));
  }
  return out;
}

/// Contrast ratio as WCAG 2.2 defines it.
double contrast(Tone a, Tone b) {
  const double x = luminance(toneHex(a));
  const double y = luminance(toneHex(b));
  return (std::max(x, y) + 0.05) / (std::min(x, y) + 0.05);
}

Scene sceneWith(Item item) {
  Scene scene;
  scene.width = 10;
  scene.height = 10;
  scene.title = "t";
  scene.items.push_back(std::move(item));
  return scene;
}

}  // namespace

TEST_CASE("the table of looks is in the order of its enumeration") {
  for (int i = 0; i <= static_cast<int>(Style::label_limit); ++i) {
    CHECK(lookOf(static_cast<Style>(i)).style == static_cast<Style>(i));
  }
  CHECK(toneName(Tone::white) == "white");
  CHECK(toneHex(Tone::none).empty());
}

TEST_CASE("words have contrast 4.5 and meaning marks 3 on surface and window") {
  for (const Tone ground : {Tone::surface, Tone::white, Tone::well}) {
    for (const Tone text : {Tone::ink, Tone::soft}) CHECK(contrast(text, ground) >= 4.5);
    for (const Tone mark : {Tone::look, Tone::stop, Tone::grey, Tone::edge}) {
      CHECK(contrast(mark, ground) >= 3.0);
    }
  }
  CHECK(contrast(Tone::white, Tone::ink) >= 4.5);  // the number in a flag
}

TEST_CASE("the sentence is the name of the picture, and the title stands in for it") {
  Scene scene = sceneWith(Line{Style::axis, {{0, 0}, {1, 1}}});
  CHECK(toSvg(scene).find("role=\"img\" aria-label=\"t\"") != std::string::npos);
  scene.reading = "Shear \"x\" < 3 & more";
  CHECK(toSvg(scene).find("aria-label=\"Shear &quot;x&quot; &lt; 3 &amp; more\"") !=
        std::string::npos);
}

TEST_CASE("nothing typed by anyone becomes markup") {
  const std::string nasty = "</text><script>alert(1)</script>\" onload=\"x";
  Scene scene = sceneWith(Text{Style::label, {1, 1}, Anchor::start, nasty, {{"series", nasty}}});
  scene.add(Mark{Style::flag, Shape::flag, {2, 2}, 20, nasty});
  scene.reading = nasty;
  const std::string svg = toSvg(scene);
  CHECK(svg.find("<script") == std::string::npos);
  CHECK(svg.find("\" onload") == std::string::npos);
  const bool holds = rc::check([](const std::string& words) {
    const std::string out = toSvg(sceneWith(Text{Style::label, {1, 1}, Anchor::start, words}));
    const auto count = std::count(out.begin(), out.end(), '<');
    RC_ASSERT(count == 4);  // svg, text and their ends
  });
  CHECK(holds);
}

TEST_CASE("a point that is not finite breaks a line and never reaches the page") {
  const std::string svg =
      toSvg(sceneWith(Line{Style::series_other, {{0, 0}, {1, 1}, {2, NAN}, {3, 3}, {4, 4}}}));
  CHECK(svg.find("M0 0L1 1M3 3L4 4") != std::string::npos);
  CHECK(svg.find("nan") == std::string::npos);
  CHECK(toSvg(sceneWith(Line{Style::axis, {{NAN, 0}}})).find("<path") == std::string::npos);
}

TEST_CASE("hatch strokes stay in their box") {
  const bool holds = rc::check([] {
    const Box box{*rc::gen::inRange(0, 300) / 3.0, *rc::gen::inRange(0, 300) / 7.0,
                  *rc::gen::inRange(1, 300) / 3.0, *rc::gen::inRange(1, 300) / 3.0};
    for (const Piece& piece : piecesOf(Hatch{Style::outside, box})) {
      for (const auto& stroke : piece.strokes) {
        for (const Point& p : stroke) {
          RC_ASSERT(p.x >= box.x - 1e-9 && p.x <= box.right() + 1e-9);
          RC_ASSERT(p.y >= box.y - 1e-9 && p.y <= box.bottom() + 1e-9);
        }
      }
    }
  });
  CHECK(holds);
}

TEST_CASE("every class of a drawn chart that sets a tone is in the style sheet") {
  const std::string css = figureStyleSheet();
  const std::string svg = toSvg(*cureChart(samples::cure()));
  int found = 0;
  for (int i = static_cast<int>(Tone::ink); i <= static_cast<int>(Tone::white); ++i) {
    for (const std::string property : {"fill-", "stroke-"}) {
      const std::string name = property + std::string(toneName(static_cast<Tone>(i)));
      const bool used = svg.find(" " + name + "\"") != std::string::npos ||
                        svg.find(" " + name + " ") != std::string::npos;
      if (!used) continue;
      ++found;
      CHECK(css.find("." + name + "{") != std::string::npos);
    }
  }
  CHECK(found >= 10);
  CHECK(svg.find("style=") == std::string::npos);
  CHECK(svg.find(" id=") == std::string::npos);
}
