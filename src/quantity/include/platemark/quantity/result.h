/// Results that may be errors, and the one shape of an error.
///
/// A wrong input is an expected event: it comes back as a value that says what
/// is wrong, where, what was expected and what to do. Exceptions are left for
/// what no caller can handle.
///
///     Result<Force> force = forceFrom(measure);
///     if (!force) return force.error();
///     use(*force);
#pragma once

#include <cassert>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace platemark {

/// Where a wrong input stands; empty and zero parts do not apply.
struct Place {
  std::string file;    ///< file name as the person knows it
  long line = 0;       ///< 1-based
  std::string column;  ///< column title or 1-based number
  std::string field;   ///< member path, e.g. "readings[2].mass"
};

/// What family an error belongs to; decides exit status and HTTP status.
enum class Fault {
  bad_input,      ///< the input cannot be understood or is impossible
  refused,        ///< a permission is not given
  cannot_decide,  ///< evidence is missing or doubtful
  not_found,      ///< no such thing on record
  conflict,       ///< somebody else was faster, or the same token came twice with other content
  environment     ///< disk, network, memory
};

/// One thing that is missing or in the way, with who can supply it and how.
struct Missing {
  std::string what;  ///< "lot R-2310 is not cleared: its flow has not been measured"
  std::string who;   ///< "laboratory technician"
  std::string how;   ///< "enter the flow of R-2310, then clear it"
};

struct Error {
  Fault fault = Fault::bad_input;
  std::string code = {};              ///< stable, for programs: "unit.wrong_dimension"
  std::string what = {};              ///< one sentence for people
  Place where = {};                   ///<
  std::string expected = {};          ///< what would be accepted
  std::string remedy = {};            ///< what to do now
  std::vector<Missing> missing = {};  ///< for refusals: each thing that stands in the way

  Error& at(Place place) {
    where = std::move(place);
    return *this;
  }
};

/// "what (file, line, column, field). Expected: … Remedy: …" in one paragraph.
[[nodiscard]] std::string describe(const Error& error);

/// A value or an Error. Dereference only after testing.
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : content_(std::in_place_index<0>, std::move(value)) {}
  Result(Error error) : content_(std::in_place_index<1>, std::move(error)) {}

  explicit operator bool() const { return content_.index() == 0; }
  T& operator*() & { return std::get<0>(content_); }
  const T& operator*() const& { return std::get<0>(content_); }
  T&& operator*() && { return std::get<0>(std::move(content_)); }
  T* operator->() { return &std::get<0>(content_); }
  const T* operator->() const { return &std::get<0>(content_); }
  [[nodiscard]] const Error& error() const { return std::get<1>(content_); }
  [[nodiscard]] Error& error() { return std::get<1>(content_); }

 private:
  std::variant<T, Error> content_;
};

/// Success without a value, or an Error.
template <>
class [[nodiscard]] Result<void> {
 public:
  Result() = default;
  Result(Error error) : error_(std::move(error)) {}

  explicit operator bool() const { return !error_.has_value(); }
  [[nodiscard]] const Error& error() const { return *error_; }
  [[nodiscard]] Error& error() { return *error_; }

 private:
  std::optional<Error> error_;
};

}  // namespace platemark
