/// Charge weight for one pad [kg inside].
///
///   P        = 1 − ρ_target / ρ_th(nominal)            total porosity that the formula aims at
///   ρ_lot    = (1 − P) ρ_th(lots) = ρ_target · ρ_th(lots)/ρ_th(nominal)
///   m_pad    = V ρ_lot
///   charge   = m_pad (1 + λ)   loss on pad basis       charge = m_pad / (1 − λ)   loss on charge basis
///
///   V   volume of compound on one pressed and cured pad, > 0     ρ_target   at the nominal ingredient densities
///   λ   loss: flash, moisture, volatiles, 0 ≤ λ < 0.5            lots        densities of the lots in the mix
///
/// A charge right for the old lot is wrong for a denser one: with the porosity held, the weight follows the
/// void-free density. The two loss conventions differ by λ²; which one was used is part of the input.
/// Uncertainty: not stated here; it is that of the lot densities.
/// Source: mass balance; worked values in tests/method/cases/charge.csv.
/// Errors: compound.*, forming.not_positive, forming.loss, forming.no_voids (target at or above the void-free density). Pure.
#pragma once

#include <span>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::forming {

inline constexpr int charge_version = 1;

enum class LossBasis { pad, charge };

struct ChargeInput {
  Volume pad_volume;
  Density target_density;
  Share loss;
  LossBasis basis = LossBasis::pad;
  std::span<const double> parts;
  std::span<const Density> nominal;
  std::span<const Density> lots;
};
struct Charge {
  Mass charge;
  Mass pad;
  Density void_free_nominal;
  Density void_free_lots;
  Density lot_target;
  Share porosity;
};

[[nodiscard]] Result<Charge> chargeWeight(const ChargeInput& input);

}  // namespace platemark::method::forming
