/// Two lanes in one register: the compiler's vector type, the same arithmetic on every machine.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>

namespace platemark::method::cure {

using Pack = double __attribute__((vector_size(16)));
using PackBits = std::uint64_t __attribute__((vector_size(16)));
inline constexpr std::size_t pack_lanes = 2;

inline Pack packAt(const double* from) {
  Pack pack;
  std::memcpy(&pack, from, sizeof pack);
  return pack;
}
inline void put(double* to, Pack pack) { std::memcpy(to, &pack, sizeof pack); }
inline Pack packOf(double x) { return Pack{x, x}; }

inline Pack larger(Pack a, Pack b) { return a > b ? a : b; }
inline Pack smaller(Pack a, Pack b) { return a < b ? a : b; }
inline Pack magnitude(Pack a) { return larger(a, -a); }

}  // namespace platemark::method::cure
