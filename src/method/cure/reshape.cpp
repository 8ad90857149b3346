#include "platemark/method/cure/reshape.h"

#include <algorithm>

namespace platemark::method::cure {
namespace {

/// On the line between the points around; the ends hold beyond.
TemperaturePoint temperatureAt(std::span<const CoursePoint> course, Duration at) {
  const auto after = std::upper_bound(course.begin(), course.end(), at,
                                      [](Duration t, const CoursePoint& p) { return t < p.at; });
  if (after == course.begin()) return course.front().temperature;
  if (after == course.end()) return course.back().temperature;
  const CoursePoint& before = *(after - 1);
  const double share = (at - before.at) / (after->at - before.at);
  return before.temperature + (after->temperature - before.temperature) * share;
}

std::optional<Duration> crossing(const CoursePoint& a, const CoursePoint& b,
                                 TemperaturePoint edge) {
  if ((a.temperature < edge) == (b.temperature < edge)) return {};
  const double share = (edge - a.temperature) / (b.temperature - a.temperature);
  return a.at + (b.at - a.at) * share;
}

}  // namespace

std::vector<CoursePoint> soakedLonger(std::span<const CoursePoint> course, Duration at,
                                      Duration by) {
  std::vector<CoursePoint> out;
  if (course.empty()) return out;
  const Duration none{};
  const Duration cut = by < none ? std::max(at + by, course.front().at) : at;
  for (const CoursePoint& p : course)
    if (p.at < cut) out.push_back(p);
  out.push_back({cut, temperatureAt(course, cut)});
  const Duration shift = by < none ? cut - at : by;
  out.push_back({at + shift, temperatureAt(course, at)});
  for (const CoursePoint& p : course)
    if (p.at > at) out.push_back({p.at + shift, p.temperature});
  return out;
}

std::vector<CoursePoint> lifted(std::span<const CoursePoint> course, TemperaturePoint low,
                                TemperaturePoint set_point, TemperatureDifference by) {
  std::vector<CoursePoint> out(course.begin(), course.end());
  for (CoursePoint& p : out) {
    const double share = (p.temperature - low) / (set_point - low);
    p.temperature = p.temperature + by * std::clamp(share, 0.0, 1.0);
  }
  return out;
}

std::optional<Duration> lastAt(std::span<const CoursePoint> course, TemperaturePoint edge) {
  if (course.empty()) return {};
  if (!(course.back().temperature < edge)) return course.back().at;
  for (std::size_t i = course.size(); i-- > 1;)
    if (const auto t = crossing(course[i - 1], course[i], edge)) return t;
  return {};
}

std::optional<Duration> firstAt(std::span<const CoursePoint> course, TemperaturePoint edge) {
  if (course.empty()) return {};
  if (!(course.front().temperature < edge)) return course.front().at;
  for (std::size_t i = 1; i < course.size(); ++i)
    if (const auto t = crossing(course[i - 1], course[i], edge)) return t;
  return {};
}

}  // namespace platemark::method::cure
