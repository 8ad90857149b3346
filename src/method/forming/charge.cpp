#include "platemark/method/forming/charge.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "../bad_input.h"
#include "platemark/method/compound/composition.h"

namespace platemark::method {
namespace {

Result<void> checkDesign(const ChargeDesign& design) {
  const double volume = design.pad_volume.in(unit::cubic_centimetre);
  if (!(volume > 0) || !std::isfinite(volume))
    return badInput("charge.volume", "pad_volume", fmt::format("The pad has {:g} cm³.", volume),
                    "above 0 cm³");
  const double loss = design.loss.in(unit::percent);
  if (!(loss >= 0 && loss < 100))
    return badInput("charge.loss", "loss", fmt::format("The loss is {:g} %.", loss),
                    "0 % or more and below 100 %");
  return {};
}

Mass withLoss(Mass pad, Share loss, ChargeLoss basis) {
  const double share = loss.in(unit::one);
  return basis == ChargeLoss::on_pad ? pad * (1 + share) : pad / (1 - share);
}

Result<void> checkWeight(Mass mass, const std::string& field) {
  const double grams = mass.in(unit::gram);
  if (grams > 0 && std::isfinite(grams)) return {};
  return badInput("charge.weight", field, fmt::format("A charge is {:g} g.", grams), "above 0 g");
}

}  // namespace

Result<Charge> chargeWeight(const ChargeDesign& design) {
  if (Result<void> checked = checkDesign(design); !checked) return checked.error();
  const Result<Composition> nominal = composition(design.parts, design.nominal);
  if (!nominal) return nominal.error();
  const Result<Composition> lots = composition(design.parts, design.lots);
  if (!lots) return lots.error();
  const Result<Share> porosity = totalPorosity(design.target, nominal->void_free);
  if (!porosity) return porosity.error();

  const Density lot_target = design.target * (lots->void_free / nominal->void_free);
  const Mass pad = design.pad_volume * lot_target;
  return Charge{withLoss(pad, design.loss, design.basis),
                pad,
                nominal->void_free,
                lots->void_free,
                lot_target,
                *porosity};
}

Result<ChargeDeviation> chargeDeviation(Mass target, std::span<const Mass> charges) {
  if (Result<void> checked = checkWeight(target, "target"); !checked) return checked.error();
  if (charges.empty())
    return badInput("charge.none", "charges", "No charge was weighed.", "at least one charge");
  Mass offset;  // summed from the target, where the charges lie: nothing is lost to rounding
  for (std::size_t i = 0; i < charges.size(); ++i) {
    if (Result<void> checked = checkWeight(charges[i], fmt::format("charges[{}]", i)); !checked)
      return checked.error();
    offset = offset + (charges[i] - target);
  }
  const auto [light, heavy] = std::minmax_element(charges.begin(), charges.end());
  const Mass lowest = *light - target, highest = *heavy - target;
  const Mass dust = target * 1e-12;  // of binary rounding: 1 g above and 1 g below are as far
  return ChargeDeviation{target + offset / static_cast<double>(charges.size()), lowest, highest,
                         highest > -lowest + dust ? highest : lowest};
}

}  // namespace platemark::method
