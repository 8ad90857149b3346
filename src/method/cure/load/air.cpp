#include "air.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace platemark::method::cure {

Air::Air(std::span<const std::vector<CoursePoint>> channels) : lines_(channels.size()) {
  for (const std::vector<CoursePoint>& channel : channels) {
    std::vector<Point>& points = channels_.emplace_back();
    for (const CoursePoint& point : channel)
      points.push_back({point.at.in(unit::second), point.temperature.in(scale::kelvin)});
  }
}

double Air::nextPoint(double t) const {
  double next = std::numeric_limits<double>::infinity();
  for (const std::vector<Point>& channel : channels_) {
    const auto after = std::upper_bound(channel.begin(), channel.end(), t,
                                        [](double at, const Point& p) { return at < p.at; });
    if (after != channel.end()) next = std::min(next, after->at);
  }
  return next;
}

/// The parts of a channel between two times; jumps have no length and drop out.
void Air::collectPieces(const std::vector<Point>& channel, double from, double to) {
  pieces_.clear();
  auto b = std::upper_bound(channel.begin(), channel.end(), from,
                            [](double at, const Point& p) { return at < p.at; });
  for (; b != channel.end() && (b - 1)->at < to; ++b) {
    const Point &p = *(b - 1), &q = *b;
    if (!(q.at > p.at)) continue;
    const double slope = (q.kelvin - p.kelvin) / (q.at - p.at);
    const double begin = std::max(p.at, from), end = std::min(q.at, to);
    pieces_.push_back(
        {begin, end, p.kelvin + slope * (begin - p.at), p.kelvin + slope * (end - p.at)});
  }
}

AirLine Air::momentLine(double from, double to) const {
  if (pieces_.size() == 1) {
    const Piece& only = pieces_.front();
    return {only.at_begin, (only.at_end - only.at_begin) / (only.end - only.begin)};
  }
  const double h = to - from, centre = (from + to) / 2;
  double area = 0, moment = 0;
  for (const Piece& piece : pieces_) {
    const double width = piece.end - piece.begin, rise = piece.at_end - piece.at_begin;
    const double mean = (piece.at_begin + piece.at_end) / 2;
    area += mean * width;
    moment += width * (mean * ((piece.begin + piece.end) / 2 - centre) + rise * width / 12);
  }
  const double slope = 12 * moment / (h * h * h);
  return {area / h - slope * h / 2, slope};
}

/// At the end and the middle of every piece.
void Air::addDeviation(const AirLine& line, double from) {
  double running = 0;
  for (const Piece& piece : pieces_) {
    const double width = piece.end - piece.begin, middle = (piece.at_begin + piece.at_end) / 2;
    const double a = piece.at_begin - line.value - line.slope * (piece.begin - from);
    const double m = middle - line.value - line.slope * ((piece.begin + piece.end) / 2 - from);
    const double e = piece.at_end - line.value - line.slope * (piece.end - from);
    deviation_ = std::max(deviation_, std::abs(running + (a + m) / 2 * width / 2));
    running += (a + e) / 2 * width;
    deviation_ = std::max(deviation_, std::abs(running));
  }
}

void Air::fit(double from, double to) {
  deviation_ = 0;
  for (std::size_t i = 0; i < channels_.size(); ++i) {
    collectPieces(channels_[i], from, to);
    lines_[i] = momentLine(from, to);
    if (pieces_.size() > 1) addDeviation(lines_[i], from);
  }
}

}  // namespace platemark::method::cure
