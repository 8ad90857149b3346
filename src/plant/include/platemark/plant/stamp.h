/// The number stamped into a plate: letter, digit, letter, digit, letter,
/// hyphen, check digit: "K7M4J-7".
///
/// Letters only from A C E F H J K M N P R T V W X Y, so that no letter looks
/// like a digit or another letter on a corroded plate; the pattern tells at each
/// place whether a letter or a digit stands there. The check character is that of
/// ISO/IEC 7064 MOD 37,36 over the five; codes whose check character is not a
/// digit are skipped.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "platemark/quantity/result.h"

namespace platemark {

/// ISO/IEC 7064 MOD 37,36 over 0-9 and A-Z. Errors: stamp.bad_character.
[[nodiscard]] Result<char> checkCharacter(std::string_view text);

/// How many different stamps the scheme has.
[[nodiscard]] std::int64_t stampCount();
/// The n-th stamp (n from 0 below stampCount()), scattered so that neighbours in time differ in several places.
[[nodiscard]] std::string stampNumber(std::int64_t n);
/// The stamp in its right form, hyphen and case mended. Errors: stamp.pattern (place named), stamp.check.
[[nodiscard]] Result<std::string> readStamp(std::string_view typed);

}  // namespace platemark
