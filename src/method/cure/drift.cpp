#include "platemark/method/cure/drift.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace platemark::method::cure {
namespace {

struct Line {
  double mean_x = 0, mean_y = 0, sxx = 0, sxy = 0;
};

Line lineThrough(std::span<const OffsetPoint> points) {
  Line line;
  const auto n = static_cast<double>(points.size());
  for (const OffsetPoint& p : points) {
    line.mean_x += p.days / n;
    line.mean_y += p.offset_k / n;
  }
  for (const OffsetPoint& p : points) {
    line.sxx += (p.days - line.mean_x) * (p.days - line.mean_x);
    line.sxy += (p.days - line.mean_x) * (p.offset_k - line.mean_y);
  }
  return line;
}

double medianOf(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return (*middle + *std::max_element(values.begin(), middle)) / 2;
}

/// The median of the slopes between all pairs of points: a few wild loads do not move it.
double medianSlope(std::span<const OffsetPoint> points) {
  std::vector<double> slopes;
  for (std::size_t i = 0; i < points.size(); ++i)
    for (std::size_t j = i + 1; j < points.size(); ++j)
      if (points[j].days != points[i].days)
        slopes.push_back((points[j].offset_k - points[i].offset_k) /
                         (points[j].days - points[i].days));
  return slopes.empty() ? 0 : medianOf(std::move(slopes));
}

constexpr double always_kept_k = 1.0;  // so far a load may stray however alike the others are
constexpr double kept_deviations = 5 * 1.4826;

/// Without the loads that lie far off the median line: a stuck sensor is no drift.
std::vector<OffsetPoint> screened(std::span<const OffsetPoint> points) {
  const double slope = medianSlope(points);
  std::vector<double> residuals;
  for (const OffsetPoint& p : points) residuals.push_back(p.offset_k - slope * p.days);
  const double level = medianOf(residuals);
  for (double& r : residuals) r = std::abs(r - level);
  const double widest = std::max(always_kept_k, kept_deviations * medianOf(residuals));
  std::vector<OffsetPoint> kept;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (residuals[i] <= widest) kept.push_back(points[i]);
  return kept;
}

Error tooFew(std::size_t n) {
  Error error;
  error.code = "cure.drift_few";
  error.what = fmt::format("A drift cannot be told from {} loads.", n);
  error.expected = fmt::format("at least {} loads at different times", drift_least_loads);
  return error;
}

}  // namespace

std::optional<std::vector<double>> offsetsBetween(std::span<const Channel> channels,
                                                  std::int64_t from_ms, std::int64_t to_ms) {
  if (channels.size() < 2) return {};
  const Series& axis = channels.front().series;
  std::vector<double> sums(channels.size(), 0);
  std::size_t n = 0;
  for (std::size_t i = 0; i < axis.at_ms.size(); ++i) {
    if (axis.at_ms[i] < from_ms || axis.at_ms[i] > to_ms) continue;
    double mean = 0;
    for (const Channel& c : channels) mean += c.series.celsius[i];
    mean /= static_cast<double>(channels.size());
    if (mean != mean) continue;
    for (std::size_t c = 0; c < channels.size(); ++c)
      sums[c] += channels[c].series.celsius[i] - mean;
    ++n;
  }
  if (n == 0) return {};
  for (double& sum : sums) sum /= static_cast<double>(n);
  return sums;
}

bool Drift::passes(double limit_k) const {
  return std::abs(drift_k) > limit_k && std::abs(drift_k) > 2 * u_k;
}

Result<Drift> driftOf(std::span<const OffsetPoint> all) {
  if (all.size() < drift_least_loads) return tooFew(all.size());
  const std::vector<OffsetPoint> points = screened(all);
  if (points.size() < drift_least_loads) return tooFew(points.size());
  const Line line = lineThrough(points);
  if (!(line.sxx > 0)) return tooFew(points.size());
  const double slope = line.sxy / line.sxx;
  double residuals = 0;
  for (const OffsetPoint& p : points) {
    const double r = p.offset_k - line.mean_y - slope * (p.days - line.mean_x);
    residuals += r * r;
  }
  const auto by_days = [](const OffsetPoint& a, const OffsetPoint& b) { return a.days < b.days; };
  const double first = std::min_element(points.begin(), points.end(), by_days)->days,
               last = std::max_element(points.begin(), points.end(), by_days)->days;
  const double span = last - first;
  return Drift{slope * span,
               std::sqrt(residuals / static_cast<double>(points.size() - 2) / line.sxx) * span,
               line.mean_y + slope * (first - line.mean_x)};
}

}  // namespace platemark::method::cure
