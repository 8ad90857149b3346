#include "platemark/figure/cure.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "platemark/figure/axis.h"
#include "refusal.h"

namespace platemark::figure {
namespace {

constexpr double kWidth = 900.0;
constexpr double kLeft = 56.0;
constexpr double kNamesRoom = 150.0;  // right of the field: names of lines and limits
constexpr double kTemperatureHeight = 300.0;
constexpr double kDegreeHeight = 130.0;
constexpr double kBetween = 46.0;
constexpr double kRow = 17.0;         // one row of words above the field
constexpr double kMarkerEvery = 0.5;  // hours
constexpr double kNameSpacing = 16.0;

bool rises(const std::vector<double>& hours) {
  return std::all_of(hours.begin(), hours.end(), [](double h) { return std::isfinite(h); }) &&
         std::adjacent_find(hours.begin(), hours.end(), std::greater_equal<>()) == hours.end();
}

bool rises(const std::vector<Point>& points) {
  std::vector<double> hours;
  for (const Point& p : points) hours.push_back(p.x);
  return rises(hours);
}

bool rises(const std::vector<WindowPoint>& window) {
  std::vector<double> hours;
  for (const WindowPoint& p : window) hours.push_back(p.hours);
  return rises(hours);
}

bool allRise(const CureChartInput& in) {
  const auto rising = [](const Trace& trace) { return rises(trace.points); };
  const auto all = [&](const std::vector<Trace>& t) {
    return std::all_of(t.begin(), t.end(), rising);
  };
  return rises(in.window) && all(in.recorded) && all(in.calculated) &&
         (!in.degree || (all(in.degree->traces) && rises(in.degree->band)));
}

struct Range {
  double low = INFINITY, high = -INFINITY;
  void take(double value) {
    if (!std::isfinite(value)) return;
    low = std::min(low, value);
    high = std::max(high, value);
  }
};

Range temperatureRange(const CureChartInput& in) {
  Range range;
  for (const auto* traces : {&in.recorded, &in.calculated}) {
    for (const Trace& trace : *traces) {
      for (const Point& p : trace.points) range.take(p.y);
    }
  }
  for (const WindowPoint& p : in.window) {
    range.take(p.low);
    range.take(p.high);
  }
  for (const CureLimit& limit : in.limits) range.take(limit.value);
  return range;
}

bool anyRecorded(const CureChartInput& in) {
  for (const Trace& trace : in.recorded) {
    for (const Point& p : trace.points) {
      if (std::isfinite(p.y)) return true;
    }
  }
  return false;
}

std::optional<Error> faultOf(const CureChartInput& in) {
  if (!std::isfinite(in.hours) || in.hours <= 0) {
    return cannotDraw("figure.axis_empty", in.title, "has no time axis.", "hours greater than 0");
  }
  if (!anyRecorded(in)) {
    return cannotDraw("figure.nothing_recorded", in.title, "has no recorded temperature.",
                      "one finite point");
  }
  if (!allRise(in)) {
    return cannotDraw("figure.not_rising", in.title, "has a line whose hours do not rise.",
                      "finite, rising hours");
  }
  return std::nullopt;
}

Area bandArea(const Plot& plot, const std::vector<WindowPoint>& band, Style style) {
  Area area{style, {}};
  for (const WindowPoint& p : band) area.outline.push_back(plot.at(p.hours, p.high));
  for (auto it = band.rbegin(); it != band.rend(); ++it)
    area.outline.push_back(plot.at(it->hours, it->low));
  return area;
}

/// The value of a trace at a time, between two recorded neighbours; none in a gap.
std::optional<double> valueAt(const Trace& trace, double hours) {
  const auto& points = trace.points;
  const auto next = std::lower_bound(points.begin(), points.end(), hours,
                                     [](const Point& p, double h) { return p.x < h; });
  if (next == points.end()) return std::nullopt;
  if (next->x == hours) return std::isfinite(next->y) ? std::optional(next->y) : std::nullopt;
  if (next == points.begin()) return std::nullopt;
  const Point& before = *std::prev(next);
  const double value = before.y + (next->y - before.y) * (hours - before.x) / (next->x - before.x);
  return std::isfinite(value) ? std::optional(value) : std::nullopt;
}

/// Markers of two channels stand 15 min apart, so that neither hides the other.
void addMarkers(Scene& scene, const Plot& plot, const Trace& trace, double hours) {
  const Style style = trace.first ? Style::series_under_study : Style::series_other;
  const Shape shape = trace.first ? Shape::square : Shape::round;
  for (double h = trace.first ? kMarkerEvery : kMarkerEvery / 2; h <= hours; h += kMarkerEvery) {
    if (const auto value = valueAt(trace, h)) {
      scene.add(Mark{style, shape, plot.at(h, *value), 8.0, "", {{"marker", trace.name}}});
    }
  }
}

void addRecorded(Scene& scene, const Plot& plot, const CureChartInput& in) {
  for (const bool first : {false, true}) {  // the one under study lies on top
    for (const Trace& trace : in.recorded) {
      if (trace.first != first) continue;
      const Style style = first ? Style::series_under_study : Style::series_other;
      scene.add(Line{style, plot.at(trace.points), {{"series", trace.name}}});
      addMarkers(scene, plot, trace, in.hours);
    }
  }
}

void addCalculated(Scene& scene, const Plot& plot, const std::vector<Trace>& traces) {
  for (const Trace& trace : traces) {
    const Style style = trace.first ? Style::calculated_decides : Style::calculated_other;
    scene.add(Line{style, plot.at(trace.points), {{"series", trace.name}}});
  }
}

/// A name to the right of the field, with a leader to the height it speaks of.
struct EndName {
  double y;
  std::string words;
  Style style;
};

std::optional<EndName> endName(const Plot& plot, const Trace& trace, bool recorded) {
  for (auto it = trace.points.rbegin(); it != trace.points.rend(); ++it) {
    if (!std::isfinite(it->y)) continue;
    const Style style = trace.first ? Style::label_strong : Style::label;
    return EndName{plot.y.at(it->y), trace.name + (recorded && trace.first ? ", studied" : ""),
                   style};
  }
  return std::nullopt;
}

void addEndNames(Scene& scene, const Plot& plot, const std::vector<EndName>& names) {
  std::vector<double> wanted;
  for (const EndName& name : names) wanted.push_back(name.y);
  const Box& field = plot.field;
  const auto places = spread(wanted, kNameSpacing, field.y + 4, field.bottom() - 4);
  for (std::size_t i = 0; i < names.size(); ++i) {
    scene.add(
        Line{Style::leader, {{field.right() + 1, names[i].y}, {field.right() + 10, places[i]}}});
    scene.add(
        Text{names[i].style, {field.right() + 13, places[i] + 4.5}, Anchor::start, names[i].words});
  }
}

void addLimit(Scene& scene, const Plot& plot, const CureLimit& limit, std::vector<EndName>& names) {
  const double y = plot.y.at(limit.value);
  scene.add(
      Line{Style::axis, {{plot.field.x, y}, {plot.field.right(), y}}, {{"limit", limit.words}}});
  names.push_back({y, limit.words, Style::label_strong});
}

void addGaps(Scene& scene, const Plot& plot, const std::vector<CureGap>& gaps) {
  for (const CureGap& gap : gaps) {
    const double from = plot.x.at(std::max(gap.from, 0.0));
    const double to = plot.x.at(std::min(gap.to, plot.x.high));
    scene.add(Hatch{Style::gap,
                    {from, plot.field.y, std::max(to - from, 3.0), plot.field.height},
                    {{"gap", std::to_string(gap.number)}}});
  }
}

/// Numbered discs, raised until they stand clear of each other.
class Flags {
 public:
  Flags(Scene& scene, const Plot& plot) : scene_(scene), plot_(plot) {}

