#include "platemark/method/cure/window.h"

#include <algorithm>
#include <cmath>

#include "platemark/method/cure/equivalent_time.h"
#include "wrong_input.h"

namespace platemark::method::cure {
namespace {

bool sound(const CurePair& pair) {
  const double kelvin = pair.at.in(scale::kelvin), seconds = pair.needed.in(unit::second);
  return kelvin > 200 && kelvin < 1000 && seconds > 0 && seconds < 1e7;
}

/// A point of the straight piece from a to b where it passes `level`.
CoursePoint passing(const CoursePoint& a, const CoursePoint& b, TemperaturePoint level) {
  return {a.at + (b.at - a.at) * ((level - a.temperature) / (b.temperature - a.temperature)),
          level};
}

/// The part of a straight piece at or above `level`; nothing when there is none.
std::optional<std::pair<CoursePoint, CoursePoint>> partAbove(const CoursePoint& a,
                                                             const CoursePoint& b,
                                                             TemperaturePoint level) {
  if (a.temperature < level && b.temperature < level) return std::nullopt;
  if (a.temperature < level) return std::pair{passing(a, b, level), b};
  if (b.temperature < level) return std::pair{a, passing(a, b, level)};
  return std::pair{a, b};
}

}  // namespace

Result<CureWindow> windowThrough(std::span<const CurePair> pairs) {
  if (pairs.size() < 2 || !std::all_of(pairs.begin(), pairs.end(), sound))
    return wrongInput("cure.window_pairs", "The card's pairs cannot be used.", "pairs",
                      "two pairs or more, -70 to 700 °C, times above 0",
                      "Enter temperature and time of each equal cure on the card.");
  const double n = static_cast<double>(pairs.size());
  double x = 0, y = 0, sxx = 0, sxy = 0;
  for (const CurePair& pair : pairs) {
    x += 1 / pair.at.in(scale::kelvin) / n;
    y += std::log(pair.needed.in(unit::second)) / n;
  }
  for (const CurePair& pair : pairs) {
    const double dx = 1 / pair.at.in(scale::kelvin)-x;
    sxx += dx * dx;
    sxy += dx * (std::log(pair.needed.in(unit::second)) - y);
  }
  if (!(sxx > 1e-14 && sxy > 0))
    return wrongInput("cure.window_pairs", "The card's pairs give no window.", "pairs",
                      "different temperatures, less time where it is hotter",
                      "Check the pairs against the card.");
  CureWindow window;
  window.energy = MolarEnergy::of(gas_constant * sxy / sxx, unit::joule_per_mole);
  window.reference = TemperaturePoint::of(1 / x, scale::kelvin);
  window.at_reference = Duration::of(std::exp(y), unit::second);
  for (const CurePair& pair : pairs)
    window.residuals.push_back(std::log(pair.needed / neededAt(window, pair.at)));
  return window;
}

Duration neededAt(const CureWindow& window, TemperaturePoint at) {
  const double e = window.energy.in(unit::joule_per_mole) / gas_constant;
  return window.at_reference *
         std::exp(e / at.in(scale::kelvin)-e / window.reference.in(scale::kelvin));
}

Result<double> cureIndex(const CureWindow& window, std::span<const CoursePoint> course,
                         std::optional<TemperaturePoint> above) {
  if (Result<void> points = checkCourse(course); !points) return points.error();
  if (!(window.at_reference.in(unit::second) > 0))
    return wrongInput("cure.window_range", "The window needs no time.", "window",
                      "a window from windowThrough", "Fit the window through the card's pairs.");
  const auto coldest = TemperaturePoint::of(0, scale::kelvin);
  double index = 0;
  for (std::size_t i = 1; i < course.size(); ++i) {
    const auto part = partAbove(course[i - 1], course[i], above.value_or(coldest));
    if (!part) continue;
    const CoursePoint piece[] = {part->first, part->second};
    const Result<Duration> time = equivalentTime(piece, window.reference, window.energy);
    if (!time) return time.error();
    index += *time / window.at_reference;
  }
  return index;
}

}  // namespace platemark::method::cure
