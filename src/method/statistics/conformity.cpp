#include "platemark/method/statistics/conformity.h"

#include <cmath>
#include <numbers>

namespace platemark::method::statistics {

double normalShareBelow(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

double conformanceProbability(double value, double u, std::optional<double> lower, std::optional<double> upper) {
  const double below_upper = upper ? normalShareBelow((*upper - value) / u) : 1.0;
  const double below_lower = lower ? normalShareBelow((*lower - value) / u) : 0.0;
  return below_upper - below_lower;
}

}  // namespace platemark::method::statistics
