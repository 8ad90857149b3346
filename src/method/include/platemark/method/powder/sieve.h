/// Sieve analysis: what share of a powder passes each sieve, and the sizes that given shares pass.
///
/// Formula      M = Σ mᵢ + m_pan;  L = (m₀ − M)/m₀;  Rᵢ = mᵢ/N;  Cᵢ = Σ_{j≤i} Rⱼ;  Fᵢ = 1 − Cᵢ
///              log D_p = log x_a + (log x_b − log x_a)·(p − F_a)/(F_b − F_a), a the finer
///              neighbour
/// Symbols      xᵢ aperture, µm, above 0 and strictly falling; mᵢ mass retained on sieve i, g, 0 or
///              more; m_pan mass in the pan, g, 0 or more; m₀ initial dry mass, g, above 0;
///              N the denominator, M or m₀; R, C, F shares; p share, above 0 and below 1
/// Valid        dry powder, sieved to its end point. With N = m₀ the loss counts as passing.
///              D_p is never extrapolated: a share below what passes the finest sieve is only known
///              to be finer than that sieve, one above what passes the coarsest only coarser. Where
///              two neighbours pass the same share p the finer one is returned and flagged. A share
///              is matched to 1e-12, so that binary sums of decimal masses do not move a size.
/// Uncertainty  not propagated: apertures (their permitted deviations are a few per cent), end
/// point
///              and sampling outweigh the balance. D_p depends on the set of sieves used.
/// Source       retained, cumulative, passing and interpolation: worked example citing
///              ASTM C136/C136M-19, read; initial mass as denominator: soil-mechanics exercise,
///              read; standard itself not read
/// Errors       sieve.no_sieves, sieve.count, sieve.aperture, sieve.order, sieve.mass,
///              sieve.initial, sieve.empty, sieve.more_than_initial, sieve.share
/// Pure.
#pragma once

#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method {

inline constexpr int sieve_version = 1;

enum class SieveDenominator { recovered, initial };

struct Sieving {
  std::vector<Length> apertures;  ///< coarse to fine
  std::vector<Mass> retained;     ///< on each, in the same order
  Mass pan;
  Mass initial;
  SieveDenominator denominator = SieveDenominator::recovered;
};

struct SieveRow {
  Length aperture;
  Share retained;
  Share cumulative;
  Share passing;
};

struct SieveAnalysis {
  std::vector<SieveRow> rows;  ///< coarse to fine
  Mass recovered;
  Share loss;  ///< negative when more came out than went in
};

enum class SizeKind {
  interpolated,
  plateau,               ///< two neighbours pass this very share; the finer one is given
  finer_than_finest,     ///< only a bound: finer than `size`
  coarser_than_coarsest  ///< only a bound: coarser than `size`
};

struct PassingSize {
  Length size;
  SizeKind kind = SizeKind::interpolated;
};

[[nodiscard]] Result<SieveAnalysis> sieveAnalysis(const Sieving& sieving);
/// D_p of an analysis. Errors: sieve.share, sieve.no_sieves.
[[nodiscard]] Result<PassingSize> passingSize(const SieveAnalysis& analysis, Share share);

}  // namespace platemark::method
