/// A number with its unit as they were typed or read: what facts keep.
///
/// Unit codes are UCUM codes (the open Unified Code for Units of Measure), a
/// closed list here: "N", "kN", "N/cm2", "MPa", "bar", "mm", "um", "g", "Cel",
/// "[degF]", "K", "K/min", "g/cm3", "%", "1" …
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "platemark/quantity/decimal.h"
#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark {

/// What kind of quantity a unit measures; points and differences are two kinds.
enum class Kind {
  number,
  length,
  area,
  volume,
  mass,
  duration,
  temperature_point,
  temperature_difference,
  temperature_rate,
  force,
  pressure,
  density,
  stiffness,
  torque,
  molar_energy,
  specific_energy,
  heat_capacity,
  conductivity,
  heat_transfer,
  rate,
  per_temperature,
  hardness,
  count
};

/// One row of the closed list of units.
struct UnitRow {
  std::string_view code;    ///< UCUM: "N/cm2"
  std::string_view symbol;  ///< for people: "N/cm²"
  Kind kind;
  double factor;      ///< SI units per unit; for temperature points kelvin per degree
  double offset = 0;  ///< kelvin at the zero of a temperature scale
};
[[nodiscard]] std::span<const UnitRow> unitRows();
/// By UCUM code, or by a symbol or spelling people use ("N/cm²", "N/mm^2", "°C", "degC", "µm",
/// "micron").
[[nodiscard]] Result<UnitRow> findUnit(std::string_view code_or_symbol);
/// "a force", "a temperature", for messages.
[[nodiscard]] std::string_view kindName(Kind kind);

struct Measure {
  Decimal value;
  std::string unit = "1";  ///< UCUM code

  friend bool operator==(const Measure&, const Measure&) = default;
};

/// "580.5 N/cm²": number, no-break space, symbol. Groups of three by thin spaces.
[[nodiscard]] std::string format(const Measure& measure);
/// "27 400 N", "2,18 g/cm3", "0.38 1": a number and, unless `unit_if_bare` fills it in, a unit.
/// A "1" that stands alone behind the number is the unit one.
/// Errors: decimal.*, unit.unknown, unit.missing.
[[nodiscard]] Result<Measure> parseMeasure(std::string_view typed,
                                           std::string_view unit_if_bare = "");

/// What is wrong when a measure of unit one stands where `unit_code` is expected: a unit was
/// forgotten (unit.missing). A share typed without its "%" would else be read a hundredfold.
[[nodiscard]] std::optional<Error> plainNumberFault(const Measure& measure,
                                                    std::string_view unit_code);

/// The measure in SI (kelvin for points). Errors: unit.wrong_kind, e.g. "31.5 bar is a pressure; a
/// force is needed: N, kN, kgf".
[[nodiscard]] Result<double> siValue(const Measure& measure, Kind wanted);
/// The same value in another unit of the same kind; `decimals` fixed digits.
[[nodiscard]] Result<Measure> convert(const Measure& measure, std::string_view unit_code,
                                      int decimals);

[[nodiscard]] Result<Length> lengthFrom(const Measure&);
[[nodiscard]] Result<Area> areaFrom(const Measure&);
[[nodiscard]] Result<Volume> volumeFrom(const Measure&);
[[nodiscard]] Result<Mass> massFrom(const Measure&);
[[nodiscard]] Result<Duration> durationFrom(const Measure&);
[[nodiscard]] Result<TemperaturePoint> temperatureFrom(const Measure&);
[[nodiscard]] Result<TemperatureDifference> temperatureDifferenceFrom(const Measure&);
[[nodiscard]] Result<TemperatureRate> temperatureRateFrom(const Measure&);
[[nodiscard]] Result<Force> forceFrom(const Measure&);
[[nodiscard]] Result<Pressure> pressureFrom(const Measure&);
[[nodiscard]] Result<Density> densityFrom(const Measure&);
[[nodiscard]] Result<Stiffness> stiffnessFrom(const Measure&);
[[nodiscard]] Result<Share> shareFrom(const Measure&);

}  // namespace platemark
