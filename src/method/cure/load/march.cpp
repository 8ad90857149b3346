#include "march.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace platemark::method::cure {
namespace {

constexpr long most_steps = 2'000'000;
constexpr double first_step = 1;          ///< s
constexpr double share_of_a_step = 0.7;   ///< of the error wanted of the whole
constexpr double share_of_the_air = 0.2;  ///< of it, for what the straight line leaves out

class March {
 public:
  March(Stepper& stepper, Air& air, const Course& course)
      : stepper_(stepper),
        air_(air),
        course_(course),
        least_((course.to - course.from) * 1e-9),
        air_reach_(share_of_the_air / share_of_a_step * course.tolerance.kelvin /
                   stepper.quickest()),
        t_(course.from) {}

  std::optional<MarchCount> run(const std::function<void(const Stride&)>& each) {
    while (t_ < course_.to) {
      const double end = nextEnd();
      const double error = stepper_.attempt(end - t_, air_.lines(), course_.tolerance);
      if (count_.steps + count_.rejected > most_steps || std::isnan(error)) return std::nullopt;
      if (error <= 1 || end - t_ <= least_)
        take(end, error, each);
      else
        ++count_.rejected, step_ = (end - t_) * factor(error);
    }
    return count_;
  }

 private:
  static double factor(double error) {
    return std::clamp(0.9 / std::cbrt(std::max(error, 1e-6)), 0.2, 5.0);
  }

  /// The end of the next step: at a stop, or so far that a line can stand for the air.
  double nextEnd() {
    while (stop_ < course_.stops.size() && course_.stops[stop_] <= t_) ++stop_;
    const double stop = stop_ < course_.stops.size() ? course_.stops[stop_] : course_.to;
    const double left = std::min(stop, course_.to) - t_, step = std::max(step_, least_);
    // Two halves rather than a step and a sliver.
    double end = t_ + (left < 2 * step ? left / 2 : step);
    if (left <= step) end = std::min(stop, course_.to);
    const double knot = air_.nextPoint(t_);
    for (air_.fit(t_, end); end > knot && air_.deviation() > air_reach_; air_.fit(t_, end))
      end = std::max(knot, t_ + (end - t_) / 2);
    return end;
  }

  void take(double end, double error, const std::function<void(const Stride&)>& each) {
    const double h = end - t_, wanted = h * factor(error);
    stepper_.accept();
    each({t_, h});
    t_ = end;
    ++count_.steps;
    // A step cut short by a stop says nothing against the longer one.
    step_ = h < 0.9 * step_ ? std::max(step_, wanted) : wanted;
  }

  Stepper& stepper_;
  Air& air_;
  const Course& course_;
  double least_, air_reach_, t_, step_ = first_step;
  std::size_t stop_ = 0;
  MarchCount count_;
};

}  // namespace

std::optional<MarchCount> march(Stepper& stepper, Air& air, const Course& course,
                                const std::function<void(const Stride&)>& each) {
  return March(stepper, air, course).run(each);
}

StepTolerance stepTolerance(const LoadTolerance& wanted) {
  return {share_of_a_step * wanted.temperature.in(unit::kelvin), share_of_a_step * wanted.degree};
}

}  // namespace platemark::method::cure
