/// Compressibility from the whole curve of force and deflection, the machine's own taken off.
///
/// Formula      net d = [d(F_max) − d(F_pre)] − [d_m(F_max) − d_m(F_pre)];  strain = d/t0;
/// stiffness =
///              (F_max − F_pre)/d;  hysteresis = (W_load − W_unload)/W_load, W = ∫ F dd, net
/// Symbols      F force, N; d deflection read, µm; d_m deflection of the machine alone with a steel
///              dummy at the same force, µm, linear between its points; F_pre preload, above 0; t0
///              thickness of the compound, mm; a cycle begins when the force rises to F_pre and
///              ends when it falls back to it
/// Valid        samples in order of time; the machine's run rises in force and deflection and spans
///              preload and largest force: it is never extrapolated. Line pressure and specific
///              pressure do not compare: the basis stays with the result. `set` is what a cycle
///              leaves behind at the preload.
/// Uncertainty  u²(d) = u²(read) + u²(machine)
/// Source       preload, cycles, machine deflection taken off, energy of the loop: SAE J2468:2018,
///              read through another text; bases: JIS D 4413:2005, read
/// Errors       load_curve.count, load_curve.not_finite, load_curve.preload, load_curve.thickness,
///              load_curve.machine_order, load_curve.machine_range, load_curve.no_cycle,
///              load_curve.not_above_machine
/// Pure.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "platemark/method/bench/compressibility.h"
#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::bench {

inline constexpr int load_curve_version = 1;

struct LoadPoint {
  double force_n;
  double deflection_um;
};

struct LoadRun {
  std::vector<LoadPoint> pad;      ///< in order of time
  std::vector<LoadPoint> machine;  ///< rising in force
  Force preload;
  Length thickness;
  PressureBasis basis = PressureBasis::line;
};

struct LoadCycle {
  int number = 1;
  Force highest;
  Length net;
  Share strain;
  Stiffness stiffness;
  std::optional<Length> set;        ///< none for a cycle that was not unloaded
  std::optional<Share> hysteresis;  ///< none for a cycle that was not unloaded
};

struct LoadCurve {
  std::vector<LoadCycle> cycles;  ///< never empty
  PressureBasis basis = PressureBasis::line;
  bool rising = false;  ///< a cycle compresses more than the one before it
};

[[nodiscard]] Result<LoadCurve> loadCurve(const LoadRun& run);

}  // namespace platemark::method::bench
