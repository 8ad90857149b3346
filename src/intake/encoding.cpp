#include "encoding.h"

#include <algorithm>
#include <array>
#include <cstdint>

namespace platemark::intake {
namespace {

void appendCodePoint(char32_t c, std::string& out) {
  const auto put = [&](char32_t byte) {
    out += static_cast<char>(static_cast<unsigned char>(byte));
  };
  if (c < 0x80) {
    put(c);
  } else if (c < 0x800) {
    put(0xC0 | (c >> 6));
    put(0x80 | (c & 0x3F));
  } else if (c < 0x10000) {
    put(0xE0 | (c >> 12));
    put(0x80 | ((c >> 6) & 0x3F));
    put(0x80 | (c & 0x3F));
  } else {
    put(0xF0 | (c >> 18));
    put(0x80 | ((c >> 12) & 0x3F));
    put(0x80 | ((c >> 6) & 0x3F));
    put(0x80 | (c & 0x3F));
  }
}

unsigned byteAt(std::string_view text, std::size_t i) {
  return static_cast<unsigned char>(text[i]);
}

/// Length of the UTF-8 sequence at `i`; 0 when it is broken; `cut` when the text ends inside.
std::size_t sequenceAt(std::string_view text, std::size_t i, bool& cut) {
  const unsigned lead = byteAt(text, i);
  if (lead < 0x80) return 1;
  const std::size_t n = lead >= 0xC2 && lead < 0xE0   ? 2
                        : lead >= 0xE0 && lead < 0xF0 ? 3
                        : lead >= 0xF0 && lead < 0xF5 ? 4
                                                      : 0;
  for (std::size_t k = 1; k < n; ++k) {
    if (i + k >= text.size()) {
      cut = true;
      return 0;
    }
    if ((byteAt(text, i + k) & 0xC0) != 0x80) return 0;
  }
  if (n == 3 && lead == 0xE0 && byteAt(text, i + 1) < 0xA0) return 0;  // overlong
  if (n == 3 && lead == 0xED && byteAt(text, i + 1) > 0x9F) return 0;  // surrogate
  if (n == 4 && lead == 0xF0 && byteAt(text, i + 1) < 0x90) return 0;
  if (n == 4 && lead == 0xF4 && byteAt(text, i + 1) > 0x8F) return 0;
  return n;
}

bool isUtf8(std::string_view text, bool& has_wide) {
  for (std::size_t i = 0; i < text.size();) {
    bool cut = false;
    const std::size_t n = sequenceAt(text, i, cut);
    if (n == 0) return cut;
    has_wide |= n > 1;
    i += n;
  }
  return true;
}

/// Every second byte NUL, the others not: 16-bit text without a mark.
std::optional<Encoding> wideByPattern(std::string_view bytes) {
  std::array<std::size_t, 2> nul{};
  const std::size_t n = std::min<std::size_t>(bytes.size() & ~std::size_t{1}, 512);
  for (std::size_t i = 0; i < n; ++i) nul[i & 1] += bytes[i] == '\0' ? 1u : 0u;
  if (n < 8) return std::nullopt;
  if (nul[1] * 10 >= n * 4 && nul[0] == 0) return Encoding::utf16_le;
  if (nul[0] * 10 >= n * 4 && nul[1] == 0) return Encoding::utf16_be;
  return std::nullopt;
}

struct Signature {
  std::string_view bytes;
  std::string_view seems;
  std::string_view remedy;
};

constexpr std::string_view export_text =
    "Export the data from the instrument as text (CSV) and read that file.";
constexpr std::string_view save_as_csv =
    "Open it in a spreadsheet program, save the sheet as CSV and read that file.";
constexpr std::array signatures{
    Signature{"%PDF", "a PDF document", export_text},
    Signature{"\x89PNG", "a picture (PNG)", export_text},
    Signature{"\xFF\xD8\xFF", "a picture (JPEG)", export_text},
    Signature{"GIF8", "a picture (GIF)", export_text},
    Signature{"II*", "a picture (TIFF)", export_text},
    Signature{"PK\x03\x04", "a workbook or a ZIP archive", save_as_csv},
    Signature{"\xD0\xCF\x11\xE0", "a workbook of an older spreadsheet program", save_as_csv},
    Signature{"\x1F\x8B", "a compressed file (gzip)", "Unpack it and read the file inside."},
    Signature{"7z\xBC\xAF", "a compressed file (7z)", "Unpack it and read the file inside."},
    Signature{"{\\rtf", "a word processor document", export_text},
    Signature{"\x7F"
              "ELF",
              "a program", export_text}};

std::string lowerStart(std::string_view bytes) {
  std::string text;
  for (const char c : bytes.substr(0, 512))
    if (c != '\0') text += (c >= 'A' && c <= 'Z') ? static_cast<char>(c + 32) : c;
  const auto begin = text.find_first_not_of(" \t\r\n\xEF\xBB\xBF\xFF\xFE");
  return begin == std::string::npos ? "" : text.substr(begin);
}

bool isControl(char c) {
  return static_cast<unsigned char>(c) < 0x20 && c != '\t' && c != '\n' && c != '\r' && c != '\f' &&
         c != '\0' && c != 0x1A;
}

}  // namespace

EncodingFound detectEncoding(std::string_view bytes) {
  if (bytes.starts_with("\xEF\xBB\xBF")) return {Encoding::utf8, 3, true};
  if (bytes.starts_with("\xFF\xFE")) return {Encoding::utf16_le, 2, true};
  if (bytes.starts_with("\xFE\xFF")) return {Encoding::utf16_be, 2, true};
  if (const auto wide = wideByPattern(bytes)) return {*wide, 0, true};
  bool has_wide = false;
  if (!isUtf8(bytes, has_wide)) return {Encoding::latin1, 0, true};
  return {Encoding::utf8, 0, has_wide};
}

bool isWide(Encoding encoding) {
  return encoding == Encoding::utf16_le || encoding == Encoding::utf16_be;
}

void appendUtf16(std::string_view bytes, Encoding encoding, char16_t& pending, std::string& utf8) {
  const std::size_t low = encoding == Encoding::utf16_le ? 0 : 1;
  for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) {
    const auto unit =
        static_cast<char16_t>(byteAt(bytes, i + low) | (byteAt(bytes, i + 1 - low) << 8));
    const bool second = unit >= 0xDC00 && unit < 0xE000;
    if (pending != 0) {
      if (second) {
        appendCodePoint(0x10000u + ((pending - 0xD800u) << 10) + (unit - 0xDC00u), utf8);
        pending = 0;
        continue;
      }
      appendCodePoint(0xFFFD, utf8);
      pending = 0;
    }
    if (unit >= 0xD800 && unit < 0xDC00)
      pending = unit;
    else
      appendCodePoint(second ? 0xFFFD : unit, utf8);
  }
}

