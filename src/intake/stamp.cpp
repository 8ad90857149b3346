#include "stamp.h"

#include <chrono>
#include <cmath>

#include "number.h"

namespace platemark::intake {
namespace {

constexpr std::int64_t day_ms = 86'400'000;
/// Day number of 1970-01-01 counted from 1899-12-30, the zero of spreadsheet
/// serial dates after February 1900.
constexpr double serial_of_1970 = 25569;
constexpr double serial_of_2200 = 109575;

bool isDigit(char c) { return c >= '0' && c <= '9'; }

/// Takes one to `most` digits; how many, 0 for none.
int takeInt(std::string_view& text, int most, int& out) {
  int digits = 0;
  out = 0;
  while (digits < most && !text.empty() && isDigit(text.front())) {
    out = out * 10 + (text.front() - '0');
    text.remove_prefix(1);
    ++digits;
  }
  return digits;
}

bool takeSign(std::string_view& text, char sign) {
  if (text.empty() || text.front() != sign) return false;
  text.remove_prefix(1);
  return true;
}

void skipSpaces(std::string_view& text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
}

bool takeYear(int value, int digits, int& year) {
  year = digits == 2 ? 2000 + value : value;
  return (digits == 2 || digits == 4) && year >= 1970 && year <= 2200;
}

bool isDay(const LocalTime& t) {
  using namespace std::chrono;
  return t.month > 0 && t.day > 0 &&
         year_month_day{year{t.year}, month{static_cast<unsigned>(t.month)},
                        day{static_cast<unsigned>(t.day)}}
             .ok();
}

bool takeDate(std::string_view& text, StampForm form, LocalTime& at) {
  int part[3], digits[3];
  if (!takeDateParts(text, part, digits)) return false;
  const int y = form == StampForm::year_month_day ? 0 : 2;
  const int m = form == StampForm::month_day_year ? 0 : 1;
  const int d = 3 - y - m;
  if (digits[m] > 2 || digits[d] > 2 || !takeYear(part[y], digits[y], at.year)) return false;
  at.month = part[m];
  at.day = part[d];
  return isDay(at);
}

void takeFraction(std::string_view& text, LocalTime& at) {
  if (!takeSign(text, '.') && !takeSign(text, ',')) return;
  for (int scale = 100; !text.empty() && isDigit(text.front()); scale /= 10) {
    at.millisecond += (text.front() - '0') * scale;
    text.remove_prefix(1);
  }
}

bool takeHalfDay(std::string_view& text, WallText& out) {
  skipSpaces(text);
  if (text.size() < 2 || (text[1] != 'M' && text[1] != 'm')) return true;
  const char half = text[0];
  const bool afternoon = half == 'P' || half == 'p';
  if (!afternoon && half != 'A' && half != 'a') return false;
  if (out.at.hour < 1 || out.at.hour > 12) return false;
  text.remove_prefix(2);
  out.at.hour = out.at.hour % 12 + (afternoon ? 12 : 0);
  out.half_day = true;
  return true;
}

bool takeOffset(std::string_view& text, WallText& out) {
  skipSpaces(text);
  if (text.empty()) return true;
  if (takeSign(text, 'Z')) {
    out.offset_minutes = 0;
    return true;
  }
  const int direction = text.front() == '-' ? -1 : 1;
  if (text.front() != '-' && text.front() != '+') return false;
  text.remove_prefix(1);
  int h = 0, m = 0;
  if (takeInt(text, 2, h) != 2) return false;
  takeSign(text, ':');
  if (takeInt(text, 2, m) != 2 || h > 14 || m > 59) return false;
  out.offset_minutes = direction * (h * 60 + m);
  return true;
}

bool takeClock(std::string_view& text, WallText& out) {
  LocalTime& at = out.at;
  if (takeInt(text, 2, at.hour) == 0 || !takeSign(text, ':') || takeInt(text, 2, at.minute) != 2)
    return false;
  if (takeSign(text, ':')) {
    if (takeInt(text, 2, at.second) != 2) return false;
    out.has_seconds = true;
    takeFraction(text, at);
  }
  return takeHalfDay(text, out) && takeOffset(text, out) && text.empty() && at.hour < 24 &&
         at.minute < 60 && at.second < 60;
}

std::int64_t dayNumber(const LocalTime& t) {
  using namespace std::chrono;
  const year_month_day date{year{t.year}, month{static_cast<unsigned>(t.month)},
                            day{static_cast<unsigned>(t.day)}};
  return sys_days{date}.time_since_epoch().count();
}

std::int64_t sinceMidnight(const LocalTime& t) {
  return ((t.hour * 60LL + t.minute) * 60 + t.second) * 1000 + t.millisecond;
}

LocalTime fromLocalMs(std::int64_t ms) {
  using namespace std::chrono;
  const std::int64_t day = ms / day_ms;
  const std::int64_t rest = ms % day_ms;
  const year_month_day date{sys_days{days{day}}};
  return {static_cast<int>(date.year()),
          static_cast<int>(static_cast<unsigned>(date.month())),
          static_cast<int>(static_cast<unsigned>(date.day())),
          static_cast<int>(rest / 3'600'000),
          static_cast<int>(rest / 60'000 % 60),
          static_cast<int>(rest / 1000 % 60),
          static_cast<int>(rest % 1000)};
}

}  // namespace

bool takeDateParts(std::string_view& text, int (&parts)[3], int (&digits)[3]) {
  digits[0] = takeInt(text, 4, parts[0]);
  if (digits[0] == 0 || text.empty()) return false;
  const char separator = text.front();
  if (separator != '-' && separator != '.' && separator != '/') return false;
  for (int i = 1; i < 3; ++i) {
    if (!takeSign(text, separator)) return false;
    digits[i] = takeInt(text, 4, parts[i]);
    if (digits[i] == 0) return false;
  }
  return true;
}

bool parseWall(std::string_view date, std::string_view clock, StampForm form, WallText& out) {
  out = {};
  skipSpaces(date);
  if (!takeDate(date, form, out.at)) return false;
  if (clock.empty()) {
    if (!takeSign(date, 'T') && !takeSign(date, ' ')) return false;
    skipSpaces(date);
    return takeClock(date, out);
  }
  skipSpaces(date);
  skipSpaces(clock);
  return date.empty() && takeClock(clock, out);
}

StampReader::StampReader(const TimeColumns& time, char decimal_mark, std::optional<Instant> start)
    : time_(time),
      mark_(decimal_mark),
      start_ms_(start.value_or(Instant{}).unixMs()),
      is_number_(time.form == StampForm::day_serial || time.form == StampForm::elapsed) {
  if (time.form != StampForm::elapsed) return;
  if (const auto unit = findUnit(time.elapsed_unit)) seconds_per_unit_ = unit->factor;
}

Moment StampReader::read(std::string_view date, std::string_view clock) {
  if (is_number_) {
    double number = 0;
    if (exactNumber(date, mark_, number)) return fromNumber(number);
    return time_.form == StampForm::elapsed ? readElapsed(date) : Moment{};
  }
  WallText wall;
  if (!parseWall(date, clock, time_.form, wall)) return {};
  if (wall.offset_minutes)
    return {Fate::moment,
            dayNumber(wall.at) * day_ms + sinceMidnight(wall.at) - *wall.offset_minutes * 60'000LL};
  Moment moment = resolve(wall.at);
  moment.minute_holds = moment.minute_holds && wall.has_seconds && !wall.half_day;
  return moment;
}

Moment StampReader::fromNumber(double number) {
  if (time_.form == StampForm::elapsed) {
    const double ms = number * seconds_per_unit_ * 1000.0;
    if (!(std::abs(ms) < 1e14)) return {};
    return {Fate::moment, start_ms_ + std::llround(ms)};
  }
  if (!(number >= serial_of_1970 && number < serial_of_2200)) return {};
  Moment moment =
      resolve(fromLocalMs(std::llround((number - serial_of_1970) * static_cast<double>(day_ms))));
  moment.minute_holds = false;
  return moment;
}

/// "0:12:30", hours beyond 24 allowed.
Moment StampReader::readElapsed(std::string_view text) {
  LocalTime at;
  if (takeInt(text, 5, at.hour) == 0 || !takeSign(text, ':') || takeInt(text, 2, at.minute) != 2 ||
      !takeSign(text, ':') || takeInt(text, 2, at.second) != 2)
    return {};
  takeFraction(text, at);
  if (!text.empty() || at.minute > 59 || at.second > 59) return {};
  return {Fate::moment, start_ms_ + sinceMidnight(at)};
}

Moment StampReader::resolve(const LocalTime& wall) {
  const std::int64_t day = dayNumber(wall);
  if (day != known_day_) learnDay(wall, day);
  if (!offset_ms_) return onChangeDay(wall);
  return {Fate::moment, day * day_ms + sinceMidnight(wall) - *offset_ms_, 0, true,
          wall.second * 1000LL + wall.millisecond};
}

/// Most days have one offset from first to last millisecond: two looks at the
/// zone serve the whole day.
void StampReader::learnDay(const LocalTime& wall, std::int64_t day) {
  known_day_ = day;
  offset_ms_.reset();
  const auto first =
      instantOf({wall.year, wall.month, wall.day, 0, 0, 0, 0}, time_.zone, Fold::refuse);
  const auto last =
      instantOf({wall.year, wall.month, wall.day, 23, 59, 59, 999}, time_.zone, Fold::refuse);
  if (first && last && last->unixMs() - first->unixMs() == day_ms - 1)
    offset_ms_ = day * day_ms - first->unixMs();
}

Moment StampReader::onChangeDay(const LocalTime& wall) const {
  const auto once = instantOf(wall, time_.zone, Fold::refuse);
  if (once) return {Fate::moment, once->unixMs()};
  if (once.error().code == "time.skipped") return {Fate::skipped_hour};
  const auto earlier = instantOf(wall, time_.zone, Fold::earlier);
  const auto later = instantOf(wall, time_.zone, Fold::later);
  if (!earlier || !later) return {};
  return {Fate::moment, earlier->unixMs(), later->unixMs() - earlier->unixMs()};
}

void MinuteMemory::learn(std::string_view prefix, std::int64_t minute_ms) {
  if (prefix.size() > sizeof words_) return forget();
  length_ = prefix.size();
  minute_ms_ = minute_ms;
  char text[sizeof words_] = {};
  unsigned char used[sizeof words_] = {};
  std::memcpy(text, prefix.data(), length_);
  std::memset(used, 0xFF, length_);
  std::memcpy(words_, text, sizeof words_);
  std::memcpy(masks_, used, sizeof masks_);
}

}  // namespace platemark::intake
