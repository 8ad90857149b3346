#include "react.h"

#include <type_traits>

#include "elementary.h"

namespace platemark::method::cure {
namespace {

constexpr double least_share = 1e-14;  ///< of binder, so that its logarithm exists

/// Exponents are bounded above by ln A, which checkLaw keeps below 690.
inline Pack expFrom(Pack x) { return fastExp(larger(x, packOf(-690))); }

/// The terms a law has.
enum Form { plain_term = 1, autocatalytic_term = 2, diffusion_term = 4 };

struct Rate {
  Pack value, by_kelvin, by_degree;
};

template <int form, bool with_slopes>
inline Rate rateOf(const Matter& law, Pack kelvin, Pack degree) {
  const Pack alpha = larger(degree, packOf(least_share));
  const Pack rest = larger(1.0 - degree, packOf(least_share));
  const Pack inverse = 1.0 / kelvin, log_rest = law.n * fastLog(rest);
  Pack p{}, q{}, open = packOf(1);
  if constexpr (form & plain_term) p = expFrom(law.log_a1 - law.e1 * inverse + log_rest);
  if constexpr (form & autocatalytic_term)
    q = expFrom(law.log_a2 - law.e2 * inverse + law.m * fastLog(alpha) + log_rest);
  if constexpr (form & diffusion_term)
    open = 1.0 / (1.0 + expFrom(smaller(law.steepness * (alpha - law.critical -
                                                         law.critical_per_kelvin * kelvin),
                                        packOf(690))));
  Rate rate{(p + q) * open, {}, {}};
  if constexpr (with_slopes) {
    rate.by_kelvin = (p * law.e1 + q * law.e2) * inverse * inverse * open;
    Pack slope = -rate.value * law.n / rest;
    if constexpr (form & autocatalytic_term) slope += q * open * law.m / alpha;
    if constexpr (form & diffusion_term) slope -= rate.value * law.steepness * (1.0 - open);
    rate.by_degree = smaller(slope, packOf(0));
  }
  return rate;
}

template <class Row>
void withForm(const Matter& law, Row row) {
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

}  // namespace

void rateRow(const Matter& law, const double* kelvin, const double* degree, double* rate) {
  withForm(law, [&](auto form) {
    for (std::size_t l = 0; l < lanes; l += pack_lanes)
      put(rate + l,
          rateOf<decltype(form)::value, false>(law, packAt(kelvin + l), packAt(degree + l)).value);
  });
}

void rateRowWithSlopes(const Matter& law, const double* kelvin, const double* degree, double* rate,
                       double* by_kelvin, double* by_degree) {
  withForm(law, [&](auto form) {
    for (std::size_t l = 0; l < lanes; l += pack_lanes) {
      const Rate found =
          rateOf<decltype(form)::value, true>(law, packAt(kelvin + l), packAt(degree + l));
      put(rate + l, found.value);
      put(by_kelvin + l, found.by_kelvin);
      put(by_degree + l, found.by_degree);
    }
  });
}

}  // namespace platemark::method::cure