std::string shown(std::string_view bytes, Encoding encoding) {
  std::string text;
  text.reserve(bytes.size());
  for (std::size_t i = 0; i < bytes.size();) {
    bool cut = false;
    const std::size_t n = encoding == Encoding::latin1 ? 0 : sequenceAt(bytes, i, cut);
    if (n > 0) {
      text.append(bytes.substr(i, n));
    } else {
      appendCodePoint(encoding == Encoding::latin1 ? byteAt(bytes, i) : 0xFFFD, text);
    }
    i += std::max<std::size_t>(n, 1);
  }
  return text;
}

std::string toUtf8(std::string_view bytes, const EncodingFound& found) {
  bytes.remove_prefix(found.mark_bytes);
  if (!isWide(found.encoding)) return shown(bytes, found.encoding);
  std::string text;
  char16_t pending = 0;
  appendUtf16(bytes, found.encoding, pending, text);
  return text;
}

std::optional<NotText> noTable(std::string_view bytes) {
  for (const Signature& s : signatures)
    if (bytes.starts_with(s.bytes)) return NotText{std::string(s.seems), std::string(s.remedy)};
  const std::string start = lowerStart(bytes);
  if (start.starts_with("<!doctype html") || start.starts_with("<html"))
    return NotText{"a web page (HTML)", std::string(export_text)};
  if (start.starts_with("<?xml")) return NotText{"an XML document", std::string(export_text)};
  if (isWide(detectEncoding(bytes).encoding)) return std::nullopt;
  const std::string_view head = bytes.substr(0, 4096);
  const auto controls = std::count_if(head.begin(), head.end(), isControl);
  const auto nuls = std::count(head.begin(), head.end(), '\0');
  if (controls > 0 || nuls * 4 > static_cast<std::ptrdiff_t>(head.size()))
    return NotText{"a file of numbers for machines (binary)", std::string(export_text)};
  return std::nullopt;
}

}  // namespace platemark::intake
