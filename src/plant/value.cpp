#include "platemark/plant/value.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <charconv>
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

namespace platemark {
namespace {

constexpr std::size_t deepest = 64;
constexpr std::int64_t largest_exact = 9007199254740991;  // 2^53 - 1, RFC 7493 section 2.2

Error notJson(std::string_view code, std::string what) {
  Error error;
  error.code = std::string(code);
  error.what = std::move(what);
  error.expected = "JSON (RFC 8259) in UTF-8, each member name once in its object";
  return error;
}

Error notUtf8() { return notJson("json.syntax", "A text is not UTF-8."); }

Error tooDeep() { return notJson("json.too_deep", fmt::format("More than {} levels.", deepest)); }

Error inexactNumber(const std::string& typed) {
  Error fault =
      notJson("json.inexact_number", fmt::format("The number {} cannot be kept exactly.", typed));
  fault.remedy = "Write it as text, e.g. \"" + typed + "\".";
  return fault;
}

/// Builds a Value from parser events; stops at the first thing that strict JSON refuses.
class Builder : public nlohmann::json_sax<nlohmann::json> {
 public:
  explicit Builder(std::string_view text) : text_(text) {}
  Value result;
  std::optional<Error> fault;

  bool null() override { return put(Value()); }
  bool boolean(bool b) override { return put(b); }
  bool number_integer(number_integer_t n) override {
    if (n < -largest_exact) return inexact(std::to_string(n));
    return put(static_cast<std::int64_t>(n));
  }
  bool number_unsigned(number_unsigned_t n) override {
    if (n > static_cast<number_unsigned_t>(largest_exact)) return inexact(std::to_string(n));
    return put(static_cast<std::int64_t>(n));
  }
  bool number_float(number_float_t d, const string_t& typed) override {
    if (!std::isfinite(d)) return inexact(typed);
    return put(d);
  }
  bool string(string_t& s) override { return put(std::move(s)); }
  bool binary(binary_t&) override { return false; }
  bool start_object(std::size_t) override { return open(Value::Object{}); }
  bool start_array(std::size_t) override { return open(Value::Array{}); }
  bool end_object() override { return close(); }
  bool end_array() override { return close(); }
  bool key(string_t& name) override {
    if (open_.back().value.asObject()->contains(name)) {
      fault = notJson("json.duplicate_name",
                      fmt::format("The member '{}' stands twice in one object.", name));
      fault->where.field = name;
      return false;
    }
    open_.back().name = std::move(name);
    return true;
  }
  bool parse_error(std::size_t position, const std::string&,
                   const nlohmann::detail::exception& e) override {
    std::string why = e.what();
    if (const auto at = why.find("syntax error"); at != std::string::npos) why = why.substr(at);
    fault = notJson("json.syntax", "This is not JSON: " + why.substr(0, 200));
    locate(position);
    return false;
  }

 private:
  struct Level {
    Value value;
    std::string name;
  };

  void locate(std::size_t position) {
    const std::string_view before = text_.substr(0, position == 0 ? 0 : position - 1);
    const auto line_start = before.rfind('\n');
    fault->where.line = 1 + std::count(before.begin(), before.end(), '\n');
    fault->where.column = std::to_string(
        before.size() - (line_start == std::string_view::npos ? 0 : line_start + 1) + 1);
  }
  bool inexact(const std::string& typed) {
    fault = inexactNumber(typed);
    return false;
  }
  bool put(Value value) {
    if (open_.empty()) {
      result = std::move(value);
      return true;
    }
    Level& level = open_.back();
    if (Value::Array* array = level.value.asArray())
      array->push_back(std::move(value));
    else
      level.value.asObject()->emplace(std::move(level.name), std::move(value));
    return true;
  }
  bool open(Value empty) {
    if (open_.size() >= deepest) {
      fault = tooDeep();
      return false;
    }
    open_.push_back({std::move(empty), {}});
    return true;
  }
  bool close() {
    Value done = std::move(open_.back().value);
    open_.pop_back();
    return put(std::move(done));
  }

