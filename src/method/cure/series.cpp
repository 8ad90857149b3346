#include "series.h"

#include <algorithm>

#include "wrong_input.h"

namespace platemark::method::cure {
namespace {

Error inColumn(Error error, const std::string& name, std::size_t line = 0) {
  error.where.column = name;
  error.where.line = static_cast<long>(line);
  return error;
}

/// Of times in order the first and the last say enough.
Result<void> checkRange(const Series& series, const std::string& name) {
  if (series.at_ms.empty() || (isMoment(series.at_ms.front()) && isMoment(series.at_ms.back())))
    return {};
  return inColumn(wrongInput("cure.time_range", "a reading is centuries away", "channels",
                             "times between 1653 and 2286",
                             "check the file layout: is the time column read in the right unit?"),
                  name);
}

}  // namespace

Result<void> checkSeries(const Series& series, const std::string& name) {
  if (series.at_ms.size() != series.celsius.size())
    return inColumn(
        wrongInput("cure.lengths_differ",
                   "there are " + std::to_string(series.at_ms.size()) + " times and " +
                       std::to_string(series.celsius.size()) + " readings",
                   "channels", "as many times as readings", "read the recorder's file again"),
        name);
  const auto back = std::ranges::is_sorted_until(series.at_ms);
  if (back == series.at_ms.end()) return checkRange(series, name);
  return inColumn(wrongInput("cure.clock_backwards", "the recorder's clock steps back", "channels",
                             "times that never decrease",
                             "check whether two recordings were joined, or the clock was set, and "
                             "split the file there"),
                  name, static_cast<std::size_t>(back - series.at_ms.begin()) + 1);
}

}  // namespace platemark::method::cure
