#include "platemark/method/forming/pressure.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "../bad_input.h"

namespace platemark::method {
namespace {

Result<void> checkPositive(double value, const char* code, const char* field, const char* what,
                           const char* unit_symbol) {
  if (value > 0 && std::isfinite(value)) return {};
  return badInput(code, field, fmt::format("{} is {:g} {}.", what, value, unit_symbol),
                  fmt::format("above 0 {}", unit_symbol));
}

}  // namespace

Result<Pressure> specificPressure(Force press, Area cavity, int cavities) {
  if (Result<void> force = checkPositive(press.in(unit::kilonewton), "pressure.force", "force",
                                         "The force of the press", "kN");
      !force)
    return force.error();
  if (Result<void> area = checkPositive(cavity.in(unit::square_millimetre), "pressure.area", "area",
                                        "The area of a cavity", "mm²");
      !area)
    return area.error();
  if (cavities < 1)
    return badInput("pressure.cavities", "cavities",
                    fmt::format("{} cavities are pressed.", cavities), "1 or more");
  return press / (cavity * static_cast<double>(cavities));
}

Result<Force> pressForce(Pressure line, Length ram_diameter) {
  if (Result<void> pressure = checkPositive(line.in(unit::bar), "pressure.line", "line_pressure",
                                            "The line pressure", "bar");
      !pressure)
    return pressure.error();
  if (Result<void> ram = checkPositive(ram_diameter.in(unit::millimetre), "pressure.ram",
                                       "ram_diameter", "The diameter of the ram", "mm");
      !ram)
    return ram.error();
  return line * (ram_diameter * ram_diameter * (std::numbers::pi / 4));
}

}  // namespace platemark::method
