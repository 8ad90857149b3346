#include "platemark/figure/strip.h"

#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <algorithm>
#include <cmath>

#include "figure/samples.h"
#include "platemark/figure/svg.h"

using namespace platemark;
using namespace platemark::figure;

namespace {

std::string dataOf(const Item& item, std::string_view name) {
  for (const auto& [key, value] : figure::dataOf(item)) {
    if (key == name) return value;
  }
  return "";
}

const Item* itemWith(const Scene& scene, std::string_view name, std::string_view value) {
  for (const Item& item : scene.items) {
    if (dataOf(item, name) == value) return &item;
  }
  return nullptr;
}

/// Where a confirmed limit stands, in px.
double limitAt(const Scene& scene, std::string_view side) {
  const Item* item = itemWith(scene, "limit", side);
  REQUIRE(item != nullptr);
  return std::get<Line>(*item).points[0].x;
}

Mark markIn(const Scene& scene, std::string_view finding) {
  const Item* item = itemWith(scene, "finding", finding);
  REQUIRE(item != nullptr);
  return std::get<Mark>(*item);
}

std::vector<Text> textsIn(const Scene& scene) {
  std::vector<Text> out;
  for (const Item& item : scene.items) {
    if (const Text* text = std::get_if<Text>(&item)) out.push_back(*text);
  }
  return out;
}

std::vector<Hatch> hatchesIn(const Scene& scene) {
  std::vector<Hatch> out;
  for (const Item& item : scene.items) {
    if (const Hatch* hatch = std::get_if<Hatch>(&item)) out.push_back(*hatch);
  }
  return out;
}

}  // namespace

TEST_CASE("limits stand at 20 and 80 percent whatever their values") {
  const bool holds = rc::check([] {
    const double low = *rc::gen::inRange(-100000, 100000) / 7.0;
    const double span = *rc::gen::inRange(1, 100000) / 13.0;
    StripInput in = samples::density();
    in.lower->value = low;
    in.upper->value = low + span;
    in.result = low + span / 2;
    in.readings.clear();
    const auto scene = evidenceStrip(in);
    RC_ASSERT(bool(scene));
    RC_ASSERT(std::abs(limitAt(*scene, "lower") - 48) < 1e-6);
    RC_ASSERT(std::abs(limitAt(*scene, "upper") - 192) < 1e-6);
    RC_ASSERT(std::abs(markIn(*scene, "too-close").at.x - 120) < 1e-6);
  });
  CHECK(holds);
}

TEST_CASE("a one-sided limit keeps its place and the span gives the scale") {
  const Scene scene = *evidenceStrip(samples::shear());
  CHECK(limitAt(scene, "lower") == 48);
  CHECK(itemWith(scene, "limit", "upper") == nullptr);
  // 421 of 320 … 600 over 48 … 240 px
  CHECK(markIn(scene, "missing").at.x == doctest::Approx(48 + (421 - 320) / 280.0 * 192));
  const Scene most = *evidenceStrip(samples::compressibility());
  CHECK(limitAt(most, "upper") == 192);
  CHECK(hatchesIn(most).size() == 1);
  CHECK(hatchesIn(most)[0].box.x == 192);
}

TEST_CASE("outside is hatched on both sides, never between the limits") {
  const auto hatches = hatchesIn(*evidenceStrip(samples::density()));
  REQUIRE(hatches.size() == 2);
  CHECK(hatches[0].box == Box{0, 8, 48, 16});
  CHECK(hatches[1].box == Box{192, 8, 48, 16});
}

TEST_CASE("each finding has a mark of its own outline; brick only for outside") {
  StripInput in = samples::density();
  const auto check = [&](Finding finding, std::string_view code, Shape shape, Style style) {
    in.finding = finding;
    const Mark mark = markIn(*evidenceStrip(in), code);
    CHECK(mark.shape == shape);
    CHECK(mark.style == style);
  };
  check(Finding::inside, "inside", Shape::dot, Style::result);
  check(Finding::outside_above, "outside-above", Shape::triangle_up, Style::fault);
  check(Finding::outside_below, "outside-below", Shape::triangle_down, Style::fault);
  check(Finding::too_close, "too-close", Shape::half_diamond, Style::result);
  check(Finding::missing, "missing", Shape::broken_ring, Style::result);
}

TEST_CASE("the finding is drawn as given, also where the place would say otherwise") {
  StripInput in = samples::hardness();
  in.finding = Finding::outside_above;  // e.g. single readings decide, the mean is inside
  CHECK(markIn(*evidenceStrip(in), "outside-above").at.x < 192);
}

TEST_CASE("an unconfirmed limit is hollow and said so") {
  StripInput far = samples::shear();
  far.further[0] = {240, "240", false};
  CHECK(itemWith(*evidenceStrip(far), "limit", "further") ==
        nullptr);  // off the strip: in words only
  const Scene scene = *evidenceStrip(samples::shear());
  CHECK(itemWith(scene, "limit", "further") != nullptr);  // 250 falls on the very end
  CHECK(scene.reading ==
        "Shear of the bond, cold: 421 N/cm² so far, missing. Limits: at least 320, further limit "
        "250 (unconfirmed). 3 single readings.");
  StripInput in = samples::shear();
  in.further[0] = {290, "290", false};
  const Scene nearer = *evidenceStrip(in);
  const Item* tick = itemWith(nearer, "limit", "further");
  REQUIRE(tick != nullptr);
  CHECK(styleOf(*tick) == Style::limit_unconfirmed);
  in.lower->confirmed = false;
  CHECK(std::holds_alternative<Rect>(*itemWith(*evidenceStrip(in), "confirmed", "no")));
}

