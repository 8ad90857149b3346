#include "platemark/method/cure/equivalent_time.h"

#include <array>
#include <cmath>
#include <numbers>

#include "wrong_input.h"

namespace platemark::method::cure {
namespace {

/// Gauss–Legendre with eight points on −1…1; nodes come in pairs.
constexpr std::array<double, 4> node{0.1834346424956498, 0.5255324099163290, 0.7966664774136267,
                                     0.9602898564975363};
constexpr std::array<double, 4> weight{0.3626837833783620, 0.3137066458778873, 0.2223810344533745,
                                       0.1012285362903763};

/// ∫ exp(e/T_ref − e/T) over one stretch of `seconds` on which T is linear.
double arrheniusPart(double seconds, double from, double to, double e, double reference) {
  const auto factor = [&](double share) {
    return std::exp(e / reference - e / (from + share * (to - from)));
  };
  double sum = 0;
  for (std::size_t i = 0; i < node.size(); ++i)
    sum += weight[i] * (factor((1 - node[i]) / 2) + factor((1 + node[i]) / 2));
  return sum * seconds / 2;
}

double arrheniusTime(double seconds, double from, double to, double e, double reference) {
  const int parts = 1 + static_cast<int>(std::abs(e / from - e / to));
  double sum = 0;
  for (int i = 0; i < parts; ++i)
    sum += arrheniusPart(seconds / parts, from + (to - from) * i / parts,
                         from + (to - from) * (i + 1) / parts, e, reference);
  return sum;
}

/// Mean of 10^x over a straight stretch from x = a to x = b.
double meanPowerOfTen(double a, double b) {
  const double rise = (b - a) * std::numbers::ln10;
  const double low = std::pow(10, a);
  return rise == 0 ? low : low * std::expm1(rise) / rise;
}

template <class Part>
Result<Duration> summed(std::span<const CoursePoint> course, Part part) {
  if (Result<void> points = checkCourse(course); !points) return points.error();
  double sum = 0;
  for (std::size_t i = 1; i < course.size(); ++i)
    sum +=
        part((course[i].at - course[i - 1].at).in(unit::second),
             course[i - 1].temperature.in(scale::kelvin), course[i].temperature.in(scale::kelvin));
  return Duration::of(sum, unit::second);
}

bool plausible(TemperaturePoint reference) {
  const double kelvin = reference.in(scale::kelvin);
  return kelvin > 73 && kelvin < 1300;
}

}  // namespace

Result<Duration> equivalentTime(std::span<const CoursePoint> course, TemperaturePoint reference,
                                MolarEnergy energy) {
  const double joules = energy.in(unit::joule_per_mole);
  if (!plausible(reference) || !(joules >= 0 && joules <= 1e6))
    return wrongInput("cure.energy_range", "Activation energy or reference is out of range.",
                      "energy", "0 to 1000 kJ/mol, reference -200 to 1000 °C",
                      "Check both and their units.");
  const double e = joules / gas_constant, kelvin = reference.in(scale::kelvin);
  return summed(course, [&](double seconds, double from, double to) {
    return arrheniusTime(seconds, from, to, e, kelvin);
  });
}

Result<Duration> equivalentTimeByStep(std::span<const CoursePoint> course,
                                      TemperaturePoint reference, TemperatureDifference z) {
  const double step = z.in(unit::kelvin), kelvin = reference.in(scale::kelvin);
  if (!plausible(reference) || !(step >= 1 && step <= 1000))
    return wrongInput("cure.step_range", "The rise for a tenfold rate is out of range.", "z",
                      "1 to 1000 K, reference -200 to 1000 °C", "Check both and their units.");
  return summed(course, [&](double seconds, double from, double to) {
    return seconds * meanPowerOfTen((from - kelvin) / step, (to - kelvin) / step);
  });
}

TemperatureDifference stepOf(MolarEnergy energy, TemperaturePoint low, TemperaturePoint high) {
  const double kelvin = std::numbers::ln10 * gas_constant *
                        low.in(scale::kelvin)*high.in(scale::kelvin) /
                        energy.in(unit::joule_per_mole);
  return TemperatureDifference::of(kelvin, unit::kelvin);
}

}  // namespace platemark::method::cure