  std::string_view text_;
  std::vector<Level> open_;
};

/// Decodes one code point of valid UTF-8 at `i` and moves on.
char32_t nextCodePoint(std::string_view s, std::size_t& i) {
  const auto byte = [&](std::size_t k) {
    return static_cast<char32_t>(static_cast<unsigned char>(s[k]));
  };
  const char32_t first = byte(i);
  const std::size_t length = first < 0x80 ? 1 : first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
  char32_t point = length == 1 ? first : first & (0x7Fu >> length);
  for (std::size_t k = 1; k < length && i + k < s.size(); ++k)
    point = (point << 6) | (byte(i + k) & 0x3Fu);
  i += length;
  return point;
}

/// RFC 8785 sorts names by UTF-16 code units: a surrogate pair (D800…) comes before U+E000….
std::u16string utf16(std::string_view s) {
  std::u16string out;
  for (std::size_t i = 0; i < s.size();) {
    const char32_t point = nextCodePoint(s, i);
    if (point < 0x10000) {
      out += static_cast<char16_t>(point);
    } else {
      out += static_cast<char16_t>(0xD800 + ((point - 0x10000) >> 10));
      out += static_cast<char16_t>(0xDC00 + ((point - 0x10000) & 0x3FF));
    }
  }
  return out;
}

bool ascii(std::string_view s) {
  return std::all_of(s.begin(), s.end(),
                     [](char c) { return static_cast<unsigned char>(c) < 0x80; });
}

bool utf16Less(std::string_view a, std::string_view b) {
  if (ascii(a) && ascii(b)) return a < b;
  return utf16(a) < utf16(b);
}

std::string escaped(char c) {
  switch (c) {
    case '"':
      return "\\\"";
    case '\\':
      return "\\\\";
    case '\b':
      return "\\b";
    case '\f':
      return "\\f";
    case '\n':
      return "\\n";
    case '\r':
      return "\\r";
    case '\t':
      return "\\t";
    default:
      return fmt::format("\\u{:04x}", static_cast<unsigned>(c));
  }
}

void writeString(std::string& out, std::string_view s) {
  const auto plain = [](char c) {
    return static_cast<unsigned char>(c) >= 0x20 && c != '"' && c != '\\';
  };
  out += '"';
  for (auto from = s.begin(); from != s.end();) {
    const auto to = std::find_if_not(from, s.end(), plain);
    out.append(from, to);
    from = to;
    if (from != s.end()) out += escaped(*from++);
  }
  out += '"';
}

/// ECMAScript Number::toString (ECMA-262, 6.1.6.1.20) from the shortest digits.
std::string ecmaNumber(double d) {
  assert(std::isfinite(d));
  if (d == 0) return "0";
  char buffer[64];
  const auto end =
      std::to_chars(buffer, buffer + sizeof buffer, std::abs(d), std::chars_format::scientific);
  const std::string_view shortest(buffer, static_cast<std::size_t>(end.ptr - buffer));
  const auto e = shortest.find('e');
  std::string digits(shortest.substr(0, 1));
  if (e > 2) digits += shortest.substr(2, e - 2);
  int exponent = 0;
  const std::string_view exponent_text = shortest.substr(e + 1);
  const std::size_t skip = exponent_text.front() == '+' ? 1 : 0;
  std::from_chars(exponent_text.data() + skip, exponent_text.data() + exponent_text.size(),
                  exponent);
  const int n = exponent + 1, k = static_cast<int>(digits.size());
  const std::string sign = d < 0 ? "-" : "";
  if (k <= n && n <= 21) return sign + digits + std::string(static_cast<std::size_t>(n - k), '0');
  if (0 < n && n <= 21)
    return sign + digits.substr(0, static_cast<std::size_t>(n)) + "." +
           digits.substr(static_cast<std::size_t>(n));
  if (-6 < n && n <= 0)
    return sign + "0." + std::string(static_cast<std::size_t>(-n), '0') + digits;
  const std::string mantissa = k == 1 ? digits : digits.substr(0, 1) + "." + digits.substr(1);
  return fmt::format("{}{}e{}{}", sign, mantissa, n > 0 ? "+" : "-", std::abs(n - 1));
}

std::vector<const Value::Object::value_type*> canonicalOrder(const Value::Object& object) {
  std::vector<const Value::Object::value_type*> members;
  members.reserve(object.size());
  for (const auto& member : object) members.push_back(&member);
  // The map has them by bytes already, which among ASCII names is the order wanted.
  if (!std::all_of(members.begin(), members.end(), [](auto* m) { return ascii(m->first); }))
    std::sort(members.begin(), members.end(),
              [](auto* a, auto* b) { return utf16Less(a->first, b->first); });
  return members;
}

/// RFC 3629: no overlong forms, no surrogates, nothing beyond U+10FFFF.
bool isUtf8(std::string_view s) {
  for (std::size_t i = 0; i < s.size();) {
    const auto byte = [&](std::size_t k) {
      return k < s.size() ? static_cast<unsigned char>(s[k]) : 0u;
    };
    const unsigned first = byte(i);
    const std::size_t length = first < 0x80    ? 1
                               : first < 0xC2  ? 0
                               : first < 0xE0  ? 2
                               : first < 0xF0  ? 3
                               : first <= 0xF4 ? 4
                                               : 0;
    if (length == 0) return false;
    for (std::size_t k = 1; k < length; ++k)
      if ((byte(i + k) & 0xC0u) != 0x80u) return false;
    const unsigned second = byte(i + 1);
    if (first == 0xE0 && second < 0xA0) return false;  // overlong
    if (first == 0xED && second > 0x9F) return false;  // a surrogate
    if (first == 0xF0 && second < 0x90) return false;  // overlong
    if (first == 0xF4 && second > 0x8F) return false;  // beyond U+10FFFF
    i += length;
  }
  return true;
}

Result<void> checkReadable(const Value& value, std::size_t levels_left) {
  if (const std::string* s = value.asString()) return isUtf8(*s) ? Result<void>{} : notUtf8();
  if (const std::int64_t* n = value.asInteger())
    return *n < -largest_exact || *n > largest_exact ? inexactNumber(std::to_string(*n))
                                                     : Result<void>{};
  const Value::Array* array = value.asArray();
  const Value::Object* object = value.asObject();
  if (array == nullptr && object == nullptr) return {};
  if (levels_left == 0) return tooDeep();
  if (array != nullptr)
    for (const Value& item : *array)
      if (Result<void> sound = checkReadable(item, levels_left - 1); !sound) return sound;
  if (object != nullptr)
    for (const auto& [name, member] : *object) {
      if (!isUtf8(name)) return notUtf8();
      if (Result<void> sound = checkReadable(member, levels_left - 1); !sound) return sound;
    }
  return {};
}

/// `indent` < 0: canonical, no white space.
void write(std::string& out, const Value& value, int indent) {
  const auto newline = [&](int level) {
    if (indent >= 0) out += "\n" + std::string(static_cast<std::size_t>(level) * 2, ' ');
  };
  const int inner = indent < 0 ? indent : indent + 1;
  if (value.isNull())
    out += "null";
  else if (const bool* b = value.asBool())
    out += *b ? "true" : "false";
  else if (const std::int64_t* n = value.asInteger())
    out += std::to_string(*n);
  else if (const double* d = value.asDouble())
    out += ecmaNumber(*d);
  else if (const std::string* s = value.asString())
    writeString(out, *s);
  else if (const Value::Array* array = value.asArray()) {
    out += '[';
    bool first = true;
    for (const Value& item : *array) {
      if (!first) out += ',';
      first = false;
      newline(inner);
      write(out, item, inner);
    }
    if (!array->empty()) newline(indent);
    out += ']';
  } else {
    out += '{';
    bool first = true;
    for (const auto* member : canonicalOrder(*value.asObject())) {
      if (!first) out += ',';
      first = false;
      newline(inner);
      writeString(out, member->first);
      out += indent < 0 ? ":" : ": ";
      write(out, member->second, inner);
    }
    if (!value.asObject()->empty()) newline(indent);
    out += '}';
  }
}

}  // namespace

const Value& Value::operator[](std::string_view name) const {
  static const Value none;
  const Object* object = asObject();
  if (object == nullptr) return none;
  const auto found = object->find(name);
  return found == object->end() ? none : found->second;
}

std::string Value::text(std::string_view name) const {
  const std::string* s = (*this)[name].asString();
  return s == nullptr ? std::string() : *s;
}

Result<Value> parseJson(std::string_view text) {
  Builder builder(text);
  if (nlohmann::json::sax_parse(text.begin(), text.end(), &builder))
    return std::move(builder.result);
  return builder.fault ? *builder.fault : notJson("json.syntax", "This is not JSON.");
}

Result<void> checkReadable(const Value& value) { return checkReadable(value, deepest); }

std::string canonicalJson(const Value& value) {
  std::string out;
  write(out, value, -1);
  return out;
}

std::string prettyJson(const Value& value) {
  std::string out;
  write(out, value, 0);
  return out + "\n";
}

std::string firstFraction(const Value& value) {
  if (value.asDouble() != nullptr) return "this value";
  if (const Value::Array* array = value.asArray())
    for (std::size_t i = 0; i < array->size(); ++i)
      if (const std::string path = firstFraction((*array)[i]); !path.empty())
        return fmt::format("[{}]{}", i, path == "this value" ? "" : "." + path);
  if (const Value::Object* object = value.asObject())
    for (const auto& [name, inner] : *object)
      if (const std::string path = firstFraction(inner); !path.empty())
        return path == "this value" ? name : path.front() == '[' ? name + path : name + "." + path;
  return "";
}

}  // namespace platemark
