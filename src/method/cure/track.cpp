#include "track.h"

#include <algorithm>
#include <cmath>

namespace platemark::method::cure {
namespace {

double interpolate(const Track& track, std::size_t i, double t) {
  const double share = (t - track.at[i]) / (track.at[i + 1] - track.at[i]);
  return track.celsius[i] + (track.celsius[i + 1] - track.celsius[i]) * share;
}

/// The part of the step from i to i+1 that is at or above the threshold.
std::optional<Stretch> partAbove(const Track& track, std::size_t i, double threshold) {
  const bool starts = track.celsius[i] >= threshold;
  const bool ends = track.celsius[i + 1] >= threshold;
  if (!starts && !ends) return std::nullopt;
  if (starts && ends) return Stretch{track.at[i], track.at[i + 1]};
  const double t = crossing(track, i, threshold);
  return starts ? Stretch{track.at[i], t} : Stretch{t, track.at[i + 1]};
}

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

bool isBridged(const Track& track, std::size_t i, double bridge) {
  return track.at[i + 1] - track.at[i] <= bridge;
}

}  // namespace

Stretches knownOf(const Track& track, double bridge) {
  Stretches known;
  for (std::size_t i = 0; i + 1 < track.size(); ++i)
    if (isBridged(track, i, bridge)) append(known, {track.at[i], track.at[i + 1]});
  return known;
}

Stretches aboveOf(const Track& track, double threshold, double bridge) {
  Stretches above;
  for (std::size_t i = 0; i + 1 < track.size(); ++i) {
    if (!isBridged(track, i, bridge)) continue;
    if (const auto part = partAbove(track, i, threshold)) append(above, *part);
  }
  return above;
}

Track without(const Track& track, const Stretches& stretches) {
  Track rest;
  auto stretch = stretches.begin();
  for (std::size_t i = 0; i < track.size(); ++i) {
    while (stretch != stretches.end() && stretch->to < track.at[i]) ++stretch;
    if (stretch == stretches.end() || track.at[i] < stretch->from)
      rest.add(track.at[i], track.celsius[i]);
  }
  return rest;
}

Track clipped(const Track& track, Stretch within, double bridge) {
  Reader reader(track, bridge);
  const auto at_start = reader.at(within.from);
  const auto at_end = reader.at(within.to);
  Track inside;
  if (at_start) inside.add(within.from, *at_start);
  for (std::size_t i = 0; i < track.size(); ++i) {
    const bool is_inside = track.at[i] >= within.from && track.at[i] <= within.to;
    if (is_inside && (inside.empty() || track.at[i] > inside.at.back()))
      inside.add(track.at[i], track.celsius[i]);
  }
  if (at_end && !inside.empty() && inside.at.back() < within.to) inside.add(within.to, *at_end);
  return inside;
}

std::vector<Run> blocksOf(const Track& track, double bridge) {
  std::vector<Run> blocks;
  for (std::size_t i = 0; i < track.size(); ++i) {
    if (i == 0 || !isBridged(track, i - 1, bridge))
      blocks.push_back({i, i});
    else
      blocks.back().last = i;
  }
  return blocks;
}

double crossing(const Track& track, std::size_t i, double celsius) {
  const double share = (celsius - track.celsius[i]) / (track.celsius[i + 1] - track.celsius[i]);
  return track.at[i] + share * (track.at[i + 1] - track.at[i]);
}

std::optional<double> Reader::at(double t) {
  while (next_ < track_.size() && track_.at[next_] < t) ++next_;
  if (next_ == track_.size()) return std::nullopt;
  if (track_.at[next_] == t) return track_.celsius[next_];
  if (next_ == 0 || !isBridged(track_, next_ - 1, bridge_)) return std::nullopt;
  return interpolate(track_, next_ - 1, t);
}

double usualStep(const Track& track) {
  std::vector<double> steps;
  for (std::size_t i = 0; i + 1 < track.size(); ++i) steps.push_back(track.at[i + 1] - track.at[i]);
  return median(std::move(steps));
}

double noiseOf(const Track& track) {
  // More than this is no scatter but a chart too coarse to tell scatter from shape.
  constexpr double most_k = 2;
  std::vector<double> bends;
  for (std::size_t i = 0; i + 2 < track.size(); ++i)
    bends.push_back(std::abs(track.celsius[i] - 2 * track.celsius[i + 1] + track.celsius[i + 2]));
  return std::min(most_k, 1.4826 * median(std::move(bends)) / std::sqrt(6.0));
}

double resolutionOf(const Track& track) {
  double smallest = 0;
  for (std::size_t i = 0; i + 1 < track.size(); ++i) {
    const double change = std::abs(track.celsius[i + 1] - track.celsius[i]);
    if (change > 0 && (smallest == 0 || change < smallest)) smallest = change;
  }
  return smallest;
}

}  // namespace platemark::method::cure
