/// Mass shares, volume shares and void-free density of a formula given in mass parts; total
/// porosity.
///
/// Formula      wᵢ = mᵢ/Σm;  φᵢ = (wᵢ/ρᵢ)/Σ(w/ρ);  1/ρ_th = Σ wᵢ/ρᵢ;  P = 1 − ρ/ρ_th
/// Symbols      mᵢ mass parts of ingredient i, above 0, any common unit; ρᵢ its true density,
/// g/cm³,
///              above 0; wᵢ mass share; φᵢ volume share; ρ_th void-free density, g/cm³;
///              ρ measured or aimed density, g/cm³, above 0; P total porosity, share, 0 or more
/// Valid        volumes add: no ingredient dissolves in another or fills its pores. P holds open
/// and
///              closed pores together and only with the density convention of the ingredients
///              (true, not bulk or tapped). A negative P is an error, never clipped.
/// Uncertainty  not propagated; the ingredients' densities govern.
/// Source       inverse rule of mixtures, definition of this project
/// Errors       composition.empty, composition.count, composition.parts, composition.density,
///              composition.measured_density, composition.negative_porosity, composition.sum
/// Pure.
#pragma once

#include <span>
#include <vector>

#include "platemark/quantity/decimal.h"
#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method {

inline constexpr int composition_version = 1;

struct Composition {
  std::vector<Share> mass;    ///< in the order given
  std::vector<Share> volume;  ///< in the order given
  Density void_free;
};

[[nodiscard]] Result<Composition> composition(std::span<const double> parts,
                                              std::span<const Density> densities);

/// Errors: composition.measured_density, composition.negative_porosity.
[[nodiscard]] Result<Share> totalPorosity(Density measured, Density void_free);

/// A list declared as per cent must sum to 100 within half a unit of each value's last digit.
/// Error: composition.sum.
[[nodiscard]] Result<void> checkPercentSum(std::span<const Decimal> percents);

}  // namespace platemark::method
