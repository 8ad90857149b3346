#include "platemark/figure/strip.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "platemark/figure/axis.h"
#include "refusal.h"

namespace platemark::figure {
namespace {

constexpr double kWidth = 240.0;
constexpr double kHeight = 44.0;
constexpr double kMiddle = 16.0;  // height of the base line
constexpr double kLowerPx = 0.2 * kWidth;
constexpr double kUpperPx = 0.8 * kWidth;
constexpr Box kCorridor{0.0, 8.0, kWidth, 16.0};
constexpr double kTickHalf = 11.0;
constexpr double kWordsLine = 39.0;
constexpr double kEdgeRoom = 7.0;  // keeps a mark whole at the end of the strip

bool allFinite(const StripInput& in) {
  const auto fine = [](const auto& value) { return !value || std::isfinite(*value); };
  const auto limit = [](const auto& value) { return !value || std::isfinite(value->value); };
  return limit(in.lower) && limit(in.upper) && fine(in.one_sided_span) && fine(in.target) &&
         fine(in.result) && fine(in.uncertainty) &&
         std::all_of(in.readings.begin(), in.readings.end(),
                     [](double r) { return std::isfinite(r); }) &&
         std::all_of(in.further.begin(), in.further.end(),
                     [](const StripLimit& l) { return std::isfinite(l.value); });
}

std::optional<Error> limitFault(const StripInput& in) {
  if (!allFinite(in))
    return cannotDraw("figure.not_finite", in.name, "has a value that is not finite.",
                      "finite numbers");
  if (in.lower && in.upper && !(in.lower->value < in.upper->value)) {
    return cannotDraw("figure.limits_crossed", in.name,
                      "has a lower limit that is not below its upper limit.", "lower < upper");
  }
  const bool one_sided = in.lower.has_value() != in.upper.has_value();
  if (one_sided && !(in.one_sided_span.value_or(0) > 0)) {
    return cannotDraw("figure.span_missing", in.name, "has one limit and no span.",
                      "how much lies between the limit and the far end, greater than 0");
  }
  if (in.uncertainty && *in.uncertainty < 0) {
    return cannotDraw("figure.uncertainty_negative", in.name, "has a negative uncertainty.",
                      "0 or more");
  }
  return std::nullopt;
}

std::optional<Error> findingFault(const StripInput& in) {
  const bool limited = in.lower || in.upper;
  if (in.finding == Finding::no_limit) {
    if (!limited) return std::nullopt;
    return cannotDraw("figure.limit_with_no_limit", in.name, "says no limit on file, yet has one.",
                      "no limit");
  }
  if (in.finding == Finding::missing) return std::nullopt;
  if (!limited) {
    return cannotDraw("figure.finding_without_limit", in.name, "has a finding and no limit.",
                      "a limit, or the finding 'no limit on file'");
  }
  if (in.result) return std::nullopt;
  return cannotDraw("figure.finding_without_result", in.name, "has a finding and no result.",
                    "a result");
}

/// The scale that puts the limits at their fixed places.
Scale scaleOf(const StripInput& in) {
  if (in.lower && in.upper) return {in.lower->value, in.upper->value, kLowerPx, kUpperPx};
  if (in.lower) return {in.lower->value, in.lower->value + *in.one_sided_span, kLowerPx, kWidth};
  if (in.upper) return {in.upper->value - *in.one_sided_span, in.upper->value, 0.0, kUpperPx};
  const double centre = in.result.value_or(0.0);
  return {centre - 1.0, centre + 1.0, 0.0, kWidth};  // no limit: the result stands in the middle
}

bool onStrip(double px) { return px >= 0.0 && px <= kWidth; }

void addGround(Scene& scene, const StripInput& in) {
  const double from = in.lower ? kLowerPx : 0.0;
  const double to = in.upper ? kUpperPx : kWidth;
  if (in.lower) scene.add(Hatch{Style::outside, {0.0, kCorridor.y, kLowerPx, kCorridor.height}});
  if (in.upper) {
    scene.add(Hatch{Style::outside, {kUpperPx, kCorridor.y, kWidth - kUpperPx, kCorridor.height}});
  }
  const bool limited = in.lower || in.upper;
  scene.add(Line{limited ? Style::base : Style::base_dotted, {{from, kMiddle}, {to, kMiddle}}});
}

void addLimitTick(Scene& scene, double px, const StripLimit& limit, std::string side) {
  Data data{{"limit", std::move(side)}, {"confirmed", limit.confirmed ? "yes" : "no"}};
  const double top = kMiddle - kTickHalf;
  if (limit.confirmed) {
    scene.add(Line{Style::limit, {{px, top}, {px, kMiddle + kTickHalf}}, std::move(data)});
  } else {
    scene.add(Rect{Style::limit_unconfirmed, {px - 2.5, top, 5.0, 2 * kTickHalf}, std::move(data)});
  }
}

/// Words under the strip, pushed inside its ends; left out where they would run into others.
class Footing {
 public:
  explicit Footing(Scene& scene) : scene_(scene) {}

