/// Mean, ends and sample standard deviation of a few readings, summed in their order.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <span>

namespace platemark::method::bench {

struct Spread {
  double mean = 0;
  double lowest = 0;
  double highest = 0;
  std::optional<double> s;  ///< divisor n − 1; none for a single reading
};

/// `values` must not be empty.
inline Spread spreadOf(std::span<const double> values) {
  const auto n = static_cast<double>(values.size());
  double sum = 0;
  for (const double value : values) sum += value;
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  Spread spread{sum / n, *low, *high, {}};
  if (values.size() < 2) return spread;
  double squares = 0;
  for (const double value : values) squares += (value - spread.mean) * (value - spread.mean);
  spread.s = std::sqrt(squares / (n - 1));
  return spread;
}

}  // namespace platemark::method::bench
