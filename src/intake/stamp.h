/// Moments as instruments write them.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "platemark/intake/layout.h"
#include "platemark/quantity/time.h"

namespace platemark::intake {

enum class Fate { moment, unreadable, skipped_hour };

struct Moment {
  Fate fate = Fate::unreadable;
  std::int64_t ms = 0;           ///< UTC; the earlier one when `later_by` is not zero
  std::int64_t later_by = 0;     ///< the same wall time comes again so much later
  bool minute_holds = false;     ///< same text up to the seconds means same minute
  std::int64_t into_minute = 0;  ///< ms since that minute began
};

/// What a wall clock showed, and the offset written behind it.
struct WallText {
  LocalTime at;
  std::optional<int> offset_minutes;
  bool has_seconds = false;
  bool half_day = false;  ///< AM or PM followed
};

/// `date` in the order of `form`; `clock` is empty when both stand in `date`.
[[nodiscard]] bool parseWall(std::string_view date, std::string_view clock, StampForm form,
                             WallText& out);
/// Three numbers of a date parted by - . or /, in the order they stand; the
/// rest of `text` stays. `year_digits` gets the digits of the first number.
bool takeDateParts(std::string_view& text, int (&parts)[3], int (&digits)[3]);

class StampReader {
 public:
  StampReader(const TimeColumns& time, char decimal_mark, std::optional<Instant> start);
  [[nodiscard]] Moment read(std::string_view date, std::string_view clock);
  /// For stamps that are numbers (day_serial, elapsed).
  [[nodiscard]] Moment fromNumber(double number);
  [[nodiscard]] bool isNumber() const { return is_number_; }

 private:
  Moment resolve(const LocalTime& wall);
  Moment onChangeDay(const LocalTime& wall) const;
  void learnDay(const LocalTime& wall, std::int64_t day);
  Moment readElapsed(std::string_view text);

  TimeColumns time_;
  char mark_;
  std::int64_t start_ms_;
  double seconds_per_unit_ = 1;
  bool is_number_;
  std::int64_t known_day_ = -1;
  std::optional<std::int64_t> offset_ms_;  ///< of the known day; none when the clock changes on it
};

/// The last stamp's text up to its seconds, and the minute it means. Rows of
/// one minute repeat that text, so only the seconds have to be read.
class MinuteMemory {
 public:
  void forget() { length_ = 0; }
  void learn(std::string_view prefix, std::int64_t minute_ms);
  /// Needs 40 readable bytes at `p`. Where the stamp ends, or nullptr.
  const char* read(const char* p, char delimiter, std::int64_t& ms) const;

 private:
  std::uint64_t words_[3] = {};
  std::uint64_t masks_[3] = {};
  std::size_t length_ = 0;
  std::int64_t minute_ms_ = 0;
};

}  // namespace platemark::intake

#include "stamp_inline.h"
