/// A plain tree of values: what a fact's body, an act's input and a projection's state are made of.
///
/// Text form is JSON; the stored form is canonical JSON (RFC 8785). Facts hold
/// no fractional JSON numbers: a measured value is a decimal string with its
/// unit code (see describe.h). Doubles exist here only so that the canonical
/// writer covers the whole of RFC 8785.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "platemark/quantity/result.h"

namespace platemark {

class Value {
 public:
  using Array = std::vector<Value>;
  using Object = std::map<std::string, Value, std::less<>>;

  Value() = default;  ///< null
  Value(bool b) : content_(b) {}
  Value(int n) : content_(static_cast<std::int64_t>(n)) {}
  Value(std::int64_t n) : content_(n) {}
  Value(double d) : content_(d) {}
  Value(std::string s) : content_(std::move(s)) {}
  Value(std::string_view s) : content_(std::string(s)) {}
  Value(const char* s) : content_(std::string(s)) {}
  Value(Array a) : content_(std::move(a)) {}
  Value(Object o) : content_(std::move(o)) {}

  [[nodiscard]] bool isNull() const { return content_.index() == 0; }
  [[nodiscard]] const bool* asBool() const { return std::get_if<bool>(&content_); }
  [[nodiscard]] const std::int64_t* asInteger() const {
    return std::get_if<std::int64_t>(&content_);
  }
  [[nodiscard]] const double* asDouble() const { return std::get_if<double>(&content_); }
  [[nodiscard]] const std::string* asString() const { return std::get_if<std::string>(&content_); }
  [[nodiscard]] const Array* asArray() const { return std::get_if<Array>(&content_); }
  [[nodiscard]] Array* asArray() { return std::get_if<Array>(&content_); }
  [[nodiscard]] const Object* asObject() const { return std::get_if<Object>(&content_); }
  [[nodiscard]] Object* asObject() { return std::get_if<Object>(&content_); }

  /// The member, or null when this is no object or has none of that name.
  [[nodiscard]] const Value& operator[](std::string_view name) const;
  /// The member's text, or "" when there is none.
  [[nodiscard]] std::string text(std::string_view name) const;

  friend bool operator==(const Value&, const Value&) = default;

 private:
  std::variant<std::monostate, bool, std::int64_t, double, std::string, Array, Object> content_;
};

/// Strict JSON (RFC 8259, I-JSON): refuses duplicate names, NaN, numbers beyond 2^53 without
/// fraction, invalid UTF-8, more than 64 levels. Errors carry line and column.
[[nodiscard]] Result<Value> parseJson(std::string_view text);

/// RFC 8785: members sorted by UTF-16 code units, shortest ECMAScript numbers, no white space.
/// A double that is not finite is a programmer's error (assert).
[[nodiscard]] std::string canonicalJson(const Value& value);

/// Indented by two, members in canonical order: for people.
[[nodiscard]] std::string prettyJson(const Value& value);

/// Whether parseJson(canonicalJson(value)) would give the value again; the error that it would give
/// if not: text that is no UTF-8, a whole number beyond 2^53, more than 64 levels.
[[nodiscard]] Result<void> checkReadable(const Value& value);

/// The path of the first fractional or inexact number, or "" when there is none.
[[nodiscard]] std::string firstFraction(const Value& value);

}  // namespace platemark
