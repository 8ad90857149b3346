/// How hot disc and pad become in single and repeated stops: method brake.heating, version 1.
///
/// Formula      E = ½·k_rot·m·(v1² − v2²);  one disc of an axle: E·φ/2
///              lumped: ΔT = γ·E_disc/(m_disc·c);  b = h·A·t_c/(m_disc·c);
///              after n equal stops T − T∞ = ΔT·(1 − e^(−n·b))/(1 − e^(−b))
///              one stop at constant deceleration, half-space under q0·(1 − t/t_s):
///              ΔT(t) = [2·q0·√t/(e·√π)]·[1 − 2t/(3·t_s)], at most 4·q0·√t_s/(3·√(2π)·e), at t_s/2
///              partition of two half-spaces γ_pad = e_p·A_p/(e_p·A_p + e_d·A_d), e = √(k·ρ·c);
///              at sudden contact T = (e1·T1 + e2·T2)/(e1 + e2)
/// Symbols      k_rot rotating masses, >= 1; φ share of the axle; γ share into the disc; h, A
///              cooling; t_c from stop to stop; q0 = 2·E·γ/(t_s·A_swept)
/// Valid        lumped: disc at one temperature between stops, constant h, starting at T∞.
///              Half-space: while heat has not crossed the disc, t_s small against thickness²/(4a).
/// Uncertainty  partition and h are assumptions and vary over place and time; published partition
///              formulas differ.
/// Source       R. Limpert, Brake Design and Safety, repeated braking; H. S. Carslaw, J. C. Jaeger,
///              Conduction of Heat in Solids, 2nd ed. 1959; both remembered, not verified
/// Errors       brake.stop_range, brake.disc_range, brake.solid_range, brake.count_range
/// Pure.
#pragma once

#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::brake {

inline constexpr int heating_version = 1;

struct Stop {
  Mass vehicle{};
  double rotating = 1;  ///< k_rot
  Speed from{}, to{};
};
[[nodiscard]] Result<Energy> energyOf(const Stop& stop);
/// Of one disc of an axle that takes the share `axle`.
[[nodiscard]] Energy perDisc(Energy stop, Share axle);

struct Disc {
  Mass mass{};
  HeatCapacity capacity{};
  HeatTransfer cooling{};
  Area cooled{};
};
[[nodiscard]] Result<TemperatureDifference> riseOf(const Disc& disc, Energy into_disc);

struct RepeatedStops {
  std::vector<TemperaturePoint> after{};   ///< each stop
  std::vector<TemperaturePoint> before{};  ///< each stop; the first at the air's temperature
  TemperaturePoint limit{};                ///< after ever more stops
};
/// 1 to 100000 equal stops.
[[nodiscard]] Result<RepeatedStops> repeatedStops(const Disc& disc, Energy into_disc,
                                                  Duration between, TemperaturePoint air,
                                                  int count);

/// A half-space.
struct Solid {
  Conductivity conductivity{};
  Density density{};
  HeatCapacity capacity{};
};
/// Flux of a stop that falls straight to zero within `length`.
struct FadingFlux {
  HeatFlux first{};
  Duration length{};
};
/// q0 = 2·E/(t_s·A) for the energy that goes into the surface.
[[nodiscard]] Result<FadingFlux> fluxOf(Energy into_surface, Duration length, Area swept);
/// Of the surface, `at` seconds into the stop, 0…length.
[[nodiscard]] Result<TemperatureDifference> surfaceRise(const Solid& solid, const FadingFlux& flux,
                                                        Duration at);
[[nodiscard]] Result<TemperatureDifference> largestSurfaceRise(const Solid& solid,
                                                               const FadingFlux& flux);
/// Share of the heat into the pad.
[[nodiscard]] Result<Share> padShare(const Solid& pad, Area pad_area, const Solid& disc,
                                     Area disc_area);
[[nodiscard]] Result<TemperaturePoint> contactTemperature(const Solid& one, TemperaturePoint at_one,
                                                          const Solid& other,
                                                          TemperaturePoint at_other);

}  // namespace platemark::method::brake
