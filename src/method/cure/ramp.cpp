#include "ramp.h"

#include <algorithm>
#include <cmath>

namespace platemark::method::cure {
namespace {

/// A rate over a window of time.
struct Rate {
  Stretch window;
  double k_per_min;
};

/// The last upward crossing of one temperature and, after it, the first of a higher one.
std::optional<Stretch> climb(const Track& track, double from_celsius, double to_celsius) {
  std::optional<double> start;
  for (std::size_t i = 0; i + 1 < track.size(); ++i) {
    const auto rises_through = [&](double c) {
      return track.celsius[i] < c && track.celsius[i + 1] >= c;
    };
    if (rises_through(from_celsius)) start = crossing(track, i, from_celsius);
    if (!rises_through(to_celsius)) continue;
    if (!start) return std::nullopt;
    return Stretch{*start, crossing(track, i, to_celsius)};
  }
  return std::nullopt;
}

/// Least-squares slope at whole minutes since load in, in K/min; nothing below two of them.
std::optional<double> fittedSlope(const Track& track, double bridge, Stretch where) {
  Reader reader(track, bridge);
  double n = 0, sum_t = 0, sum_c = 0, sum_tt = 0, sum_tc = 0;
  const double first = std::ceil(where.from / ms_per_minute);
  for (double minute = first; minute * ms_per_minute <= where.to; ++minute) {
    const auto celsius = reader.at(minute * ms_per_minute);
    if (!celsius) return std::nullopt;
    const double t = minute - first;
    n += 1;
    sum_t += t;
    sum_c += *celsius;
    sum_tt += t * t;
    sum_tc += t * *celsius;
  }
  if (n < 2) return std::nullopt;
  return (n * sum_tc - sum_t * sum_c) / (n * sum_tt - sum_t * sum_t);
}

Track part(const Track& track, const Run& block) {
  const auto cut = [&](const std::vector<double>& v) {
    return std::vector<double>(v.begin() + static_cast<std::ptrdiff_t>(block.first),
                               v.begin() + static_cast<std::ptrdiff_t>(block.last) + 1);
  };
  return {cut(track.at), cut(track.celsius)};
}

/// The rise over windows that begin or end at a reading; on a line through points
/// the steepest window is one of them.
void addRates(const Track& block, double window, std::vector<Rate>& rates) {
  const double bridge = block.at.back() - block.at.front();  // a block is known throughout
  Reader before(block, bridge);
  Reader after(block, bridge);
  for (std::size_t i = 0; i < block.size(); ++i) {
    const double t = block.at[i];
    if (const auto c = before.at(t - window))
      rates.push_back({{t - window, t}, (block.celsius[i] - *c) / window * ms_per_minute});
    if (const auto c = after.at(t + window))
      rates.push_back({{t, t + window}, (*c - block.celsius[i]) / window * ms_per_minute});
  }
}

std::vector<Rate> slidingRates(const Chart& chart, const Line& line) {
  const double window = chart.input->rules.rate_window_minutes * ms_per_minute;
  std::vector<Rate> rates;
  for (const Run& block : blocksOf(line.usable, chart.bridge))
    addRates(part(line.usable, block), window, rates);
  return rates;
}

void markTooFast(Chart& chart, const Line& line, std::vector<Rate> rates) {
  const auto limit = chart.limits().heating_k_per_min;
  if (!limit) return;
  std::erase_if(rates, [&](const Rate& rate) { return rate.k_per_min <= *limit; });
  std::ranges::sort(rates, {}, [](const Rate& rate) { return rate.window.from; });
  ChartFault* fault = nullptr;
  for (const Rate& rate : rates) {
    if (!fault || chart.clock(rate.window.from) > fault->to_ms) {
      fault = &chart.mark(FaultKind::heated_too_fast, rate.window, &line);
      fault->unit = "K/min";
      fault->limit = *limit;
    }
    fault->to_ms = std::max(fault->to_ms, chart.clock(rate.window.to));
    fault->figure = std::max(fault->figure.value_or(rate.k_per_min), rate.k_per_min);
  }
}

std::optional<double> chord(const Rules& rules, const std::optional<Stretch>& climbed) {
  if (!climbed) return std::nullopt;
  return (rules.chord_to_celsius - rules.chord_from_celsius) / climbed->length() * ms_per_minute;
}

/// The chord again with the sensor off by its tolerance: the crossings move.
std::optional<double> chordContribution(const Rules& rules, const Line& line, double found) {
  const auto tolerance = line.channel->tolerance_k;
  if (!tolerance) return std::nullopt;
  double most = 0;
  for (const double shift : {-*tolerance, *tolerance}) {
    const auto moved = chord(rules, climb(line.usable, rules.chord_from_celsius + shift,
                                          rules.chord_to_celsius + shift));
    if (!moved) return std::nullopt;
    most = std::max(most, std::abs(*moved - found));
  }
  return most;
}

void settle(Figure& figure, bool known, const char* reason) {
  figure.determined = figure.value.has_value() && known;
  if (!figure.determined) figure.reason = reason;
}

/// From load in to the first entry into the band: where heating happens.
Stretch heating(const Chart& chart, const Line& line) {
  const Stretches in_band = aboveOf(line.usable, chart.bandLower(), chart.bridge);
  return {0, in_band.empty() ? chart.end : in_band.front().from};
}

}  // namespace

void findRamps(Chart& chart, const Line& line, ChannelFigures& figures) {
  const Rules& rules = chart.input->rules;
  const auto climbed = climb(line.usable, rules.chord_from_celsius, rules.chord_to_celsius);
  const bool climb_known = climbed && !overlaps(line.unknown, *climbed);
  figures.ramp_chord_k_per_min.value = chord(rules, climbed);
  if (climbed) {
    figures.ramp_chord_k_per_min.sensor_contribution =
        chordContribution(rules, line, *figures.ramp_chord_k_per_min.value);
    figures.ramp_fit_k_per_min.value = fittedSlope(line.usable, chart.bridge, *climbed);
  }
  const char* no_climb = climbed ? "not known throughout the climb"
                                 : "no climb from the lower to the upper temperature";
  settle(figures.ramp_chord_k_per_min, climb_known, no_climb);
  settle(figures.ramp_fit_k_per_min, climb_known, no_climb);

  const std::vector<Rate> rates = slidingRates(chart, line);
  const auto fastest = std::ranges::max_element(rates, {}, &Rate::k_per_min);
  if (fastest != rates.end()) figures.ramp_fastest_k_per_min.value = fastest->k_per_min;
  settle(figures.ramp_fastest_k_per_min, !overlaps(line.unknown, heating(chart, line)),
         rates.empty() ? "no known stretch as long as the window"
                       : "not known throughout the heating");
  if (line.evidence) markTooFast(chart, line, rates);
}

}  // namespace platemark::method::cure
