/// Normal and hot coefficient of friction of a small-sample drum test and their code letters.
///
/// Formula      µ = mean of the readings;  letter: C µ ≤ 0.15, D ≤ 0.25, E ≤ 0.35, F ≤ 0.45,
///              G ≤ 0.55, H above 0.55; normal letter first, hot letter second
/// Symbols      readings: friction force / normal force, plain numbers, above 0 and at most 2
/// Valid        readings of SAE J661: four on the second fade for the normal coefficient, ten on
///              fade and recovery for the hot one; `as_the_test` tells whether the counts agree.
///              The letter is taken on the unrounded mean: 0.35 is E, 0.3501 is F. A bound is
///              matched to 1e-9, so that the binary sum of decimal readings does not move a letter.
///              Z (unclassified) is no result of a measurement and is never given here. The letters
///              set no requirement and do not predict how a vehicle brakes.
/// Uncertainty  readings at different temperatures are no repeats, so none follows from one test;
///              take it from repeated tests of one lot. A mean closer to a bound than that
///              does not settle its letter.
/// Source       letters, counts of readings: SAE J866 (2019), read through another text;
///              no requirement: scope of SAE J866, read; letter before rounding: definition of
///              this project, the standard's text was silent where read
/// Errors       friction.no_reading, friction.coefficient_out_of_range
/// Pure.
#pragma once

#include <span>
#include <string>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::friction {

inline constexpr int friction_letters_version = 1;

/// 'C' to 'H'. Errors: friction.coefficient_out_of_range.
[[nodiscard]] Result<char> frictionLetter(Share coefficient);

struct FrictionCode {
  Share normal;
  Share hot;
  std::string letters;       ///< "FF"
  bool as_the_test = false;  ///< four normal and ten hot readings
};
[[nodiscard]] Result<FrictionCode> frictionCode(std::span<const Share> normal,
                                                std::span<const Share> hot);

}  // namespace platemark::method::friction
