/// Mass and volume shares of a formula, and its density without voids [kg/m³ inside].
///
///   w_i = m_i / Σ m      φ_i = (w_i/ρ_i) / Σ (w_j/ρ_j)      1/ρ_th = Σ w_i/ρ_i
///   total porosity P = 1 − ρ/ρ_th
///
///   m_i   mass parts, > 0      ρ_i   true density of the ingredient, > 0, not bulk
///   ρ     measured density     ρ_th  void-free density
///
/// Densities are never averaged by mass: that gives 3.98 instead of 2.77 g/cm³ on a usual formula.
/// A measured density above ρ_th means a wrong ingredient density, a bulk density taken for a true one,
/// or fluid taken up: it is an error, not a negative porosity.
/// Source: inverse rule of mixtures, mass balance; worked values in tests/method/cases/composition.csv.
/// Errors: compound.empty, compound.not_positive, compound.sizes, compound.denser_than_solid. Pure; any thread.
#pragma once

#include <span>
#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::compound {

inline constexpr int composition_version = 1;

struct Composition {
  std::vector<double> mass_share;    ///< 0…1, in the order given
  std::vector<double> volume_share;  ///< 0…1
  Density void_free;
};

[[nodiscard]] Result<Composition> compose(std::span<const double> parts, std::span<const Density> densities);
[[nodiscard]] Result<Share> totalPorosity(Density measured, Density void_free);

}  // namespace platemark::method::compound
