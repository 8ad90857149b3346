/// Shares and quantiles of the distributions that tests and intervals are made with.
///
/// Formula      normal Φ(z) = erfc(−z/√2)/2;  Student P(T ≤ t) = 1 − I_x(ν/2, 1/2)/2 for t ≥ 0 with
///              x = ν/(ν + t²);  Fisher P(F > f) = I_x(ν2/2, ν1/2) with x = ν2/(ν2 + ν1·f);  I_x
///              the regularised incomplete beta function, by its continued fraction
/// Symbols      ν, ν1, ν2 degrees of freedom, above 0; quantiles for 0 < p < 1; f 0 or more
/// Valid        outside these ranges the answer is not a number: the caller's check is missing.
/// Uncertainty  about 1e-13 of the smaller tail; quantiles are halved until neighbouring doubles
///              are left
/// Source       definitions; continued fraction: Abramowitz and Stegun, Handbook of Mathematical
///              Functions (1964), 26.5.8, remembered, not verified; checked against SciPy
/// Errors       none
/// Pure.
#pragma once

namespace platemark::method::statistics {

/// Φ(z); minus and plus infinity give 0 and 1.
[[nodiscard]] double normalShare(double z);
[[nodiscard]] double normalQuantile(double p);

/// P(T ≤ t).
[[nodiscard]] double studentShare(double t, double degrees);
[[nodiscard]] double studentQuantile(double p, double degrees);
/// P(|T| > |t|).
[[nodiscard]] double studentTails(double t, double degrees);

/// P(F > f).
[[nodiscard]] double fisherTail(double f, double degrees_above, double degrees_below);

/// I_x(a, b) for 0 ≤ x ≤ 1, a and b above 0.
[[nodiscard]] double incompleteBeta(double x, double a, double b);

}  // namespace platemark::method::statistics
