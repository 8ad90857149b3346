#include "platemark/method/statistics/distribution.h"

#include <cmath>
#include <limits>
#include <numbers>

#include "../root.h"

namespace platemark::method::statistics {
namespace {

constexpr double no_number = std::numeric_limits<double>::quiet_NaN();

/// Keeps the continued fraction away from a division by zero.
double awayFromZero(double x) {
  constexpr double least = 1e-300;
  return std::abs(x) < least ? least : x;
}

/// One step of Lentz's way of summing a continued fraction.
struct Lentz {
  double c, d, value;

  double take(double term) {
    d = 1 / awayFromZero(1 + term * d);
    c = awayFromZero(1 + term / c);
    value *= c * d;
    return c * d;
  }
};

/// Converges fast for x below (a + 1)/(a + b + 2).
double betaFraction(double x, double a, double b) {
  const double first = 1 / awayFromZero(1 - (a + b) * x / (a + 1));
  Lentz sum{1, first, first};
  for (int m = 1; m < 10000; ++m) {
    sum.take(m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)));
    const double change = sum.take(-(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)));
    if (std::abs(change - 1) < 1e-16) break;
  }
  return sum.value;
}

double logBeta(double a, double b) { return std::lgamma(a) + std::lgamma(b) - std::lgamma(a + b); }

}  // namespace

double incompleteBeta(double x, double a, double b) {
  if (!(x >= 0 && x <= 1 && a > 0 && b > 0)) return no_number;
  if (x == 0 || x == 1) return x;
  const double front = std::exp(a * std::log(x) + b * std::log1p(-x) - logBeta(a, b));
  if (x < (a + 1) / (a + b + 2)) return front * betaFraction(x, a, b) / a;
  return 1 - front * betaFraction(1 - x, b, a) / b;
}

double normalShare(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

double normalQuantile(double p) {
  if (!(p > 0 && p < 1)) return no_number;
  if (p == 0.5) return 0;
  if (p > 0.5) return -normalQuantile(1 - p);
  return rootOf([&](double z) { return normalShare(z) - p; }, -40.0, 0.0);
}

double studentTails(double t, double degrees) {
  if (!(degrees > 0) || std::isnan(t)) return no_number;
  const double square = t * t;
  if (std::isinf(square)) return 0;
  return incompleteBeta(degrees / (degrees + square), degrees / 2, 0.5);
}

double studentShare(double t, double degrees) {
  const double half = studentTails(t, degrees) / 2;
  return t > 0 ? 1 - half : half;
}

double studentQuantile(double p, double degrees) {
  if (!(p > 0 && p < 1 && degrees > 0)) return no_number;
  if (p == 0.5) return 0;
  if (p > 0.5) return -studentQuantile(1 - p, degrees);
  double far = -1;
  while (studentShare(far, degrees) > p) far *= 2;
  return rootOf([&](double t) { return studentShare(t, degrees) - p; }, far, 0.0);
}

double fisherTail(double f, double above, double below) {
  if (!(f >= 0 && above > 0 && below > 0)) return no_number;
  return incompleteBeta(below / (below + above * f), below / 2, above / 2);
}

}  // namespace platemark::method::statistics
