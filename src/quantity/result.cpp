#include "platemark/quantity/result.h"

namespace platemark {
namespace {

std::string placeText(const Place& place) {
  std::string text;
  auto add = [&](const std::string& part) { text += (text.empty() ? "" : ", ") + part; };
  if (!place.file.empty()) add(place.file);
  if (place.line > 0) add("line " + std::to_string(place.line));
  if (!place.column.empty()) add("column " + place.column);
  if (!place.field.empty()) add(place.field);
  return text;
}

}  // namespace

std::string describe(const Error& error) {
  std::string text = error.what;
  if (const std::string place = placeText(error.where); !place.empty()) text += " (" + place + ")";
  for (const Missing& missing : error.missing) {
    text += "\n  - " + missing.what;
    if (!missing.who.empty()) text += " – " + missing.who;
    if (!missing.how.empty()) text += ": " + missing.how;
  }
  if (!error.expected.empty()) text += "\nExpected: " + error.expected;
  if (!error.remedy.empty()) text += "\nWhat to do: " + error.remedy;
  return text;
}

}  // namespace platemark
