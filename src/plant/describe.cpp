#include "platemark/plant/describe.h"

#include <fmt/format.h>

namespace platemark::described {
namespace {

Error valueError(std::string_view code, const std::string& path, std::string what) {
  Error error;
  error.code = std::string(code);
  error.what = std::move(what);
  error.where.field = path;
  return error;
}

template <class T>
Result<T> placed(Result<T> result, const std::string& path) {
  if (!result) result.error().where.field = path;
  return result;
}

}  // namespace

Error wrongType(const std::string& path, std::string_view expected) {
  Error error =
      valueError("value.wrong_type", path, fmt::format("'{}' must be {}.", path, expected));
  error.expected = std::string(expected);
  return error;
}

Error missingMember(const std::string& path) {
  Error error = valueError("value.missing", path, fmt::format("'{}' is missing.", path));
  error.remedy = fmt::format("Give '{}'.", path);
  return error;
}

Error unknownMember(const std::string& path, std::string_view known) {
  Error error =
      valueError("value.unknown_member", path, fmt::format("'{}' is not known here.", path));
  error.expected = "only: " + std::string(known);
  return error;
}

Error unknownWord(const std::string& path, std::string_view given,
                  std::span<const std::string_view> words) {
  Error error = valueError("value.unknown_word", path,
                           fmt::format("'{}' is not one of the words for '{}'.", given, path));
  for (const std::string_view w : words)
    error.expected += (error.expected.empty() ? "" : ", ") + std::string(w);
  return error;
}

Result<bool> Codec<bool>::read(const Value& v, const std::string& path) {
  if (const bool* b = v.asBool()) return *b;
  return wrongType(path, "true or false");
}

Result<std::int64_t> Codec<std::int64_t>::read(const Value& v, const std::string& path) {
  if (const std::int64_t* n = v.asInteger()) return *n;
  return wrongType(path, "a whole number");
}

Result<std::string> Codec<std::string>::read(const Value& v, const std::string& path) {
  if (const std::string* s = v.asString()) return *s;
  return wrongType(path, "text");
}

Result<Decimal> Codec<Decimal>::read(const Value& v, const std::string& path) {
  if (const std::int64_t* n = v.asInteger()) return *Decimal::parse(std::to_string(*n));
  if (const std::string* s = v.asString()) return placed(Decimal::parse(*s), path);
  return wrongType(path, "a number as text, e.g. \"2.180\"");
}

Value withPlainNumbers(const Value& v) {
  if (const std::string* typed = v.asString()) {
    const Result<Measure> number = parseMeasure(*typed, "1");
    return number && number->unit == "1" ? Codec<Measure>::write(*number) : v;
  }
  Value changed = v;
  if (Value::Array* list = changed.asArray())
    for (Value& item : *list) item = withPlainNumbers(item);
  else if (Value::Object* object = changed.asObject(); object && !object->contains("unit"))
    for (auto& [name, item] : *object) item = withPlainNumbers(item);
  return changed;
}

Value Codec<Measure>::write(const Measure& m) {
  return Value::Object{{"value", m.value.text()}, {"unit", m.unit}};
}

Result<Measure> Codec<Measure>::read(const Value& v, const std::string& path) {
  if (const std::string* typed = v.asString()) return placed(parseMeasure(*typed), path);
  const Value::Object* object = v.asObject();
  if (object == nullptr) return wrongType(path, "a number with its unit, e.g. \"27.4 kN\"");
  for (const auto& [name, unused] : *object)
    if (name != "value" && name != "unit") return unknownMember(path + "." + name, "value, unit");
  const std::string* unit = v["unit"].asString();
  if (unit == nullptr) return missingMember(path + ".unit");
  Result<Decimal> value = Codec<Decimal>::read(v["value"], path + ".value");
  if (!value) return value.error();
  const Result<UnitRow> row = placed(findUnit(*unit), path + ".unit");
  if (!row) return row.error();
  return Measure{*value, std::string(row->code)};
}

Result<Instant> Codec<Instant>::read(const Value& v, const std::string& path) {
  if (const std::string* s = v.asString()) return placed(parseInstant(*s), path);
  return wrongType(path, "a time with zone, e.g. 2026-11-25T06:40:00Z");
}

Result<Day> Codec<Day>::read(const Value& v, const std::string& path) {
  if (const std::string* s = v.asString()) return placed(parseDay(*s), path);
  return wrongType(path, "a day, e.g. 2026-11-25");
}

}  // namespace platemark::described
