#include "platemark/quantity/measure.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <vector>

namespace platemark {
namespace {

constexpr double fahrenheit_zero = 273.15 - 32.0 * 5.0 / 9.0;
constexpr std::array units{
    UnitRow{"1", "", Kind::number, 1},
    UnitRow{"%", "%", Kind::number, 0.01},
    UnitRow{"m", "m", Kind::length, 1},
    UnitRow{"cm", "cm", Kind::length, 1e-2},
    UnitRow{"mm", "mm", Kind::length, 1e-3},
    UnitRow{"um", "µm", Kind::length, 1e-6},
    UnitRow{"cm2", "cm²", Kind::area, 1e-4},
    UnitRow{"mm2", "mm²", Kind::area, 1e-6},
    UnitRow{"cm3", "cm³", Kind::volume, 1e-6},
    UnitRow{"mm3", "mm³", Kind::volume, 1e-9},
    UnitRow{"l", "L", Kind::volume, 1e-3},
    UnitRow{"mg", "mg", Kind::mass, 1e-6},
    UnitRow{"g", "g", Kind::mass, 1e-3},
    UnitRow{"kg", "kg", Kind::mass, 1},
    UnitRow{"t", "t", Kind::mass, 1e3},
    UnitRow{"s", "s", Kind::duration, 1},
    UnitRow{"min", "min", Kind::duration, 60},
    UnitRow{"h", "h", Kind::duration, 3600},
    UnitRow{"d", "d", Kind::duration, 86400},
    UnitRow{"Cel", "°C", Kind::temperature_point, 1, 273.15},
    UnitRow{"[degF]", "°F", Kind::temperature_point, 5.0 / 9.0, fahrenheit_zero},
    UnitRow{"K", "K", Kind::temperature_difference, 1},
    UnitRow{"K/min", "K/min", Kind::temperature_rate, 1.0 / 60.0},
    UnitRow{"N", "N", Kind::force, 1},
    UnitRow{"kN", "kN", Kind::force, 1e3},
    UnitRow{"kgf", "kgf", Kind::force, 9.80665},
    UnitRow{"Pa", "Pa", Kind::pressure, 1},
    UnitRow{"kPa", "kPa", Kind::pressure, 1e3},
    UnitRow{"MPa", "MPa", Kind::pressure, 1e6},
    UnitRow{"bar", "bar", Kind::pressure, 1e5},
    UnitRow{"N/cm2", "N/cm²", Kind::pressure, 1e4},
    UnitRow{"N/mm2", "N/mm²", Kind::pressure, 1e6},
    UnitRow{"g/cm3", "g/cm³", Kind::density, 1e3},
    UnitRow{"kg/m3", "kg/m³", Kind::density, 1},
    UnitRow{"N/um", "N/µm", Kind::stiffness, 1e6},
    UnitRow{"kN/mm", "kN/mm", Kind::stiffness, 1e6},
    UnitRow{"N.m", "N m", Kind::torque, 1},
    UnitRow{"kJ/mol", "kJ/mol", Kind::molar_energy, 1e3},
    UnitRow{"J/mol", "J/mol", Kind::molar_energy, 1},
    UnitRow{"kJ/kg", "kJ/kg", Kind::specific_energy, 1e3},
    UnitRow{"J/g", "J/g", Kind::specific_energy, 1e3},
    UnitRow{"J/(kg.K)", "J/(kg K)", Kind::heat_capacity, 1},
    UnitRow{"W/(m.K)", "W/(m K)", Kind::conductivity, 1},
    UnitRow{"W/(m2.K)", "W/(m² K)", Kind::heat_transfer, 1},
    UnitRow{"/s", "/s", Kind::rate, 1},
    UnitRow{"/min", "/min", Kind::rate, 1.0 / 60.0},
    UnitRow{"/K", "/K", Kind::per_temperature, 1},
    UnitRow{"{HRR}", "HRR", Kind::hardness, 1},
    UnitRow{"{HRL}", "HRL", Kind::hardness, 1},
    UnitRow{"{HRM}", "HRM", Kind::hardness, 1},
    UnitRow{"{HRE}", "HRE", Kind::hardness, 1},
    UnitRow{"{HRK}", "HRK", Kind::hardness, 1},
    UnitRow{"{HRS}", "HRS", Kind::hardness, 1},
    UnitRow{"{HRV}", "HRV", Kind::hardness, 1},
    UnitRow{"{HRP}", "HRP", Kind::hardness, 1},
    UnitRow{"{HRH}", "HRH", Kind::hardness, 1},
    UnitRow{"{pads}", "pads", Kind::count, 1},
};

/// Writings that are neither the code nor the symbol but leave no doubt.
constexpr std::array<std::pair<std::string_view, std::string_view>, 16> spellings{
    {{"°C", "Cel"},
     {"degC", "Cel"},
     {"C", "Cel"},
     {"°F", "[degF]"},
     {"degF", "[degF]"},
     {"F", "[degF]"},
     {"\xCE\xBCm", "um"},
     {"micron", "um"},
     {"N/cm^2", "N/cm2"},
     {"N/mm^2", "N/mm2"},
     {"g/cm^3", "g/cm3"},
     {"g/cc", "g/cm3"},
     {"sec", "s"},
     {"L", "l"},
     {"Nm", "N.m"},
     {"kg/m^3", "kg/m3"}}};

std::string symbolsOf(Kind kind) {
  std::string list;
  for (const UnitRow& row : units) {
    if (row.kind != kind) continue;
    list += (list.empty() ? "" : ", ") + std::string(row.symbol.empty() ? row.code : row.symbol);
  }
  return list;
}

template <class Q, class D>
Result<Q> quantityFrom(const Measure& measure, Kind kind, Unit<D> si_unit) {
  const Result<double> si = siValue(measure, kind);
  if (!si) return si.error();
  return Q::of(*si, si_unit);
}

std::string groupedInThrees(const std::string& text) {
  const auto mark = text.find('.');
  const std::size_t end = mark == std::string::npos ? text.size() : mark;
  const std::size_t begin = text.starts_with('-') ? 1 : 0;
  std::string out = text.substr(0, begin);
  for (std::size_t i = begin; i < end; ++i) {
    if (end - begin > 4 && i > begin && (end - i) % 3 == 0) out += "\xE2\x80\x89";  // thin space
    out += text[i];
  }
  return out + text.substr(end);
}

}  // namespace

std::span<const UnitRow> unitRows() { return units; }

Result<UnitRow> findUnit(std::string_view text) {
  for (const auto& [spelling, code] : spellings)
    if (spelling == text) return findUnit(code);
  for (const UnitRow& row : units)
    if (row.code == text || (!row.symbol.empty() && row.symbol == text)) return row;
  Error error;
  error.code = "unit.unknown";
  error.what = fmt::format("The unit '{}' is not known.", text.substr(0, 30));
  error.expected =
      "one of the units in the handbook, e.g. N, kN, N/cm², MPa, mm, µm, g, kg, °C, K, min";
  return error;
}

std::string_view kindName(Kind kind) {
  switch (kind) {
    case Kind::number:
      return "a plain number";
    case Kind::length:
      return "a length";
    case Kind::area:
      return "an area";
    case Kind::volume:
      return "a volume";
    case Kind::mass:
      return "a mass";
    case Kind::duration:
      return "a duration";
    case Kind::temperature_point:
      return "a temperature";
    case Kind::temperature_difference:
      return "a temperature difference";
    case Kind::temperature_rate:
      return "a heating rate";
    case Kind::force:
      return "a force";
    case Kind::pressure:
      return "a pressure";
    case Kind::density:
      return "a density";
    case Kind::stiffness:
      return "a stiffness";
    case Kind::torque:
      return "a torque";
    case Kind::molar_energy:
      return "an energy per mole";
    case Kind::specific_energy:
      return "an energy per mass";
    case Kind::heat_capacity:
      return "a heat capacity per mass";
    case Kind::conductivity:
      return "a conductivity of heat";
    case Kind::heat_transfer:
      return "a coefficient of heat transfer";
    case Kind::rate:
      return "a rate";
    case Kind::per_temperature:
      return "a share per kelvin";
    case Kind::hardness:
      return "a hardness with its scale";
    case Kind::count:
      return "a count";
  }
  return "";
}

std::string format(const Measure& measure) {
  const Result<UnitRow> unit = findUnit(measure.unit);
  const std::string symbol = unit ? std::string(unit->symbol) : measure.unit;
  const std::string number = groupedInThrees(measure.value.text());
  return symbol.empty() ? number : number + "\xC2\xA0" + symbol;
}

namespace {

/// "0.38 1" → "0.38": the single "1" behind a space is no group of digits.
std::optional<std::string_view> beforeUnitOne(std::string_view typed) {
  while (!typed.empty() && typed.back() == ' ') typed.remove_suffix(1);
  const std::string_view number =
      typed.substr(0, typed.size() - std::min<std::size_t>(2, typed.size()));
  const bool has_number = number.find_first_of("0123456789") != std::string_view::npos;
  return typed.ends_with(" 1") && has_number ? std::optional(number) : std::nullopt;
}

}  // namespace

std::optional<Error> plainNumberFault(const Measure& measure, std::string_view unit_code) {
  if (measure.unit != "1" || unit_code == "1" || unit_code.empty()) return {};
  const Result<UnitRow> expected = findUnit(unit_code);
  Error error;
  error.code = "unit.missing";
  error.what = fmt::format("{} has no unit.", measure.value.text());
  error.expected = fmt::format("a number with its unit, e.g. {} {}", measure.value.text(),
                               expected ? expected->symbol : unit_code);
  return error;
}

Result<Measure> parseMeasure(std::string_view typed, std::string_view unit_if_bare) {
  if (const std::optional<std::string_view> plain = beforeUnitOne(typed)) {
    const Result<Decimal> number = Decimal::parse(*plain);
    if (!number) return number.error();
    return Measure{*number, "1"};
  }
  const auto last = typed.find_last_of("0123456789");
  // A unit may itself end in a digit ("N/cm2"): the number ends before the first letter or sign of
  // a unit.
  std::size_t number_end = 0;
  while (number_end < typed.size()) {
    const char c = typed[number_end];
    const bool part =
        (c >= '0' && c <= '9') || c == '.' || c == ',' || c == '+' || c == '-' || c == ' ' ||
        static_cast<unsigned char>(c) == 0xE2 || static_cast<unsigned char>(c) == 0x80 ||
        static_cast<unsigned char>(c) == 0x89 || static_cast<unsigned char>(c) == 0xAF ||
        static_cast<unsigned char>(c) == 0x88 || static_cast<unsigned char>(c) == 0x92 ||
        (static_cast<unsigned char>(c) == 0xC2 && number_end + 1 < typed.size() &&
         static_cast<unsigned char>(typed[number_end + 1]) == 0xA0) ||
        static_cast<unsigned char>(c) == 0xA0;
    if (!part) break;
    ++number_end;
  }
  if (last == std::string_view::npos) number_end = 0;
  Result<Decimal> value = Decimal::parse(typed.substr(0, number_end));
  if (!value) return value.error();
  std::string_view unit = typed.substr(number_end);
  while (!unit.empty() && unit.back() == ' ') unit.remove_suffix(1);
  if (unit.empty()) unit = unit_if_bare;
  if (unit.empty()) {
    Error error;
    error.code = "unit.missing";
    error.what = fmt::format("'{}' has no unit.", typed);
    error.expected = "a number with its unit, e.g. 27.4 kN";
    return error;
  }
  const Result<UnitRow> row = findUnit(unit);
  if (!row) return row.error();
  return Measure{*value, std::string(row->code)};
}

Result<double> siValue(const Measure& measure, Kind wanted) {
  const Result<UnitRow> unit = findUnit(measure.unit);
  if (!unit) return unit.error();
  if (unit->kind != wanted) {
    Error error;
    error.code = "unit.wrong_kind";
    error.what = fmt::format("{} is {}; {} is needed here.", format(measure), kindName(unit->kind),
                             kindName(wanted));
    error.expected = "one of: " + symbolsOf(wanted);
    error.remedy = "Check the unit on the instrument and enter the value again with it.";
    return error;
  }
  return measure.value.value() * unit->factor + unit->offset;
}

Result<Measure> convert(const Measure& measure, std::string_view unit_code, int decimals) {
  const Result<UnitRow> to = findUnit(unit_code);
  if (!to) return to.error();
  const Result<double> si = siValue(measure, to->kind);
  if (!si) return si.error();
  return Measure{Decimal::fixed((*si - to->offset) / to->factor, decimals), std::string(to->code)};
}

Result<Length> lengthFrom(const Measure& m) {
  return quantityFrom<Length>(m, Kind::length, unit::metre);
}
Result<Area> areaFrom(const Measure& m) {
  return quantityFrom<Area>(m, Kind::area, Unit<dim::Area>{1.0});
}
Result<Volume> volumeFrom(const Measure& m) {
  return quantityFrom<Volume>(m, Kind::volume, Unit<dim::Volume>{1.0});
}
Result<Mass> massFrom(const Measure& m) {
  return quantityFrom<Mass>(m, Kind::mass, unit::kilogram);
}
Result<Duration> durationFrom(const Measure& m) {
  return quantityFrom<Duration>(m, Kind::duration, unit::second);
}
Result<TemperaturePoint> temperatureFrom(const Measure& m) {
  const Result<double> kelvin = siValue(m, Kind::temperature_point);
  if (!kelvin) return kelvin.error();
  return TemperaturePoint::of(*kelvin, scale::kelvin);
}
Result<TemperatureDifference> temperatureDifferenceFrom(const Measure& m) {
  return quantityFrom<TemperatureDifference>(m, Kind::temperature_difference, unit::kelvin);
}
Result<TemperatureRate> temperatureRateFrom(const Measure& m) {
  return quantityFrom<TemperatureRate>(m, Kind::temperature_rate, Unit<dim::TemperatureRate>{1.0});
}
Result<Force> forceFrom(const Measure& m) {
  return quantityFrom<Force>(m, Kind::force, unit::newton);
}
Result<Pressure> pressureFrom(const Measure& m) {
  return quantityFrom<Pressure>(m, Kind::pressure, unit::pascal);
}
Result<Density> densityFrom(const Measure& m) {
  return quantityFrom<Density>(m, Kind::density, unit::kilogram_per_cubic_metre);
}
Result<Stiffness> stiffnessFrom(const Measure& m) {
  return quantityFrom<Stiffness>(m, Kind::stiffness, Unit<dim::Stiffness>{1.0});
}
Result<Share> shareFrom(const Measure& m) {
  return quantityFrom<Share>(m, Kind::number, unit::one);
}

}  // namespace platemark
