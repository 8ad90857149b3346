#include "platemark/figure/run_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "platemark/figure/axis.h"
#include "refusal.h"

namespace platemark::figure {
namespace {

constexpr double kWidth = 640.0;
constexpr Box kRunField{56.0, 40.0, 470.0, 210.0};
constexpr Box kClassField{56.0, 40.0, 470.0, 170.0};
constexpr double kWordsLeft = 532.0;
constexpr double kLineSpacing = 17.0;

std::optional<Error> faultOf(const RunInput& in, bool any) {
  if (!any) return cannotDraw("figure.empty", in.title, "has no values.", "a result or more");
  const bool finite = std::all_of(in.points.begin(), in.points.end(),
                                  [](const RunPoint& p) { return std::isfinite(p.value); }) &&
                      std::all_of(in.limits.begin(), in.limits.end(),
                                  [](const RunLimit& l) { return std::isfinite(l.value); }) &&
                      std::isfinite(in.centre.value_or(0));
  if (finite) return std::nullopt;
  return cannotDraw("figure.out_of_range", in.title, "has a value that is no number.",
                    "finite numbers");
}

struct Range {
  double low = INFINITY;
  double high = -INFINITY;
  void take(double value) {
    low = std::min(low, value);
    high = std::max(high, value);
  }
  /// A twentieth of room on both sides; something around a single value.
  void widen() {
    const double room = high > low ? (high - low) / 20 : std::max(std::abs(high) / 20, 1e-9);
    low -= room;
    high += room;
  }
};

/// All that is drawn over the values' axis.
Range rangeOf(const RunInput& in) {
  Range range;
  for (const RunPoint& p : in.points) range.take(p.value);
  for (const RunLimit& l : in.limits) range.take(l.value);
  if (in.centre) range.take(*in.centre);
  range.widen();
  return range;
}

/// Words beside the field, moved apart where lines lie close.
void addSideWords(Scene& scene, const Plot& plot, const RunInput& in) {
  std::vector<double> wanted;
  std::vector<std::string> words;
  for (const RunLimit& l : in.limits) {
    wanted.push_back(plot.y.at(l.value) + 4);
    words.push_back(l.words);
  }
  if (in.centre) {
    wanted.push_back(plot.y.at(*in.centre) + 4);
    words.push_back(in.centre_words);
  }
  const std::vector<double> placed =
      spread(wanted, kLineSpacing, plot.field.y + 8, plot.field.bottom());
  for (std::size_t i = 0; i < words.size(); ++i)
    scene.add(Text{i < in.limits.size() ? Style::label_limit : Style::label,
                   {kWordsLeft, placed[i]},
                   Anchor::start,
                   words[i]});
}

void addLevels(Scene& scene, const Plot& plot, const RunInput& in) {
  const auto level = [&](double value, Style style, const char* name) {
    const double y = plot.y.at(value);
    scene.add(Line{style, {{plot.field.x, y}, {plot.field.right(), y}}, {{"level", name}}});
  };
  if (in.centre) level(*in.centre, Style::target, "centre");
  for (const RunLimit& l : in.limits) level(l.value, Style::limit, "limit");
}

Mark markOf(const RunPoint& point, Point at) {
  Mark mark{Style::result, Shape::dot, at, 7.0};
  if (point.mark == RunMark::outside) mark.shape = Shape::triangle_up;
  if (point.mark == RunMark::outside) mark.size = 9.0;
  if (point.mark == RunMark::aside) mark.shape = Shape::open_dot;
  mark.data = {{"point", point.what}};
  return mark;
}

/// The line runs through what counts; what was set aside stands beside it.
void addRun(Scene& scene, const Plot& plot, const std::vector<RunPoint>& points) {
  Line line{Style::series_other, {}, {{"series", "results"}}};
  for (std::size_t i = 0; i < points.size(); ++i)
    if (points[i].mark != RunMark::aside)
      line.points.push_back(plot.at(static_cast<double>(i + 1), points[i].value));
  scene.add(std::move(line));
  for (std::size_t i = 0; i < points.size(); ++i)
    scene.add(markOf(points[i], plot.at(static_cast<double>(i + 1), points[i].value)));
}

/// At most so many words below, the first and the last among them where there is room.
std::vector<Tick> whenTicks(const std::vector<RunPoint>& points) {
  constexpr std::size_t most = 8;
  const std::size_t step = points.size() / most + 1;
  std::vector<Tick> ticks;
  for (std::size_t i = 0; i < points.size(); i += step)
    ticks.push_back({static_cast<double>(i + 1), points[i].when});
  return ticks;
}

std::vector<double> countedValues(const RunInput& in) {
  std::vector<double> values;
  for (const RunPoint& p : in.points)
    if (p.mark != RunMark::aside) values.push_back(p.value);
  return values;
}

void addBars(Scene& scene, const Plot& plot, const Classes& classes) {
  for (std::size_t i = 0; i < classes.counts.size(); ++i) {
    if (classes.counts[i] == 0) continue;
    const double from = classes.from + static_cast<double>(i) * classes.width;
    const Point top = plot.at(from, classes.counts[i]), foot = plot.at(from + classes.width, 0);
    scene.add(Rect{Style::band,
                   {top.x, top.y, foot.x - top.x, foot.y - top.y},
                   {{"count", std::to_string(classes.counts[i])}}});
  }
}

/// Limits stand upright in a histogram; their words above the field, one line each.
void addUprights(Scene& scene, const Plot& plot, const RunInput& in) {
  for (const RunLimit& l : in.limits) {
    const double x = plot.x.at(l.value);
    scene.add(
        Line{Style::limit, {{x, plot.field.y}, {x, plot.field.bottom()}}, {{"level", "limit"}}});
  }
  double y = plot.field.y + 8;
  for (const RunLimit& l : in.limits) {
    scene.add(Text{Style::label_limit, {kWordsLeft, y}, Anchor::start, l.words});
    y += kLineSpacing;
  }
}

}  // namespace

Classes classesOf(const std::vector<double>& values) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  const auto root = static_cast<int>(std::ceil(std::sqrt(static_cast<double>(values.size()))));
  const int count = std::clamp(root, 5, 25);
  Classes classes;
  classes.counts.assign(static_cast<std::size_t>(count), 0);
  classes.from = *low;
  classes.width = (*high - *low) / count;
  if (!(classes.width > 0)) {
    classes.width = std::max(std::abs(*low) / 100, 1e-9);
    classes.from = *low - classes.width * count / 2;
  }
  for (const double value : values) {
    const auto at = static_cast<int>(std::floor((value - classes.from) / classes.width));
    ++classes.counts[static_cast<std::size_t>(std::clamp(at, 0, count - 1))];
  }
  return classes;
}

