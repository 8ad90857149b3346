#include "rate_law.h"

#include <algorithm>
#include <cmath>

namespace platemark::method::cure {
namespace {

double inKelvin(MolarEnergy energy) { return energy.in(unit::joule_per_mole) / gas_constant; }

FlatTable flatten(const IsoconversionalLaw& law) {
  FlatTable table;
  for (const IsoconversionalRow& row : law.rows)
    table.rows.push_back({row.degree, row.log_rate, inKelvin(row.energy)});
  return table;
}

}  // namespace

double FlatKamal::rate(double degree, double kelvin) const {
  const double alpha = std::clamp(degree, 0.0, 1.0);
  double k = 0;
  if (a1 > 0) k += a1 * std::exp(-e1 / kelvin);
  if (a2 > 0) k += a2 * std::exp(-e2 / kelvin) * std::pow(alpha, m);
  const double chemical = k * std::pow(1 - alpha, n);
  if (steepness == 0) return chemical;
  return chemical / (1 + std::exp(steepness * (alpha - critical - critical_per_kelvin * kelvin)));
}

double FlatTable::rate(double degree, double kelvin) const {
  if (degree >= 1) return 0;
  const double alpha = std::clamp(degree, rows.front().degree, rows.back().degree);
  const auto after = std::upper_bound(rows.begin() + 1, rows.end() - 1, alpha,
                                      [](double x, const Row& row) { return x < row.degree; });
  const Row &low = *(after - 1), &high = *after;
  const double share = (alpha - low.degree) / (high.degree - low.degree);
  return std::exp(low.log_rate + share * (high.log_rate - low.log_rate) -
                  (low.energy + share * (high.energy - low.energy)) / kelvin);
}

double FlatKamal::largestEnergy() const { return std::max(e1, e2); }

double FlatTable::largestEnergy() const {
  const auto less = [](const Row& a, const Row& b) { return a.energy < b.energy; };
  return std::max_element(rows.begin(), rows.end(), less)->energy;
}

double FlatLaw::largestEnergy() const {
  return std::visit([](const auto& law) { return law.largestEnergy(); }, form);
}

double FlatLaw::rate(double degree, double kelvin) const {
  return std::visit([&](const auto& law) { return law.rate(degree, kelvin); }, form);
}

FlatKamal flatten(const KamalLaw& law) {
  FlatKamal flat;
  flat.m = law.m;
  flat.n = law.n;
  if (law.plain) flat.a1 = law.plain->factor.in(unit::per_second);
  if (law.plain) flat.e1 = inKelvin(law.plain->energy);
  if (law.autocatalytic) flat.a2 = law.autocatalytic->factor.in(unit::per_second);
  if (law.autocatalytic) flat.e2 = inKelvin(law.autocatalytic->energy);
  if (!law.diffusion) return flat;
  flat.steepness = law.diffusion->steepness;
  flat.critical = law.diffusion->critical_at_zero;
  flat.critical_per_kelvin = law.diffusion->critical_per_kelvin.in(unit::per_kelvin);
  return flat;
}

FlatLaw flatten(const RateLaw& law) {
  return std::visit([](const auto& form) { return FlatLaw{flatten(form)}; }, law);
}

}  // namespace platemark::method::cure
