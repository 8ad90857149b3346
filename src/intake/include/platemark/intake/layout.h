/// A file layout: how one kind of instrument file is to be read. Plain data,
/// made once per instrument, saved by its name, used for every file of it.
///
/// Positions and lines count from 1; 0 means "there is none". All texts are
/// UTF-8. To store a layout, write every member under its own name; the
/// enumerations have names below (nameOf, …Named) that stay as they are.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "platemark/quantity/decimal.h"
#include "platemark/quantity/measure.h"
#include "platemark/quantity/result.h"

namespace platemark::intake {

enum class Encoding { utf8, latin1, utf16_le, utf16_be };

/// What a column of the file is used for.
enum class Role {
  ignored,  ///< not read
  reading,  ///< a number with the column's unit
  unit,     ///< the unit of the row's reading, as text (balances)
  label     ///< a text that names the row's object, e.g. a sample number
};

/// How a moment is written. Days, months and clock parts may have one or two
/// digits, years two (20yy) or four; '-', '.', '/' part a date; 'T' or spaces
/// stand before the clock; seconds, a fraction, AM/PM and a UTC offset may
/// follow. A written offset wins over the zone.
enum class StampForm {
  year_month_day,
  day_month_year,
  month_day_year,
  day_serial,  ///< days since 1899-12-30, local time of the zone
  elapsed      ///< time since the start, a number in `elapsed_unit` or h:mm:ss
};

struct TimeColumns {
  int column = 1;        ///< position of the date, or of date and clock together
  int clock_column = 0;  ///< position of the clock when it has a column of its own
  StampForm form = StampForm::year_month_day;
  std::string zone = "Etc/UTC";    ///< IANA name of the zone the recorder's clock shows
  std::string elapsed_unit = "s";  ///< a unit of duration; only for StampForm::elapsed

  friend bool operator==(const TimeColumns&, const TimeColumns&) = default;
};

struct Column {
  int position = 0;
  Role role = Role::reading;
  std::string
      title;  ///< as in the header line; a file with another title is refused. Empty: not compared
  std::string meaning;     ///< what it is for us, e.g. "channel 1"; unique among readings
  std::string unit = "1";  ///< UCUM code of what stands in the file
  Kind kind = Kind::number;
  /// Physically possible values, in `unit`; a value outside is an error.
  /// Temperatures are never below absolute zero, with or without a limit here.
  std::optional<double> lowest;
  std::optional<double> highest;

  friend bool operator==(const Column&, const Column&) = default;
};

struct FileLayout {
  std::string name;
  char delimiter = ';';                           ///< ';', ',', '|' or tab
  DecimalMark decimal_mark = DecimalMark::point;  ///< point or comma
  Encoding encoding = Encoding::utf8;
  int title_lines = 0;  ///< lines above the header
  int header_line = 1;  ///< line of the column titles
  int unit_line = 0;    ///< line of the units, when they have a line of their own
  TimeColumns time;
  std::vector<Column> columns;
  std::vector<std::string> empty_marks = {"---"};  ///< texts that mean "no value", besides nothing
  /// True when the instrument writes no line end after its last row. When
  /// false, such a row is taken for cut off and left out, with a report.
  bool last_line_may_lack_end = false;

  friend bool operator==(const FileLayout&, const FileLayout&) = default;
};

/// Is the layout sound in itself? Errors, each with the member in where.field:
/// layout.delimiter, layout.decimal_mark, layout.lines, layout.position,
/// layout.meaning, layout.no_reading, layout.range, unit.unknown,
/// unit.wrong_kind (e.g. bar for a temperature), time.zone_unknown.
[[nodiscard]] Result<void> checkLayout(const FileLayout& layout);

[[nodiscard]] std::string_view nameOf(Encoding encoding);
[[nodiscard]] std::string_view nameOf(Role role);
[[nodiscard]] std::string_view nameOf(StampForm form);
[[nodiscard]] std::optional<Encoding> encodingNamed(std::string_view name);
[[nodiscard]] std::optional<Role> roleNamed(std::string_view name);
[[nodiscard]] std::optional<StampForm> stampFormNamed(std::string_view name);

}  // namespace platemark::intake
