#include "platemark/method/powder/sieve_series.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "../bad_input.h"

namespace platemark::method {
namespace {

constexpr std::string_view iso = "ISO 3310-1:2016", e11 = "ASTM E11-17";

/// In micrometres; 0: not on file.
struct SieveLine {
  std::string_view edition, designation;
  SieveSeries series;
  double aperture, mean_deviation = 0, single_excess = 0;
};

constexpr auto lines = std::to_array<SieveLine>({
    {iso, "125 mm", SieveSeries::r20_3, 125000},
    {iso, "112 mm", SieveSeries::r20, 112000},
    {iso, "106 mm", SieveSeries::r40_3, 106000},
    {iso, "100 mm", SieveSeries::r20, 100000},
    {iso, "90 mm", SieveSeries::r20_3, 90000},
    {iso, "80 mm", SieveSeries::r20, 80000},
    {iso, "75 mm", SieveSeries::r40_3, 75000},
    {iso, "71 mm", SieveSeries::r20, 71000},
    {iso, "63 mm", SieveSeries::r20_3, 63000},
    {iso, "56 mm", SieveSeries::r20, 56000},
    {iso, "53 mm", SieveSeries::r40_3, 53000},
    {iso, "50 mm", SieveSeries::r20, 50000},
    {iso, "45 mm", SieveSeries::r20_3, 45000},
    {iso, "40 mm", SieveSeries::r20, 40000},
    {iso, "37.5 mm", SieveSeries::r40_3, 37500},
    {iso, "35.5 mm", SieveSeries::r20, 35500},
    {iso, "31.5 mm", SieveSeries::r20_3, 31500},
    {iso, "28 mm", SieveSeries::r20, 28000},
    {iso, "26.5 mm", SieveSeries::r40_3, 26500},
    {iso, "25 mm", SieveSeries::r20, 25000},
    {iso, "22.4 mm", SieveSeries::r20_3, 22400},
    {iso, "20 mm", SieveSeries::r20, 20000},
    {iso, "19 mm", SieveSeries::r40_3, 19000},
    {iso, "18 mm", SieveSeries::r20, 18000},
    {iso, "16 mm", SieveSeries::r20_3, 16000},
    {iso, "14 mm", SieveSeries::r20, 14000},
    {iso, "13.2 mm", SieveSeries::r40_3, 13200},
    {iso, "12.5 mm", SieveSeries::r20, 12500},
    {iso, "11.2 mm", SieveSeries::r20_3, 11200},
    {iso, "10 mm", SieveSeries::r20, 10000},
    {iso, "9.5 mm", SieveSeries::r40_3, 9500},
    {iso, "9 mm", SieveSeries::r20, 9000},
    {iso, "8 mm", SieveSeries::r20_3, 8000},
    {iso, "7.1 mm", SieveSeries::r20, 7100},
    {iso, "6.7 mm", SieveSeries::r40_3, 6700},
    {iso, "6.3 mm", SieveSeries::r20, 6300},
    {iso, "5.6 mm", SieveSeries::r20_3, 5600},
    {iso, "5 mm", SieveSeries::r20, 5000},
    {iso, "4.75 mm", SieveSeries::r40_3, 4750},
    {iso, "4.5 mm", SieveSeries::r20, 4500},
    {iso, "4 mm", SieveSeries::r20_3, 4000, 110, 330},
    {iso, "3.55 mm", SieveSeries::r20, 3550},
    {iso, "3.35 mm", SieveSeries::r40_3, 3350},
    {iso, "3.15 mm", SieveSeries::r20, 3150},
    {iso, "2.8 mm", SieveSeries::r20_3, 2800, 80, 260},
    {iso, "2.5 mm", SieveSeries::r20, 2500},
    {iso, "2.36 mm", SieveSeries::r40_3, 2360},
    {iso, "2.24 mm", SieveSeries::r20, 2240},
    {iso, "2 mm", SieveSeries::r20_3, 2000, 60, 200},
    {iso, "1.8 mm", SieveSeries::r20, 1800},
    {iso, "1.7 mm", SieveSeries::r40_3, 1700},
    {iso, "1.6 mm", SieveSeries::r20, 1600},
    {iso, "1.4 mm", SieveSeries::r20_3, 1400, 40, 160},
    {iso, "1.25 mm", SieveSeries::r20, 1250},
    {iso, "1.18 mm", SieveSeries::r40_3, 1180},
    {iso, "1.12 mm", SieveSeries::r20, 1120},
    {iso, "1 mm", SieveSeries::r20_3, 1000, 30, 130},
    {iso, "900 µm", SieveSeries::r20, 900},
    {iso, "850 µm", SieveSeries::r40_3, 850},
    {iso, "800 µm", SieveSeries::r20, 800},
    {iso, "710 µm", SieveSeries::r20_3, 710, 22, 101},
    {iso, "630 µm", SieveSeries::r20, 630},
    {iso, "600 µm", SieveSeries::r40_3, 600},
    {iso, "560 µm", SieveSeries::r20, 560},
    {iso, "500 µm", SieveSeries::r20_3, 500, 16, 80},
    {iso, "450 µm", SieveSeries::r20, 450},
    {iso, "425 µm", SieveSeries::r40_3, 425},
    {iso, "400 µm", SieveSeries::r20, 400},
    {iso, "355 µm", SieveSeries::r20_3, 355, 12, 65},
    {iso, "315 µm", SieveSeries::r20, 315},
    {iso, "300 µm", SieveSeries::r40_3, 300},
    {iso, "280 µm", SieveSeries::r20, 280},
    {iso, "250 µm", SieveSeries::r20_3, 250, 8.9, 52},
    {iso, "224 µm", SieveSeries::r20, 224},
    {iso, "212 µm", SieveSeries::r40_3, 212},
    {iso, "200 µm", SieveSeries::r20, 200},
    {iso, "180 µm", SieveSeries::r20_3, 180, 6.8, 43},
    {iso, "160 µm", SieveSeries::r20, 160},
    {iso, "150 µm", SieveSeries::r40_3, 150},
    {iso, "140 µm", SieveSeries::r20, 140},
    {iso, "125 µm", SieveSeries::r20_3, 125, 5.2, 34},
    {iso, "112 µm", SieveSeries::r20, 112},
    {iso, "106 µm", SieveSeries::r40_3, 106},
    {iso, "100 µm", SieveSeries::r20, 100},
    {iso, "90 µm", SieveSeries::r20_3, 90, 4.2, 29},
    {iso, "80 µm", SieveSeries::r20, 80},
    {iso, "75 µm", SieveSeries::r40_3, 75},
    {iso, "71 µm", SieveSeries::r20, 71},
    {iso, "63 µm", SieveSeries::r20_3, 63, 3.4, 24},
    {iso, "56 µm", SieveSeries::r20, 56},
    {iso, "53 µm", SieveSeries::r40_3, 53},
    {iso, "50 µm", SieveSeries::r20, 50},
    {iso, "45 µm", SieveSeries::r20_3, 45, 2.8, 20},
    {iso, "40 µm", SieveSeries::r20, 40},
    {iso, "38 µm", SieveSeries::r40_3, 38},
    {iso, "36 µm", SieveSeries::r20, 36},
    {iso, "32 µm", SieveSeries::r10, 32},
    {iso, "25 µm", SieveSeries::r10, 25},
    {iso, "20 µm", SieveSeries::r10, 20},
    {e11, "5 in", SieveSeries::astm, 125000},
    {e11, "4.24 in", SieveSeries::astm, 106000},
    {e11, "4 in", SieveSeries::astm, 100000},
    {e11, "3 1/2 in", SieveSeries::astm, 90000},
    {e11, "3 in", SieveSeries::astm, 75000},
    {e11, "2 1/2 in", SieveSeries::astm, 63000},
    {e11, "2.12 in", SieveSeries::astm, 53000},
    {e11, "2 in", SieveSeries::astm, 50000},
    {e11, "1 3/4 in", SieveSeries::astm, 45000},
    {e11, "1 1/2 in", SieveSeries::astm, 37500},
    {e11, "1 1/4 in", SieveSeries::astm, 31500},
    {e11, "1.06 in", SieveSeries::astm, 26500},
    {e11, "1.00 in", SieveSeries::astm, 25000},
    {e11, "7/8 in", SieveSeries::astm, 22400},
    {e11, "3/4 in", SieveSeries::astm, 19000},
    {e11, "5/8 in", SieveSeries::astm, 16000},
    {e11, "0.530 in", SieveSeries::astm, 13200},
    {e11, "1/2 in", SieveSeries::astm, 12500},
    {e11, "7/16 in", SieveSeries::astm, 11200},
    {e11, "3/8 in", SieveSeries::astm, 9500},
    {e11, "5/16 in", SieveSeries::astm, 8000},
    {e11, "0.265 in", SieveSeries::astm, 6700},
    {e11, "1/4 in", SieveSeries::astm, 6300},
    {e11, "No. 3 1/2", SieveSeries::astm, 5600, 176, 470},
    {e11, "No. 4", SieveSeries::astm, 4750, 150, 410},
    {e11, "No. 5", SieveSeries::astm, 4000, 127, 370},
    {e11, "No. 6", SieveSeries::astm, 3350, 107, 320},
    {e11, "No. 7", SieveSeries::astm, 2800, 90, 290},
    {e11, "No. 8", SieveSeries::astm, 2360, 76, 250},
    {e11, "No. 10", SieveSeries::astm, 2000, 65, 230},
    {e11, "No. 12", SieveSeries::astm, 1700, 56, 200},
    {e11, "No. 14", SieveSeries::astm, 1400, 46, 180},
    {e11, "No. 16", SieveSeries::astm, 1180, 40, 160},
    {e11, "No. 18", SieveSeries::astm, 1000, 34, 140},
    {e11, "No. 20", SieveSeries::astm, 850, 29.1, 127},
    {e11, "No. 25", SieveSeries::astm, 710, 24.7, 112},
    {e11, "No. 30", SieveSeries::astm, 600, 21.2, 101},
    {e11, "No. 35", SieveSeries::astm, 500, 18.0, 89},
    {e11, "No. 40", SieveSeries::astm, 425, 15.5, 81},
    {e11, "No. 45", SieveSeries::astm, 355, 13.3, 72},
    {e11, "No. 50", SieveSeries::astm, 300, 11.5, 65},
    {e11, "No. 60", SieveSeries::astm, 250, 9.9, 58},
    {e11, "No. 70", SieveSeries::astm, 212, 8.7, 52},
    {e11, "No. 80", SieveSeries::astm, 180, 7.6, 47},
    {e11, "No. 100", SieveSeries::astm, 150, 6.6, 43},
    {e11, "No. 120", SieveSeries::astm, 125, 5.8, 38},
    {e11, "No. 140", SieveSeries::astm, 106, 5.2, 35},
    {e11, "No. 170", SieveSeries::astm, 90, 4.6, 32},
    {e11, "No. 200", SieveSeries::astm, 75, 4.1, 29},
    {e11, "No. 230", SieveSeries::astm, 63, 3.7, 26},
    {e11, "No. 270", SieveSeries::astm, 53, 3.4, 24},
    {e11, "No. 325", SieveSeries::astm, 45, 3.1, 22},
    {e11, "No. 400", SieveSeries::astm, 38, 2.9, 20},
    {e11, "No. 450", SieveSeries::astm, 32, 2.7, 18},
    {e11, "No. 500", SieveSeries::astm, 25, 2.5, 16},
    {e11, "No. 635", SieveSeries::astm, 20, 2.3, 15},
});

constexpr auto um = unit::micrometre;

std::optional<Length> ifOnFile(double micrometres) {
  if (micrometres > 0) return Length::of(micrometres, um);
  return {};
}

SieveDesignation designationOf(const SieveLine& line) {
  return {line.edition,
          line.designation,
          line.series,
          Length::of(line.aperture, um),
          ifOnFile(line.mean_deviation),
          ifOnFile(line.single_excess)};
}

const std::vector<SieveDesignation>& designations() {
  static const std::vector<SieveDesignation> list = [] {
    std::vector<SieveDesignation> all;
    for (const SieveLine& line : lines) all.push_back(designationOf(line));
    return all;
  }();
  return list;
}

Result<void> checkEdition(std::string_view edition) {
  if (edition == iso || edition == e11) return {};
  return badInput("sieve.unknown_edition", "edition",
                  fmt::format("No sieve series '{}' is on file.", edition.substr(0, 40)),
                  fmt::format("{} or {}", iso, e11));
}

template <class Match>
Result<SieveDesignation> found(std::string_view edition, const std::string& wanted, Match match) {
  if (Result<void> known = checkEdition(edition); !known) return known.error();
  for (const SieveDesignation& sieve : designations())
    if (sieve.edition == edition && match(sieve)) return sieve;
  return badInput(
      "sieve.unknown_designation", "designation",
      fmt::format("{} has no sieve '{}' on file.", edition, wanted),
      edition == iso ? "a size of R 20/3, R 20 or R 40/3, e.g. 63 µm" : "e.g. No. 200 or 1/4 in");
}

}  // namespace

std::span<const SieveDesignation> sieveDesignations() { return designations(); }

Result<SieveDesignation> standardSieve(std::string_view designation, std::string_view edition) {
  return found(edition, std::string(designation.substr(0, 40)),
               [&](const SieveDesignation& sieve) { return sieve.designation == designation; });
}

Result<SieveDesignation> standardSieve(Length nominal, std::string_view edition) {
  return found(edition, fmt::format("{:g} µm", nominal.in(um)), [&](const SieveDesignation& sieve) {
    return std::abs(sieve.aperture / nominal - 1) <= 1e-3;
  });
}

Result<void> checkCertified(const SieveDesignation& sieve, Length certified) {
  const double off = std::abs((certified - sieve.aperture).in(um));
  const double permitted = sieve.mean_deviation.value_or(sieve.aperture * 0.1).in(um);
  if (off <= permitted * (1 + 1e-9)) return {};
  return badInput("sieve.certified_aperture", "certified",
                  fmt::format("The certificate of {} says {:g} µm, {:.3g} µm off its nominal size.",
                              sieve.designation, certified.in(um), off),
                  fmt::format("at most {:.3g} µm off", permitted),
                  "Check which sieve the certificate belongs to; a sieve out of its tolerance is "
                  "taken out of use.");
}

}  // namespace platemark::method
