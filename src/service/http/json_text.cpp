#include "json_text.h"

#include <cstddef>

namespace platemark::http {
namespace {

unsigned byteAt(std::string_view text, std::size_t i) {
  return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
}

bool continues(std::string_view text, std::size_t i, unsigned low = 0x80, unsigned high = 0xBF) {
  return byteAt(text, i) >= low && byteAt(text, i) <= high;
}

/// Length of the well-formed UTF-8 sequence at i, 0 when there is none (Unicode table 3-7).
std::size_t sequenceLength(std::string_view text, std::size_t i) {
  const unsigned lead = byteAt(text, i);
  if (lead < 0x80) return 1;
  if (lead >= 0xC2 && lead <= 0xDF) return continues(text, i + 1) ? 2 : 0;
  if (lead >= 0xE0 && lead <= 0xEF) {
    const unsigned low = lead == 0xE0 ? 0xA0 : 0x80;
    const unsigned high = lead == 0xED ? 0x9F : 0xBF;
    return continues(text, i + 1, low, high) && continues(text, i + 2) ? 3 : 0;
  }
  if (lead >= 0xF0 && lead <= 0xF4) {
    const unsigned low = lead == 0xF0 ? 0x90 : 0x80;
    const unsigned high = lead == 0xF4 ? 0x8F : 0xBF;
    const bool whole =
        continues(text, i + 1, low, high) && continues(text, i + 2) && continues(text, i + 3);
    return whole ? 4 : 0;
  }
  return 0;
}

void appendControl(std::string& out, char c) {
  constexpr std::string_view digits = "0123456789abcdef";
  const auto value = static_cast<unsigned char>(c);
  out += "\\u00";
  out += digits[value >> 4U];
  out += digits[value & 0xFU];
}

void appendAscii(std::string& out, char c) {
  switch (c) {
    case '"':
      out += "\\\"";
      return;
    case '\\':
      out += "\\\\";
      return;
    case '\n':
      out += "\\n";
      return;
    case '\r':
      out += "\\r";
      return;
    case '\t':
      out += "\\t";
      return;
    default:
      break;
  }
  if (static_cast<unsigned char>(c) < 0x20)
    appendControl(out, c);
  else
    out += c;
}

}  // namespace

void appendJsonString(std::string& out, std::string_view text) {
  out += '"';
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t length = sequenceLength(text, i);
    if (length == 1)
      appendAscii(out, text[i]);
    else if (length == 0)
      out += "\xEF\xBF\xBD";
    else
      out += text.substr(i, length);
    i += length == 0 ? 1 : length;
  }
  out += '"';
}

}  // namespace platemark::http
