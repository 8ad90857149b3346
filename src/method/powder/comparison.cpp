#include "platemark/method/powder/comparison.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "../bad_input.h"
#include "platemark/method/statistics/distribution.h"
#include "platemark/method/statistics/summary.h"

namespace platemark::method {
namespace {

bool isShare(Share share) { return share >= Share() && share <= Share::of(1, unit::one); }

Result<void> checkLimit(std::size_t i, const BandLimit& limit) {
  const bool given = limit.lower || limit.upper;
  const bool shares =
      isShare(limit.lower.value_or(Share())) && isShare(limit.upper.value_or(Share()));
  const bool ordered = !limit.lower || !limit.upper || *limit.lower <= *limit.upper;
  if (given && shares && ordered) return {};
  return badInput("band.limits", fmt::format("limits[{}]", i),
                  fmt::format("The band of sieve {} is missing, crossed or no share.", i + 1),
                  "a lower or an upper limit from 0 to 100 %, lower not above upper");
}

constexpr Share kept = Share::of(1e-12, unit::one);

Share offBand(Share passing, const BandLimit& limit) {
  if (limit.upper && passing > *limit.upper + kept) return passing - *limit.upper;
  if (limit.lower && passing < *limit.lower - kept) return passing - *limit.lower;
  return Share();
}

Result<void> checkLots(std::span<const double> earlier, double value, double confidence,
                       int window) {
  constexpr int fewest = 5;
  if (window < fewest)
    return badInput("lots.window", "window", fmt::format("The window has {} lots.", window),
                    "5 lots or more");
  if (!(confidence > 0.5 && confidence < 1))
    return badInput("lots.confidence", "confidence",
                    fmt::format("A confidence of {:g} % is asked for.", 100 * confidence),
                    "above 50 % and below 100 %");
  if (earlier.size() < fewest)
    return badInput("lots.few", "earlier", fmt::format("{} earlier lots.", earlier.size()),
                    "5 lots or more", "Judge the lot by its specification until there are more.");
  for (std::size_t i = 0; i < earlier.size(); ++i)
    if (!std::isfinite(earlier[i]))
      return badInput("lots.not_finite", fmt::format("earlier[{}]", i),
                      fmt::format("Lot {} has no number.", i + 1), "a number");
  if (std::isfinite(value)) return {};
  return badInput("lots.not_finite", "value", "The lot has no number.", "a number");
}

}  // namespace

Result<BandCheck> checkBand(std::span<const Share> passing, std::span<const BandLimit> limits) {
  if (passing.empty() || passing.size() != limits.size())
    return badInput("band.count", "limits",
                    fmt::format("{} sieves, but {} bands.", passing.size(), limits.size()),
                    "one band for each sieve");
  BandCheck check;
  for (std::size_t i = 0; i < passing.size(); ++i) {
    if (Result<void> limit = checkLimit(i, limits[i]); !limit) return limit.error();
    if (!isShare(passing[i]))
      return badInput("band.share", fmt::format("passing[{}]", i),
                      fmt::format("A share passing is {:g} %.", passing[i].in(unit::percent)),
                      "0 to 100 %");
    const Share off = offBand(passing[i], limits[i]);
    check.rows.push_back({off});
    check.outside += off == Share() ? 0 : 1;
    check.worst = std::max(check.worst, std::max(off, -off));
  }
  return check;
}

Result<LotComparison> compareLot(std::span<const double> earlier, double value, double confidence,
                                 int window) {
  if (Result<void> checked = checkLots(earlier, value, confidence, window); !checked)
    return checked.error();
  const auto lots = earlier.last(std::min(earlier.size(), static_cast<std::size_t>(window)));
  const statistics::Summary found = *statistics::summary(lots);
  if (!(*found.s > 0))
    return badInput("lots.no_spread", "earlier", "All earlier lots have the same value.",
                    "values with enough digits to differ", "Read one digit more.");
  const double n = static_cast<double>(found.n);
  const double reach =
      statistics::studentQuantile((1 + confidence) / 2, n - 1) * *found.s * std::sqrt(1 + 1 / n);
  const auto below = std::count_if(lots.begin(), lots.end(), [&](double x) { return x < value; });
  return LotComparison{static_cast<int>(found.n),
                       found.mean,
                       *found.s,
                       found.mean - reach,
                       found.mean + reach,
                       (value - found.mean) / *found.s,
                       static_cast<int>(below),
                       std::abs(value - found.mean) > reach};
}

}  // namespace platemark::method
