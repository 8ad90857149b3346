#include "platemark/method/compound/composition.h"

#include <string>

namespace platemark::method::compound {
namespace {

Error inputError(std::string_view code, std::string what, std::string field = "") {
  Error error;
  error.code = "compound." + std::string(code);
  error.what = std::move(what);
  error.where.field = std::move(field);
  return error;
}

Result<void> check(std::span<const double> parts, std::span<const Density> densities) {
  if (parts.empty()) return inputError("empty", "The formula has no ingredient.");
  if (parts.size() != densities.size()) return inputError("sizes", "Each ingredient needs its mass parts and its density.");
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (!(parts[i] > 0)) return inputError("not_positive", "Mass parts must be above zero.", "parts[" + std::to_string(i) + "]");
    if (!(densities[i].in(unit::kilogram_per_cubic_metre) > 0)) return inputError("not_positive", "A density must be above zero.", "densities[" + std::to_string(i) + "]");
  }
  return {};
}

}  // namespace

Result<Composition> compose(std::span<const double> parts, std::span<const Density> densities) {
  if (Result<void> sound = check(parts, densities); !sound) return sound.error();
  double mass = 0, volume = 0;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    mass += parts[i];
    volume += parts[i] / densities[i].in(unit::kilogram_per_cubic_metre);
  }
  Composition composition;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    composition.mass_share.push_back(parts[i] / mass);
    composition.volume_share.push_back(parts[i] / densities[i].in(unit::kilogram_per_cubic_metre) / volume);
  }
  composition.void_free = Density::of(mass / volume, unit::kilogram_per_cubic_metre);
  return composition;
}

Result<Share> totalPorosity(Density measured, Density void_free) {
  const double porosity = 1.0 - measured / void_free;
  if (porosity < 0) {
    Error error = inputError("denser_than_solid", "The measured density is above the density without voids.");
    error.remedy = "Look for a wrong ingredient density, a bulk density taken for a true one, or fluid taken up by the sample.";
    return error;
  }
  return Share::of(porosity, unit::one);
}

}  // namespace platemark::method::compound
