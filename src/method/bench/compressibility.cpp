#include "platemark/method/bench/compressibility.h"

#include <fmt/format.h>

#include "../bad_input.h"

namespace platemark::method::bench {
namespace {

double micrometres(Length length) { return length.in(unit::micrometre); }

Result<void> checkCycles(const CompressionTest& test) {
  if (test.deflection.empty())
    return badInput("compressibility.no_cycle", "deflection", "There is no cycle.",
                    "a deflection for each cycle", "Enter the deflections.");
  if (test.deflection.size() == test.machine_deflection.size()) return {};
  return badInput("compressibility.cycles_differ", "machine_deflection",
                  fmt::format("{} deflections and {} machine deflections were given.",
                              test.deflection.size(), test.machine_deflection.size()),
                  "one machine deflection for each cycle",
                  "Enter the steel dummy's deflection of the same cycles.");
}

Result<void> checkThickness(Length thickness) {
  if (thickness > Length()) return {};
  return badInput("compressibility.thickness", "thickness",
                  fmt::format("The thickness is {:g} mm.", thickness.in(unit::millimetre)),
                  "above 0 mm");
}

Result<void> checkLoad(const CycleLoad& load) {
  if (!(load.area > Area()))
    return badInput("compressibility.area", "piston_area",
                    fmt::format("The area is {:g} cm².", load.area.in(unit::square_centimetre)),
                    "above 0 cm²");
  if (load.low >= Pressure() && load.high > load.low) return {};
  return badInput("compressibility.pressures", "pressure_high",
                  fmt::format("The cycle goes from {:g} to {:g} bar.", load.low.in(unit::bar),
                              load.high.in(unit::bar)),
                  "a preload of at least 0 bar and a higher pressure",
                  "Check bar against MPa (1 MPa = 10 bar).");
}

Result<Length> netDeflection(const CompressionTest& test, std::size_t i) {
  const Length raw = test.deflection[i], machine = test.machine_deflection[i];
  if (!(machine >= Length()))
    return badInput("compressibility.machine_deflection", fmt::format("machine_deflection[{}]", i),
                    fmt::format("The machine's deflection in cycle {} is {:g} µm.", i + 1,
                                micrometres(machine)),
                    "at least 0 µm");
  if (!(raw > machine))
    return badInput("compressibility.not_above_machine", fmt::format("deflection[{}]", i),
                    fmt::format("Cycle {} reads {:g} µm; the machine alone gives {:g} µm.", i + 1,
                                micrometres(raw), micrometres(machine)),
                    "more than the machine's own deflection",
                    "Check mm against µm and that the dummy was run at the same force.");
  const Length net = raw - machine;
  if (net < test.thickness) return net;
  return badInput("compressibility.above_thickness", fmt::format("deflection[{}]", i),
                  fmt::format("Cycle {} would compress {:g} µm of {:g} mm.", i + 1,
                              micrometres(net), test.thickness.in(unit::millimetre)),
                  "less than the thickness", "Check mm against µm.");
}

CompressionCycle cycleFrom(const CompressionTest& test, std::size_t i, Length net) {
  CompressionCycle cycle{
      static_cast<int>(i) + 1, net, Share::of(net / test.thickness, unit::one), {}};
  if (test.load) cycle.stiffness = (test.load->high - test.load->low) * test.load->area / net;
  return cycle;
}

}  // namespace

Result<Compressibility> compressibility(const CompressionTest& test) {
  if (Result<void> checked = checkCycles(test); !checked) return checked.error();
  if (Result<void> checked = checkThickness(test.thickness); !checked) return checked.error();
  if (test.load)
    if (Result<void> checked = checkLoad(*test.load); !checked) return checked.error();
  Compressibility result;
  result.basis = test.basis;
  for (std::size_t i = 0; i < test.deflection.size(); ++i) {
    const Result<Length> net = netDeflection(test, i);
    if (!net) return net.error();
    if (i > 0 && *net > result.cycles.back().net) result.rising = true;
    result.cycles.push_back(cycleFrom(test, i, *net));
  }
  return result;
}

}  // namespace platemark::method::bench