Result<Scene> runChart(const RunInput& in) {
  if (auto fault = faultOf(in, !in.points.empty())) return *fault;
  const Range range = rangeOf(in);
  const Plot plot =
      makePlot(kRunField, 0.5, static_cast<double>(in.points.size()) + 0.5, range.low, range.high);
  Scene scene{
      .width = kWidth, .height = 300.0, .title = in.title, .reading = in.reading, .items = {}};
  addLeftAxis(scene, plot, niceTicks(range.low, range.high, 6), axisTitle(in.quantity, in.unit));
  addBottomAxis(scene, plot, whenTicks(in.points), "");
  addLevels(scene, plot, in);
  addRun(scene, plot, in.points);
  addSideWords(scene, plot, in);
  return scene;
}

Result<Scene> histogram(const RunInput& in) {
  const std::vector<double> values = countedValues(in);
  if (auto fault = faultOf(in, !values.empty())) return *fault;
  const Classes classes = classesOf(values);
  Range range;
  range.take(classes.from);
  range.take(classes.from + classes.width * static_cast<double>(classes.counts.size()));
  for (const RunLimit& l : in.limits) range.take(l.value);
  range.widen();
  const double highest = *std::max_element(classes.counts.begin(), classes.counts.end());
  const Plot plot = makePlot(kClassField, range.low, range.high, 0.0, highest * 1.05);
  Scene scene{
      .width = kWidth, .height = 260.0, .title = in.title, .reading = in.reading, .items = {}};
  addLeftAxis(scene, plot, niceTicks(0.0, highest, static_cast<int>(std::min(highest, 5.0))),
              "Results");
  addBars(scene, plot, classes);
  addBottomAxis(scene, plot, niceTicks(range.low, range.high, 6), axisTitle(in.quantity, in.unit));
  addUprights(scene, plot, in);
  return scene;
}

}  // namespace platemark::figure
