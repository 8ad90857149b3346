/// A value with its uncertainty against limits, by a rule that was agreed before.
///
/// Formula      acceptance limits: lower + g, upper − g; rejection beyond lower − g, upper + g
///              simple: g = 0;  expanded: g = 2·u;  required probability: g = factor·u of
///              conformity.h
/// Symbols      g guard band; u standard uncertainty, 0 or more for the simple rule, else above 0
/// Valid        normal; a value on an acceptance limit is accepted. Between the acceptance and the
///              rejection limit nothing is proved: who has to prove carries the uncertainty.
/// Uncertainty  does not apply
/// Source       JCGM 106:2012, clause 8; ISO 14253-1:2017 with 95 % as the usual probability; both
///              remembered, not verified
/// Errors       decision.value, decision.u, decision.no_limit, decision.limits, conformity.*,
///              rounding.text, rounding.decimals
/// Pure.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "platemark/quantity/result.h"

namespace platemark::method::statistics {

inline constexpr int decision_version = 1;

enum class GuardRule { simple, expanded, probability };
enum class Outcome { conforms, undecided, does_not_conform };

struct DecisionInput {
  double value = 0;
  double u = 0;
  std::optional<double> lower, upper;
  GuardRule rule = GuardRule::simple;
  double required = 0.95;  ///< for GuardRule::probability
};

struct Decision {
  Outcome outcome = Outcome::undecided;
  double guard_band = 0;
  std::optional<double> probability;  ///< of conformity; none without an uncertainty
  std::optional<double> accept_from, accept_to;
};
[[nodiscard]] Result<Decision> decide(const DecisionInput& in);

enum class RoundingRule { half_even, half_away };
/// A plain decimal number rounded in its digits, so that 2.675 is the tie it looks like. Errors:
/// rounding.text, rounding.decimals (0 to 12).
[[nodiscard]] Result<std::string> roundedText(std::string_view decimal, int decimals,
                                              RoundingRule rule);

}  // namespace platemark::method::statistics
