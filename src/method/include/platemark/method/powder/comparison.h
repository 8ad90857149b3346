/// A powder against its band of shares passing, and a lot against the lots before it.
///
/// Formula      band: off = F − upper above it, F − lower below it, 0 inside
///              lots: interval x̄ ± t_(n−1,(1+c)/2)·s·√(1 + 1/n) for one value more; z = (x − x̄)/s
/// Symbols      F share passing; lower, upper limits of it; x̄, s, n of the last lots, at most
///              `window` of them; c confidence, 0.5 < c < 1
/// Valid        the earlier lots are one population without a drift and nearly normal. Being
///              outside says that the lot is unlike its forerunners, not that it is bad; being
///              inside does not say that it is good: the specification does. 5 lots or more.
/// Uncertainty  of the interval: that of s, about s/√(2(n − 1))
/// Source       prediction interval of one future value: definition, remembered, not verified,
///              checked against SciPy; window of twenty lots: rule of this project
/// Errors       band.count, band.limits, band.share, lots.few, lots.not_finite, lots.no_spread,
///              lots.confidence, lots.window
/// Pure.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method {

inline constexpr int band_version = 1;
inline constexpr int lot_comparison_version = 1;
inline constexpr int usual_window = 20;

struct BandLimit {
  std::optional<Share> lower, upper;
};

struct BandRow {
  Share off;  ///< below 0: under the lower limit; above 0: over the upper; 0: inside
};

struct BandCheck {
  std::vector<BandRow> rows;
  int outside = 0;
  Share worst;  ///< the largest |off|
};
/// A limit is kept by a share equal to it, to 1e-12.
[[nodiscard]] Result<BandCheck> checkBand(std::span<const Share> passing,
                                          std::span<const BandLimit> limits);

struct LotComparison {
  int lots = 0;  ///< that were used
  double mean = 0;
  double s = 0;
  double low = 0;   ///< of the interval for one value more
  double high = 0;  ///< of the interval for one value more
  double z = 0;
  int below = 0;  ///< how many of the lots lie below the new one
  bool outside = false;
};
/// `earlier` in the order they came; the last `window` of them are used.
[[nodiscard]] Result<LotComparison> compareLot(std::span<const double> earlier, double value,
                                               double confidence, int window = usual_window);

}  // namespace platemark::method
