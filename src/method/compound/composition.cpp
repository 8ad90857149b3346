#include "platemark/method/compound/composition.h"

#include <fmt/format.h>

#include <cmath>

#include "../bad_input.h"

namespace platemark::method {
namespace {

double gramsPerCm3(Density density) { return density.in(unit::gram_per_cubic_centimetre); }

bool positive(double value) { return value > 0 && std::isfinite(value); }

Result<void> checkLists(std::span<const double> parts, std::span<const Density> densities) {
  if (parts.empty())
    return badInput("composition.empty", "parts", "The formula has no lines.",
                    "at least one ingredient");
  if (parts.size() != densities.size())
    return badInput(
        "composition.count", "densities",
        fmt::format("{} ingredients, but {} densities.", parts.size(), densities.size()),
        "one density for each ingredient");
  return {};
}

Result<void> checkLine(std::size_t i, double parts, Density density) {
  if (!positive(parts))
    return badInput("composition.parts", fmt::format("parts[{}]", i),
                    fmt::format("Ingredient {} has {:g} parts.", i + 1, parts), "above 0");
  if (!positive(gramsPerCm3(density)))
    return badInput(
        "composition.density", fmt::format("densities[{}]", i),
        fmt::format("Ingredient {} has a density of {:g} g/cm³.", i + 1, gramsPerCm3(density)),
        "above 0 g/cm³");
  return {};
}

std::vector<Share> sharesOf(std::span<const double> amounts, double sum) {
  std::vector<Share> shares;
  for (const double amount : amounts) shares.push_back(Share::of(amount / sum, unit::one));
  return shares;
}

double sumOf(std::span<const double> amounts) {
  double sum = 0;
  for (const double amount : amounts) sum += amount;
  return sum;
}

}  // namespace

Result<Composition> composition(std::span<const double> parts, std::span<const Density> densities) {
  if (Result<void> lists = checkLists(parts, densities); !lists) return lists.error();
  std::vector<double> volumes;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (Result<void> line = checkLine(i, parts[i], densities[i]); !line) return line.error();
    volumes.push_back(parts[i] / gramsPerCm3(densities[i]));
  }
  const double mass = sumOf(parts), volume = sumOf(volumes);
  return Composition{sharesOf(parts, mass), sharesOf(volumes, volume),
                     Density::of(mass / volume, unit::gram_per_cubic_centimetre)};
}

Result<Share> totalPorosity(Density measured, Density void_free) {
  for (const Density density : {measured, void_free})
    if (!positive(gramsPerCm3(density)))
      return badInput("composition.measured_density", "density",
                      fmt::format("A density is {:g} g/cm³.", gramsPerCm3(density)),
                      "above 0 g/cm³");
  const double porosity = 1 - measured / void_free;
  if (porosity >= 0) return Share::of(porosity, unit::one);
  return badInput(
      "composition.negative_porosity", "density",
      fmt::format("A density of {:.4g} g/cm³ lies above the void-free density of {:.4g} g/cm³: "
                  "the total porosity would be {:.2f} %.",
                  gramsPerCm3(measured), gramsPerCm3(void_free), 100 * porosity),
      "a density at most that of the void-free compound",
      "Most likely an ingredient's density is a bulk or tapped density entered as true density, or "
      "too low; check these first, then the density of the compound.");
}

Result<void> checkPercentSum(std::span<const Decimal> percents) {
  double sum = 0, allowed = 0;
  for (const Decimal& percent : percents) {
    sum += percent.value();
    allowed += 0.5 * std::pow(10.0, -percent.decimals());
  }
  // A hair more than the rounding allows, for the binary sum itself.
  if (std::abs(sum - 100) <= allowed + 1e-9) return {};
  return badInput("composition.sum", "parts",
                  fmt::format("The ingredients are declared in per cent and sum to {:.6g}.", sum),
                  fmt::format("100 within {:g}", allowed),
                  "Mend the amounts, or declare them as mass parts.");
}

}  // namespace platemark::method
