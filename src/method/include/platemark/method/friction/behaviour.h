/// What a friction test tells of a part: steps of temperature, cold and hot coefficient,
/// steadiness, wear, and the comparison with what was registered at its approval.
///
/// Formula      step: mean µ over time of the brakings that begin within a tolerance of it
///              small sample: cold = mean of the fade readings at 100, 150 and 200 °C; hot class A
///              = mean of fade 300, fade 350 and recovery 300 °C, class B = mean of fade 350, fade
///              400 and recovery 350 °C steadiness: largest |µ − µ̄|/µ̄ of one temperature over
///              several tests wear V = A·(d1 − d2)/(2π·R·n·f) machine test: p = M_d/(0.57·r_w·A_k);
///              operating µ = mean of the readings one second after the start of the first
///              application of each operating cycle; lowest and highest µ over all cycles
///              registered: |µ_op/µ_op,reg − 1| ≤ tolerance; µ_min ≥ µ_min,reg; µ_max ≤ µ_max,reg
/// Symbols      A area of the specimen, d1, d2 its mean thickness before and after, R radius of its
///              centre, n revolutions, f mean friction force; M_d braking torque set, r_w effective
///              radius, A_k piston area
/// Valid        tolerances are data of the rule set. Readings are plain coefficients above 0 and at
///              most 2. A larger µ than registered can fail as well as a smaller one.
/// Uncertainty  between repeated tests: take it from them
/// Source       small sample: ISO 7881 as GB/T 17469-1998, read; 20 per cent of the mean: GB
///              5763-2018, read through another text; wear rate: JIS D 4411, remembered, not
///              verified; quantities registered and 15 per cent: UN Regulation No. 90, read through
///              another text, pressure of the machine test and the reading after one second
///              remembered, not verified
/// Errors       behaviour.reading, behaviour.missing_temperature, behaviour.few, behaviour.steps,
///              behaviour.tolerance, behaviour.cycles, wear.specimen, wear.thickness, wear.run,
///              machine.pressure
/// Pure.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "platemark/method/friction/braking.h"
#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::friction {

inline constexpr int behaviour_version = 1;
inline constexpr int wear_version = 1;

struct TemperatureStep {
  TemperaturePoint nominal;
  int brakings = 0;
  std::optional<Share> mean, lowest, highest;  ///< none without a braking
};
/// A braking belongs to the nearest step. Errors: behaviour.steps, behaviour.tolerance.
[[nodiscard]] Result<std::vector<TemperatureStep>> temperatureSteps(
    std::span<const Braking> brakings, std::span<const TemperaturePoint> steps,
    TemperatureDifference tolerance);

struct TemperatureReading {
  TemperaturePoint at;  ///< nominal
  Share coefficient;
};
enum class ThermalClass { a, b };
struct ColdHot {
  Share cold, hot;
};
/// Errors: behaviour.missing_temperature, behaviour.reading.
[[nodiscard]] Result<ColdHot> coldAndHot(std::span<const TemperatureReading> fade,
                                         std::span<const TemperatureReading> recovery,
                                         ThermalClass thermal_class);

struct Steadiness {
  Share mean;
  Share worst;  ///< signed deviation of the reading farthest off, of the mean
  std::size_t test = 0;
};
/// Two tests or more at one temperature. Errors: behaviour.few, behaviour.reading.
[[nodiscard]] Result<Steadiness> steadiness(std::span<const Share> tests);

struct WearRun {
  Area specimen;
  Length before, after;
  Length radius;
  double revolutions = 0;
  Force friction;
};
/// In cm³ per N·m; negative for a specimen that grew.
[[nodiscard]] Result<double> wearRate(const WearRun& run);

/// Errors: machine.pressure.
[[nodiscard]] Result<Pressure> machinePressure(Torque set, Length effective_radius, Area pistons);

struct FrictionBehaviour {
  Share operating, lowest, highest;
};
/// Cycles by number of applications, in order; `operating` names those that count, from 1.
/// Errors: behaviour.cycles.
[[nodiscard]] Result<FrictionBehaviour> behaviourOf(std::span<const Braking> brakings,
                                                    std::span<const int> applications,
                                                    std::span<const int> operating);

struct BehaviourComparison {
  Share operating_off;  ///< signed, of the registered
  bool operating_kept = false;
  bool lowest_kept = false;
  bool highest_kept = false;
  [[nodiscard]] bool kept() const { return operating_kept && lowest_kept && highest_kept; }
};
/// A bound met to 1e-9 is kept. Errors: behaviour.reading, behaviour.tolerance.
[[nodiscard]] Result<BehaviourComparison> compareBehaviour(const FrictionBehaviour& found,
                                                           const FrictionBehaviour& registered,
                                                           Share tolerance);

}  // namespace platemark::method::friction
