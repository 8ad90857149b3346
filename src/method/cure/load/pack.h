/// Two or four lanes in one register: the compiler's vector types, the same arithmetic on every
/// machine. Four take one instruction only where the processor has AVX2; a product and a sum are
/// never fused, so the bits are the same either way.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>
#include <type_traits>

namespace platemark::method::cure {

using NarrowPack = double __attribute__((vector_size(16)));
using WidePack = double __attribute__((vector_size(32)));
using NarrowBits = std::uint64_t __attribute__((vector_size(16)));
using WideBits = std::uint64_t __attribute__((vector_size(32)));
template <class Pack>
using Bits = std::conditional_t<sizeof(Pack) == sizeof(NarrowPack), NarrowBits, WideBits>;
template <class Pack>
inline constexpr std::size_t pack_lanes = sizeof(Pack) / sizeof(double);

template <class Pack>
inline Pack packAt(const double* from) {
  Pack pack;
  std::memcpy(&pack, from, sizeof pack);
  return pack;
}
template <class Pack>
inline void put(double* to, const Pack& pack) {
  std::memcpy(to, &pack, sizeof pack);
}
template <class Pack>
inline Pack packOf(double x) {
  return Pack{} + x;
}

template <class Pack>
inline Pack larger(const Pack& a, const Pack& b) {
  return a > b ? a : b;
}
template <class Pack>
inline Pack smaller(const Pack& a, const Pack& b) {
  return a < b ? a : b;
}
template <class Pack>
inline Pack magnitude(const Pack& a) {
  return larger<Pack>(a, -a);
}

}  // namespace platemark::method::cure
