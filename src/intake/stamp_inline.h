/// The part of stamp.h that must be inlined into the row loop.
#pragma once

#include <cstring>

namespace platemark::intake {

inline const char* MinuteMemory::read(const char* p, char delimiter, std::int64_t& ms) const {
  if (length_ == 0) return nullptr;
  std::uint64_t seen[3];
  std::memcpy(seen, p, sizeof seen);
  const std::uint64_t differ = ((seen[0] ^ words_[0]) & masks_[0]) |
                               ((seen[1] ^ words_[1]) & masks_[1]) |
                               ((seen[2] ^ words_[2]) & masks_[2]);
  if (differ != 0) return nullptr;
  p += length_;
  const auto digit = [](char c) {
    return static_cast<unsigned>(static_cast<unsigned char>(c)) - '0';
  };
  const unsigned tens = digit(p[0]), ones = digit(p[1]);
  if (tens > 5 || ones > 9) return nullptr;
  ms = minute_ms_ + static_cast<std::int64_t>(tens * 10 + ones) * 1000;
  p += 2;
  if (*p == delimiter) return p;
  if (*p != '.' && *p != ',') return nullptr;
  std::int64_t scale = 100;
  for (++p; digit(*p) < 10 && scale > 0; ++p, scale /= 10) ms += digit(*p) * scale;
  return *p == delimiter ? p : nullptr;
}

}  // namespace platemark::intake
