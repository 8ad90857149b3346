#include "platemark/method/statistics/decision.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "../bad_input.h"
#include "platemark/method/statistics/conformity.h"

namespace platemark::method::statistics {
namespace {

Result<void> checkInput(const DecisionInput& in) {
  if (!std::isfinite(in.value))
    return badInput("decision.value", "value", "The value is no number.", "a number");
  const bool unsure = in.rule != GuardRule::simple;
  if (!(in.u >= 0) || !std::isfinite(in.u) || (unsure && in.u == 0))
    return badInput("decision.u", "u", fmt::format("The standard uncertainty is {:g}.", in.u),
                    unsure ? "above 0" : "0 or more");
  if (!in.lower && !in.upper)
    return badInput("decision.no_limit", "upper", "No limit is given.",
                    "a lower or an upper limit, or both");
  if (in.lower && in.upper && !(*in.lower < *in.upper))
    return badInput("decision.limits", "lower", "The lower limit does not lie below the upper one.",
                    "below the upper limit");
  return {};
}

Result<double> guardBand(const DecisionInput& in) {
  if (in.rule == GuardRule::simple) return 0.0;
  if (in.rule == GuardRule::expanded) return 2 * in.u;
  const Result<double> factor = in.lower && in.upper
                                    ? guardBandFactor(in.required, (*in.upper - *in.lower) / in.u)
                                    : guardBandFactor(in.required);
  if (!factor) return factor.error();
  return *factor * in.u;
}

Outcome outcomeOf(const DecisionInput& in, double guard) {
  const bool above = !in.lower || in.value >= *in.lower + guard;
  const bool below = !in.upper || in.value <= *in.upper - guard;
  if (above && below) return Outcome::conforms;
  const bool out =
      (in.lower && in.value < *in.lower - guard) || (in.upper && in.value > *in.upper + guard);
  return out ? Outcome::does_not_conform : Outcome::undecided;
}

/// Digits of a decimal number without its point, and how many stand behind the point.
struct Digits {
  bool negative = false;
  std::string digits;
  int behind = 0;
};

Result<Digits> digitsOf(std::string_view text) {
  Digits found;
  std::string_view rest = text;
  if (!rest.empty() && (rest.front() == '-' || rest.front() == '+')) {
    found.negative = rest.front() == '-';
    rest.remove_prefix(1);
  }
  bool point = false;
  for (const char c : rest) {
    const bool digit = c >= '0' && c <= '9';
    if (!digit && (c != '.' || point)) {
      found.digits.clear();
      break;
    }
    if (digit) found.digits += c;
    if (digit && point) ++found.behind;
    point = point || c == '.';
  }
  if (!found.digits.empty()) return found;
  return badInput("rounding.text", "decimal",
                  fmt::format("'{}' is no plain decimal number.", text.substr(0, 30)),
                  "digits with at most one point");
}

/// Whether what is cut off after `keep` digits carries one up.
bool roundsUp(const std::string& digits, std::size_t keep, RoundingRule rule) {
  if (keep >= digits.size()) return false;
  const std::string_view cut = std::string_view(digits).substr(keep);
  const bool tie = cut.front() == '5' && cut.find_first_not_of('0', 1) == std::string_view::npos;
  if (!tie) return cut.front() >= '5';
  const bool odd = keep > 0 && (digits[keep - 1] - '0') % 2 == 1;
  return rule == RoundingRule::half_away || odd;
}

void carry(std::string& digits) {
  for (auto at = digits.rbegin(); at != digits.rend(); ++at) {
    if (*at != '9') {
      ++*at;
      return;
    }
    *at = '0';
  }
  digits.insert(digits.begin(), '1');
}

}  // namespace

Result<Decision> decide(const DecisionInput& in) {
  if (Result<void> checked = checkInput(in); !checked) return checked.error();
  const Result<double> guard = guardBand(in);
  if (!guard) return guard.error();
  Decision decision;
  decision.guard_band = *guard;
  decision.outcome = outcomeOf(in, *guard);
  if (in.u > 0) decision.probability = conformanceProbability(in.value, in.u, in.lower, in.upper);
  if (in.lower) decision.accept_from = *in.lower + *guard;
  if (in.upper) decision.accept_to = *in.upper - *guard;
  return decision;
}

Result<std::string> roundedText(std::string_view decimal, int decimals, RoundingRule rule) {
  if (decimals < 0 || decimals > 12)
    return badInput("rounding.decimals", "decimals", fmt::format("{} decimals.", decimals),
                    "0 to 12");
  Result<Digits> found = digitsOf(decimal);
  if (!found) return found.error();
  std::string& digits = found->digits;
  digits.append(static_cast<std::size_t>(std::max(0, decimals - found->behind)), '0');
  const int behind = std::max(found->behind, decimals);
  // Leading noughts, so that a whole digit stands before the point and something can be kept.
  const auto wanted = static_cast<std::size_t>(behind) + 1;
  if (digits.size() < wanted) digits.insert(0, wanted - digits.size(), '0');
  const std::size_t keep = digits.size() - static_cast<std::size_t>(behind - decimals);
  const bool up = roundsUp(digits, keep, rule);
  digits.resize(keep);
  if (up) carry(digits);
  digits.erase(0, std::min(digits.find_first_not_of('0'),
                           digits.size() - static_cast<std::size_t>(decimals) - 1));
  const bool zero = digits.find_first_not_of('0') == std::string::npos;
  if (decimals > 0) digits.insert(digits.size() - static_cast<std::size_t>(decimals), ".");
  return (found->negative && !zero ? "-" : "") + digits;
}

}  // namespace platemark::method::statistics
