#include "flow.h"

#include <fmt/format.h>

#include <algorithm>

namespace platemark::paper {
namespace {

constexpr double kGutter = 18.0;     // between the two columns of facts
constexpr double kWhatShare = 0.36;  // of a column of facts
constexpr double kFrameRoom = 8.0;

Ink inkOf(Voice voice) {
  switch (voice) {
    case Voice::body:
      return {.size = 9.5};
    case Voice::note:
      return {.size = 8.0, .tone = figure::Tone::soft};
    case Voice::verdict:
      return {.size = 13.0, .bold = true};
    case Voice::caution:
      return {.size = 8.5};
  }
  return {};
}

Ink headingInk(int level) { return {.size = level == 1 ? 19.0 : 12.5, .bold = true}; }
constexpr Ink kWhatInk{.size = 8.5, .tone = figure::Tone::soft};
Ink valueInk(const Fact& fact) { return {.size = 9.5, .code = fact.code}; }

}  // namespace

Flow::Flow(cairo_t* cairo, Typesetter& type, const Paper& paper, int pages)
    : cairo_(cairo), type_(type), pen_(cairo, type), paper_(paper), pages_(pages) {}

void Flow::run() {
  runningHead();
  {
    const Tag document(cairo_, "Document");
    for (const Block& block : paper_.blocks) {
      std::visit([this](const auto& b) { draw(b); }, block);
    }
  }
  runningFoot();
  cairo_show_page(cairo_);
}

void Flow::newPage() {
  runningFoot();
  cairo_show_page(cairo_);
  ++page_;
  y_ = Sheet::top;
  runningHead();
}

void Flow::need(double height) {
  if (height > room() && y_ > Sheet::top) newPage();
}

/// Head and foot are outside the structure: a reader hears them on no page.
void Flow::runningHead() {
  constexpr double kLine = 48.0;
  const auto line = [&](const std::string& words, const Ink& ink, double x, double width) {
    const LayoutPtr layout = type_.set(words, ink, width);
    pango_layout_set_ellipsize(layout.get(), PANGO_ELLIPSIZE_MIDDLE);
    pen_.words(layout.get(), x, kLine - 4 - heightOf(layout.get()));
  };
  constexpr double kHalf = Sheet::body_width / 2 - 6;
  line(paper_.title, {.size = 8.5}, Sheet::left, kHalf);
  line(paper_.record_id, {.size = 9.5, .bold = true, .code = true, .align = Align::right},
       Sheet::right - kHalf, kHalf);
  pen_.rule(Sheet::left, kLine, Sheet::body_width, 0.8, figure::Tone::ink);
}

void Flow::runningFoot() {
  constexpr double kLine = Sheet::height - 46.0;
  pen_.rule(Sheet::left, kLine, Sheet::body_width, 0.5, figure::Tone::ink);
  const std::string left =
      fmt::format("Chain head {} · {}", paper_.chain_head, paper_.program_version);
  constexpr double kLeftWidth = Sheet::body_width - 90;
  const LayoutPtr anchor = type_.set(left, {.size = 8.0}, kLeftWidth);
  pango_layout_set_ellipsize(anchor.get(), PANGO_ELLIPSIZE_END);
  pen_.words(anchor.get(), Sheet::left, kLine + 4);
  const std::string right = fmt::format("page {} of {}", page_, pages_);
  const LayoutPtr number = type_.set(right, {.size = 8.0, .align = Align::right}, 84);
  pen_.words(number.get(), Sheet::right - 84, kLine + 4);
}

void Flow::figure(const figure::Scene& scene, double x, double y, double scale) {
  const Tag tag(cairo_, "Figure");
  alt_texts_.push_back(scene.reading.empty() ? scene.title : scene.reading);
  pen_.scene(scene, x, y, scale);
}

/// Words over as many pages as they take; a page gets at least one line of them.
void Flow::plainWords(const std::string& words, const Ink& ink, const char* tag) {
  std::string rest = words;
  while (true) {
    SplitWords part = splitAt(type_, rest, ink, Sheet::body_width, room());
    if (part.head.empty() && !part.tail.empty() && y_ > Sheet::top) {
      newPage();
      continue;
    }
    const LayoutPtr layout = type_.set(part.head, ink, Sheet::body_width);
    {
      const Tag element(cairo_, tag);
      pen_.words(layout.get(), Sheet::left, y_, ink.tone);
    }
    down(heightOf(layout.get()));
    if (part.tail.empty() || part.head.empty()) return;
    rest = part.tail;
  }
}

void Flow::draw(const Heading& heading) {
  const Ink ink = headingInk(heading.level);
  const LayoutPtr layout = type_.set(heading.words, ink, Sheet::body_width);
  constexpr double kFollowing = 64.0;  // a heading never stands alone at the foot
  const double above = y_ > Sheet::top ? 14.0 : 0.0;
  need(above + heightOf(layout.get()) + kFollowing);
  down(y_ > Sheet::top ? 14.0 : 0.0);
  plainWords(heading.words, ink, heading.level == 1 ? "H1" : "H2");
  down(4.0);
}

/// A verdict stands between rules, a caution in a frame; both stay on one page when they fit.
void Flow::framedWords(const std::string& words, Voice voice) {
  const Ink ink = inkOf(voice);
  const double inset = voice == Voice::caution ? kFrameRoom : 0.0;
  const LayoutPtr layout = type_.set(words, ink, Sheet::body_width - 2 * inset);
  const double height = heightOf(layout.get()) + 2 * kFrameRoom;
  if (height > Sheet::body_height) return plainWords(words, ink, "P");
  need(height + 4);
  down(4.0);
  {
    const Tag element(cairo_, "P");
    pen_.words(layout.get(), Sheet::left + inset, y_ + kFrameRoom, ink.tone);
  }
  if (voice == Voice::caution) {
    pen_.frame(Sheet::left, y_, Sheet::body_width, height, 0.9);
  } else {
    pen_.rule(Sheet::left, y_, Sheet::body_width, 1.6, figure::Tone::ink);
    pen_.rule(Sheet::left, y_ + height, Sheet::body_width, 1.6, figure::Tone::ink);
  }
  down(height + 6);
}

void Flow::draw(const Paragraph& paragraph) {
  if (paragraph.voice == Voice::verdict || paragraph.voice == Voice::caution) {
    return framedWords(paragraph.words, paragraph.voice);
  }
  plainWords(paragraph.words, inkOf(paragraph.voice), "P");
  down(4.0);
}

double Flow::factHeight(const Fact& fact, double width) {
  const LayoutPtr what = type_.set(fact.what, kWhatInk, kWhatShare * width - 6);
  const LayoutPtr value = type_.set(fact.value, valueInk(fact), (1 - kWhatShare) * width);
  return std::max(heightOf(what.get()), heightOf(value.get())) + 3.0;
}

void Flow::fact(const Fact& fact, double x, double width) {
  const LayoutPtr what = type_.set(fact.what, kWhatInk, kWhatShare * width - 6);
  const LayoutPtr value = type_.set(fact.value, valueInk(fact), (1 - kWhatShare) * width);
  const Tag element(cairo_, "P");
  pen_.words(what.get(), x, y_ + 1.0, kWhatInk.tone);
  pen_.words(value.get(), x + kWhatShare * width, y_);
}

/// Two facts beside each other; the reading order is row by row.
void Flow::draw(const FactGrid& grid) {
  constexpr double kColumn = (Sheet::body_width - kGutter) / 2;
  for (std::size_t i = 0; i < grid.facts.size(); i += 2) {
    const bool pair = i + 1 < grid.facts.size();
    const double height = std::max(factHeight(grid.facts[i], kColumn),
                                   pair ? factHeight(grid.facts[i + 1], kColumn) : 0.0);
    need(height);
    fact(grid.facts[i], Sheet::left, kColumn);
    if (pair) fact(grid.facts[i + 1], Sheet::left + kColumn + kGutter, kColumn);
    down(height);
  }
  down(3.0);
}

void Flow::draw(const Table& table) { drawTable(*this, table); }

void Flow::draw(const Drawing& drawing) {
  const figure::Scene& scene = drawing.scene;
  const Ink ink = inkOf(Voice::note);
  const double caption = heightOf(type_.set(drawing.caption, ink, Sheet::body_width).get()) + 4;
  const double room_for_scene = std::max(Sheet::body_height - caption, 100.0);
  const double scale =
      std::min({kPointsPerPx, Sheet::body_width / scene.width, room_for_scene / scene.height});
  need(scene.height * scale + caption);
  figure(scene, Sheet::left, y_, scale);
  down(scene.height * scale + 2);
  if (!drawing.caption.empty()) draw(Paragraph{drawing.caption, Voice::note});
}

void Flow::draw(const Break&) {
  if (y_ > Sheet::top) newPage();
}

}  // namespace platemark::paper
