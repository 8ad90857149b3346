/// Sieves of standard series by designation and edition, and what a certificate may say of them.
///
/// Formula      permitted: |certified mean − nominal| ≤ Y
/// Symbols      nominal aperture, µm; Y permitted deviation of a sieve's mean aperture, X permitted
///              excess of any single aperture, µm
/// Valid        wire cloth. The same number names other openings in older editions (No. 200 was 74
///              µm), so a sieve is known by designation and edition together. No. 200 is no size of
///              the principal ISO series: its neighbours there are 63 and 90 µm.
/// Uncertainty  of a nominal aperture Y/√3; of a certified one what its certificate says
/// Source       ISO 3310-1:2016 (principal series R 20/3, supplementary R 20 and R 40/3, R 10 below
///              36 µm) and ASTM E11-17, sizes and deviations read through another text that quotes
///              the standards; of ISO deviations only those of R 20/3 from 4 mm down, of ASTM those
///              of the numbered sieves are on file
/// Errors       sieve.unknown_edition, sieve.unknown_designation, sieve.certified_aperture
/// Pure.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method {

enum class SieveSeries { r20_3, r20, r40_3, r10, astm };

struct SieveDesignation {
  std::string_view edition;      ///< "ASTM E11-17", "ISO 3310-1:2016"
  std::string_view designation;  ///< "No. 200", "1/4 in", "63 µm"
  SieveSeries series;            ///< the first of its edition that has it, principal series first
  Length aperture;               ///< nominal
  std::optional<Length> mean_deviation;  ///< Y; none: not on file
  std::optional<Length> single_excess;   ///< X; none: not on file
};

/// Each edition coarse to fine.
[[nodiscard]] std::span<const SieveDesignation> sieveDesignations();
/// Errors: sieve.unknown_edition, sieve.unknown_designation.
[[nodiscard]] Result<SieveDesignation> standardSieve(std::string_view designation,
                                                     std::string_view edition);
/// By its nominal aperture, to a thousandth of it. Errors: as standardSieve.
[[nodiscard]] Result<SieveDesignation> standardSieve(Length nominal, std::string_view edition);
/// A certified mean aperture that the standard permits, or that cannot be checked because the
/// deviation is not on file and is within a tenth. Errors: sieve.certified_aperture.
[[nodiscard]] Result<void> checkCertified(const SieveDesignation& sieve, Length certified);

}  // namespace platemark::method
