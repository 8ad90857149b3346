#include "platemark/quantity/time.h"

#include <date/date.h>
#include <date/tz.h>
#include <fmt/format.h>

#include <charconv>
#include <chrono>

namespace platemark {
namespace {

using std::chrono::milliseconds;
using SysMs = date::sys_time<milliseconds>;

Error notATime(std::string_view text, std::string_view expected) {
  Error error;
  error.code = "time.not_a_time";
  error.what = fmt::format("'{}' is not a time that exists.", text.substr(0, 60));
  error.expected = std::string(expected);
  return error;
}

/// Takes exactly `digits` digits from the front of `text`.
bool takeNumber(std::string_view& text, std::size_t digits, int& out) {
  if (text.size() < digits) return false;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + digits, out);
  if (fault != std::errc{} || end != text.data() + digits) return false;
  text.remove_prefix(digits);
  return true;
}

bool takeSign(std::string_view& text, char sign) {
  if (text.empty() || text.front() != sign) return false;
  text.remove_prefix(1);
  return true;
}

bool takeDay(std::string_view& text, Day& day) {
  return takeNumber(text, 4, day.year) && takeSign(text, '-') && takeNumber(text, 2, day.month) &&
         takeSign(text, '-') && takeNumber(text, 2, day.day);
}

bool takeClock(std::string_view& text, LocalTime& t) {
  if (!takeNumber(text, 2, t.hour) || !takeSign(text, ':') || !takeNumber(text, 2, t.minute))
    return false;
  if (takeSign(text, ':') && !takeNumber(text, 2, t.second)) return false;
  if (takeSign(text, '.')) {
    int scale = 100;
    while (!text.empty() && text.front() >= '0' && text.front() <= '9') {
      t.millisecond += (text.front() - '0') * scale;
      scale /= 10;
      text.remove_prefix(1);
    }
  }
  return t.hour < 24 && t.minute < 60 && t.second < 60;
}

bool takeOffset(std::string_view& text, int& minutes) {
  if (takeSign(text, 'Z')) return true;
  const bool west = !text.empty() && text.front() == '-';
  if (!west && (text.empty() || text.front() != '+')) return false;
  text.remove_prefix(1);
  int h = 0, m = 0;
  if (!takeNumber(text, 2, h)) return false;
  takeSign(text, ':');
  if (!takeNumber(text, 2, m) || h > 14 || m > 59) return false;
  minutes = (h * 60 + m) * (west ? -1 : 1);
  return true;
}

date::year_month_day civil(const Day& d) {
  return date::year{d.year} / date::month{static_cast<unsigned>(d.month)} /
         date::day{static_cast<unsigned>(d.day)};
}

bool exists(const Day& d) {
  return d.year >= 1900 && d.year <= 2200 && d.month > 0 && d.day > 0 && civil(d).ok();
}

Day dayOf(const date::year_month_day& ymd) {
  return {static_cast<int>(ymd.year()), static_cast<int>(static_cast<unsigned>(ymd.month())),
          static_cast<int>(static_cast<unsigned>(ymd.day()))};
}

milliseconds sinceMidnight(const LocalTime& t) {
  return std::chrono::hours{t.hour} + std::chrono::minutes{t.minute} +
         std::chrono::seconds{t.second} + milliseconds{t.millisecond};
}

template <class Clock>
LocalTime split(date::sys_time<Clock> point) {
  const auto days = date::floor<date::days>(point);
  const date::hh_mm_ss<milliseconds> clock{point - days};
  const Day d = dayOf(date::year_month_day{days});
  return {d.year,
          d.month,
          d.day,
          static_cast<int>(clock.hours().count()),
          static_cast<int>(clock.minutes().count()),
          static_cast<int>(clock.seconds().count()),
          static_cast<int>(clock.subseconds().count())};
}

const date::time_zone* zoneNamed(std::string_view zone) {
  // The library reports an unknown zone by exception; here it is an expected input.
  try {
    return date::locate_zone(std::string(zone));
  } catch (const std::runtime_error&) {
    return nullptr;
  }
}

Error unknownZone(std::string_view zone) {
  Error error;
  error.code = "time.zone_unknown";
  error.what = fmt::format("The time zone '{}' is not known.", zone);
  error.expected = "an IANA name such as Europe/Berlin or Etc/UTC";
  return error;
}

}  // namespace

