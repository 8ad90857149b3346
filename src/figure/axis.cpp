#include "platemark/figure/axis.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace platemark::figure {
namespace {

constexpr std::int64_t kMinuteMs = 60'000;
constexpr std::int64_t kHourMs = 60 * kMinuteMs;
constexpr std::int64_t kDayMs = 24 * kHourMs;

/// The smallest of 1, 2, 5 times a power of ten that is at least `least`.
double niceStep(double least) {
  const double decade = std::pow(10.0, std::floor(std::log10(least)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * decade >= least * (1 - 1e-12)) return factor * decade;
  }
  return 10.0 * decade;
}

int decimalsOf(double step) {
  return std::max(0, -static_cast<int>(std::floor(std::log10(step) + 1e-9)));
}

std::string tickWords(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", std::abs(value), decimals);
  const bool zero = text.find_first_not_of("0.") == std::string::npos;
  return value < 0 && !zero ? "\u2212" + text : text;
}

std::int64_t timeStep(std::int64_t least) {
  constexpr std::array kSteps = {kMinuteMs,      2 * kMinuteMs,  5 * kMinuteMs, 10 * kMinuteMs,
                                 15 * kMinuteMs, 30 * kMinuteMs, kHourMs,       2 * kHourMs,
                                 3 * kHourMs,    6 * kHourMs,    12 * kHourMs};
  for (const std::int64_t step : kSteps) {
    if (step >= least) return step;
  }
  return kDayMs * static_cast<std::int64_t>(niceStep(static_cast<double>(least) / kDayMs + 1e-9));
}

/// The first moment of a local day; a day that a clock change begins later is taken in UTC.
Instant startOfDay(const Day& day, std::string_view zone) {
  const auto moment = instantOf({day.year, day.month, day.day}, zone, Fold::earlier);
  if (moment) return *moment;
  const auto utc = instantOf({day.year, day.month, day.day}, "UTC", Fold::earlier);
  return utc ? *utc : Instant();
}

double msOf(Instant instant) { return static_cast<double>(instant.unixMs()); }

std::vector<Tick> dayTicks(Instant low, Instant high, std::string_view zone, std::int64_t step) {
  std::vector<Tick> out;
  const int days = static_cast<int>(std::max<std::int64_t>(1, step / kDayMs));
  for (Day day = dayIn(low, zone);; day = addDays(day, days)) {
    const Instant moment = startOfDay(day, zone);
    if (moment > high) return out;
    if (moment >= low) out.push_back({msOf(moment), formatDay(day)});
  }
}

/// Steps of a day's part are counted from local midnight, so that ticks stay on whole hours.
std::vector<Tick> clockTicks(Instant low, Instant high, std::string_view zone, std::int64_t step) {
  std::vector<Tick> out;
  for (Day day = dayIn(low, zone);; day = addDays(day, 1)) {
    const std::int64_t begin = startOfDay(day, zone).unixMs();
    const std::int64_t end = startOfDay(addDays(day, 1), zone).unixMs();
    for (std::int64_t ms = begin; ms < end; ms += step) {
      if (ms > high.unixMs()) return out;
      if (ms < low.unixMs()) continue;
      const std::string words = formatLocal(Instant::fromUnixMs(ms), zone);
      const bool say_day = out.empty() || ms == begin;
      out.push_back({static_cast<double>(ms), say_day ? words : words.substr(11)});
    }
  }
}

}  // namespace

std::vector<Tick> niceTicks(double low, double high, int most) {
  if (!std::isfinite(high - low) || low >= high || most < 1) return {};
  const double step = niceStep((high - low) / most);
  const int decimals = decimalsOf(step);
  std::vector<Tick> out;
  const double last = std::floor(high / step + 1e-9);
  for (double n = std::ceil(low / step - 1e-9); n <= last; n += 1) {
    out.push_back({n * step, tickWords(n * step, decimals)});
  }
  return out;
}

std::vector<Tick> logTicks(double low, double high) {
  if (!(low > 0) || !(low < high) || !std::isfinite(high)) return {};
  std::vector<Tick> out;
  const int last = static_cast<int>(std::floor(std::log10(high)));
  for (int decade = static_cast<int>(std::floor(std::log10(low))); decade <= last; ++decade) {
    for (const double factor : {1.0, 2.0, 5.0}) {
      const double value = factor * std::pow(10.0, decade);
      if (value < low * (1 - 1e-9) || value > high * (1 + 1e-9)) continue;
      out.push_back({value, tickWords(value, std::max(0, -decade))});
    }
  }
  return out;
}

std::vector<Tick> timeTicks(Instant low, Instant high, std::string_view zone, int most) {
  if (low >= high || most < 1) return {};
  const std::int64_t length = high.unixMs() - low.unixMs();
  const std::int64_t step = timeStep((length + most - 1) / most);
  return step < kDayMs ? clockTicks(low, high, zone, step) : dayTicks(low, high, zone, step);
}

double Scale::at(double value) const {
  const double share =
      logarithmic ? std::log(value / low) / std::log(high / low) : (value - low) / (high - low);
  return from_px + share * (to_px - from_px);
}

std::vector<Point> Plot::at(const std::vector<Point>& values) const {
  std::vector<Point> out;
  out.reserve(values.size());
  for (const Point& value : values) out.push_back(at(value.x, value.y));
  return out;
}

Plot makePlot(Box field, double x_low, double x_high, double y_low, double y_high, bool log_x) {
  return {field,
          {x_low, x_high, field.x, field.right(), log_x},
          {y_low, y_high, field.bottom(), field.y}};
}

std::string axisTitle(std::string_view quantity, std::string_view unit) {
  return unit.empty() ? std::string(quantity) : fmt::format("{} / {}", quantity, unit);
}

void addLeftAxis(Scene& scene, const Plot& plot, const std::vector<Tick>& ticks,
                 const std::string& title) {
  const Box& field = plot.field;
  for (const Tick& tick : ticks) {
    const double y = plot.y.at(tick.value);
    scene.add(Line{Style::grid, {{field.x, y}, {field.right(), y}}});
    scene.add(Text{Style::label, {field.x - 8, y + 4.5}, Anchor::end, tick.words});
  }
  scene.add(Text{Style::label, {field.x - 44, field.y - 14}, Anchor::start, title});
}

void addBottomAxis(Scene& scene, const Plot& plot, const std::vector<Tick>& ticks,
                   const std::string& title) {
  const Box& field = plot.field;
  scene.add(Line{Style::axis, {{field.x, field.bottom()}, {field.right(), field.bottom()}}});
  for (const Tick& tick : ticks) {
    const double x = plot.x.at(tick.value);
    scene.add(Line{Style::axis, {{x, field.bottom()}, {x, field.bottom() + 5}}});
    scene.add(Text{Style::label, {x, field.bottom() + 19}, Anchor::middle, tick.words});
  }
  scene.add(Text{Style::label, {field.right() + 14, field.bottom() + 19}, Anchor::start, title});
}

std::vector<double> spread(const std::vector<double>& wanted, double spacing, double top,
                           double bottom) {
  std::vector<std::size_t> order(wanted.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return wanted[a] < wanted[b]; });
  std::vector<double> out(wanted.size());
  double least = top;
  for (const std::size_t i : order) {
    out[i] = std::max(wanted[i], least);
    least = out[i] + spacing;
  }
  double most = bottom;
  for (auto it = order.rbegin(); it != order.rend(); ++it) {
    out[*it] = std::min(out[*it], most);
    most = out[*it] - spacing;
  }
  return out;
}

}  // namespace platemark::figure
