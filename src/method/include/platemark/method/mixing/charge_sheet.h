/// What to weigh of each ingredient for one mix, and within which limits.
///
/// Formula      Mᵢ = M·mᵢ/Σm;  limits Mᵢ·(1 ∓ tᵢ)
/// Symbols      mᵢ mass parts of line i, above 0; M mass of the mix, kg, above 0; tᵢ tolerance of
///              line i as a share of its own mass, 0 ≤ tᵢ < 1; Mᵢ mass to weigh, kg
/// Valid        lines keep the order given, which is the order of loading.
/// Uncertainty  none in the sheet; the scale must resolve the narrowest tolerance.
/// Source       proportion, definition of this project
/// Errors       charge_sheet.empty, charge_sheet.parts, charge_sheet.tolerance,
///              charge_sheet.mix_mass
/// Pure.
#pragma once

#include <span>
#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method {

inline constexpr int charge_sheet_version = 1;

struct ChargeSheetLine {
  double parts = 0;
  Share tolerance;  ///< of this line's own mass
};

struct ChargeSheetMass {
  Mass target;
  Mass lowest;
  Mass highest;
};

[[nodiscard]] Result<std::vector<ChargeSheetMass>> chargeSheet(
    std::span<const ChargeSheetLine> formula, Mass mix);

}  // namespace platemark::method
