#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>

#include "figure/samples.h"
#include "platemark/figure/svg.h"

using namespace platemark;
using namespace platemark::figure;

namespace {

std::vector<Text> textsIn(const Scene& scene) {
  std::vector<Text> out;
  for (const Item& item : scene.items) {
    if (const Text* text = std::get_if<Text>(&item)) out.push_back(*text);
  }
  return out;
}

void checkNoOverlap(const Scene& scene) {
  const auto texts = textsIn(scene);
  for (std::size_t i = 0; i < texts.size(); ++i) {
    const Box box = boxOf(texts[i]);
    CAPTURE(texts[i].words);
    CHECK(box.x >= 0);
    CHECK(box.y >= 0);
    CHECK(box.right() <= scene.width);
    CHECK(box.bottom() <= scene.height);
    for (std::size_t j = 0; j < i; ++j) {
      CAPTURE(texts[j].words);
      CHECK_FALSE(overlap(box, boxOf(texts[j])));
    }
  }
}

long countOf(const Scene& scene, std::string_view name) {
  long count = 0;
  for (const Item& item : scene.items) {
    for (const auto& [key, value] : dataOf(item)) count += key == name ? 1 : 0;
  }
  return count;
}

bool says(const Scene& scene, std::string_view words) {
  const auto texts = textsIn(scene);
  return std::any_of(texts.begin(), texts.end(), [&](const Text& t) { return t.words == words; });
}

std::vector<Line> linesOf(const Scene& scene, Style style) {
  std::vector<Line> out;
  for (const Item& item : scene.items) {
    const Line* line = std::get_if<Line>(&item);
    if (line != nullptr && line->style == style) out.push_back(*line);
  }
  return out;
}

/// For looking at: PLATEMARK_SAMPLES names a folder that gets the pictures.
void keep(const std::string& name, const Scene& scene) {
  if (const char* folder = std::getenv("PLATEMARK_SAMPLES")) {
    std::ofstream(std::string(folder) + "/" + name + ".svg") << toSvg(scene);
  }
}

}  // namespace

TEST_CASE("the cure chart says every name once and runs no words together") {
  const Scene scene = *cureChart(samples::cure());
  keep("cure", scene);
  checkNoOverlap(scene);
  for (const char* words :
       {"Temperature / °C", "Degree of cure", "hours", "clock, UTC+1", "channel 1",
        "channel 2, studied", "at least 0.950", "soak 131 min, asked at least 120",
        "soak starts 01:08", "22 min to spare ± 12 min", "21:40", "04:40"}) {
    CAPTURE(words);
    CHECK(says(scene, words));
  }
  CHECK(countOf(scene, "flag") == 3);  // two faults and the numbered gap
  CHECK(countOf(scene, "gap") == 1);
  CHECK(countOf(scene, "moment") == 6);  // a line and its words each
}

TEST_CASE("a gap breaks the recorded line and carries no marker") {
  const Scene scene = *cureChart(samples::cure());
  const Line studied = linesOf(scene, Style::series_under_study)[0];
  CHECK(piecesOf(studied)[0].strokes.size() == 2);
  CureChartInput in = samples::cure();
  for (Point& p : in.recorded[1].points) p.y = p.x > 1.2 ? NAN : p.y;
  // markers of the studied channel at 0.5 and 1.0 h; the other at 0.25, 0.75 … 7.25 h
  CHECK(countOf(*cureChart(in), "marker") == 2 + 15);
}

TEST_CASE("recorded is solid, calculated is dashed, and two of a kind differ by dash or shape") {
  CHECK(lookOf(Style::series_under_study).dash.empty());
  CHECK(lookOf(Style::series_other).dash.empty());
  const auto decides = lookOf(Style::calculated_decides).dash;
  const auto other = lookOf(Style::calculated_other).dash;
  REQUIRE(decides.size() == 2);
  REQUIRE(other.size() == 2);
  CHECK(decides[0] > 2 * other[0]);
}

