#include "platemark/method/cure/chart.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "prepare.h"
#include "ramp.h"
#include "soak.h"
#include "spread.h"

namespace platemark::method::cure {
namespace {

bool isAir(const Line& line) {
  return line.channel->role == ChannelRole::control || line.channel->role == ChannelRole::record;
}

/// Marks runs of usable readings in `within` whose excess(at, celsius) is above 0; the figure is
/// the largest.
template <class Excess>
void markExcess(Chart& chart, const Line& line, Stretch within, FaultKind kind, Excess excess) {
  constexpr double one_event = 2 * ms_per_minute;
  ChartFault* fault = nullptr;
  const Track& track = line.usable;
  for (std::size_t i = 0; i < track.size(); ++i) {
    if (track.at[i] < within.from || track.at[i] > within.to) continue;
    const double over = excess(track.at[i], track.celsius[i]);
    if (!(over > 0)) continue;
    const auto at = chart.clock(track.at[i]);
    if (!fault || static_cast<double>(at - fault->to_ms) > one_event)
      fault = &chart.mark(kind, {track.at[i], track.at[i]}, &line);
    fault->to_ms = at;
    fault->figure = std::max(fault->figure.value_or(over), over);
    fault->unit = "K";
  }
}

void findPeak(const Line& line, Stretch until_soak_end, ChannelFigures& figures) {
  const auto hottest = std::ranges::max_element(line.usable.celsius);
  const bool is_known = !overlaps(line.unknown, until_soak_end);
  for (Figure* figure : {&figures.peak_celsius, &figures.peak_minute}) {
    figure->determined = is_known && hottest != line.usable.celsius.end();
    if (!figure->determined) figure->reason = "not known throughout heating and soak";
  }
  if (hottest == line.usable.celsius.end()) return;
  const auto index = static_cast<std::size_t>(hottest - line.usable.celsius.begin());
  figures.peak_celsius.value = *hottest;
  figures.peak_celsius.sensor_contribution = line.channel->tolerance_k;
  figures.peak_minute.value = line.usable.at[index] / ms_per_minute;
}

ChannelFigures channelFigures(Chart& chart, const Line& line, Stretch until_soak_end) {
  ChannelFigures figures{
      .name = line.name(), .role = line.channel->role, .evidence = line.evidence};
  figures.noise_k = line.noise;
  figures.resolution_k = line.resolution;
  findPeak(line, until_soak_end, figures);
  findRamps(chart, line, figures);
  return figures;
}

/// The first entry of any evidence channel into the band.
std::optional<double> firstEntry(const Chart& chart) {
  std::optional<double> first;
  for (const Line* line : chart.evidence()) {
    const Stretches above = aboveOf(line->usable, chart.bandLower(), chart.bridge);
    if (!above.empty()) first = std::min(first.value_or(above.front().from), above.front().from);
  }
  return first;
}

struct Extreme {
  const Line* line = nullptr;
  double celsius = 0;
};

Extreme hottestIn(const Chart& chart, Stretch where) {
  Extreme hottest;
  for (const Line* line : chart.evidence())
    for (std::size_t i = 0; i < line->usable.size(); ++i) {
      const bool is_inside = line->usable.at[i] >= where.from && line->usable.at[i] <= where.to;
      if (is_inside && (!hottest.line || line->usable.celsius[i] > hottest.celsius))
        hottest = {line, line->usable.celsius[i]};
    }
  return hottest;
}

Figure findOvershoot(Chart& chart, double soak_end) {
  const std::optional<double> entry = firstEntry(chart);
  if (!entry) return {.reason = "no channel entered the band"};
  const double set = chart.limits().soak_celsius;
  const Stretch where{*entry, std::max(*entry, soak_end)};
  const Extreme hottest = hottestIn(chart, where);
  if (!hottest.line) return {.reason = "no reading in the band"};
  Figure figure{.value = hottest.celsius - set,
                .determined = chart.evidenceKnown({0, where.to}),
                .at_least = hottest.celsius - set};
  figure.sensor_contribution = hottest.line->channel->tolerance_k;
  if (!figure.determined) figure.reason = "not every channel is known until the soak end";
  if (const auto limit = chart.limits().overshoot_k)
    for (const Line* line : chart.evidence()) {
      const std::size_t before = chart.faults.size();
      markExcess(chart, *line, where, FaultKind::overshot,
                 [&](double, double c) { return c - set > *limit ? c - set : 0; });
      for (std::size_t i = before; i < chart.faults.size(); ++i) chart.faults[i].limit = limit;
    }
  return figure;
}

Figure findDifference(Chart& chart, const SoakFindings& soak) {
  if (chart.evidence().size() < 2) return {.reason = "one channel alone has no difference"};
  if (!soak.certain.span) return {.reason = "no soak was found"};
  const std::vector<Spread> spreads = spreadsOf(chart, chart.evidence(), *soak.certain.span);
  const auto worst = std::ranges::max_element(spreads, {}, &Spread::kelvin);
  if (worst == spreads.end()) return {.reason = "no moment of the soak has two known channels"};
  Figure figure{.value = worst->kelvin,
                .determined = chart.evidenceKnown(soak.window(chart)) && !soak.truncated,
                .at_least = worst->kelvin};
  const auto& hot = worst->hottest->channel->tolerance_k;
  const auto& cold = worst->coldest->channel->tolerance_k;
  if (hot && cold) figure.sensor_contribution = *hot + *cold;
  if (!figure.determined) figure.reason = "not every channel is known in all of the soak";
  if (const auto limit = chart.limits().difference_k)
    markSpreads(chart, spreads, FaultKind::apart_in_soak, *limit, 0);
  return figure;
}

/// The longest step between believed readings of an evidence channel that touches the soak.
Figure findLongestGap(const Chart& chart, const SoakFindings& soak) {
  if (!soak.possible.span) return {.reason = "no soak was found"};
  const Stretch span = *soak.possible.span;
  double longest = 0;
  for (const Line* line : chart.evidence()) {
    double before = 0;
    const auto visit = [&](double at) {
      if (at > span.from && before < span.to) longest = std::max(longest, at - before);
      before = at;
    };
    for (const double at : line->usable.at) visit(at);
    visit(chart.end);
  }
  return {.value = longest / ms_per_minute, .determined = true};
}

Figure findAirAtLoadIn(Chart& chart) {
  Extreme hottest;
  for (const Line& line : chart.lines) {
    if (!isAir(line) || line.usable.empty() || line.usable.at.front() > chart.bridge) continue;
    if (!hottest.line || line.usable.celsius.front() > hottest.celsius)
      hottest = {&line, line.usable.celsius.front()};
  }
  if (!hottest.line) return {.reason = "no air channel is known when the load went in"};
  if (const auto limit = chart.limits().load_in_celsius; limit && hottest.celsius > *limit) {
    ChartFault& fault = chart.mark(FaultKind::put_in_hot, {0, 0}, hottest.line);
    fault.figure = hottest.celsius;
    fault.unit = "Cel";
    fault.limit = limit;
  }
  return {.value = hottest.celsius,
          .determined = true,
          .sensor_contribution = hottest.line->channel->tolerance_k};
}

constexpr const char* no_door_time =
    "the moment of opening the door was not given; taken at the last reading";

Figure findMinutesInOven(Chart& chart) {
  const auto& opened = chart.input->door_open_ms;
  const double until = opened ? static_cast<double>(*opened - chart.load_in_ms) : chart.end;
  Figure figure{.value = until / ms_per_minute, .determined = opened.has_value()};
  if (!opened) figure.reason = no_door_time;
  if (const auto least = chart.limits().minimum_minutes; least && *figure.value < *least) {
    ChartFault& fault = chart.mark(FaultKind::short_time, {0, until});
    fault.figure = figure.value;
    fault.unit = "min";
    fault.limit = least;
  }
  return figure;
}

/// The hottest evidence channel at one moment, and whether all were known.
std::pair<Extreme, bool> hottestAt(const Chart& chart, double at) {
  Extreme hottest;
  bool all_known = true;
  for (const Line* line : chart.evidence()) {
    const auto celsius = Reader(line->usable, chart.bridge).at(at);
    all_known = all_known && celsius;
    if (celsius && (!hottest.line || *celsius > hottest.celsius)) hottest = {line, *celsius};
  }
  return {hottest, all_known};
}

Figure findDoorOpen(Chart& chart) {
  const auto& opened = chart.input->door_open_ms;
  const double at = opened ? static_cast<double>(*opened - chart.load_in_ms) : chart.end;
  const auto [hottest, all_known] = hottestAt(chart, at);
  if (!hottest.line) return {.reason = "no channel is known when the door was opened"};
  Figure figure{.value = hottest.celsius,
                .determined = opened && all_known,
                .sensor_contribution = hottest.line->channel->tolerance_k};
  if (!figure.determined)
    figure.reason = opened ? "not every channel is known when the door was opened" : no_door_time;
  if (const auto limit = chart.limits().door_open_celsius;
      opened && limit && hottest.celsius > *limit) {
    ChartFault& fault = chart.mark(FaultKind::opened_hot, {at, at}, hottest.line);
    fault.figure = hottest.celsius;
    fault.unit = "Cel";
    fault.limit = limit;
  }
  return figure;
}

double outsideBy(const Chart& chart, double at, double celsius) {
  const auto bounds = windowAt(chart.input->programme, at / ms_per_minute);
  if (!bounds) return 0;
  return std::max(bounds->lower_celsius - celsius, celsius - bounds->upper_celsius);
}

/// Only air follows the programme; the load lags behind it by its nature.
void findOutsideWindow(Chart& chart) {
  for (const Line& line : chart.lines)
    if (isAir(line) && line.evidence)
      markExcess(chart, line, chart.whole(), FaultKind::outside_window,
                 [&](double at, double c) { return outsideBy(chart, at, c); });
}

void finishFaults(Chart& chart, const SoakFindings& soak) {
  if (soak.possible.span)
    for (ChartFault& fault : chart.faults)
      fault.in_soak = fault.from_ms <= chart.clock(soak.possible.span->to) &&
                      fault.to_ms >= chart.clock(soak.possible.span->from);
  std::ranges::sort(chart.faults, {}, [](const ChartFault& f) {
    return std::tuple(f.from_ms, f.kind, std::string_view(f.channel), std::string_view(f.other));
  });
}

}  // namespace

Result<ChartReading> readChart(const ChartInput& input) {
  Result<Chart> prepared = prepare(input);
  if (!prepared) return prepared.error();
  Chart& chart = *prepared;
  const SoakFindings soak = findSoak(chart);
  const double soak_end = soak.window(chart).to;

  ChartReading reading{.load_in_ms = chart.load_in_ms,
                       .load_in_given = input.load_in_ms.has_value(),
                       .rules = input.rules};
  reading.soak_start_minute = soak.start_minute;
  reading.soak_end_minute = soak.end_minute;
  reading.soak_minutes = soak.minutes;
  reading.overshoot_k = findOvershoot(chart, soak_end);
  reading.difference_k = findDifference(chart, soak);
  reading.longest_gap_in_soak_minutes = findLongestGap(chart, soak);
  reading.air_at_load_in_celsius = findAirAtLoadIn(chart);
  reading.minutes_in_oven = findMinutesInOven(chart);
  reading.door_open_celsius = findDoorOpen(chart);
  reading.channels.resize(input.channels.size());
  for (const Line& line : chart.lines) {
    const auto index = static_cast<std::size_t>(line.channel - input.channels.data());
    reading.channels[index] = channelFigures(chart, line, {0, soak_end});
  }
  findParted(chart, soak_end);
  findOutsideWindow(chart);
  finishFaults(chart, soak);
  reading.faults = std::move(chart.faults);
  return reading;
}

}  // namespace platemark::method::cure