  void point(const CureFlag& flag) {
    const Point foot = plot_.at(flag.hours, flag.value);
    const Point disc = clear({foot.x, std::max(foot.y - 34.0, plot_.field.y + kRadius)});
    scene_.add(Line{Style::flag, {foot, {disc.x, disc.y}}});
    put(disc, flag.number);
  }
  void gap(const CureGap& gap) {
    if (gap.number == 0) return;
    const double x = plot_.x.at((gap.from + gap.to) / 2);
    put(clear({x, plot_.field.y + 0.62 * plot_.field.height}), gap.number);
  }

 private:
  static constexpr double kRadius = 10.0;

  Point clear(Point disc) const {
    const auto near = [&](const Point& other) {
      return std::abs(other.x - disc.x) < 2 * kRadius + 2 &&
             std::abs(other.y - disc.y) < 2 * kRadius + 2;
    };
    while (std::any_of(taken_.begin(), taken_.end(), near)) disc.y -= 2 * kRadius + 3;
    return disc;
  }
  void put(Point disc, int number) {
    taken_.push_back(disc);
    const std::string words = std::to_string(number);
    scene_.add(Mark{Style::flag, Shape::flag, disc, 2 * kRadius, words, {{"flag", words}}});
  }

  Scene& scene_;
  const Plot& plot_;
  std::vector<Point> taken_;
};

void addBracket(Scene& scene, double from, double to, double y, double drop, const CureBracket& b) {
  scene.add(Line{Style::bracket,
                 {{from, y + drop}, {from, y}, {to, y}, {to, y + drop}},
                 {{"bracket", b.words}}});
}

/// Words of the moments in rows above the field: left or right of their line, in the
/// lowest row where they run into nothing.
class MomentWords {
 public:
  MomentWords(const CureChartInput& in, const Scale& x) {
    for (const CureMoment& moment : in.moments) place(moment, x.at(moment.hours));
    if (in.soak) soak_row_ = rows();
  }
  [[nodiscard]] int rows() const { return rows_; }
  /// The bracket stands above all moments.
  [[nodiscard]] int soakRow() const { return soak_row_; }

