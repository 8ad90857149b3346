/// Charge weight of one pad: what goes into the cavity so that the pad comes out at its density.
///
/// Formula      ρ_t,lot = ρ_t · ρ_th,lot/ρ_th,nom   (total porosity P = 1 − ρ_t/ρ_th,nom is held)
///              m_pad = V·ρ_t,lot
///              m = m_pad·(1 + λ)  loss on pad basis;  m = m_pad/(1 − λ)  loss on charge basis
/// Symbols      V volume of compound on one pad, cm³, above 0; ρ_t target density, g/cm³, above 0
///              and at most ρ_th,nom; ρ_th void-free density at nominal and at the lots' densities,
///              g/cm³ (composition.h); λ mass lost from charge to ground pad, share, 0 ≤ λ < 1;
///              m charge, g
/// Valid        the lots differ from nominal in density only; λ is a property of the process and
///              holds moisture, volatiles, flash and stock that is ground off. The two bases differ
///              by about λ²: say which one is used.
/// Uncertainty  not propagated; λ and the lots' densities govern.
/// Source       mass balance, definition of this project
/// Errors       charge.volume, charge.loss, charge.none, charge.weight, and those of composition.h
/// Pure.
#pragma once

#include <span>
#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method {

inline constexpr int charge_version = 1;

enum class ChargeLoss { on_pad, on_charge };

struct ChargeDesign {
  Volume pad_volume;
  Density target;  ///< at the ingredients' nominal densities
  Share loss;
  ChargeLoss basis = ChargeLoss::on_pad;
  std::vector<double> parts;     ///< mass parts of the formula
  std::vector<Density> nominal;  ///< of each ingredient
  std::vector<Density> lots;     ///< of the lots in the mix
};

struct Charge {
  Mass charge;
  Mass pad;
  Density void_free_nominal;
  Density void_free_lots;
  Density lot_target;
  Share porosity;  ///< held
};

[[nodiscard]] Result<Charge> chargeWeight(const ChargeDesign& design);

/// Weighed charges against their target; differences are charge − target.
struct ChargeDeviation {
  Mass mean;     ///< of the charges
  Mass lowest;   ///< smallest difference
  Mass highest;  ///< largest difference
  Mass worst;    ///< the difference farthest from zero; of two as far, the light one
};

/// Errors: charge.none, charge.weight.
[[nodiscard]] Result<ChargeDeviation> chargeDeviation(Mass target, std::span<const Mass> charges);

}  // namespace platemark::method
