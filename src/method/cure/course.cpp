#include "platemark/method/cure/course.h"

#include <algorithm>
#include <cmath>

#include "rate_law.h"
#include "wrong_input.h"

namespace platemark::method::cure {
namespace {

constexpr double coldest_kelvin = 73.15, hottest_kelvin = 1273.15;
constexpr double least_step_share = 1e-9;  ///< of a piece of the course; then the error is taken
constexpr double refinement = 30;          ///< of the tolerance: halves the step at least
constexpr long most_steps = 5'000'000;

/// One straight piece of the course.
struct Piece {
  double start, length, from, slope;  ///< s, s, K, K/s
  [[nodiscard]] double kelvin(double t) const { return from + slope * t; }
};

struct Step {
  double degree, error;  ///< after the step; error is signed
};

class Integrator {
 public:
  Integrator(FlatLaw law, double start, double tolerance)
      : law_(std::move(law)), degree_(start), tolerance_(tolerance) {}

  /// False when the steps ran out.
  [[nodiscard]] bool along(const Piece& piece);
  [[nodiscard]] double degree() const { return degree_; }
  [[nodiscard]] double fastest() const { return fastest_; }
  [[nodiscard]] double fastestAt() const { return fastest_at_; }

 private:
  [[nodiscard]] Step tried(const Piece& piece, double t, double h) const;
  [[nodiscard]] double longest(const Piece& piece) const;
  void take(const Piece& piece, double t, double h, const Step& step);

