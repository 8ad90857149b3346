#include "platemark/figure/words.h"

#include <array>

namespace platemark::figure {
namespace {

// Horizontal advances of U+0020 to U+007E in thousandths of the size, read from
// the hmtx tables of Noto Sans Regular and Bold (Debian fonts-noto-core 20201225).
constexpr std::array kRegular = {
    260, 269, 408, 646, 572, 831, 732, 225, 300, 300, 551, 572, 268, 322, 268, 372, 572, 572, 572,
    572, 572, 572, 572, 572, 572, 572, 268, 268, 572, 572, 572, 434, 899, 639, 650, 632, 730, 556,
    519, 728, 741, 339, 273, 619, 524, 907, 760, 781, 605, 781, 622, 549, 556, 731, 600, 930, 586,
    566, 572, 329, 372, 329, 572, 444, 281, 561, 615, 480, 615, 564, 344, 615, 618, 258, 258, 534,
    258, 935, 618, 605, 615, 615, 413, 479, 361, 618, 508, 786, 529, 510, 470, 380, 551, 380, 572};
constexpr std::array kBold = {
    260, 286, 472, 646, 572, 901, 750, 266, 339, 339, 545, 572, 285, 322, 285, 413, 572, 572, 572,
    572, 572, 572, 572, 572, 572, 572, 285, 285, 572, 572, 572, 477, 897, 690, 672, 637, 740, 560,
    549, 724, 765, 389, 331, 664, 565, 943, 813, 796, 628, 796, 660, 551, 579, 756, 650, 967, 667,
    624, 579, 331, 413, 331, 572, 411, 362, 604, 633, 514, 633, 591, 387, 633, 657, 305, 305, 620,
    305, 982, 657, 619, 633, 633, 454, 497, 434, 657, 569, 856, 578, 569, 488, 394, 551, 394, 572};
constexpr int kOther = 600;

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

/// Bytes of the valid UTF-8 sign at the start of `bytes`; 0 when there is none.
/// Well-formed byte sequences: The Unicode Standard 15.0, table 3-7.
std::size_t signLength(std::string_view bytes) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(bytes[i]); };
  const auto follows = [&](std::size_t i, unsigned lo = 0x80, unsigned hi = 0xBF) {
    return i < bytes.size() && byte(i) >= lo && byte(i) <= hi;
  };
  const unsigned first = byte(0);
  if (first < 0x80) return 1;
  if (first >= 0xC2 && first <= 0xDF) return follows(1) ? 2 : 0;
  if (first >= 0xE0 && first <= 0xEF) {
    const unsigned lo = first == 0xE0 ? 0xA0 : 0x80;
    const unsigned hi = first == 0xED ? 0x9F : 0xBF;
    return follows(1, lo, hi) && follows(2) ? 3 : 0;
  }
  if (first >= 0xF0 && first <= 0xF4) {
    const unsigned lo = first == 0xF0 ? 0x90 : 0x80;
    const unsigned hi = first == 0xF4 ? 0x8F : 0xBF;
    return follows(1, lo, hi) && follows(2) && follows(3) ? 4 : 0;
  }
  return 0;
}

/// Control characters, and the two code points that XML 1.0 forbids.
bool isForbidden(std::string_view sign) {
  const auto first = static_cast<unsigned char>(sign[0]);
  if (sign.size() == 1) return (first < 0x20 && first != '\t' && first != '\n') || first == 0x7F;
  if (sign.size() == 2) return first == 0xC2 && static_cast<unsigned char>(sign[1]) < 0xA0;
  return sign == "\xEF\xBF\xBE" || sign == "\xEF\xBF\xBF";
}

/// Calls `take(sign, good)` for each sign; an invalid byte is a bad sign of one byte.
template <class Take>
void forEachSign(std::string_view bytes, Take take) {
  while (!bytes.empty()) {
    const std::size_t length = signLength(bytes);
    const std::string_view sign = bytes.substr(0, length == 0 ? 1 : length);
    take(sign, length > 0 && !isForbidden(sign));
    bytes.remove_prefix(sign.size());
  }
}

std::string_view xmlSign(std::string_view sign) {
  if (sign == "&") return "&amp;";
  if (sign == "<") return "&lt;";
  if (sign == ">") return "&gt;";
  if (sign == "\"") return "&quot;";
  if (sign == "'") return "&#39;";
  return sign;
}

}  // namespace

double textWidth(std::string_view words, double size_px, bool bold) {
  const auto& advances = bold ? kBold : kRegular;
  int total = 0;
  forEachSign(words, [&](std::string_view sign, bool) {
    const auto code = static_cast<unsigned char>(sign[0]);
    total += code >= 0x20 && code < 0x7F ? advances[code - 0x20] : kOther;
  });
  return total * size_px / 1000.0;
}

bool isWellFormed(std::string_view bytes) {
  bool all_good = true;
  forEachSign(bytes, [&](std::string_view, bool good) { all_good = all_good && good; });
  return all_good;
}

std::string wellFormed(std::string_view bytes) {
  std::string out;
  forEachSign(bytes, [&](std::string_view sign, bool good) { out += good ? sign : kReplacement; });
  return out;
}

std::string xmlEscaped(std::string_view words) {
  std::string out;
  forEachSign(
      words, [&](std::string_view sign, bool good) { out += good ? xmlSign(sign) : kReplacement; });
  return out;
}

}  // namespace platemark::figure
