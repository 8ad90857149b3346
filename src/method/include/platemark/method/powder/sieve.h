/// Sieve analysis of a powder: retained, passing, D-values [apertures in m inside].
///
///   M = Σ m_i + m_pan          L = 100 (m₀ − M)/m₀          R_i = 100 m_i / m_d
///   F_i = 100 − Σ_{j ≤ i} R_j   (passing)
///   log D_p = log x_a + (log x_b − log x_a)(p − F_a)/(F_b − F_a)
///
///   m₀   mass taken, > 0   m_i   retained on sieve i, ≥ 0, coarse to fine   m_pan   in the pan, ≥ 0
///   m_d  M (recovered) or m₀ (initial): a parameter, since practice differs
///   x    aperture by designation, strictly falling   p   per cent finer wanted
///
/// D_p is never extrapolated: below the finest sieve's passing it is 'finer than' that sieve, above the coarsest one's
/// 'coarser than'. Two neighbours with equal passing give the finer aperture, flagged.
/// Uncertainty: not stated; the loss L says how far the masses can be trusted.
/// Source: common practice of sieve analysis (ISO 9276-1 names); log-linear interpolation as in published worked examples,
/// tests/method/cases/sieve.csv.
/// Errors: powder.empty, powder.sizes, powder.not_falling, powder.negative, powder.no_mass. Pure; any thread.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::powder {

inline constexpr int sieve_version = 1;

enum class Denominator { recovered, initial };

struct SieveInput {
  std::span<const Length> apertures;  ///< coarse to fine
  std::span<const Mass> retained;
  Mass pan;
  Mass initial;
  Denominator denominator = Denominator::recovered;
};
struct SieveResult {
  Mass recovered;
  double loss = 0;                  ///< %, negative when more came out than went in
  std::vector<double> retained;     ///< %
  std::vector<double> passing;      ///< %, per sieve, coarse to fine
};
[[nodiscard]] Result<SieveResult> analyse(const SieveInput& input);

/// A size, or the side on which it lies when the stack cannot say.
struct SizeAt {
  enum class Known { yes, finer_than, coarser_than };
  Known known = Known::yes;
  Length size;           ///< the size, or the sieve that bounds it
  bool flat = false;     ///< two neighbouring sieves pass the same: the finer one is given
};
[[nodiscard]] SizeAt sizeAt(const SieveResult& result, std::span<const Length> apertures, double per_cent_finer);

/// One designation of a standard's list in an edition; sieves are matched by this, never by exact µm.
struct Sieve {
  std::string_view standard;     ///< "ISO 3310-1"
  std::string_view edition;      ///< "2016"
  std::string_view designation;  ///< "63 µm", "No. 230"
  double micrometres;
};
[[nodiscard]] std::span<const Sieve> sieves();
[[nodiscard]] const Sieve* findSieve(std::string_view standard, std::string_view edition, std::string_view designation);

}  // namespace platemark::method::powder
