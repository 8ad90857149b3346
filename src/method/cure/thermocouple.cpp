#include "platemark/method/cure/thermocouple.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "wrong_input.h"

namespace platemark::method::cure {
namespace {

using enum ThermocoupleType;

constexpr std::array rows{
    ThermocoupleRow{k, 1, 1.5, 0.004, -40, 1000},  ThermocoupleRow{k, 2, 2.5, 0.0075, -40, 1200},
    ThermocoupleRow{k, 3, 2.5, 0.015, -200, 40},   ThermocoupleRow{n, 1, 1.5, 0.004, -40, 1000},
    ThermocoupleRow{n, 2, 2.5, 0.0075, -40, 1200}, ThermocoupleRow{n, 3, 2.5, 0.015, -200, 40},
    ThermocoupleRow{j, 1, 1.5, 0.004, -40, 750},   ThermocoupleRow{j, 2, 2.5, 0.0075, -40, 750},
    ThermocoupleRow{t, 1, 0.5, 0.004, -40, 350},   ThermocoupleRow{t, 2, 1.0, 0.0075, -40, 350},
    ThermocoupleRow{t, 3, 1.0, 0.015, -200, 40},   ThermocoupleRow{e, 1, 1.5, 0.004, -40, 800},
    ThermocoupleRow{e, 2, 2.5, 0.0075, -40, 900},  ThermocoupleRow{e, 3, 2.5, 0.015, -200, 40},
};

Error noSuchClass(int tolerance_class) {
  return wrongInput("cure.thermocouple_class",
                    "there is no tolerance class " + std::to_string(tolerance_class) +
                        " for this type of thermocouple",
                    "tolerance_class", "1 or 2; 3 for types K, N, T and E below 40 °C",
                    "take the class from the sensor's certificate");
}

std::string degrees(double celsius) { return std::to_string(static_cast<int>(celsius)); }

Error outsideRange(const ThermocoupleRow& row) {
  return wrongInput("cure.thermocouple_range",
                    "the tolerance class is not defined at this temperature", "celsius",
                    degrees(row.from_celsius) + " to " + degrees(row.to_celsius) + " °C",
                    "use a sensor whose class covers the temperature");
}

}  // namespace

std::span<const ThermocoupleRow> thermocoupleRows() { return rows; }

Result<double> thermocoupleTolerance(ThermocoupleType type, int tolerance_class, double celsius) {
  const auto row = std::ranges::find_if(rows, [&](const ThermocoupleRow& r) {
    return r.type == type && r.tolerance_class == tolerance_class;
  });
  if (row == rows.end()) return noSuchClass(tolerance_class);
  if (!(celsius >= row->from_celsius && celsius <= row->to_celsius)) return outsideRange(*row);
  return std::max(row->constant_k, row->share * std::abs(celsius));
}

}  // namespace platemark::method::cure
