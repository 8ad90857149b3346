#include "platemark/method/powder/sieve.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "../bad_input.h"

namespace platemark::method {
namespace {

Result<void> checkApertures(const Sieving& sieving) {
  const std::vector<Length>& apertures = sieving.apertures;
  if (apertures.empty())
    return badInput("sieve.no_sieves", "apertures", "No sieve is named.", "at least one aperture");
  if (apertures.size() != sieving.retained.size())
    return badInput("sieve.count", "retained",
                    fmt::format("{} sieves, but {} retained masses.", apertures.size(),
                                sieving.retained.size()),
                    "one retained mass for each sieve");
  for (std::size_t i = 0; i < apertures.size(); ++i) {
    const double size = apertures[i].in(unit::micrometre);
    const std::string field = fmt::format("apertures[{}]", i);
    if (!(size > 0) || !std::isfinite(size))
      return badInput("sieve.aperture", field, fmt::format("An aperture is {:g} µm.", size),
                      "above 0 µm");
    if (i > 0 && !(apertures[i] < apertures[i - 1]))
      return badInput(
          "sieve.order", field,
          fmt::format("{:g} µm follows {:g} µm.", size, apertures[i - 1].in(unit::micrometre)),
          "sieves from coarse to fine, each aperture once");
  }
  return {};
}

Result<void> checkMass(Mass mass, const std::string& field) {
  const double grams = mass.in(unit::gram);
  if (grams >= 0 && std::isfinite(grams)) return {};
  return badInput("sieve.mass", field, fmt::format("A mass is {:g} g.", grams), "0 g or more");
}

Result<void> checkMasses(const Sieving& sieving) {
  for (std::size_t i = 0; i < sieving.retained.size(); ++i)
    if (Result<void> mass = checkMass(sieving.retained[i], fmt::format("retained[{}]", i)); !mass)
      return mass;
  if (Result<void> pan = checkMass(sieving.pan, "pan"); !pan) return pan;
  const double initial = sieving.initial.in(unit::gram);
  if (initial > 0 && std::isfinite(initial)) return {};
  return badInput("sieve.initial", "initial", fmt::format("The initial mass is {:g} g.", initial),
                  "above 0 g");
}

Mass sumOf(const std::vector<Mass>& masses) {
  Mass sum;
  for (const Mass mass : masses) sum = sum + mass;
  return sum;
}

Result<void> checkTotals(const Sieving& sieving, Mass on_sieves) {
  if (!(on_sieves + sieving.pan > Mass()))
    return badInput("sieve.empty", "retained", "Nothing was recovered from sieves and pan.",
                    "a recovered mass above 0 g");
  if (sieving.denominator == SieveDenominator::recovered || on_sieves <= sieving.initial) return {};
  return badInput("sieve.more_than_initial", "initial",
                  fmt::format("{:g} g lie on the sieves, {:g} g were put in.",
                              on_sieves.in(unit::gram), sieving.initial.in(unit::gram)),
                  "not more on the sieves than was put in",
                  "Check the initial mass and the tare of each sieve.");
}

std::vector<SieveRow> rowsOf(const Sieving& sieving, Mass denominator) {
  std::vector<SieveRow> rows;
  Mass above;
  for (std::size_t i = 0; i < sieving.apertures.size(); ++i) {
    above = above + sieving.retained[i];
    const double cumulative = above / denominator;
    rows.push_back({sieving.apertures[i], Share::of(sieving.retained[i] / denominator, unit::one),
                    Share::of(cumulative, unit::one), Share::of(1 - cumulative, unit::one)});
  }
  return rows;
}

// Shares passing are binary sums of decimal masses: this near to a share, a sieve passes it
// exactly.
constexpr double rounding = 1e-12;

double beyond(const SieveRow& row, Share share) { return (row.passing - share).in(unit::one); }

bool passesExactly(const SieveRow& row, Share share) {
  return std::abs(beyond(row, share)) <= rounding;
}

Length logInterpolated(const SieveRow& finer, const SieveRow& coarser, Share share) {
  const double low = std::log(finer.aperture.in(unit::micrometre));
  const double high = std::log(coarser.aperture.in(unit::micrometre));
  const double part = (share - finer.passing) / (coarser.passing - finer.passing);
  return Length::of(std::exp(low + (high - low) * part), unit::micrometre);
}

}  // namespace

Result<SieveAnalysis> sieveAnalysis(const Sieving& sieving) {
  if (Result<void> apertures = checkApertures(sieving); !apertures) return apertures.error();
  if (Result<void> masses = checkMasses(sieving); !masses) return masses.error();
  const Mass on_sieves = sumOf(sieving.retained);
  if (Result<void> totals = checkTotals(sieving, on_sieves); !totals) return totals.error();
  const Mass recovered = on_sieves + sieving.pan;
  const bool by_recovered = sieving.denominator == SieveDenominator::recovered;
  return SieveAnalysis{rowsOf(sieving, by_recovered ? recovered : sieving.initial), recovered,
                       Share::of((sieving.initial - recovered) / sieving.initial, unit::one)};
}

Result<PassingSize> passingSize(const SieveAnalysis& analysis, Share share) {
  const std::vector<SieveRow>& rows = analysis.rows;
  if (rows.empty())
    return badInput("sieve.no_sieves", "rows", "The analysis has no sieve.", "at least one sieve");
  if (!(share > Share() && share < Share::of(1, unit::one)))
    return badInput("sieve.share", "share",
                    fmt::format("A size is asked for {:g} % passing.", share.in(unit::percent)),
                    "above 0 % and below 100 %");
  // The finest sieve that still passes the share: at a plateau this is the finer neighbour.
  const auto found = std::find_if(rows.rbegin(), rows.rend(), [&](const SieveRow& row) {
    return beyond(row, share) >= -rounding;
  });
  if (found == rows.rend())
    return PassingSize{rows.front().aperture, SizeKind::coarser_than_coarsest};
  if (passesExactly(*found, share)) {
    const auto coarser = std::next(found);
    const bool plateau = coarser != rows.rend() && passesExactly(*coarser, share);
    return PassingSize{found->aperture, plateau ? SizeKind::plateau : SizeKind::interpolated};
  }
  if (found == rows.rbegin()) return PassingSize{rows.back().aperture, SizeKind::finer_than_finest};
  return PassingSize{logInterpolated(*std::prev(found), *found, share), SizeKind::interpolated};
}

}  // namespace platemark::method
