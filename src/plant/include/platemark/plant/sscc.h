/// Serial shipping container code: the 18 digits that name one carton or pallet, worldwide.
///
/// Formula      extension digit, company prefix, serial reference, check digit; 18 digits in all.
///              Check digit (GS1, modulo 10): from the right, weights 3, 1, 3, 1, … on the digits
///              before it; it fills the sum up to the next multiple of ten.
/// Symbols      company prefix 4 to 12 digits; serial reference fills what is left of 16
/// Valid        digits only. Two neighbours that differ by 5 may be swapped unnoticed: 5 of 45
///              pairs of different digits. A code must not be given twice within a year.
/// Source       GS1 General Specifications, AI (00) and "Check digit calculations"
/// Errors       sscc.digit, sscc.length, sscc.prefix, sscc.extension, sscc.serial, sscc.check
/// Pure.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "platemark/quantity/result.h"

namespace platemark {

/// The GS1 check digit of the digits before it. Errors: sscc.digit, sscc.length (none at all).
[[nodiscard]] Result<char> gs1CheckDigit(std::string_view digits);

/// Errors: sscc.prefix, sscc.extension (0 to 9), sscc.serial (does not fit what the prefix leaves).
[[nodiscard]] Result<std::string> ssccNumber(std::int64_t extension, std::string_view prefix,
                                             std::int64_t serial);

/// The 18 digits of what was typed or scanned: blanks are ignored, and so is the application
/// identifier, as "(00)" or as the first two of 20 digits, with the scanner's "]C1" before it.
/// Errors: sscc.digit, sscc.length, sscc.check.
[[nodiscard]] Result<std::string> readSscc(std::string_view typed);

}  // namespace platemark
