/// How many lines a text has, and whether it holds NUL bytes.
#pragma once

#include <cstdint>
#include <string_view>

#if defined(__SSE2__)
#include <emmintrin.h>
#endif

namespace platemark::intake {

struct LineCount {
  std::int64_t lines = 0;
  bool has_nul = false;
};

inline LineCount countLinesPlain(std::string_view text) {
  LineCount count;
  for (const char c : text) {
    count.lines += c == '\n';
    count.has_nul |= c == '\0';
  }
  return count;
}

#if defined(__SSE2__)
inline LineCount countLines(std::string_view text) {
  LineCount count;
  const __m128i end = _mm_set1_epi8('\n'), nul = _mm_setzero_si128();
  __m128i nuls = nul, sums = nul;
  std::size_t i = 0;
  while (i + 16 <= text.size()) {
    // Byte counters overflow after 255 rounds.
    __m128i counters = nul;
    for (int round = 0; round < 255 && i + 16 <= text.size(); ++round, i += 16) {
      const __m128i bytes = _mm_loadu_si128(reinterpret_cast<const __m128i*>(text.data() + i));
      counters = _mm_sub_epi8(counters, _mm_cmpeq_epi8(bytes, end));
      nuls = _mm_or_si128(nuls, _mm_cmpeq_epi8(bytes, nul));
    }
    sums = _mm_add_epi64(sums, _mm_sad_epu8(counters, nul));
  }
  alignas(16) std::int64_t halves[2];
  _mm_store_si128(reinterpret_cast<__m128i*>(halves), sums);
  const LineCount rest = countLinesPlain(text.substr(i));
  count.lines = halves[0] + halves[1] + rest.lines;
  count.has_nul = _mm_movemask_epi8(nuls) != 0 || rest.has_nul;
  return count;
}
#else
inline LineCount countLines(std::string_view text) { return countLinesPlain(text); }
#endif

}  // namespace platemark::intake
