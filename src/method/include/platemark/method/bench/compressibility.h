/// Compressibility: how much thinner a pad gets under its load, in µm.
///
/// Formula      d_j = d_raw,j − d_mach,j;  ε_j = d_j / t0;  k_j = (p_high − p_low)·A / d_j
/// Symbols      d_raw,j deflection read in cycle j, µm; d_mach,j deflection of the machine alone
///              at the same force in the same cycle, from a steel dummy, µm, at least 0 and below
///              d_raw,j; t0 thickness of the compound before the test, mm, above 0 (if the whole
///              pad is taken the strain belongs to the whole pad); p_low preload and p_high
///              pressure of the cycle, bar, 0 ≤ p_low < p_high; A the area the pressure acts on,
///              cm²: all pistons of one side for line pressure, the pad's face for specific
///              pressure; k_j stiffness, N/µm
/// Valid        same preload for the raw and the machine run. Results by line pressure and by
///              specific pressure are not comparable: the basis stays with the result. Cycle 1 is
///              usually the softest; `rising` tells of a later cycle that is not stiffer or equal.
/// Uncertainty  u²(d) = u²(d_raw) + u²(d_mach), mostly the dial or gauge and the dummy's run
/// Source       both bases: JIS D 4413:2005, read; machine deflection measured apart and taken off:
///              SAE J2468:2018, read through another text, and in the contents of ISO 6310:2009;
///              stiffness: quotient defined by this project
/// Errors       compressibility.no_cycle, compressibility.cycles_differ,
///              compressibility.machine_deflection, compressibility.not_above_machine,
///              compressibility.thickness, compressibility.above_thickness, compressibility.area,
///              compressibility.pressures
/// Pure.
#pragma once

#include <optional>
#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::bench {

inline constexpr int compressibility_version = 1;

/// What the pressure of the cycle is measured as.
enum class PressureBasis {
  line,     ///< pressure in the brake line
  specific  ///< force over the pad's face
};

struct CycleLoad {
  Area area;  ///< the area the pressure acts on
  Pressure low;
  Pressure high;
};

struct CompressionTest {
  std::vector<Length> deflection;          ///< per cycle
  std::vector<Length> machine_deflection;  ///< per cycle
  Length thickness;
  PressureBasis basis = PressureBasis::line;
  std::optional<CycleLoad> load;  ///< none: no stiffness
};

struct CompressionCycle {
  int number = 1;  ///< 1-based
  Length net;
  Share strain;
  std::optional<Stiffness> stiffness;
};

struct Compressibility {
  std::vector<CompressionCycle> cycles;  ///< never empty
  PressureBasis basis = PressureBasis::line;
  bool rising = false;  ///< a cycle compresses more than the one before it
};

[[nodiscard]] Result<Compressibility> compressibility(const CompressionTest& test);

}  // namespace platemark::method::bench
