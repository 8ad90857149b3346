/// exp and ln from additions, multiplications and shifts only: the same bits come out on every
/// machine, whatever its mathematical library.
#pragma once

#include "pack.h"

namespace platemark::method::cure {

/// e^x, relative error below 1e-9, for −700 < x < 700.
template <class Pack>
inline Pack fastExp(const Pack& x) {
  constexpr double to_integer = 0x1.8p52;
  const Pack shifted = x * 1.4426950408889634 + to_integer;
  const Pack n = shifted - to_integer;
  // ln 2 in two parts, so that the product with n is exact in the first.
  const Pack r = (x - n * 0x1.62e42fee00000p-1) - n * 0x1.a39ef35793c76p-33;
  const Pack r2 = r * r, r4 = r2 * r2;
  const Pack low = (1.0 + r) + r2 * (1.0 / 2 + r * (1.0 / 6));
  const Pack high = (1.0 / 24 + r * (1.0 / 120)) + r2 * (1.0 / 720 + r * (1.0 / 5040));
  const Pack p = low + r4 * (high + r4 * (1.0 / 40320));
  const auto power = (reinterpret_cast<Bits<Pack>>(shifted) << 52) + (1023ULL << 52);
  return p * reinterpret_cast<Pack>(power);
}

/// ln x, absolute error below 1e-9, for normal x > 0.
template <class Pack>
inline Pack fastLog(const Pack& x) {
  constexpr std::uint64_t root_half = 0x3FE6A09E667F3BCDULL;
  const auto bits = reinterpret_cast<Bits<Pack>>(x);
  const Bits<Pack> exponent = (bits - root_half + (1024ULL << 52)) >> 52;  // 1024 + e
  const Pack mantissa = reinterpret_cast<Pack>(bits - ((exponent - 1024ULL) << 52));
  const Pack e = reinterpret_cast<Pack>(exponent | 0x4330000000000000ULL) - (0x1p52 + 1024);
  const Pack s = (mantissa - 1.0) / (mantissa + 1.0), q = s * s, q2 = q * q;
  const Pack series = (2.0 + q * (2.0 / 3)) + q2 * ((2.0 / 5 + q * (2.0 / 7)) + q2 * (2.0 / 9));
  return s * series + e * 0.6931471805599453;
}

}  // namespace platemark::method::cure