  FlatLaw law_;
  double degree_, tolerance_;
  double fastest_ = -1, fastest_at_ = 0, next_ = 0;
  long steps_ = 0;
};

/// The tableau of Dormand and Prince; the rate depends on t through T only.
Step Integrator::tried(const Piece& piece, double t, double h) const {
  const auto f = [&](double share, double degree) {
    return h * law_.rate(degree, piece.kelvin(t + share * h));
  };
  const double y = degree_;
  const double k1 = f(0, y);
  const double k2 = f(1.0 / 5, y + k1 / 5);
  const double k3 = f(3.0 / 10, y + 3.0 / 40 * k1 + 9.0 / 40 * k2);
  const double k4 = f(4.0 / 5, y + 44.0 / 45 * k1 - 56.0 / 15 * k2 + 32.0 / 9 * k3);
  const double k5 = f(8.0 / 9, y + 19372.0 / 6561 * k1 - 25360.0 / 2187 * k2 + 64448.0 / 6561 * k3 -
                                   212.0 / 729 * k4);
  const double k6 = f(1, y + 9017.0 / 3168 * k1 - 355.0 / 33 * k2 + 46732.0 / 5247 * k3 +
                             49.0 / 176 * k4 - 5103.0 / 18656 * k5);
  const double after = y + 35.0 / 384 * k1 + 500.0 / 1113 * k3 + 125.0 / 192 * k4 -
                       2187.0 / 6784 * k5 + 11.0 / 84 * k6;
  const double k7 = f(1, after);
  const double error = 71.0 / 57600 * k1 - 71.0 / 16695 * k3 + 71.0 / 1920 * k4 -
                       17253.0 / 339200 * k5 + 22.0 / 525 * k6 - k7 / 40;
  return {after, error};
}

void Integrator::take(const Piece& piece, double t, double h, const Step& step) {
  degree_ = std::clamp(step.degree, 0.0, 1.0);
  const double rate = law_.rate(degree_, piece.kelvin(t + h));
  if (rate <= fastest_) return;
  fastest_ = rate;
  fastest_at_ = piece.start + t + h;
}

/// No step in which a rate constant grows more than e-fold: a reaction that begins and ends
/// inside one step would not be seen.
double Integrator::longest(const Piece& piece) const {
  const double kelvin = std::min(piece.from, piece.kelvin(piece.length));
  const double climb = law_.largestEnergy() * std::abs(piece.slope) / (kelvin * kelvin);
  return climb * piece.length > 1 ? 1 / climb : piece.length;
}

bool Integrator::along(const Piece& piece) {
  const double least = least_step_share * piece.length, most = longest(piece);
  double t = 0, h = std::clamp(next_ > 0 ? next_ : 1e-3 * piece.length, least, most);
  while (t < piece.length) {
    if (++steps_ > most_steps) return false;
    const bool last = t + h >= piece.length * (1 - 1e-14);
    if (last) h = piece.length - t;
    const Step step = tried(piece, t, h);
    const double ratio = std::abs(step.error) / tolerance_;
    const double factor = std::clamp(0.9 * std::pow(std::max(ratio, 1e-10), -0.2), 0.2, 5.0);
    const bool fine = ratio <= 1 || h <= least;
    if (fine) take(piece, t, h, step);
    if (fine) t = last ? piece.length : t + h;
    h = std::clamp(h * factor, least, most);
    if (!(fine && last)) next_ = h;
  }
  return true;
}

Piece pieceOf(const CoursePoint& a, const CoursePoint& b) {
  const double start = a.at.in(unit::second), length = b.at.in(unit::second)-start;
  const double from = a.temperature.in(scale::kelvin), to = b.temperature.in(scale::kelvin);
  return {start, length, from, length > 0 ? (to - from) / length : 0};
}

/// Seconds of a piece with T outside the range.
double outsideOf(const Piece& piece, const std::optional<TemperatureRange>& valid) {
  if (!valid) return piece.length;
  const double low = valid->from.in(scale::kelvin), high = valid->to.in(scale::kelvin);
  if (piece.slope == 0) return piece.from < low || piece.from > high ? piece.length : 0;
  const double a = (low - piece.from) / piece.slope, b = (high - piece.from) / piece.slope;
  const double enter = std::clamp(std::min(a, b), 0.0, piece.length);
  const double leave = std::clamp(std::max(a, b), 0.0, piece.length);
  return piece.length - (leave - enter);
}

Error courseError(std::string code, std::string what, std::size_t place, std::string expected) {
  return wrongInput(std::move(code), std::move(what), "course[" + std::to_string(place) + "]",
                    std::move(expected), "Check the times and temperatures of the course.");
}

Error stepsError() {
  return wrongInput("cure.steps", "The degree of cure could not be followed to the end.", "law",
                    "rate constants of a cure oven",
                    "Check the time unit of A and the tolerance asked for.");
}

}  // namespace

Result<void> checkCourse(std::span<const CoursePoint> course) {
  if (course.size() < 2)
    return courseError("cure.course_short", "A course of temperature needs two points or more.",
                       course.size(), "two points or more");
  for (std::size_t i = 0; i < course.size(); ++i) {
    const double kelvin = course[i].temperature.in(scale::kelvin);
    if (!std::isfinite(course[i].at.in(unit::second)) ||
        !(kelvin >= coldest_kelvin && kelvin <= hottest_kelvin))
      return courseError("cure.course_range", "A point of the course is out of range.", i,
                         "a time, and -200 to 1000 °C");
    if (i > 0 && course[i].at < course[i - 1].at)
      return courseError("cure.course_backwards", "The times of the course go backwards.", i,
                         "times that never fall");
  }
  return {};
}

Result<CureCourse> cureAlong(const ParameterSet& set, std::span<const CoursePoint> course,
                             const CourseOptions& options) {
  if (Result<void> law = checkLaw(set.law); !law) return law.error();
  if (Result<void> start = checkStart(set.law, set.start); !start) return start.error();
  if (Result<void> points = checkCourse(course); !points) return points.error();
  if (!(options.tolerance > 0 && options.tolerance <= 0.01))
    return wrongInput("cure.tolerance_range", "The tolerance is out of range.", "tolerance",
                      "above 0, at most 0.01", "Leave it out, or enter e.g. 1e-9.");
  Integrator rough(flatten(set.law), set.start, options.tolerance);
  Integrator fine(flatten(set.law), set.start, options.tolerance / refinement);
  CureCourse cured;
  cured.states.push_back({course.front().at, set.start, 0});
  double outside = 0, apart = 0;
  for (std::size_t i = 1; i < course.size(); ++i) {
    const Piece piece = pieceOf(course[i - 1], course[i]);
    if (!rough.along(piece) || !fine.along(piece)) return stepsError();
    apart = std::max(apart, std::abs(rough.degree() - fine.degree()));
    outside += outsideOf(piece, set.valid);
    cured.states.push_back({course[i].at, fine.degree(), apart + options.tolerance});
  }
  cured.outside = Duration::of(outside, unit::second);
  cured.fastest = Rate::of(std::max(0.0, fine.fastest()), unit::per_second);
  cured.fastest_at = Duration::of(fine.fastestAt(), unit::second);
  return cured;
}

Result<Duration> timeBetween(const RateLaw& law, double from, double to, TemperaturePoint at) {
  if (Result<void> sound = checkLaw(law); !sound) return sound.error();
  const Error out_of_range =
      wrongInput("cure.degree_range", "The cure never runs between these degrees.", "degree",
                 "degrees within 0 and 1 at which the law has a rate", "Ask for a degree below 1.");
  if (!(from >= 0 && from <= 1 && to >= 0 && to <= 1)) return out_of_range;
  constexpr int panels = 2000;
  double sum = 0;
  for (int i = 0; i <= panels; ++i) {
    const double degree = from + (to - from) * i / panels;
    const double rate = rateOfCure(law, degree, at).in(unit::per_second);
    if (!(rate > 0)) return out_of_range;
    sum += (i == 0 || i == panels ? 1.0 : i % 2 == 1 ? 4.0 : 2.0) / rate;
  }
  return Duration::of(sum * (to - from) / panels / 3, unit::second);
}

}  // namespace platemark::method::cure
