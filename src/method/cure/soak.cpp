#include "soak.h"

#include <algorithm>
#include <cmath>

namespace platemark::method::cure {
namespace {

constexpr double same_ms = 1.0;

/// Sensor errors as a multiple of each channel's tolerance: 0, or -1 and +1.
using SensorShift = double;

Stretches inBand(const Chart& chart, const Line& line, SensorShift shift) {
  const double threshold = chart.bandLower() - shift * line.channel->tolerance_k.value_or(0);
  return aboveOf(line.usable, threshold, chart.bridge);
}

/// The stretches in which every evidence channel is in the band.
template <class StretchesOfLine>
Stretches allTogether(const Chart& chart, StretchesOfLine of) {
  Stretches all{chart.whole()};
  for (const Line* line : chart.evidence()) all = intersect(all, of(*line));
  return all;
}

Stretches certainRuns(const Chart& chart, SensorShift shift) {
  return allTogether(chart, [&](const Line& line) { return inBand(chart, line, shift); });
}

/// From a channel's last reading, if in the band and not long ago, to the end.
Stretches tailInBand(const Chart& chart, const Line& line) {
  if (line.usable.empty() || line.usable.celsius.back() < chart.bandLower()) return {};
  return {{line.usable.at.back(), chart.end}};
}

Stretches possibleRuns(const Chart& chart) {
  return allTogether(chart, [&](const Line& line) {
    return unite(unite(inBand(chart, line, 0), line.unknown), tailInBand(chart, line));
  });
}

Soak longest(const Stretches& runs) {
  const auto run = std::ranges::max_element(runs, {}, &Stretch::length);
  return {run->length() / ms_per_minute, *run};
}

Soak summed(const Stretches& runs) {
  double total = 0;
  for (const Stretch& run : runs) total += run.length();
  return {total / ms_per_minute, Stretch{runs.front().from, runs.back().to}};
}

Soak soakOf(const Stretches& runs, SoakPolicy policy) {
  if (runs.empty()) return {};
  return policy == SoakPolicy::reset ? longest(runs) : summed(runs);
}

/// Cut while the load may still be in the band, or before it can have got there.
bool isTruncated(const Chart& chart, const Stretches& possible) {
  if (!possible.empty()) return possible.back().to >= chart.end;
  return chart.end < programmeMinutes(chart.input->programme) * ms_per_minute;
}

std::string whyUnknown(const SoakFindings& soak) {
  if (soak.truncated) return "the recording ends before the soak is known to be over";
  return "the coldest channel cannot be known in all of the soak";
}

Figure minutesFigure(const SoakFindings& soak) {
  Figure figure{.value = soak.certain.minutes, .at_least = soak.certain.minutes};
  if (!soak.truncated) figure.at_most = soak.possible.minutes;
  figure.determined =
      !soak.truncated && (soak.possible.minutes - soak.certain.minutes) * ms_per_minute < same_ms;
  if (!figure.determined) figure.reason = whyUnknown(soak);
  return figure;
}

Figure momentFigure(const SoakFindings& soak, double Stretch::*end, bool may_move) {
  Figure figure;
  if (soak.certain.span) figure.value = (*soak.certain.span).*end / ms_per_minute;
  if (!soak.certain.span && !soak.possible.span) {
    figure.reason =
        soak.truncated ? whyUnknown(soak) : "the coldest channel never entered the band";
    return figure;
  }
  const bool agree = soak.certain.span && soak.possible.span &&
                     std::abs((*soak.certain.span).*end - (*soak.possible.span).*end) < same_ms;
  figure.determined = agree && !may_move;
  if (!figure.determined) figure.reason = whyUnknown(soak);
  return figure;
}

bool allToleranced(const Chart& chart) {
  return std::ranges::all_of(chart.evidence(),
                             [](const Line* l) { return l->channel->tolerance_k.has_value(); });
}

double moved(const std::optional<Stretch>& a, const std::optional<Stretch>& b,
             double Stretch::*end) {
  return std::abs((*a).*end - (*b).*end) / ms_per_minute;
}

/// The soak again with all sensors reading too high and too low by their tolerance.
void addSensorContribution(const Chart& chart, SoakFindings& soak) {
  if (!allToleranced(chart)) return;
  const SoakPolicy policy = chart.input->rules.policy;
  const Soak& found = soak.certain;
  const Soak lower = soakOf(certainRuns(chart, -1), policy);
  const Soak higher = soakOf(certainRuns(chart, +1), policy);
  soak.minutes.sensor_contribution =
      std::max(std::abs(lower.minutes - found.minutes), std::abs(higher.minutes - found.minutes));
  if (!lower.span || !found.span || !higher.span) return;
  for (auto [figure, end] :
       {std::pair{&soak.start_minute, &Stretch::from}, std::pair{&soak.end_minute, &Stretch::to}})
    figure->sensor_contribution =
        std::max(moved(lower.span, found.span, end), moved(higher.span, found.span, end));
}

/// Stretches between runs, not before the first or after the last.
Stretches between(const Stretches& runs) {
  if (runs.empty()) return {};
  return complement(runs, {runs.front().from, runs.back().to});
}

struct Coldest {
  const Line* line = nullptr;
  double celsius = 0;
};

Coldest coldestIn(const Chart& chart, Stretch where) {
  Coldest coldest;
  for (const Line* line : chart.evidence()) {
    const auto first =
        std::ranges::lower_bound(line->usable.at, where.from) - line->usable.at.begin();
    for (auto i = static_cast<std::size_t>(first);
         i < line->usable.size() && line->usable.at[i] <= where.to; ++i)
      if (!coldest.line || line->usable.celsius[i] < coldest.celsius)
        coldest = {line, line->usable.celsius[i]};
  }
  return coldest;
}

/// Dips between two stretches long enough to be soak. Where a channel comes into
/// the band its noise carries it in and out; that stops the clock but is no event.
void markDips(Chart& chart, Stretches runs) {
  constexpr double soak_like = 5 * ms_per_minute;
  std::erase_if(runs, [](const Stretch& run) { return run.length() < soak_like; });
  for (const Stretch& dip : between(runs)) {
    const Coldest coldest = coldestIn(chart, dip);
    ChartFault& fault = chart.mark(FaultKind::interrupted, dip, coldest.line);
    if (coldest.line) fault.figure = std::max(0.0, chart.bandLower() - coldest.celsius);
    fault.unit = "K";
  }
}

void markTruncated(Chart& chart, const SoakFindings& soak) {
  if (!soak.truncated) return;
  ChartFault& fault = chart.mark(FaultKind::truncated, {chart.end, chart.end});
  fault.figure = soak.certain.minutes;
  fault.unit = "min";
  fault.limit = chart.limits().soak_minutes;
}

}  // namespace

SoakFindings findSoak(Chart& chart) {
  const SoakPolicy policy = chart.input->rules.policy;
  const Stretches possible = possibleRuns(chart);
  SoakFindings soak;
  soak.certain = soakOf(certainRuns(chart, 0), policy);
  soak.possible = soakOf(possible, policy);
  soak.truncated = isTruncated(chart, possible);
  soak.minutes = minutesFigure(soak);
  soak.start_minute = momentFigure(soak, &Stretch::from, false);
  soak.end_minute = momentFigure(soak, &Stretch::to, soak.truncated);
  addSensorContribution(chart, soak);
  markDips(chart, possible);
  markTruncated(chart, soak);
  return soak;
}

}  // namespace platemark::method::cure
