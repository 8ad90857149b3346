/// Chance that a measured thing lies inside its limits [-].
///
///   p = Φ((U − y)/u) − Φ((L − y)/u)      a missing limit drops its term
///
///   y   measured value   u   its standard uncertainty, > 0   L, U   limits, all in one unit
///
/// Valid for a normal distribution of what the thing may be and no prior knowledge.
/// Source: JCGM 106:2012 (ISO/IEC Guide 98-4), clause 7 [formula remembered, not verified; example values checked].
/// Pure; any thread.
#pragma once

#include <optional>

namespace platemark::method::statistics {

inline constexpr int conformity_version = 1;

[[nodiscard]] double conformanceProbability(double value, double u, std::optional<double> lower, std::optional<double> upper);
/// Φ(z), the standard normal distribution.
[[nodiscard]] double normalShareBelow(double z);

}  // namespace platemark::method::statistics