TEST_CASE("many moments and flags on one spot stay readable") {
  CureChartInput in = samples::cure();
  in.moments = {{3.4, "soak starts 01:04"},
                {3.5, "channel 1 enters 175 °C"},
                {3.55, "door opened"},
                {3.6, "alarm"}};
  in.flags = {{1, 2.0, 112}, {2, 2.02, 112}, {4, 2.04, 112}};
  const Scene scene = *cureChart(in);
  checkNoOverlap(scene);
  std::vector<Point> discs;
  for (const Item& item : scene.items) {
    const Mark* mark = std::get_if<Mark>(&item);
    if (mark != nullptr && mark->shape == Shape::flag) discs.push_back(mark->at);
  }
  REQUIRE(discs.size() == 4);
  for (std::size_t i = 0; i < discs.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      CHECK(std::hypot(discs[i].x - discs[j].x, discs[i].y - discs[j].y) >= 20);
    }
  }
}

TEST_CASE("a cure chart without a record or an axis is refused") {
  CureChartInput in = samples::cure();
  in.hours = 0;
  CHECK(cureChart(in).error().code == "figure.axis_empty");
  in = samples::cure();
  in.recorded.clear();
  CHECK(cureChart(in).error().code == "figure.nothing_recorded");
  in = samples::cure();
  std::swap(in.recorded[0].points[3], in.recorded[0].points[4]);
  CHECK(cureChart(in).error().code == "figure.not_rising");
}

TEST_CASE("the sieve chart has its band, both series and the sizes") {
  const Scene scene = *sieveChart(samples::sieve());
  keep("sieve", scene);
  checkNoOverlap(scene);
  CHECK(says(scene, "D50 24.3 µm"));
  CHECK(says(scene, "Passing / %"));
  CHECK(says(scene, "Aperture / µm"));
  CHECK(countOf(scene, "limit") == 9);
  CHECK(countOf(scene, "series") == 2);
  // the drop line of D50 stands on 50 %
  for (const Line& line : linesOf(scene, Style::moment)) {
    if (line.data[0].second == "D50") CHECK(line.points[1].y == doctest::Approx(40 + 290 * 0.5));
  }
}

TEST_CASE("sizes close to each other keep their words apart") {
  SieveChartInput in = samples::sieve();
  in.sizes = {{"D10", 60, 10, "60 µm"},
              {"D50", 62, 50, "62 µm"},
              {"D90", 140, 90, "140 µm"},
              {"D95", 150, 95, "150 µm"}};
  checkNoOverlap(*sieveChart(in));
}

TEST_CASE("a sieve chart of impossible values is refused") {
  SieveChartInput in = samples::sieve();
  in.own[0].aperture_um = 0;
  CHECK(sieveChart(in).error().code == "figure.out_of_range");
  in = samples::sieve();
  in.own[0].passing = 100.5;
  CHECK(sieveChart(in).error().code == "figure.out_of_range");
  in = samples::sieve();
  std::swap(in.own[0], in.own[1]);
  CHECK(sieveChart(in).error().code == "figure.not_rising");
  in = SieveChartInput{};
  CHECK(sieveChart(in).error().code == "figure.empty");
}

TEST_CASE("strips are kept for looking") {
  int n = 0;
  StripInput off = samples::shear();
  off.result = 684;
  off.result_words = "684";
  off.finding = Finding::inside;
  StripInput near = samples::shear();
  near.further[0] = {290, "290", false};
  StripInput none = samples::hardness();
  none.lower.reset();
  none.upper.reset();
  none.finding = Finding::no_limit;
  for (const StripInput& in : {samples::density(), samples::shear(), samples::hardness(),
                               samples::compressibility(), off, near, none}) {
    const auto strip = evidenceStrip(in);
    REQUIRE(strip);
    keep("strip" + std::to_string(n++), *strip);
  }
}
