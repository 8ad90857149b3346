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
#include <vector>

#include "platemark/quantity/result.h"

namespace platemark {

/// ISO/IEC 7064 MOD 37,36 over 0-9 and A-Z. Errors: stamp.bad_character.
[[nodiscard]] Result<char> checkCharacter(std::string_view text);

/// How many different stamps the scheme has.
[[nodiscard]] std::int64_t stampCount();
/// The n-th stamp (n from 0 below stampCount()), scattered so that neighbours in time differ in
/// several places.
[[nodiscard]] std::string stampNumber(std::int64_t n);
/// The stamp in its right form: hyphen and case mended, and a letter that cannot stand where it
/// does but looks like a digit (O I L Z S G B) read as that digit. Errors: stamp.pattern (place
/// named), stamp.check.
[[nodiscard]] Result<std::string> readStamp(std::string_view typed);
/// Every stamp that a half-legible plate may bear: '?' stands for a place that cannot be read, two
/// of them at most; without any, each place in turn may have been misread. Empty when the typed
/// text is no stamp even so. In order.
[[nodiscard]] std::vector<std::string> stampsNear(std::string_view typed);

}  // namespace platemark
