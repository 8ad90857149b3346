#include "number.h"

#include <algorithm>
#include <charconv>
#include <string>

namespace platemark::intake {

bool exactNumber(std::string_view text, char mark, double& out) {
  if (text.starts_with('+')) {
    text.remove_prefix(1);
    if (text.starts_with('-')) return false;
  }
  // from_chars reads "nan", "inf" and their relatives: no instrument's number.
  const auto plain = [](char c) {
    return (c >= '0' && c <= '9') || c == '.' || c == ',' || c == '-' || c == '+' || c == 'e' ||
           c == 'E';
  };
  if (text.empty() || text.size() > 400 || !std::all_of(text.begin(), text.end(), plain))
    return false;
  std::string pointed(text);
  if (mark == ',') {
    if (pointed.find('.') != std::string::npos) return false;
    std::replace(pointed.begin(), pointed.end(), ',', '.');
  }
  const char* const end = pointed.data() + pointed.size();
  const auto [stop, error] = std::from_chars(pointed.data(), end, out);
  return error == std::errc{} && stop == end;
}

}  // namespace platemark::intake
