/// Time of a baked coat's metal at or above the asked temperature, from typed readings
/// (method coat.bake, version 1).
///
/// Formula      readings (T_i, t_i): the metal was at or above T_i for t_i. The time τ(T) at or
/// above
///              T falls as T rises, so for the asked temperature T*
///                  max { t_i : T_i >= T* }  <=  τ(T*)  <=  min { t_i : T_i <= T* }.
///              A reading at T* itself gives τ(T*) exactly.
/// Units        °C, min.
/// Valid        metal temperatures −50…500 °C, times 0…10 000 min; at least one reading. Oven air
/// is
///              not metal: the clock starts when the part is at temperature.
/// Errors       bake.no_readings, bake.temperature, bake.time, bake.contradiction (the time at a
///              higher temperature is the longer one; equal temperatures with unequal times).
/// Source       order of the numbers themselves; that the metal's temperature counts and not the
///              air's is trade practice for powder coats.
#pragma once

#include <optional>
#include <vector>

#include "platemark/quantity/result.h"

namespace platemark::method::coat {

struct MetalTime {
  double metal_celsius = 0;
  double minutes = 0;  ///< at or above it
};

/// What is known of the time at or above the asked temperature; none: nothing on that side.
struct BakeTime {
  std::optional<double> at_least;
  std::optional<double> at_most;
};

[[nodiscard]] Result<BakeTime> timeAtOrAbove(double asked_celsius,
                                             const std::vector<MetalTime>& readings);

}  // namespace platemark::method::coat
