#include "flow.h"

#include <algorithm>

#include "platemark/words/words.h"

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
    for (block_ = 0; block_ < paper_.blocks.size(); ++block_) {
      std::visit([this](const auto& b) { draw(b); }, paper_.blocks[block_]);
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
    const Setting layout = type_.set(words, ink, width);
    pen_.cutWords(layout, x, kLine - 18, PANGO_ELLIPSIZE_MIDDLE);
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
  const std::string left = words::say(
      "papers.foot.record", {{"head", paper_.chain_head}, {"program", paper_.program_version}});
  constexpr double kLeftWidth = Sheet::body_width - 90;
  const Setting anchor = type_.set(left, {.size = 8.0}, kLeftWidth);
  pen_.cutWords(anchor, Sheet::left, kLine + 4, PANGO_ELLIPSIZE_END);
  const std::string right = words::say("papers.foot.page", {{"n", page_}, {"all", pages_}});
  const Setting number = type_.set(right, {.size = 8.0, .align = Align::right}, 84);
  pen_.words(number, Sheet::right - 84, kLine + 4);
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
    const Setting layout = type_.set(part.head, ink, Sheet::body_width);
    {
      const Tag element(cairo_, tag);
      pen_.words(layout, Sheet::left, y_);
    }
    down(heightOf(layout.get()));
    if (part.tail.empty() || part.head.empty()) return;
    rest = part.tail;
  }
}

double Flow::following(std::size_t block) {
  constexpr double kSomeLines = 60.0;
  if (block >= paper_.blocks.size()) return 0.0;
  if (const auto* drawing = std::get_if<Drawing>(&paper_.blocks[block])) {
    double scale = 0.0;
    return drawingHeight(*drawing, scale);
  }
  const auto* paragraph = std::get_if<Paragraph>(&paper_.blocks[block]);
  if (paragraph == nullptr) return kSomeLines;
  const Setting words = type_.set(paragraph->words, inkOf(paragraph->voice), Sheet::body_width);
  const bool leads =
      block + 1 < paper_.blocks.size() && std::holds_alternative<Drawing>(paper_.blocks[block + 1]);
  return std::min(heightOf(words.get()) + 8.0, kSomeLines) + (leads ? following(block + 1) : 0.0);
}

void Flow::draw(const Heading& heading) {
  constexpr double kAbove = 12.0;
  const Ink ink = headingInk(heading.level);
  const Setting layout = type_.set(heading.words, ink, Sheet::body_width);
  need(std::min(kAbove + heightOf(layout.get()) + 4.0 + following(block_ + 1), Sheet::body_height));
  if (y_ > Sheet::top) down(kAbove);
  plainWords(heading.words, ink, heading.level == 1 ? "H1" : "H2");
  down(4.0);
}

/// A verdict stands between rules, a caution in a frame; both stay on one page when they fit.
void Flow::framedWords(const std::string& words, Voice voice) {
  const Ink ink = inkOf(voice);
  const double inset = voice == Voice::caution ? kFrameRoom : 0.0;
  const Setting layout = type_.set(words, ink, Sheet::body_width - 2 * inset);
  const double height = heightOf(layout.get()) + 2 * kFrameRoom;
  if (height > Sheet::body_height) return plainWords(words, ink, "P");
  need(height + 4);
  down(4.0);
  {
    const Tag element(cairo_, "P");
    pen_.words(layout, Sheet::left + inset, y_ + kFrameRoom);
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
  const Setting what = type_.set(fact.what, kWhatInk, kWhatShare * width - 6);
  const Setting value = type_.set(fact.value, valueInk(fact), (1 - kWhatShare) * width);
  return std::max(heightOf(what.get()), heightOf(value.get())) + 3.0;
}

void Flow::fact(const Fact& fact, double x, double width) {
  // The space after it keeps the two apart for who hears them.
  const Setting what = type_.set(fact.what + " ", kWhatInk, kWhatShare * width - 6);
  const Setting value = type_.set(fact.value, valueInk(fact), (1 - kWhatShare) * width);
  const Tag element(cairo_, "P");
  pen_.words(what, x, y_ + 1.0);
  pen_.words(value, x + kWhatShare * width, y_);
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

/// With its caption; a drawing is made smaller to fit a page, never cut.
double Flow::drawingHeight(const Drawing& drawing, double& scale) {
  const figure::Scene& scene = drawing.scene;
  const Setting caption = type_.set(drawing.caption, inkOf(Voice::note), Sheet::body_width);
  const double below = drawing.caption.empty() ? 2.0 : heightOf(caption.get()) + 6.0;
  const double room_for_scene = std::max(Sheet::body_height - below, 100.0);
  scale = std::min({kPointsPerPx, Sheet::body_width / scene.width, room_for_scene / scene.height});
  return scene.height * scale + below;
}

void Flow::draw(const Drawing& drawing) {
  double scale = 0.0;
  need(drawingHeight(drawing, scale));
  figure(drawing.scene, Sheet::left, y_, scale);
  down(drawing.scene.height * scale + 2);
  if (!drawing.caption.empty()) draw(Paragraph{drawing.caption, Voice::note});
}

void Flow::draw(const Break&) {
  if (y_ > Sheet::top) newPage();
}

}  // namespace platemark::paper
