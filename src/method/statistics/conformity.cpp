#include "platemark/method/statistics/conformity.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "../bad_input.h"
#include "../root.h"
#include "platemark/method/statistics/distribution.h"

namespace platemark::method::statistics {
namespace {

/// Φ(b) − Φ(a), taken on the side where neither is close to 1.
double normalBetween(double a, double b) {
  return a > 0 ? normalShare(-a) - normalShare(-b) : normalShare(b) - normalShare(a);
}

Result<void> checkRequired(double required) {
  if (required > 0.5 && required < 1) return {};
  return badInput("conformity.required", "required",
                  fmt::format("A conformance probability of {:g} % is required.", 100 * required),
                  "above 50 % and below 100 %");
}

}  // namespace

double conformanceProbability(double value, double u, std::optional<double> lower,
                              std::optional<double> upper) {
  constexpr double infinity = std::numeric_limits<double>::infinity();
  if (!(u > 0) || (!lower && !upper)) return std::numeric_limits<double>::quiet_NaN();
  return normalBetween(lower ? (*lower - value) / u : -infinity,
                       upper ? (*upper - value) / u : infinity);
}

Result<double> guardBandFactor(double required) {
  if (Result<void> checked = checkRequired(required); !checked) return checked.error();
  // Beyond 9 standard uncertainties Φ is 1 in double precision.
  return rootOf([&](double z) { return normalShare(z) - required; }, 0.0, 9.0);
}

Result<double> guardBandFactor(double required, double width) {
  if (Result<void> checked = checkRequired(required); !checked) return checked.error();
  if (!(width > 0))
    return badInput("conformity.width", "width",
                    fmt::format("The limits lie {:g} standard uncertainties apart.", width),
                    "above 0");
  const double best = normalBetween(-width / 2, width / 2);
  if (best < required)
    return badInput("conformity.no_acceptance_zone", "width",
                    fmt::format("Limits {:g} standard uncertainties apart allow {:.2f} % at best; "
                                "{:g} % are required.",
                                width, 100 * best, 100 * required),
                    "limits farther apart or a smaller uncertainty",
                    "Measure with a smaller uncertainty, or agree on another rule.");
  const auto short_of = [&](double g) { return normalBetween(g - width, g) - required; };
  return rootOf(short_of, 0.0, std::min(width / 2, 9.0));
}

}  // namespace platemark::method::statistics
