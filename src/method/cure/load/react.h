/// Rates of cure of one cell in all lanes.
#pragma once

#include <type_traits>

#include "elementary.h"
#include "grid.h"

namespace platemark::method::cure {

inline constexpr double least_share = 1e-14;  ///< of binder, so that its logarithm exists

/// Exponents are bounded above by ln A, which checkLaw keeps below 690.
template <class Pack>
inline Pack expFrom(const Pack& x) {
  return fastExp<Pack>(larger<Pack>(x, packOf<Pack>(-690)));
}

/// The terms a law has.
enum Form { plain_term = 1, autocatalytic_term = 2, diffusion_term = 4 };

template <class Pack>
struct Rate {
  Pack value, by_kelvin, by_degree;
};

template <int form, bool with_slopes, class Pack>
inline Rate<Pack> rateOf(const Matter& law, const Pack& kelvin, const Pack& degree) {
  const Pack alpha = larger<Pack>(degree, packOf<Pack>(least_share));
  const Pack rest = larger<Pack>(1.0 - degree, packOf<Pack>(least_share));
  const Pack inverse = 1.0 / kelvin, log_rest = law.n * fastLog<Pack>(rest);
  Pack p{}, q{}, open = packOf<Pack>(1);
  if constexpr (form & plain_term) p = expFrom<Pack>(law.log_a1 - law.e1 * inverse + log_rest);
  if constexpr (form & autocatalytic_term)
    q = expFrom<Pack>(law.log_a2 - law.e2 * inverse + law.m * fastLog<Pack>(alpha) + log_rest);
  if constexpr (form & diffusion_term)
    open =
        1.0 / (1.0 + expFrom<Pack>(smaller<Pack>(
                         law.steepness * (alpha - law.critical - law.critical_per_kelvin * kelvin),
                         packOf<Pack>(690))));
  Rate<Pack> rate{(p + q) * open, {}, {}};
  if constexpr (with_slopes) {
    rate.by_kelvin = (p * law.e1 + q * law.e2) * inverse * inverse * open;
    Pack slope = -rate.value * law.n / rest;
    if constexpr (form & autocatalytic_term) slope += q * open * law.m / alpha;
    if constexpr (form & diffusion_term) slope -= rate.value * law.steepness * (1.0 - open);
    rate.by_degree = smaller<Pack>(slope, packOf<Pack>(0));
  }
  return rate;
}

template <class Row>
inline void withForm(const Matter& law, Row row) {
  const int form = (law.plain ? plain_term : 0) + (law.autocatalytic ? autocatalytic_term : 0) +
                   (law.diffusion ? diffusion_term : 0);
  switch (form) {
    case 1:
      return row(std::integral_constant<int, 1>());
    case 2:
      return row(std::integral_constant<int, 2>());
    case 3:
      return row(std::integral_constant<int, 3>());
    case 5:
      return row(std::integral_constant<int, 5>());
    case 6:
      return row(std::integral_constant<int, 6>());
    default:
      return row(std::integral_constant<int, 7>());
  }
}

/// dα/dt in 1/s.
template <class Pack>
inline void rateRow(const Matter& law, const double* kelvin, const double* degree, double* rate) {
  withForm(law, [&](auto form) {
    for (std::size_t l = 0; l < lanes; l += pack_lanes<Pack>)
      put(rate + l, rateOf<decltype(form)::value, false, Pack>(law, packAt<Pack>(kelvin + l),
                                                               packAt<Pack>(degree + l))
                        .value);
  });
}

/// And how it moves with T and α; growth with α is left out, as the method allows.
template <class Pack>
inline void rateRowWithSlopes(const Matter& law, const double* kelvin, const double* degree,
                              double* rate, double* by_kelvin, double* by_degree) {
  withForm(law, [&](auto form) {
    for (std::size_t l = 0; l < lanes; l += pack_lanes<Pack>) {
      const Rate<Pack> found = rateOf<decltype(form)::value, true, Pack>(
          law, packAt<Pack>(kelvin + l), packAt<Pack>(degree + l));
      put(rate + l, found.value);
      put(by_kelvin + l, found.by_kelvin);
      put(by_degree + l, found.by_degree);
    }
  });
}

}  // namespace platemark::method::cure
