#include "spread.h"

#include <algorithm>
#include <iterator>

namespace platemark::method::cure {
namespace {

std::vector<double> momentsOf(const std::vector<const Line*>& lines, Stretch within) {
  std::vector<double> moments;
  if (within.length() >= 0) moments = {within.from, within.to};
  for (const Line* line : lines) {
    std::vector<double> merged;
    const auto from = std::ranges::lower_bound(line->usable.at, within.from);
    const auto to = std::ranges::upper_bound(line->usable.at, within.to);
    if (from < to)
      std::set_union(moments.begin(), moments.end(), from, to, std::back_inserter(merged));
    if (from < to) moments.swap(merged);
  }
  return moments;
}

std::optional<Spread> spreadAt(double at, const std::vector<const Line*>& lines,
                               std::vector<Reader>& readers) {
  Spread spread{at, 0, nullptr, nullptr};
  double high = 0, low = 0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const auto celsius = readers[i].at(at);
    if (!celsius) continue;
    if (!spread.hottest || *celsius > high) spread.hottest = lines[i], high = *celsius;
    if (!spread.coldest || *celsius < low) spread.coldest = lines[i], low = *celsius;
  }
  spread.kelvin = high - low;
  if (!spread.hottest) return std::nullopt;
  return spread;
}

void markSpread(Chart& chart, FaultKind kind, Stretch where, const Spread& worst, double limit) {
  ChartFault& fault = chart.mark(kind, where);
  // Neither is chosen: the two stand in the order of their names.
  fault.channel = std::min(worst.hottest->name(), worst.coldest->name());
  fault.other = std::max(worst.hottest->name(), worst.coldest->name());
  fault.figure = worst.kelvin;
  fault.unit = "K";
  fault.limit = limit;
}

}  // namespace

std::vector<Spread> spreadsOf(const Chart& chart, const std::vector<const Line*>& lines,
                              Stretch within) {
  std::vector<Spread> spreads;
  if (lines.size() < 2) return spreads;
  std::vector<Reader> readers;
  for (const Line* line : lines) readers.emplace_back(line->usable, chart.bridge);
  for (const double at : momentsOf(lines, within))
    if (const auto spread = spreadAt(at, lines, readers)) spreads.push_back(*spread);
  return spreads;
}

void markSpreads(Chart& chart, const std::vector<Spread>& spreads, FaultKind kind, double limit,
                 double least) {
  for (auto from = spreads.begin(); from != spreads.end();) {
    const auto to =
        std::find_if(from, spreads.end(), [&](const Spread& s) { return s.kelvin <= limit; });
    if (from != to && std::prev(to)->at - from->at >= least)
      markSpread(chart, kind, {from->at, std::prev(to)->at},
                 *std::max_element(from, to, [](auto& a, auto& b) { return a.kelvin < b.kelvin; }),
                 limit);
    from = to == spreads.end() ? to : std::next(to);
  }
}

void findParted(Chart& chart, double until) {
  for (const bool is_load : {false, true}) {
    std::vector<const Line*> like = chart.evidence();
    std::erase_if(like, [&](const Line* line) { return line->isLoad() != is_load; });
    markSpreads(chart, spreadsOf(chart, like, {0, until}), FaultKind::parted,
                chart.screening().parted_k, chart.screening().parted_minutes * ms_per_minute);
  }
}

}  // namespace platemark::method::cure
