/// One description per plain struct; from it follow reading, writing, forms and columns.
///
///     struct Weighing {
///       std::string lot;
///       Measure mass;
///       std::optional<std::string> note;
///       template <class V> void describe(V& v) { v("lot", lot); v("mass", mass); v("note", note);
///       }
///     };
///     // v.defaulted("samples", samples) may be left out and then is T{}
///     // v.plainToo("upper", upper) also takes a typed number without a unit, as one of unit one;
///     // whoever reads it must hold it against the unit that is expected (plainNumberFault)
///     Value stored = toValue(weighing);
///     Result<Weighing> again = fromValue<Weighing>(stored);
///
/// Members may be bool, int64, text, Decimal, Measure, Instant, Day, enums with
/// words (enumWords), other described structs, and optional/vector/map<text,…>
/// of these. A reader refuses unknown members, missing ones (optional ones, and
/// lists and maps, may be left out) and wrong types, and names the path.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "platemark/plant/value.h"
#include "platemark/quantity/measure.h"
#include "platemark/quantity/time.h"

namespace platemark {

/// Specialise for each enum used in a described struct: the words in the order of the values.
template <class E>
struct EnumWords;  // static constexpr std::array<std::string_view, n> words;

template <class E>
[[nodiscard]] std::string_view word(E e) {
  return EnumWords<E>::words[static_cast<std::size_t>(e)];
}

namespace described {

Error wrongType(const std::string& path, std::string_view expected);
Error missingMember(const std::string& path);
Error unknownMember(const std::string& path, std::string_view known);
Error unknownWord(const std::string& path, std::string_view word,
                  std::span<const std::string_view> words);

/// Typed texts in it that are numbers and nothing else, as measures of unit one.
[[nodiscard]] Value withPlainNumbers(const Value& v);

template <class T>
struct Codec;

template <>
struct Codec<bool> {
  static Value write(bool b) { return b; }
  static Result<bool> read(const Value& v, const std::string& path);
  static constexpr std::string_view type = "yes/no";
};
template <>
struct Codec<std::int64_t> {
  static Value write(std::int64_t n) { return n; }
  static Result<std::int64_t> read(const Value& v, const std::string& path);
  static constexpr std::string_view type = "whole number";
};
template <>
struct Codec<std::string> {
  static Value write(const std::string& s) { return s; }
  static Result<std::string> read(const Value& v, const std::string& path);
  static constexpr std::string_view type = "text";
};
template <>
struct Codec<Decimal> {
  static Value write(const Decimal& d) { return d.text(); }
  static Result<Decimal> read(const Value& v, const std::string& path);
  static constexpr std::string_view type = "number";
};
/// {"unit":"N","value":"27400"} when written; also read from typed text "27 400 N".
template <>
struct Codec<Measure> {
  static Value write(const Measure& m);
  static Result<Measure> read(const Value& v, const std::string& path);
  static constexpr std::string_view type = "number with unit";
};
template <>
struct Codec<Instant> {
  static Value write(Instant i) { return formatInstant(i); }
  static Result<Instant> read(const Value& v, const std::string& path);
  static constexpr std::string_view type = "time";
};
template <>
struct Codec<Day> {
  static Value write(const Day& d) { return formatDay(d); }
  static Result<Day> read(const Value& v, const std::string& path);
  static constexpr std::string_view type = "day";
};
/// Kept as it is: for bodies that another kind describes.
template <>
struct Codec<Value> {
  static Value write(const Value& v) { return v; }
  static Result<Value> read(const Value& v, const std::string&) { return v; }
  static constexpr std::string_view type = "object";
};

template <class E>
requires std::is_enum_v<E>
struct Codec<E> {
  static Value write(E e) { return Value(word(e)); }
  static Result<E> read(const Value& v, const std::string& path) {
    const std::string* text = v.asString();
    if (text == nullptr) return wrongType(path, "a word");
    for (std::size_t i = 0; i < EnumWords<E>::words.size(); ++i)
      if (EnumWords<E>::words[i] == *text) return static_cast<E>(i);
    return unknownWord(path, *text, EnumWords<E>::words);
  }
  static constexpr std::string_view type = "word";
};

template <class T>
struct Codec<std::optional<T>> {
  static Value write(const std::optional<T>& o) { return o ? Codec<T>::write(*o) : Value(); }
  static Result<std::optional<T>> read(const Value& v, const std::string& path) {
    if (v.isNull()) return std::optional<T>();
    Result<T> inner = Codec<T>::read(v, path);
    if (!inner) return inner.error();
    return std::optional<T>(std::move(*inner));
  }
  static constexpr std::string_view type = Codec<T>::type;
};

template <class T>
struct Codec<std::vector<T>> {
  static Value write(const std::vector<T>& list) {
    Value::Array out;
    out.reserve(list.size());
    for (const T& item : list) out.push_back(Codec<T>::write(item));
    return out;
  }
  static Result<std::vector<T>> read(const Value& v, const std::string& path) {
    std::vector<T> list;
    if (v.isNull()) return list;
    const Value::Array* array = v.asArray();
    if (array == nullptr) return wrongType(path, "a list");
    list.reserve(array->size());
    for (std::size_t i = 0; i < array->size(); ++i) {
      Result<T> item = Codec<T>::read((*array)[i], path + "[" + std::to_string(i) + "]");
      if (!item) return item.error();
      list.push_back(std::move(*item));
    }
    return list;
  }
  static constexpr std::string_view type = "list";
};

template <class T>
struct Codec<std::map<std::string, T>> {
  static Value write(const std::map<std::string, T>& map) {
    Value::Object out;
    for (const auto& [name, item] : map) out.emplace(name, Codec<T>::write(item));
    return out;
  }
  static Result<std::map<std::string, T>> read(const Value& v, const std::string& path) {
    std::map<std::string, T> map;
    if (v.isNull()) return map;
    const Value::Object* object = v.asObject();
    if (object == nullptr) return wrongType(path, "named values");
    for (const auto& [name, inner] : *object) {
      Result<T> item = Codec<T>::read(inner, path + "." + name);
      if (!item) return item.error();
      map.emplace(name, std::move(*item));
    }
    return map;
  }
  static constexpr std::string_view type = "named values";
};

template <class T>
inline constexpr bool may_be_left_out = false;
template <class T>
inline constexpr bool may_be_left_out<std::optional<T>> = true;
template <class T>
inline constexpr bool may_be_left_out<std::vector<T>> = true;
template <class T>
inline constexpr bool may_be_left_out<std::map<std::string, T>> = true;

struct Writer {
  Value::Object out;
  template <class T>
  void operator()(std::string_view name, T& member) {
    Value v = Codec<std::remove_const_t<T>>::write(member);
    // An absent optional and an empty list leave no trace, so that a later version may add members.
    const bool empty_list = v.asArray() != nullptr && v.asArray()->empty();
    const bool empty_map =
        may_be_left_out<std::remove_const_t<T>> && v.asObject() != nullptr && v.asObject()->empty();
    if (!v.isNull() && !empty_list && !empty_map) out.emplace(std::string(name), std::move(v));
  }
  /// A member whose usual value, T{}, is not written.
  template <class T>
  void defaulted(std::string_view name, T& member) {
    if (!(member == T{})) (*this)(name, member);
  }
  template <class T>
  void plainToo(std::string_view name, T& member) {
    (*this)(name, member);
  }
};

struct Reader {
  const Value::Object& in;
  const std::string& path;
  std::optional<Error> fault;
  std::size_t seen = 0;
  std::string known;

