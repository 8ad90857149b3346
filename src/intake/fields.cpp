#include "fields.h"

#include <algorithm>

#include "platemark/quantity/measure.h"

namespace platemark::intake {
namespace {

/// Where the quoted cell that begins at `from` ends: behind its closing quote.
std::size_t behindQuote(std::string_view line, std::size_t from) {
  for (std::size_t i = from + 1; i < line.size(); ++i) {
    if (line[i] != '"') continue;
    if (i + 1 < line.size() && line[i + 1] == '"')
      ++i;
    else
      return i + 1;
  }
  return line.size();
}

std::string_view cleaned(std::string_view cell) {
  cell = trimmed(cell);
  if (cell.size() < 2 || cell.front() != '"' || cell.back() != '"') return cell;
  return trimmed(cell.substr(1, cell.size() - 2));
}

std::string unitCode(std::string_view text) {
  text = trimmed(text);
  const auto unit = findUnit(text);
  // "1" and single capital letters are names of channels more often than units.
  if (!unit || text == "1" || text == "C" || text == "F" || text == "t" || text == "d") return "";
  return std::string(unit->code);
}

std::string bracketed(std::string_view title, char open, char close, std::string& name) {
  const auto begin = title.rfind(open);
  const auto end = title.rfind(close);
  if (begin == std::string_view::npos || end == std::string_view::npos || end < begin) return "";
  const auto inner = trimmed(title.substr(begin + 1, end - begin - 1));
  std::string code = unitCode(inner);
  // Inside brackets a lone C or F can hardly be anything but a scale.
  if (code.empty() && inner == "C") code = "Cel";
  if (code.empty() && inner == "F") code = "[degF]";
  if (!code.empty()) name = trimmed(title.substr(0, begin));
  return code;
}

}  // namespace

std::string_view trimmed(std::string_view text) {
  const auto begin = text.find_first_not_of(" \t\r\v\f");
  if (begin == std::string_view::npos) return {};
  return text.substr(begin, text.find_last_not_of(" \t\r\v\f") - begin + 1);
}

void splitFields(std::string_view line, char delimiter, std::vector<std::string_view>& cells) {
  cells.clear();
  for (std::size_t begin = 0;;) {
    std::size_t look = begin;
    while (look < line.size() && line[look] == ' ') ++look;
    const std::size_t from =
        look < line.size() && line[look] == '"' ? behindQuote(line, look) : begin;
    const std::size_t end = std::min(line.find(delimiter, from), line.size());
    cells.push_back(cleaned(line.substr(begin, end - begin)));
    if (end == line.size()) return;
    begin = end + 1;
  }
}

std::string unescaped(std::string_view cell) {
  std::string text;
  for (std::size_t i = 0; i < cell.size(); ++i) {
    text += cell[i];
    if (cell[i] == '"' && i + 1 < cell.size() && cell[i + 1] == '"') ++i;
  }
  return text;
}

std::string unitInTitle(std::string_view title, std::string& name) {
  title = trimmed(title);
  name = title;
  if (std::string code = bracketed(title, '[', ']', name); !code.empty()) return code;
  if (std::string code = bracketed(title, '(', ')', name); !code.empty()) return code;
  const auto last = title.find_last_of(" /_,");
  if (last == std::string_view::npos || last == 0) return "";
  std::string code = unitCode(title.substr(last + 1));
  if (!code.empty()) name = title.substr(0, title.find_last_not_of(" /_,", last) + 1);
  return code;
}

bool takeLine(std::string_view& text, std::string_view& line) {
  if (text.empty()) return false;
  const auto end = text.find('\n');
  line = text.substr(0, end);
  text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  if (line.ends_with('\r')) line.remove_suffix(1);
  return true;
}

}  // namespace platemark::intake
