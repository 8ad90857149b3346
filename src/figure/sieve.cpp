#include "platemark/figure/sieve.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "platemark/figure/axis.h"
#include "refusal.h"

namespace platemark::figure {
namespace {

constexpr double kWidth = 640.0;
constexpr double kHeight = 380.0;
constexpr Box kField{56.0, 40.0, 464.0, 290.0};
constexpr double kKeyLeft = 530.0;

bool isAperture(double um) { return std::isfinite(um) && um > 0; }
bool isPercent(double p) { return p >= 0 && p <= 100; }

bool inRange(const SieveChartInput& in) {
  const auto point = [](const auto& p) {
    return isAperture(p.aperture_um) && isPercent(p.passing);
  };
  const auto band = [](const SieveBand& b) {
    return isAperture(b.aperture_um) && isPercent(b.low.value_or(0)) &&
           isPercent(b.high.value_or(0));
  };
  return std::all_of(in.own.begin(), in.own.end(), point) &&
         std::all_of(in.certificate.begin(), in.certificate.end(), point) &&
         std::all_of(in.sizes.begin(), in.sizes.end(), point) &&
         std::all_of(in.band.begin(), in.band.end(), band);
}

bool rising(const auto& rows) {
  const auto not_rising = [](const auto& a, const auto& b) {
    return a.aperture_um >= b.aperture_um;
  };
  return std::adjacent_find(rows.begin(), rows.end(), not_rising) == rows.end();
}

std::optional<Error> faultOf(const SieveChartInput& in) {
  if (in.own.empty() && in.certificate.empty()) {
    return cannotDraw("figure.empty", in.title, "has no values.", "own or certificate values");
  }
  if (!inRange(in)) {
    return cannotDraw("figure.out_of_range", in.title, "has a value out of range.",
                      "apertures greater than 0 µm, shares from 0 to 100 %");
  }
  if (!rising(in.own) || !rising(in.certificate) || !rising(in.band)) {
    return cannotDraw("figure.not_rising", in.title, "has apertures that do not rise.",
                      "rising apertures");
  }
  return std::nullopt;
}

/// A little room on both sides of every aperture; the axis is logarithmic.
Plot plotOf(const SieveChartInput& in) {
  double low = INFINITY;
  double high = 0.0;
  const auto take = [&](const auto& rows) {
    for (const auto& row : rows) {
      low = std::min(low, row.aperture_um);
      high = std::max(high, row.aperture_um);
    }
  };
  take(in.own);
  take(in.certificate);
  take(in.band);
  take(in.sizes);
  return makePlot(kField, low / 1.25, high * 1.25, 0.0, 100.0, true);
}

/// Limits of one side stand open towards the edge that they do not bound.
void addBand(Scene& scene, const Plot& plot, const std::vector<SieveBand>& band) {
  if (band.empty()) return;
  Area area{Style::window, {}, {{"band", "limits"}}};
  for (const SieveBand& b : band)
    area.outline.push_back(plot.at(b.aperture_um, b.high.value_or(100)));
  for (auto it = band.rbegin(); it != band.rend(); ++it) {
    area.outline.push_back(plot.at(it->aperture_um, it->low.value_or(0)));
  }
  scene.add(std::move(area));
}

void addBandTicks(Scene& scene, const Plot& plot, const std::vector<SieveBand>& band) {
  const auto tick = [&](double aperture, double percent, const char* side) {
    const Point at = plot.at(aperture, percent);
    scene.add(Line{Style::limit, {{at.x - 6, at.y}, {at.x + 6, at.y}}, {{"limit", side}}});
  };
  for (const SieveBand& b : band) {
    if (b.low) tick(b.aperture_um, *b.low, "lower");
    if (b.high) tick(b.aperture_um, *b.high, "upper");
  }
}

void addSeries(Scene& scene, const Plot& plot, const std::vector<SievePoint>& rows, bool own,
               const std::string& name) {
  const Style style = own ? Style::series_under_study : Style::series_other;
  Line line{style, {}, {{"series", name}}};
  for (const SievePoint& row : rows) line.points.push_back(plot.at(row.aperture_um, row.passing));
  const std::vector<Point> points = line.points;
  scene.add(std::move(line));
  for (const Point& at : points)
    scene.add(Mark{style, own ? Shape::square : Shape::round, at, 8.0});
}

/// Words of the sizes climb from the axis in rows, so that close ones stay apart.
void addSizes(Scene& scene, const Plot& plot, const std::vector<SieveSize>& sizes) {
  std::vector<Box> taken;
  for (const SieveSize& size : sizes) {
    const Point at = plot.at(size.aperture_um, size.passing);
    scene.add(Line{
        Style::moment, {{kField.x, at.y}, at, {at.x, kField.bottom()}}, {{"size", size.name}}});
    scene.add(Mark{Style::result, Shape::open_dot, at, 7.0});
    Text text{Style::label,
              {at.x + 4, kField.bottom() - 6},
              Anchor::start,
              size.name + " " + size.words,
              {{"size-words", size.name}}};
    if (boxOf(text).right() > kField.right()) {
      text.anchor = Anchor::end;
      text.at.x = at.x - 4;
    }
    const auto clash = [&](const Box& box) { return overlap(box, boxOf(text)); };
    while (std::any_of(taken.begin(), taken.end(), clash)) text.at.y -= 17;
    taken.push_back(boxOf(text));
    scene.add(std::move(text));
  }
}

void addKey(Scene& scene, const SieveChartInput& in) {
  double y = kField.y + 12;
  const auto series = [&](const std::string& name, bool own) {
    const Style style = own ? Style::series_under_study : Style::series_other;
    scene.add(Line{style, {{kKeyLeft, y - 4}, {kKeyLeft + 24, y - 4}}});
    scene.add(Mark{style, own ? Shape::square : Shape::round, {kKeyLeft + 12, y - 4}, 8.0});
    scene.add(Text{Style::label, {kKeyLeft + 30, y}, Anchor::start, name});
    y += 20;
  };
  if (!in.own.empty()) series(in.own_name, true);
  if (!in.certificate.empty()) series(in.certificate_name, false);
  if (in.band.empty()) return;
  scene.add(Rect{Style::window, {kKeyLeft, y - 10, 24, 12}});
  scene.add(Text{Style::label, {kKeyLeft + 30, y}, Anchor::start, "limits"});
}

}  // namespace

Result<Scene> sieveChart(const SieveChartInput& in) {
  if (auto fault = faultOf(in)) return *fault;
  const Plot plot = plotOf(in);
  Scene scene{
      .width = kWidth, .height = kHeight, .title = in.title, .reading = in.reading, .items = {}};
  addBand(scene, plot, in.band);
  addLeftAxis(scene, plot, niceTicks(0.0, 100.0, 5), "Passing / %");
  addBottomAxis(scene, plot, logTicks(plot.x.low, plot.x.high), "Aperture / µm");
  addBandTicks(scene, plot, in.band);
  addSizes(scene, plot, in.sizes);
  addSeries(scene, plot, in.certificate, false, in.certificate_name);
  addSeries(scene, plot, in.own, true, in.own_name);
  addKey(scene, in);
  return scene;
}

}  // namespace platemark::figure