  template <class T>
  void operator()(std::string_view name, T& member) {
    take(name, member, [](const Value& v) -> const Value& { return v; });
  }
  template <class T>
  void plainToo(std::string_view name, T& member) {
    take(name, member, withPlainNumbers);
  }
  template <class T, class Prepare>
  void take(std::string_view name, T& member, Prepare prepare) {
    known += (known.empty() ? "" : ", ") + std::string(name);
    const auto found = in.find(std::string(name));
    const std::string member_path =
        path.empty() ? std::string(name) : path + "." + std::string(name);
    if (found == in.end()) {
      if (!may_be_left_out<T> && !fault) fault = missingMember(member_path);
      return;
    }
    ++seen;
    if (fault) return;
    Result<T> read = Codec<T>::read(prepare(found->second), member_path);
    if (read)
      member = std::move(*read);
    else
      fault = read.error();
  }
  template <class T>
  void defaulted(std::string_view name, T& member) {
    if (in.contains(std::string(name)))
      (*this)(name, member);
    else
      known += (known.empty() ? "" : ", ") + std::string(name);
  }
};

struct NameCollector {
  std::vector<std::string> names;
  template <class T>
  void operator()(std::string_view name, T&) {
    names.emplace_back(name);
  }
  template <class T>
  void defaulted(std::string_view name, T&) {
    names.emplace_back(name);
  }
  template <class T>
  void plainToo(std::string_view name, T&) {
    names.emplace_back(name);
  }
};

template <class T>
concept HasDescribe = requires(T& t, NameCollector& v) {
  t.describe(v);
};

template <HasDescribe T>
struct Codec<T> {
  static Value write(const T& t) {
    Writer writer;
    // describe() is one function for reading and writing; the writer changes nothing.
    const_cast<T&>(t).describe(writer);
    return std::move(writer.out);
  }
  static Result<T> read(const Value& v, const std::string& path) {
    const Value::Object* object = v.asObject();
    if (object == nullptr) return wrongType(path, "an object");
    T t{};
    Reader reader{*object, path, {}, 0, {}};
    t.describe(reader);
    // An unknown member says more than a missing one: it is most often a misspelt one.
    if (reader.seen != object->size()) {
      NameCollector known;
      t.describe(known);
      for (const auto& [name, unused] : *object) {
        bool found = false;
        for (const std::string& k : known.names) found = found || k == name;
        if (!found) return unknownMember(path.empty() ? name : path + "." + name, reader.known);
      }
    }
    if (reader.fault) return *reader.fault;
    return t;
  }
  static constexpr std::string_view type = "object";
};

}  // namespace described

template <class T>
[[nodiscard]] Value toValue(const T& t) {
  return described::Codec<T>::write(t);
}
/// Errors: value.wrong_type, value.missing, value.unknown_member, value.unknown_word, decimal.*,
/// unit.*, time.*; all with the path in where.field.
template <class T>
[[nodiscard]] Result<T> fromValue(const Value& v, const std::string& path = "") {
  return described::Codec<T>::read(v, path);
}

/// One member of a described struct, for forms, options and columns.
struct Field {
  std::string name;
  std::string type;  ///< "text", "number with unit", "list", …
  bool optional = false;
  std::string item;                ///< type of a list's or named values' entries
  std::vector<std::string> words;  ///< the choices of a word
  std::vector<Field> members;      ///< of an object, or of a list's objects
};

namespace described {

template <class T>
struct ItemOf {
  using type = T;
};
template <class T>
struct ItemOf<std::optional<T>> : ItemOf<T> {};
template <class T>
struct ItemOf<std::vector<T>> : ItemOf<T> {};
template <class T>
struct ItemOf<std::map<std::string, T>> : ItemOf<T> {};

template <class T>
struct EntryType {
  using type = T;
};
template <class T>
struct EntryType<std::optional<T>> : EntryType<T> {};
template <class T>
struct EntryType<std::vector<T>> {
  using type = T;
};
template <class T>
struct EntryType<std::map<std::string, T>> {
  using type = T;
};
template <class T>
using EntryOf = typename EntryType<T>::type;

struct FieldCollector {
  std::vector<Field> fields;
  template <class T>
  void operator()(std::string_view name, T&) {
    using Item = typename ItemOf<T>::type;
    Field field{std::string(name), std::string(Codec<T>::type), may_be_left_out<T>, {}, {}, {}};
    if (field.type == "list" || field.type == "named values") field.item = Codec<EntryOf<T>>::type;
    if constexpr (std::is_enum_v<Item>)
      for (std::string_view w : EnumWords<Item>::words) field.words.emplace_back(w);
    if constexpr (HasDescribe<Item>) {
      FieldCollector inner;
      Item item{};
      item.describe(inner);
      field.members = std::move(inner.fields);
    }
    fields.push_back(std::move(field));
  }
  template <class T>
  void defaulted(std::string_view name, T& member) {
    (*this)(name, member);
    fields.back().optional = true;
  }
  template <class T>
  void plainToo(std::string_view name, T& member) {
    (*this)(name, member);
  }
};

}  // namespace described

template <class T>
[[nodiscard]] std::vector<Field> fieldsOf() {
  described::FieldCollector collector;
  T t{};
  t.describe(collector);
  return collector.fields;
}

}  // namespace platemark
