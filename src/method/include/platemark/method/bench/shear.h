/// Shear strength of the bond between compound and plate, in N/cm² (1 MPa = 100 N/cm²).
///
/// Formula      τ = F / A;  material left on the plate = area with compound / A
/// Symbols      F force at failure, N, above 0; A bond area, contact of lining and carrier, cm²,
///              above 0; share of bond-line failure: bare area of plate / A, 0 to 100 %
/// Valid        one pad up to 30 MPa (3000 N/cm²): above it no bonded pad is known, and the
///              usual cause is N/mm² written for N/cm². The lowest pad, not only the mean, is
///              compared with a limit. Load rate 4500 ± 1000 N/s or 10 ± 1 mm/min; shims off.
/// Uncertainty  (u(τ)/τ)² = (u(F)/F)² + (u(A)/A)²; between pads at least s/√n of the mean
/// Source       definition: ISO 6312:2001, 3.3 and 3.4, read; load rate: ISO 6312:2010, read;
///              shims: SAE J840, read through another text; the 30 MPa bound and the rule of the
///              lowest pad: definitions of this project
/// Errors       shear.force, shear.bond_area, shear.implausible, shear.share_out_of_range,
///              shear.no_pad
/// Pure.
#pragma once

#include <optional>
#include <span>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::bench {

inline constexpr int shear_version = 1;
inline constexpr Pressure highest_plausible_shear = Pressure::of(30, unit::megapascal);

[[nodiscard]] Result<Pressure> shearStrength(Force at_failure, Area bond);
/// For strengths and for limits typed by hand. Errors: shear.implausible, naming the slip of unit.
[[nodiscard]] Result<void> plausibleShear(Pressure shear);
/// A part of the bond area as a share of it, e.g. compound left on the plate.
/// Errors: shear.bond_area, shear.share_out_of_range.
[[nodiscard]] Result<Share> shareOfBond(Area part, Area bond);
/// A share read by eye. Errors: shear.share_out_of_range outside 0 to 100 %.
[[nodiscard]] Result<Share> bondLineShare(Share read);

struct ShearSummary {
  Pressure mean;
  Pressure lowest;
  std::optional<Pressure> s;  ///< sample standard deviation; none for one pad
  int pads = 0;
};
[[nodiscard]] Result<ShearSummary> summariseShear(std::span<const Pressure> pads);

}  // namespace platemark::method::bench