Result<Instant> parseInstant(std::string_view text) {
  constexpr std::string_view expected =
      "a time with zone, e.g. 2026-11-25T06:40:00Z or …T07:40:00+01:00";
  std::string_view rest = text;
  Day day;
  LocalTime clock;
  if (!takeDay(rest, day) || !exists(day) || !(takeSign(rest, 'T') || takeSign(rest, ' ')) ||
      !takeClock(rest, clock))
    return notATime(text, expected);
  int offset = 0;
  if (rest.empty()) {
    Error error = notATime(text, expected);
    error.code = "time.no_offset";
    error.what = fmt::format("'{}' has no zone: it may be one of several moments.", text);
    return error;
  }
  if (!takeOffset(rest, offset) || !rest.empty()) return notATime(text, expected);
  const SysMs point =
      date::sys_days{civil(day)} + sinceMidnight(clock) - std::chrono::minutes{offset};
  return Instant::fromUnixMs(point.time_since_epoch().count());
}

std::string formatInstant(Instant instant) {
  const LocalTime t = split(SysMs{milliseconds{instant.unixMs()}});
  std::string text = fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", t.year, t.month, t.day,
                                 t.hour, t.minute, t.second);
  if (t.millisecond != 0) text += fmt::format(".{:03}", t.millisecond);
  return text + "Z";
}

Result<Day> parseDay(std::string_view text) {
  std::string_view rest = text;
  Day day;
  if (!takeDay(rest, day) || !rest.empty() || !exists(day))
    return notATime(text, "a day, e.g. 2026-11-25");
  return day;
}

std::string formatDay(const Day& day) {
  return fmt::format("{:04}-{:02}-{:02}", day.year, day.month, day.day);
}

Day addDays(const Day& day, int days) {
  return dayOf(date::year_month_day{date::sys_days{civil(day)} + date::days{days}});
}

Result<Instant> instantOf(const LocalTime& local, std::string_view zone, Fold fold) {
  const date::time_zone* tz = zoneNamed(zone);
  if (tz == nullptr) return unknownZone(zone);
  const Day day{local.year, local.month, local.day};
  if (!exists(day)) return notATime(formatDay(day), "a day that exists");
  const auto wall = date::local_time<milliseconds>{date::local_days{civil(day)}.time_since_epoch() +
                                                   sinceMidnight(local)};
  const date::local_info info = tz->get_info(wall);
  if (info.result == date::local_info::nonexistent) {
    Error error = notATime(fmt::format("{} {:02}:{:02}", formatDay(day), local.hour, local.minute),
                           "a time outside the hour that the spring clock change skips");
    error.code = "time.skipped";
    return error;
  }
  if (info.result == date::local_info::ambiguous && fold == Fold::refuse) {
    Error error =
        notATime(fmt::format("{} {:02}:{:02}", formatDay(day), local.hour, local.minute), "");
    error.code = "time.twice";
    error.what = fmt::format("{} {:02}:{:02} occurs twice in {}: the clocks went back.",
                             formatDay(day), local.hour, local.minute, zone);
    error.remedy = "Give the time with its offset, e.g. +02:00 for the earlier one.";
    return error;
  }
  const auto choice = fold == Fold::later ? date::choose::latest : date::choose::earliest;
  const auto point = tz->to_sys(wall, choice);
  return Instant::fromUnixMs(
      std::chrono::duration_cast<milliseconds>(point.time_since_epoch()).count());
}

Result<LocalTime> localTime(Instant instant, std::string_view zone) {
  const date::time_zone* tz = zoneNamed(zone);
  if (tz == nullptr) return unknownZone(zone);
  const auto wall = tz->to_local(SysMs{milliseconds{instant.unixMs()}});
  return split(SysMs{std::chrono::duration_cast<milliseconds>(wall.time_since_epoch())});
}

std::string formatLocal(Instant instant, std::string_view zone, bool seconds) {
  const Result<LocalTime> local = localTime(instant, zone);
  const LocalTime t = local ? *local : split(SysMs{milliseconds{instant.unixMs()}});
  std::string text =
      fmt::format("{:04}-{:02}-{:02} {:02}:{:02}", t.year, t.month, t.day, t.hour, t.minute);
  if (seconds) text += fmt::format(":{:02}", t.second);
  return local ? text : text + "Z";
}

Day dayIn(Instant instant, std::string_view zone) {
  const Result<LocalTime> local = localTime(instant, zone);
  const LocalTime t = local ? *local : split(SysMs{milliseconds{instant.unixMs()}});
  return {t.year, t.month, t.day};
}

}  // namespace platemark