  void add(Scene& scene, double field_top) const {
    for (const Text& text : texts_) {
      Text moved = text;
      moved.at.y += field_top;
      scene.add(std::move(moved));
    }
  }

 private:
  void place(const CureMoment& moment, double x) {
    for (int row = 0;; ++row) {
      const double y = -6.0 - row * kRow;
      for (const Anchor anchor : {Anchor::end, Anchor::start}) {
        const double nudge = anchor == Anchor::end ? -4.0 : 4.0;
        const Text text{Style::label, {x + nudge, y}, anchor, moment.words, {{"moment", ""}}};
        if (!fits(text) && row < 12) continue;
        texts_.push_back(text);
        rows_ = std::max(rows_, row + 1);
        return;
      }
    }
  }
  [[nodiscard]] bool fits(const Text& text) const {
    const Box box = boxOf(text);
    return box.x >= kLeft + 40 && box.right() <= kWidth &&
           std::none_of(texts_.begin(), texts_.end(),
                        [&](const Text& other) { return overlap(box, boxOf(other)); });
  }

  std::vector<Text> texts_;
  int rows_ = 0;
  int soak_row_ = 0;
};

/// The bracket's line is broken by its own words when they fit, else they stand above it.
void addSoak(Scene& scene, const Plot& plot, const CureBracket& soak, double y) {
  const double from = plot.x.at(soak.from);
  const double to = plot.x.at(soak.to);
  addBracket(scene, from, to, y, 7.0, soak);
  scene.add(Text{
      Style::label_strong, {(from + to) / 2, y - 6}, Anchor::middle, soak.words, {{"soak", ""}}});
}

void addMomentLines(Scene& scene, const CureChartInput& in, const Plot& plot, double top,
                    double bottom) {
  for (const CureMoment& moment : in.moments) {
    const double x = plot.x.at(moment.hours);
    scene.add(Line{Style::moment, {{x, top}, {x, bottom}}, {{"moment", moment.words}}});
  }
}

/// Hours since the start, and the clock of the plant beneath them.
void addTimeAxis(Scene& scene, const Plot& plot, const CureChartInput& in) {
  const auto ticks = niceTicks(0.0, in.hours, 10);
  addBottomAxis(scene, plot, ticks, "hours");
  const double y = plot.field.bottom() + 35;
  for (const Tick& tick : ticks) {
    const auto ms = static_cast<std::int64_t>(std::llround(tick.value * 3'600'000.0));
    const std::string clock =
        formatLocal(Instant::fromUnixMs(in.start.unixMs() + ms), in.zone).substr(11);
    scene.add(Text{Style::label_soft, {plot.x.at(tick.value), y}, Anchor::middle, clock});
  }
  scene.add(Text{
      Style::label_soft, {plot.field.right() + 14, y}, Anchor::start, "clock, " + in.zone_words});
}

void addTemperature(Scene& scene, const Plot& plot, const CureChartInput& in) {
  if (!in.window.empty()) scene.add(bandArea(plot, in.window, Style::window));
  addLeftAxis(scene, plot, niceTicks(plot.y.low, plot.y.high, 6), "Temperature / °C");
  addGaps(scene, plot, in.gaps);
  std::vector<EndName> names;
  for (const CureLimit& limit : in.limits) addLimit(scene, plot, limit, names);
  addCalculated(scene, plot, in.calculated);
  addRecorded(scene, plot, in);
  for (const Trace& trace : in.calculated) {
    if (auto name = endName(plot, trace, false)) names.push_back(*name);
  }
  for (const Trace& trace : in.recorded) {
    if (auto name = endName(plot, trace, true)) names.push_back(*name);
  }
  addEndNames(scene, plot, names);
  Flags flags(scene, plot);
  for (const CureFlag& flag : in.flags) flags.point(flag);
  for (const CureGap& gap : in.gaps) flags.gap(gap);
}

/// Low in the field, where the names at the line ends do not reach.
void addSpare(Scene& scene, const Plot& plot, const CureBracket& spare) {
  const double y = plot.y.at(0.3);
  const double from = plot.x.at(spare.from);
  const double to = plot.x.at(spare.to);
  scene.add(Line{Style::bracket, {{from, y}, {to, y}}, {{"spare", spare.words}}});
  for (const double x : {from, to}) scene.add(Line{Style::bracket, {{x, y - 5}, {x, y + 5}}});
  scene.add(
      Text{Style::label_strong, {std::max(from, to) + 8, y + 4.5}, Anchor::start, spare.words});
}

void addDegree(Scene& scene, const Plot& plot, const CureDegree& degree) {
  if (!degree.band.empty()) scene.add(bandArea(plot, degree.band, Style::band));
  addLeftAxis(scene, plot, niceTicks(0.0, 1.0, 2), "Degree of cure");
  std::vector<EndName> names;
  if (degree.limit) addLimit(scene, plot, *degree.limit, names);
  addCalculated(scene, plot, degree.traces);
  for (const Trace& trace : degree.traces) {
    if (auto name = endName(plot, trace, false)) names.push_back(*name);
  }
  addEndNames(scene, plot, names);
  if (degree.spare) addSpare(scene, plot, *degree.spare);
}

/// Whole steps above and below what is drawn, from 0 when that is near.
Range axisRange(Range drawn) {
  const double span = std::max(drawn.high - drawn.low, 1.0);
  if (drawn.low >= 0 && drawn.low < 0.5 * span) drawn.low = 0.0;
  return {drawn.low - (drawn.low == 0.0 ? 0.0 : 0.05 * span), drawn.high + 0.06 * span};
}

}  // namespace

Result<Scene> cureChart(const CureChartInput& in) {
  if (auto fault = faultOf(in)) return *fault;
  const double field_width = kWidth - kLeft - kNamesRoom;
  const MomentWords moments(in, {0.0, in.hours, kLeft, kLeft + field_width});
  const double top = 34.0 + kRow * (moments.rows() + (in.soak ? 1.6 : 0.0));
  const Range range = axisRange(temperatureRange(in));
  const Plot heat =
      makePlot({kLeft, top, field_width, kTemperatureHeight}, 0.0, in.hours, range.low, range.high);
  const Plot degree = makePlot({kLeft, heat.field.bottom() + kBetween, field_width, kDegreeHeight},
                               0.0, in.hours, 0.0, 1.08);
  const Plot& last = in.degree ? degree : heat;

  Scene scene{.width = kWidth,
              .height = last.field.bottom() + 44,
              .title = in.title,
              .reading = in.reading,
              .items = {}};
  addTemperature(scene, heat, in);
  if (in.degree) {
    scene.add(Line{Style::axis,
                   {{kLeft, heat.field.bottom()}, {heat.field.right(), heat.field.bottom()}}});
    addDegree(scene, degree, *in.degree);
  }
  addMomentLines(scene, in, heat, top - 2, last.field.bottom());
  moments.add(scene, top);
  if (in.soak) addSoak(scene, heat, *in.soak, top - 4 - kRow * (moments.soakRow() + 0.35));
  addTimeAxis(scene, last, in);
  return scene;
}

}  // namespace platemark::figure
