#include "platemark/method/forming/charge.h"

#include "platemark/method/compound/composition.h"

namespace platemark::method::forming {
namespace {

Error inputError(std::string_view code, std::string what, std::string field) {
  Error error;
  error.code = "forming." + std::string(code);
  error.what = std::move(what);
  error.where.field = std::move(field);
  return error;
}

Mass withLoss(Mass pad, double loss, LossBasis basis) { return basis == LossBasis::pad ? pad * (1.0 + loss) : pad / (1.0 - loss); }

}  // namespace

Result<Charge> chargeWeight(const ChargeInput& in) {
  const double loss = in.loss.in(unit::one);
  if (!(in.pad_volume > Volume{})) return inputError("not_positive", "The pad's volume must be above zero.", "pad_volume");
  if (!(in.target_density > Density{})) return inputError("not_positive", "The target density must be above zero.", "target_density");
  if (!(loss >= 0 && loss < 0.5)) return inputError("loss", "The loss must be from 0 to below 50 %.", "loss");
  const auto nominal = compound::compose(in.parts, in.nominal);
  if (!nominal) return nominal.error();
  const auto lots = compound::compose(in.parts, in.lots);
  if (!lots) return lots.error();
  if (in.target_density >= nominal->void_free) return inputError("no_voids", "The target density is not below the density without voids.", "target_density");
  Charge charge;
  charge.void_free_nominal = nominal->void_free;
  charge.void_free_lots = lots->void_free;
  charge.porosity = Share::of(1.0 - in.target_density / nominal->void_free, unit::one);
  charge.lot_target = in.target_density * (lots->void_free / nominal->void_free);
  charge.pad = in.pad_volume * charge.lot_target;
  charge.charge = withLoss(charge.pad, loss, in.basis);
  return charge;
}

}  // namespace platemark::method::forming
