#include "platemark/method/cure/kinetics.h"

#include <algorithm>
#include <cmath>

#include "rate_law.h"
#include "wrong_input.h"

namespace platemark::method::cure {
namespace {

constexpr double largest_exponent = 20;

Error kineticsRange(std::string field, std::string expected) {
  return wrongInput("cure.kinetics_range", "A parameter of the rate law is out of range.",
                    std::move(field), std::move(expected),
                    "Check the parameter, its sign and its time unit against its source.");
}

Result<void> checkArrhenius(const std::optional<Arrhenius>& k, const std::string& field) {
  if (!k) return {};
  const double factor = k->factor.in(unit::per_second), energy = k->energy.in(unit::joule_per_mole);
  if (!(factor > 0 && factor <= 1e290))
    return kineticsRange(field + ".factor", "above 0, at most 1e290 per second");
  if (!(energy >= 0 && energy <= 1e6)) return kineticsRange(field + ".energy", "0 to 1000 kJ/mol");
  return {};
}

Result<void> checkDiffusion(const std::optional<DiffusionLimit>& limit) {
  if (!limit) return {};
  if (!(limit->steepness > 0 && limit->steepness <= 1e4))
    return kineticsRange("diffusion.steepness", "above 0, at most 10000");
  if (!std::isfinite(limit->critical_at_zero) ||
      !std::isfinite(limit->critical_per_kelvin.in(unit::per_kelvin)))
    return kineticsRange("diffusion.critical", "finite numbers");
  return {};
}

Result<void> check(const KamalLaw& law) {
  if (!law.plain && !law.autocatalytic)
    return wrongInput("cure.kinetics_none", "The rate law has no rate constant.", "law",
                      "k1, k2 or both", "Enter at least one of them.");
  if (Result<void> k = checkArrhenius(law.plain, "plain"); !k) return k;
  if (Result<void> k = checkArrhenius(law.autocatalytic, "autocatalytic"); !k) return k;
  if (!(law.m >= 0 && law.m <= largest_exponent)) return kineticsRange("m", "0 to 20");
  if (!(law.n >= 0 && law.n <= largest_exponent)) return kineticsRange("n", "0 to 20");
  return checkDiffusion(law.diffusion);
}

bool sound(const IsoconversionalRow& row) {
  const double energy = row.energy.in(unit::joule_per_mole);
  return row.degree >= 0 && row.degree <= 1 && std::isfinite(row.log_rate) && energy >= 0 &&
         energy <= 1e6;
}

Result<void> check(const IsoconversionalLaw& law) {
  const auto rising = [](const auto& a, const auto& b) { return !(a.degree < b.degree); };
  const bool in_order =
      std::adjacent_find(law.rows.begin(), law.rows.end(), rising) == law.rows.end();
  if (law.rows.size() >= 2 && in_order && std::all_of(law.rows.begin(), law.rows.end(), sound))
    return {};
  return wrongInput("cure.kinetics_table", "The isoconversional table cannot be used.", "rows",
                    "two rows or more, α rising within 0 to 1, energies of 0 to 1000 kJ/mol",
                    "Check the rows against their source.");
}

}  // namespace

Rate rateConstant(const Arrhenius& k, TemperaturePoint at) {
  return k.factor *
         std::exp(-k.energy.in(unit::joule_per_mole) / (gas_constant * at.in(scale::kelvin)));
}

Result<void> checkLaw(const RateLaw& law) {
  return std::visit([](const auto& form) { return check(form); }, law);
}

Result<void> checkStart(const RateLaw& law, double start) {
  if (!(start >= 0 && start < 1))
    return wrongInput("cure.kinetics_start", "The degree of cure at the start is out of range.",
                      "start", "0 to less than 1", "Enter the degree of cure the pad came with.");
  const auto* kamal = std::get_if<KamalLaw>(&law);
  if (kamal == nullptr || kamal->plain || kamal->m == 0 || start > 0) return {};
  return wrongInput("cure.kinetics_start", "An autocatalytic law never starts from zero cure.",
                    "start", "above 0, e.g. 0.001", "Enter the start that belongs to the set.");
}

Rate rateOfCure(const RateLaw& law, double degree, TemperaturePoint at) {
  const FlatLaw flat = flatten(law);
  return Rate::of(flat.rate(degree, at.in(scale::kelvin)), unit::per_second);
}

}  // namespace platemark::method::cure
