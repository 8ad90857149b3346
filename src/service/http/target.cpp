#include "target.h"

#include <algorithm>
#include <utility>

namespace platemark::http {
namespace {

int hexValue(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

bool isControl(char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; }

/// The character that the percent code at i stands for, or none.
std::optional<char> codeAt(std::string_view text, std::size_t i) {
  if (i + 2 >= text.size()) return std::nullopt;
  const int high = hexValue(text[i + 1]);
  const int low = hexValue(text[i + 2]);
  if (high < 0 || low < 0) return std::nullopt;
  return static_cast<char>(high * 16 + low);
}

std::optional<std::string> percentDecode(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] != '%') {
      out += text[i];
      continue;
    }
    const std::optional<char> c = codeAt(text, i);
    if (!c) return std::nullopt;
    out += *c;
    i += 2;
  }
  return out;
}

bool isUsablePart(const std::string& part) {
  return part != "." && part != ".." && std::none_of(part.begin(), part.end(), isControl);
}

std::optional<std::vector<std::string>> parsePath(std::string_view path) {
  std::vector<std::string> parts;
  if (path == "/") return parts;
  for (std::string_view part : split(path.substr(1), '/')) {
    std::optional<std::string> decoded = percentDecode(part);
    if (!decoded || !isUsablePart(*decoded)) return std::nullopt;
    parts.push_back(std::move(*decoded));
  }
  return parts;
}

std::optional<std::string> decodeQueryText(std::string_view text) {
  std::string spaced(text);
  std::replace(spaced.begin(), spaced.end(), '+', ' ');
  return percentDecode(spaced);
}

std::optional<Fields> parseQuery(std::string_view text) {
  Fields fields;
  for (std::string_view pair : split(text, '&')) {
    if (pair.empty()) continue;
    const std::size_t equals = std::min(pair.find('='), pair.size());
    auto name = decodeQueryText(pair.substr(0, equals));
    auto value = decodeQueryText(pair.substr(std::min(equals + 1, pair.size())));
    if (!name || !value) return std::nullopt;
    fields.push_back({std::move(*name), std::move(*value)});
  }
  return fields;
}

std::string_view unquoted(std::string_view text) {
  const bool quoted = text.size() >= 2 && text.front() == '"' && text.back() == '"';
  return quoted ? text.substr(1, text.size() - 2) : text;
}

}  // namespace

std::optional<Target> parseTarget(std::string_view text) {
  text = text.substr(0, text.find('#'));
  if (text.empty() || text.front() != '/') return std::nullopt;
  const std::size_t mark = std::min(text.find('?'), text.size());
  const std::string_view path = text.substr(0, mark);
  auto parts = parsePath(path);
  auto query = parseQuery(text.substr(std::min(mark + 1, text.size())));
  if (!parts || !query) return std::nullopt;
  return Target{std::string(path), std::move(*parts), std::move(*query)};
}

std::string percentEncode(std::string_view text) {
  constexpr std::string_view digits = "0123456789ABCDEF";
  constexpr std::string_view marks = "-._~";
  std::string out;
  for (char c : text) {
    const auto value = static_cast<unsigned char>(c);
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                       marks.find(c) != std::string_view::npos;
    if (plain)
      out += c;
    else
      out += {'%', digits[value >> 4U], digits[value & 0xFU]};
  }
  return out;
}

Fields parseCookies(std::string_view header) {
  Fields cookies;
  for (std::string_view pair : split(header, ';')) {
    const std::size_t equals = pair.find('=');
    if (equals == std::string_view::npos) continue;
    cookies.push_back({std::string(trimmed(pair.substr(0, equals))),
                       std::string(unquoted(trimmed(pair.substr(equals + 1))))});
  }
  return cookies;
}

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

std::string lowered(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return out;
}

std::vector<std::string_view> split(std::string_view text, char separator) {
  std::vector<std::string_view> parts;
  for (;;) {
    const std::size_t end = std::min(text.find(separator), text.size());
    parts.push_back(trimmed(text.substr(0, end)));
    if (end == text.size()) return parts;
    text.remove_prefix(end + 1);
  }
}

}  // namespace platemark::http
