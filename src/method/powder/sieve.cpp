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

constexpr std::string_view iso = "ISO 3310-1:2016", e11 = "ASTM E11-17";

constexpr SieveDesignation sieve(std::string_view edition, std::string_view designation,
                                 double aperture, Unit<dim::Length> unit) {
  return {edition, designation, Length::of(aperture, unit)};
}

constexpr auto mm = unit::millimetre, um = unit::micrometre;
constexpr std::array designations{
    sieve(iso, "125 mm", 125, mm),    sieve(iso, "90 mm", 90, mm),
    sieve(iso, "63 mm", 63, mm),      sieve(iso, "45 mm", 45, mm),
    sieve(iso, "31.5 mm", 31.5, mm),  sieve(iso, "22.4 mm", 22.4, mm),
    sieve(iso, "16 mm", 16, mm),      sieve(iso, "11.2 mm", 11.2, mm),
    sieve(iso, "8 mm", 8, mm),        sieve(iso, "5.6 mm", 5.6, mm),
    sieve(iso, "4 mm", 4, mm),        sieve(iso, "2.8 mm", 2.8, mm),
    sieve(iso, "2 mm", 2, mm),        sieve(iso, "1.4 mm", 1.4, mm),
    sieve(iso, "1 mm", 1, mm),        sieve(iso, "710 µm", 710, um),
    sieve(iso, "500 µm", 500, um),    sieve(iso, "355 µm", 355, um),
    sieve(iso, "250 µm", 250, um),    sieve(iso, "180 µm", 180, um),
    sieve(iso, "125 µm", 125, um),    sieve(iso, "90 µm", 90, um),
    sieve(iso, "63 µm", 63, um),      sieve(iso, "45 µm", 45, um),
    sieve(e11, "5 in", 125, mm),      sieve(e11, "4.24 in", 106, mm),
    sieve(e11, "4 in", 100, mm),      sieve(e11, "3 1/2 in", 90, mm),
    sieve(e11, "3 in", 75, mm),       sieve(e11, "2 1/2 in", 63, mm),
    sieve(e11, "2.12 in", 53, mm),    sieve(e11, "2 in", 50, mm),
    sieve(e11, "1 3/4 in", 45, mm),   sieve(e11, "1 1/2 in", 37.5, mm),
    sieve(e11, "1 1/4 in", 31.5, mm), sieve(e11, "1.06 in", 26.5, mm),
    sieve(e11, "1.00 in", 25, mm),    sieve(e11, "7/8 in", 22.4, mm),
    sieve(e11, "3/4 in", 19, mm),     sieve(e11, "5/8 in", 16, mm),
    sieve(e11, "0.530 in", 13.2, mm), sieve(e11, "1/2 in", 12.5, mm),
    sieve(e11, "7/16 in", 11.2, mm),  sieve(e11, "3/8 in", 9.5, mm),
    sieve(e11, "5/16 in", 8, mm),     sieve(e11, "0.265 in", 6.7, mm),
    sieve(e11, "1/4 in", 6.3, mm),    sieve(e11, "No. 3 1/2", 5600, um),
    sieve(e11, "No. 4", 4750, um),    sieve(e11, "No. 5", 4000, um),
    sieve(e11, "No. 6", 3350, um),    sieve(e11, "No. 7", 2800, um),
    sieve(e11, "No. 8", 2360, um),    sieve(e11, "No. 10", 2000, um),
    sieve(e11, "No. 12", 1700, um),   sieve(e11, "No. 14", 1400, um),
    sieve(e11, "No. 16", 1180, um),   sieve(e11, "No. 18", 1000, um),
    sieve(e11, "No. 20", 850, um),    sieve(e11, "No. 25", 710, um),
    sieve(e11, "No. 30", 600, um),    sieve(e11, "No. 35", 500, um),
    sieve(e11, "No. 40", 425, um),    sieve(e11, "No. 45", 355, um),
    sieve(e11, "No. 50", 300, um),    sieve(e11, "No. 60", 250, um),
    sieve(e11, "No. 70", 212, um),    sieve(e11, "No. 80", 180, um),
    sieve(e11, "No. 100", 150, um),   sieve(e11, "No. 120", 125, um),
    sieve(e11, "No. 140", 106, um),   sieve(e11, "No. 170", 90, um),
    sieve(e11, "No. 200", 75, um),    sieve(e11, "No. 230", 63, um),
    sieve(e11, "No. 270", 53, um),    sieve(e11, "No. 325", 45, um),
    sieve(e11, "No. 400", 38, um),    sieve(e11, "No. 450", 32, um),
    sieve(e11, "No. 500", 25, um),    sieve(e11, "No. 635", 20, um)};

std::string editionsKnown() { return fmt::format("{} or {}", iso, e11); }

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

std::span<const SieveDesignation> sieveDesignations() { return designations; }

Result<Length> sieveAperture(std::string_view designation, std::string_view edition) {
  if (edition != iso && edition != e11)
    return badInput("sieve.unknown_edition", "edition",
                    fmt::format("No sieve series '{}' is on file.", edition.substr(0, 40)),
                    editionsKnown());
  const auto found =
      std::find_if(designations.begin(), designations.end(), [&](const SieveDesignation& row) {
        return row.edition == edition && row.designation == designation;
      });
  if (found != designations.end()) return found->aperture;
  return badInput("sieve.unknown_designation", "designation",
                  fmt::format("{} has no sieve '{}' on file.", edition, designation.substr(0, 40)),
                  edition == iso ? "an R 20/3 size, e.g. 63 µm" : "e.g. No. 200 or 1/4 in");
}

}  // namespace platemark::method
