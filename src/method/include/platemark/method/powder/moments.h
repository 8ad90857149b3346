/// Mean sizes of a distribution in classes, by the moments of ISO 9276, and its span.
///
/// Formula      D[p,q] = (M_p−r / M_q−r)^(1/(p − q)), M_k = Σ x̄ᵏ_i·w_i
///              x̄ᵏ_i = (b^(k+1) − a^(k+1))/((k + 1)·(b − a)); for k = −1 ln(b/a)/(b − a)
///              log-normal by volume: D[p,q] = x50·exp((p + q − 6)·s²/2)
///              span = (D90 − D10)/D50
/// Symbols      a, b limits of class i, above 0, rising; w_i its weight, counts (r = 0) or mass or
///              volume (r = 3), 0 or more; p, q whole orders, different for classes, −6 to 6; x50
///              median by volume; s standard deviation of ln x, 0 or more
/// Valid        sizes lie evenly within a class. D[3,2] is the Sauter mean, D[4,3] the mean by
///              volume. From counts the coarse classes decide D[4,3]: one particle more or less
///              shifts it.
/// Uncertainty  not propagated; the width of the classes governs
/// Source       ISO 9276-2:2014, its examples read through another text that quotes them; class
///              moments reproduce published means to ten digits; span remembered, not verified
/// Errors       moments.classes, moments.limits, moments.weight, moments.orders, moments.empty,
///              moments.log_normal, moments.span
/// Pure.
#pragma once

#include <span>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method {

inline constexpr int moments_version = 1;

/// What the weight of a class is counted in; its r.
enum class ClassWeight { number = 0, volume = 3 };

/// `limits` has one more than `weights`.
[[nodiscard]] Result<Length> momentMean(std::span<const Length> limits,
                                        std::span<const double> weights, ClassWeight weight, int p,
                                        int q);
[[nodiscard]] Result<Length> logNormalMean(Length median_by_volume, double s, int p, int q);
/// Errors: moments.span unless 0 < D10 ≤ D50 ≤ D90.
[[nodiscard]] Result<double> sizeSpan(Length d10, Length d50, Length d90);

}  // namespace platemark::method
