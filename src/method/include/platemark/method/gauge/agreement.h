/// Agreement of people who sort parts into classes: kappa, and how often they are right.
///
/// Formula      κ = (p_o − p_e)/(1 − p_e)
///              two people (Cohen): p_o share of parts on which both agree; p_e = Σ a_k·b_k, a and
///              b the shares with which each uses class k several people (Fleiss): p_o mean over
///              parts of Σ_k n_k(n_k − 1)/(m(m − 1)); p_e = Σ q_k², q_k share of all sortings into
///              class k against the known answer: right/all; missed = bad parts let through/bad
///              parts; false alarms = good parts turned away/good parts
/// Symbols      m people a part was sorted by, 2 or more; n_k how many of them took class k
/// Valid        classes without an order; every part sorted by as many people. κ falls when one
///              class is rare, at the same share of agreement: compare only like studies. κ is
///              undefined when everybody used one class only.
/// Uncertainty  standard error of Cohen's κ: Fleiss, Cohen and Everitt (1969); of Fleiss' κ under
///              no agreement: Fleiss, Nee and Landis (1979); both remembered, not verified, and
///              checked against statsmodels
/// Source       J. Cohen, Educ. Psychol. Meas. 20 (1960) 37; J. L. Fleiss, Psychol. Bull. 76 (1971)
///              378; both remembered, not verified
/// Errors       agreement.empty, agreement.count, agreement.people, agreement.one_class,
///              agreement.negative_count
/// Pure.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "platemark/quantity/result.h"

namespace platemark::method::gauge {

inline constexpr int agreement_version = 1;

struct Kappa {
  double kappa = 0;
  double agreed = 0;     ///< p_o
  double by_chance = 0;  ///< p_e
  double standard_error = 0;
};

/// The class each of two people gave to each part.
[[nodiscard]] Result<Kappa> cohenKappa(std::span<const int> first, std::span<const int> second);
/// For each part how many people took each class. The standard error is that under no agreement.
[[nodiscard]] Result<Kappa> fleissKappa(const std::vector<std::vector<int>>& counts);

struct SortedRight {
  double right = 0;                    ///< share of all
  std::optional<double> missed;        ///< share of the bad; none without a bad part
  std::optional<double> false_alarms;  ///< share of the good; none without a good part
};
/// True: good. Errors: agreement.empty, agreement.count.
[[nodiscard]] Result<SortedRight> sortedRight(const std::vector<bool>& answers,
                                              const std::vector<bool>& known);

}  // namespace platemark::method::gauge
