/// How probable it is that a measured value conforms to its limits, and how far to stay off them.
///
/// Formula      p_c = Φ((U − y)/u) − Φ((L − y)/u); an absent limit drops its term
///              one limit: Φ(g/u) = required;  two limits: Φ(g/u) − Φ(g/u − w) = required,
///              w = (U − L)/u
/// Symbols      y measured value; u its standard uncertainty (k = 1), above 0; L, U limits, in the
///              unit of y, L < U; p_c share; g guard band, g/u factor; required conformance
///              probability, 0.5 < required < 1
/// Valid        normal, nothing known of the quantity beforehand.
/// Uncertainty  does not apply; the accuracy is that of erfc, a few units in the last digit.
/// Source       JCGM 106:2012, clause 7 (also ISO/IEC Guide 98-4), remembered, not verified
/// Errors       conformity.required, conformity.width, conformity.no_acceptance_zone
/// Pure.
#pragma once

#include <optional>

#include "platemark/quantity/result.h"

namespace platemark::method::statistics {

inline constexpr int conformity_version = 1;

/// The caller sees to u > 0 and at least one limit; otherwise the answer is not a number.
[[nodiscard]] double conformanceProbability(double value, double u, std::optional<double> lower,
                                            std::optional<double> upper);

/// g/u for one limit, z_(1−α) with required = 1 − α. Error: conformity.required.
[[nodiscard]] Result<double> guardBandFactor(double required);
/// g/u for two limits `width_in_u` = (U − L)/u apart.
/// Errors: conformity.required, conformity.width, conformity.no_acceptance_zone.
[[nodiscard]] Result<double> guardBandFactor(double required, double width_in_u);

}  // namespace platemark::method::statistics