  bool add(double px, const std::string& words, Style style = Style::label_limit) {
    Text text{style, {px, kWordsLine}, Anchor::middle, words};
    const double half = boxOf(text).width / 2;
    text.at.x = std::clamp(px, std::min(half, kWidth / 2), std::max(kWidth - half, kWidth / 2));
    const Box box = boxOf(text);
    for (const Box& other : taken_) {
      if (overlap({box.x - 3, box.y, box.width + 6, box.height}, other)) return false;
    }
    taken_.push_back(box);
    scene_.add(std::move(text));
    return true;
  }

 private:
  Scene& scene_;
  std::vector<Box> taken_;
};

void addLimits(Scene& scene, Footing& footing, const StripInput& in, const Scale& scale) {
  if (in.lower) {
    addLimitTick(scene, kLowerPx, *in.lower, "lower");
    footing.add(kLowerPx, in.lower->words);
  }
  if (in.upper) {
    addLimitTick(scene, kUpperPx, *in.upper, "upper");
    footing.add(kUpperPx, in.upper->words);
  }
  for (const StripLimit& limit : in.further) {
    const double px = scale.at(limit.value);
    if (onStrip(px)) addLimitTick(scene, std::clamp(px, 3.0, kWidth - 3.0), limit, "further");
  }
}

/// Written last: the words of the limits that decide, and of a result off the scale, go first.
void addFurtherWords(Footing& footing, const StripInput& in, const Scale& scale) {
  for (const StripLimit& limit : in.further) {
    const double px = scale.at(limit.value);
    if (onStrip(px)) footing.add(px, limit.words);
  }
}

void addTarget(Scene& scene, const StripInput& in, const Scale& scale) {
  if (!in.target || !onStrip(scale.at(*in.target))) return;
  const double px = scale.at(*in.target);
  scene.add(Line{Style::target, {{px, kMiddle - 5.5}, {px, kMiddle + 5.5}}});
}

/// Readings beyond an end are counted there: a tick would say where they are not.
void addBeyond(Scene& scene, long count, bool high) {
  if (count == 0) return;
  const double x = high ? kWidth - 3.0 : 3.0;
  scene.add(Mark{Style::reading,
                 high ? Shape::arrow_right : Shape::arrow_left,
                 {x, 4.5},
                 6.0,
                 "",
                 {{"readings-beyond", std::to_string(count)}}});
}

void addReadings(Scene& scene, const StripInput& in, const Scale& scale) {
  long below = 0;
  long above = 0;
  for (const double reading : in.readings) {
    const double px = scale.at(reading);
    if (px < 0) ++below;
    if (px > kWidth) ++above;
    if (onStrip(px)) scene.add(Line{Style::reading, {{px, 1.5}, {px, 8.0}}, {{"reading", ""}}});
  }
  addBeyond(scene, below, false);
  addBeyond(scene, above, true);
}

void addWhisker(Scene& scene, const StripInput& in, const Scale& scale) {
  if (!in.result || !in.uncertainty || *in.uncertainty <= 0) return;
  const double from = scale.at(*in.result - *in.uncertainty);
  const double to = scale.at(*in.result + *in.uncertainty);
  if (to < 0 || from > kWidth) return;
  scene.add(Line{Style::whisker,
                 {{std::max(from, 0.0), kMiddle}, {std::min(to, kWidth), kMiddle}},
                 {{"whisker", "k2"}}});
  for (const double end : {from, to}) {
    if (onStrip(end)) scene.add(Line{Style::whisker, {{end, kMiddle - 4.5}, {end, kMiddle + 4.5}}});
  }
}

/// From a bound to the end of the strip on the side on which the value lies.
void addOpenSide(Scene& scene, const StripInput& in, const Scale& scale) {
  if (!in.result || in.known == Known::value) return;
  const bool high = in.known == Known::at_least;
  const double from = std::clamp(scale.at(*in.result), 0.0, kWidth), end = high ? kWidth : 0.0;
  if (std::abs(end - from) < 2 * kEdgeRoom) return;
  scene.add(Line{Style::whisker, {{from, kMiddle}, {end, kMiddle}}, {{"open", ""}}});
  scene.add(Mark{Style::result,
                 high ? Shape::arrow_right : Shape::arrow_left,
                 {end + (high ? -6 : 6), kMiddle},
                 9.0,
                 "",
                 {{"bound", high ? "at-least" : "at-most"}}});
}

struct MarkLook {
  Shape shape;
  Style style;
  double size;
};
MarkLook markOf(Finding finding) {
  switch (finding) {
    case Finding::inside:
      return {Shape::dot, Style::result, 9.2};
    case Finding::outside_above:
      return {Shape::triangle_up, Style::fault, 14.0};
    case Finding::outside_below:
      return {Shape::triangle_down, Style::fault, 14.0};
    case Finding::too_close:
      return {Shape::half_diamond, Style::result, 13.0};
    case Finding::missing:
      return {Shape::broken_ring, Style::result, 11.0};
    case Finding::no_limit:
      return {Shape::open_dot, Style::result, 9.2};
  }
  return {Shape::open_dot, Style::result, 9.2};
}

std::string findingCode(Finding finding) {
  switch (finding) {
    case Finding::inside:
      return "inside";
    case Finding::outside_above:
      return "outside-above";
    case Finding::outside_below:
      return "outside-below";
    case Finding::too_close:
      return "too-close";
    case Finding::missing:
      return "missing";
    case Finding::no_limit:
      return "no-limit";
  }
  return "";
}

Mark findingMarkAt(Finding finding, Point at) {
  const MarkLook look = markOf(finding);
  return {look.style, look.shape, at, look.size, "", {{"finding", findingCode(finding)}}};
}

/// The mark stands before the arrow; the value beneath says how far it really is.
void addOffScale(Scene& scene, Footing& footing, const StripInput& in, bool high) {
  const double tip = high ? kWidth : 0.0;
  const double inward = high ? -1.0 : 1.0;
  scene.add(Line{Style::whisker, {{tip + inward * 32, kMiddle}, {tip + inward * 10, kMiddle}}});
  Mark arrow{Style::result,
             high ? Shape::arrow_right : Shape::arrow_left,
             {tip + inward * 6, kMiddle},
             11.0,
             "",
             {{"off-scale", high ? "above" : "below"}}};
  scene.add(std::move(arrow));
  scene.add(findingMarkAt(in.finding, {tip + inward * 26, kMiddle}));
  footing.add(tip, in.result_words, Style::label_limit);
}

void addResult(Scene& scene, Footing& footing, const StripInput& in, const Scale& scale) {
  if (!in.result) return;
  const double px = scale.at(*in.result);
  if (!onStrip(px)) return addOffScale(scene, footing, in, px > kWidth);
  scene.add(findingMarkAt(in.finding, {std::clamp(px, kEdgeRoom, kWidth - kEdgeRoom), kMiddle}));
}

std::string limitWords(std::string_view which, const StripLimit& limit) {
  return fmt::format("{} {}{}", which, limit.words, limit.confirmed ? "" : " (unconfirmed)");
}

std::string allLimitWords(const StripInput& in) {
  std::vector<std::string> parts;
  if (in.lower) parts.push_back(limitWords("at least", *in.lower));
  if (in.upper) parts.push_back(limitWords("at most", *in.upper));
  for (const StripLimit& limit : in.further) parts.push_back(limitWords("further limit", limit));
  return parts.empty() ? "none" : fmt::format("{}", fmt::join(parts, ", "));
}

std::string resultWords(const StripInput& in) {
  if (!in.result) return "no result";
  std::string out = in.result_words;
  if (!in.uncertainty_words.empty()) out += " ± " + in.uncertainty_words;
  if (!in.unit.empty()) out += " " + in.unit;
  return in.finding == Finding::missing && in.known == Known::value ? out + " so far" : out;
}

std::string sentence(const StripInput& in) {
  std::string out = fmt::format("{}: {}, {}. Limits: {}.", in.name, resultWords(in),
                                findingWords(in.finding), allLimitWords(in));
  if (in.readings.empty()) return out;
  return out + fmt::format(" {} single reading{}.", in.readings.size(),
                           in.readings.size() == 1 ? "" : "s");
}

}  // namespace

std::string findingWords(Finding finding) {
  switch (finding) {
    case Finding::inside:
      return "inside";
    case Finding::outside_above:
      return "outside, above";
    case Finding::outside_below:
      return "outside, below";
    case Finding::too_close:
      return "too close to say";
    case Finding::missing:
      return "missing";
    case Finding::no_limit:
      return "no limit on file";
  }
  return "";
}

Scene findingMark(Finding finding) {
  Scene scene{.width = 16.0,
              .height = 16.0,
              .title = findingWords(finding),
              .reading = findingWords(finding),
              .items = {}};
  scene.add(findingMarkAt(finding, {8.0, 8.0}));
  return scene;
}

Result<Scene> evidenceStrip(const StripInput& input) {
  if (auto fault = limitFault(input)) return *fault;
  if (auto fault = findingFault(input)) return *fault;
  Scene scene{.width = kWidth,
              .height = kHeight,
              .title = input.name,
              .reading = sentence(input),
              .items = {}};
  const Scale scale = scaleOf(input);
  Footing footing(scene);
  addGround(scene, input);
  addLimits(scene, footing, input, scale);
  if (input.lower ||
      input.upper) {  // without a limit nothing fixes a scale: no other place is true
    addTarget(scene, input, scale);
    addReadings(scene, input, scale);
    addWhisker(scene, input, scale);
    addOpenSide(scene, input, scale);
  }
  addResult(scene, footing, input, scale);
  addFurtherWords(footing, input, scale);
  return scene;
}

}  // namespace platemark::figure
