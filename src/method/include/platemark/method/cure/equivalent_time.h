/// How long at a reference temperature would have done as much: method cure.equivalent_time,
/// version 1. For plants without kinetics of their own.
///
/// Formula      Arrhenius  t_eq = ∫ exp[(Ea/R)·(1/T_ref − 1/T)] dt, T absolute
///              step       F = ∫ 10^[(T − T_ref)/z] dt
///              T linear between the given points; two points at one time are a jump
/// Symbols      Ea J/mol, z K for a tenfold rate
/// Valid        rate laws of the form k(T)·f(α) with one Ea: there α depends on t_eq alone. Not
///              for two energies, ceilings that move with T or diffusion control: integrate α.
///              The step form equals the other one near T_ref only; use Arrhenius for cure.
/// Method       exact for the step form; Gauss–Legendre with 8 points on pieces on which the
///              exponent changes by at most 1, relative error below 1e-12.
/// Uncertainty  a sensor off by δT moves t_eq by Ea·δT/(R·T²).
/// Source       the integral of the Arrhenius factor, as in ASTM C1074 and
///              P. Freiesleben Hansen, E. J. Pedersen (1977); C1074 remembered, not verified
/// Errors       those of checkCourse; cure.energy_range, cure.step_range
/// Pure.
#pragma once

#include <span>

#include "platemark/method/cure/course.h"

namespace platemark::method::cure {

inline constexpr int equivalent_time_version = 1;

[[nodiscard]] Result<Duration> equivalentTime(std::span<const CoursePoint> course,
                                              TemperaturePoint reference, MolarEnergy energy);
[[nodiscard]] Result<Duration> equivalentTimeByStep(std::span<const CoursePoint> course,
                                                    TemperaturePoint reference,
                                                    TemperatureDifference z);
/// Rise over which the Arrhenius rate grows tenfold; exact between the two temperatures.
[[nodiscard]] TemperatureDifference stepOf(MolarEnergy energy, TemperaturePoint low,
                                           TemperaturePoint high);

}  // namespace platemark::method::cure