TEST_CASE("uncertainty is a whisker of k = 2 about the result, cut at the ends") {
  StripInput in = samples::hardness();
  const Line whisker = std::get<Line>(*itemWith(*evidenceStrip(in), "whisker", "k2"));
  const double px = 144.0 / 35.0;
  CHECK(whisker.points[0].x == doctest::Approx(48 + (77.4 - 3 - 60) * px));
  CHECK(whisker.points[1].x == doctest::Approx(48 + (77.4 + 3 - 60) * px));
  in.uncertainty = 1000;
  const Line cut = std::get<Line>(*itemWith(*evidenceStrip(in), "whisker", "k2"));
  CHECK(cut.points[0].x == 0);
  CHECK(cut.points[1].x == 240);
}

TEST_CASE("off the scale: an arrow at the end, the value beneath, the scale unmoved") {
  StripInput in = samples::shear();
  in.result = 684;
  in.result_words = "684";
  in.finding = Finding::inside;
  const Scene scene = *evidenceStrip(in);
  CHECK(limitAt(scene, "lower") == 48);
  CHECK(itemWith(scene, "off-scale", "above") != nullptr);
  CHECK(markIn(scene, "inside").at.x < 240);
  const auto texts = textsIn(scene);
  CHECK(std::any_of(texts.begin(), texts.end(), [](const Text& t) { return t.words == "684"; }));
  in.readings = {684, 700, 421};
  CHECK(itemWith(*evidenceStrip(in), "readings-beyond", "2") != nullptr);
}

TEST_CASE("no limit on file: dotted line, open dot, never a full one") {
  StripInput in = samples::hardness();
  in.lower.reset();
  in.upper.reset();
  in.finding = Finding::no_limit;
  const Scene scene = *evidenceStrip(in);
  CHECK(markIn(scene, "no-limit").shape == Shape::open_dot);
  CHECK(hatchesIn(scene).empty());
  CHECK(itemWith(scene, "whisker", "k2") == nullptr);
  CHECK(styleOf(scene.items[0]) == Style::base_dotted);
  CHECK(scene.reading.find("no limit on file. Limits: none.") != std::string::npos);
}

TEST_CASE("missing all readings: an empty corridor that says so") {
  StripInput in = samples::shear();
  in.result.reset();
  in.readings.clear();
  const Scene scene = *evidenceStrip(in);
  CHECK(itemWith(scene, "finding", "missing") == nullptr);
  CHECK(scene.reading.find("no result, missing.") != std::string::npos);
}

TEST_CASE("words under a strip never run into each other or over its ends") {
  const bool holds = rc::check([] {
    StripInput in = samples::shear();
    const int further = *rc::gen::inRange(200, 700);
    in.further[0] = {static_cast<double>(further), std::to_string(further) + ".000", false};
    in.result = *rc::gen::inRange(0, 900);
    in.result_words = "8888.8";
    in.finding = Finding::inside;
    const auto texts = textsIn(*evidenceStrip(in));
    for (std::size_t i = 0; i < texts.size(); ++i) {
      RC_ASSERT(boxOf(texts[i]).x >= -1e-9 && boxOf(texts[i]).right() <= 240 + 1e-9);
      for (std::size_t j = 0; j < i; ++j) RC_ASSERT(!overlap(boxOf(texts[i]), boxOf(texts[j])));
    }
  });
  CHECK(holds);
}

TEST_CASE("a strip that would mislead is refused") {
  const auto code = [](const StripInput& in) { return evidenceStrip(in).error().code; };
  StripInput in = samples::density();
  in.upper->value = 2.18;
  CHECK(code(in) == "figure.limits_crossed");
  in = samples::shear();
  in.one_sided_span.reset();
  CHECK(code(in) == "figure.span_missing");
  in.one_sided_span = 0;
  CHECK(code(in) == "figure.span_missing");
  in = samples::density();
  in.result = NAN;
  CHECK(code(in) == "figure.not_finite");
  in = samples::density();
  in.uncertainty = -1;
  CHECK(code(in) == "figure.uncertainty_negative");
  in = samples::density();
  in.finding = Finding::no_limit;
  CHECK(code(in) == "figure.limit_with_no_limit");
  in.finding = Finding::inside;
  in.result.reset();
  CHECK(code(in) == "figure.finding_without_result");
  in.lower.reset();
  in.upper.reset();
  CHECK(code(in) == "figure.finding_without_limit");
}

TEST_CASE("a bound is drawn open to the side on which the value lies, and never read as a value") {
  StripInput input;
  input.name = "Soak";
  input.unit = "min";
  input.lower = StripLimit{120, "120"};
  input.one_sided_span = 60;
  input.result = 110;
  input.result_words = "at most 110";
  input.known = Known::at_most;
  input.finding = Finding::outside_below;
  const Result<Scene> scene = evidenceStrip(input);
  REQUIRE(scene);
  const Item* open = itemWith(*scene, "bound", "at-most");
  REQUIRE(open != nullptr);
  CHECK(std::get<Mark>(*open).shape == Shape::arrow_left);
  CHECK(scene->reading.starts_with("Soak: at most 110 min"));
  input.finding = Finding::missing;
  CHECK(evidenceStrip(input)->reading.find("so far") == std::string::npos);
}
