/// Physical quantities: a named unit in, a named unit out, no other door.
///
///     Force f = Force::of(27.4, unit::kilonewton);
///     Pressure tau = f / Area::of(47.2, unit::square_centimetre);
///     tau.in(unit::newton_per_square_centimetre)   // 580.5…
///
/// N/cm² is not MPa is not bar: the unit is written where the number is.
/// Points are apart from differences: 40 °C is a TemperaturePoint, a rise of
/// 15 K is a TemperatureDifference; points subtract to differences and cannot
/// be added. There is no public constructor from a bare number.
/// Pure values in SI inside; any thread.
#pragma once

#include <compare>

namespace platemark {

/// Exponents of metre, kilogram, second, kelvin.
template <int M, int Kg, int S, int K>
struct Dimension {};

/// A unit of dimension D: one of it is `factor` SI units.
template <class D>
struct Unit {
  double factor;
};

template <class D>
class Quantity {
 public:
  constexpr Quantity() = default;
  static constexpr Quantity of(double value, Unit<D> unit) { return Quantity(value * unit.factor); }
  [[nodiscard]] constexpr double in(Unit<D> unit) const { return si_ / unit.factor; }

  friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.si_ + b.si_); }
  friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.si_ - b.si_); }
  friend constexpr Quantity operator-(Quantity a) { return Quantity(-a.si_); }
  friend constexpr Quantity operator*(Quantity a, double k) { return Quantity(a.si_ * k); }
  friend constexpr Quantity operator*(double k, Quantity a) { return Quantity(a.si_ * k); }
  friend constexpr Quantity operator/(Quantity a, double k) { return Quantity(a.si_ / k); }
  /// The ratio of two like quantities is a plain number.
  friend constexpr double operator/(Quantity a, Quantity b) { return a.si_ / b.si_; }
  friend constexpr auto operator<=>(Quantity, Quantity) = default;

 private:
  constexpr explicit Quantity(double si) : si_(si) {}
  double si_ = 0.0;

  template <int M1, int G1, int S1, int K1, int M2, int G2, int S2, int K2>
  friend constexpr Quantity<Dimension<M1 + M2, G1 + G2, S1 + S2, K1 + K2>> operator*(
      Quantity<Dimension<M1, G1, S1, K1>>, Quantity<Dimension<M2, G2, S2, K2>>);
  template <int M1, int G1, int S1, int K1, int M2, int G2, int S2, int K2>
  requires(M1 != M2 || G1 != G2 || S1 != S2 ||
           K1 != K2) friend constexpr Quantity<Dimension<M1 - M2, G1 - G2, S1 - S2, K1 - K2>>
  operator/(Quantity<Dimension<M1, G1, S1, K1>>, Quantity<Dimension<M2, G2, S2, K2>>);
  template <class>
  friend class Quantity;
};

template <int M1, int G1, int S1, int K1, int M2, int G2, int S2, int K2>
constexpr Quantity<Dimension<M1 + M2, G1 + G2, S1 + S2, K1 + K2>> operator*(
    Quantity<Dimension<M1, G1, S1, K1>> a, Quantity<Dimension<M2, G2, S2, K2>> b) {
  using Product = Quantity<Dimension<M1 + M2, G1 + G2, S1 + S2, K1 + K2>>;
  return Product(a.si_ * b.si_);
}

template <int M1, int G1, int S1, int K1, int M2, int G2, int S2, int K2>
requires(M1 != M2 || G1 != G2 || S1 != S2 ||
         K1 != K2) constexpr Quantity<Dimension<M1 - M2, G1 - G2, S1 - S2, K1 - K2>>
operator/(Quantity<Dimension<M1, G1, S1, K1>> a, Quantity<Dimension<M2, G2, S2, K2>> b) {
  using Ratio = Quantity<Dimension<M1 - M2, G1 - G2, S1 - S2, K1 - K2>>;
  return Ratio(a.si_ / b.si_);
}

namespace dim {
using Number = Dimension<0, 0, 0, 0>;
using Length = Dimension<1, 0, 0, 0>;
using Area = Dimension<2, 0, 0, 0>;
using Volume = Dimension<3, 0, 0, 0>;
using Mass = Dimension<0, 1, 0, 0>;
using Time = Dimension<0, 0, 1, 0>;
using Temperature = Dimension<0, 0, 0, 1>;
using TemperatureRate = Dimension<0, 0, -1, 1>;
using Force = Dimension<1, 1, -2, 0>;
using Pressure = Dimension<-1, 1, -2, 0>;
using Density = Dimension<-3, 1, 0, 0>;
using Stiffness = Dimension<0, 1, -2, 0>;
using Torque = Dimension<2, 1, -2, 0>;
using Rate = Dimension<0, 0, -1, 0>;
using PerTemperature = Dimension<0, 0, 0, -1>;
using SpecificEnergy = Dimension<2, 0, -2, 0>;
using SpecificPower = Dimension<2, 0, -3, 0>;
using HeatCapacity = Dimension<2, 0, -2, -1>;
using Conductivity = Dimension<1, 1, -3, -1>;
using HeatTransfer = Dimension<0, 1, -3, -1>;
using HeatFlux = Dimension<0, 1, -3, 0>;
using Speed = Dimension<1, 0, -1, 0>;
}  // namespace dim

/// A share or a count per count, e.g. porosity; in unit::percent or unit::one.
using Share = Quantity<dim::Number>;
using Length = Quantity<dim::Length>;
using Area = Quantity<dim::Area>;
using Volume = Quantity<dim::Volume>;
using Mass = Quantity<dim::Mass>;
using Duration = Quantity<dim::Time>;
using TemperatureDifference = Quantity<dim::Temperature>;
using TemperatureRate = Quantity<dim::TemperatureRate>;
using Force = Quantity<dim::Force>;
using Pressure = Quantity<dim::Pressure>;
using Density = Quantity<dim::Density>;
using Stiffness = Quantity<dim::Stiffness>;
using Torque = Quantity<dim::Torque>;  // also energy by dimension
using Energy = Quantity<dim::Torque>;
using MolarEnergy = Quantity<dim::Torque>;  // the mole counts as a number
using Rate = Quantity<dim::Rate>;
using PerTemperature = Quantity<dim::PerTemperature>;
using SpecificEnergy = Quantity<dim::SpecificEnergy>;
using SpecificPower = Quantity<dim::SpecificPower>;
using HeatCapacity = Quantity<dim::HeatCapacity>;  // of a mass
using Conductivity = Quantity<dim::Conductivity>;
using HeatTransfer = Quantity<dim::HeatTransfer>;
using HeatFlux = Quantity<dim::HeatFlux>;
using Speed = Quantity<dim::Speed>;

namespace unit {
inline constexpr Unit<dim::Number> one{1.0};
inline constexpr Unit<dim::Number> percent{0.01};
inline constexpr Unit<dim::Length> metre{1.0};
inline constexpr Unit<dim::Length> centimetre{1e-2};
inline constexpr Unit<dim::Length> millimetre{1e-3};
inline constexpr Unit<dim::Length> micrometre{1e-6};
inline constexpr Unit<dim::Area> square_metre{1.0};
inline constexpr Unit<dim::Area> square_centimetre{1e-4};
inline constexpr Unit<dim::Area> square_millimetre{1e-6};
inline constexpr Unit<dim::Volume> cubic_centimetre{1e-6};
inline constexpr Unit<dim::Volume> cubic_millimetre{1e-9};
inline constexpr Unit<dim::Volume> litre{1e-3};
inline constexpr Unit<dim::Mass> kilogram{1.0};
inline constexpr Unit<dim::Mass> gram{1e-3};
inline constexpr Unit<dim::Mass> milligram{1e-6};
inline constexpr Unit<dim::Mass> tonne{1e3};
inline constexpr Unit<dim::Time> second{1.0};
inline constexpr Unit<dim::Time> minute{60.0};
inline constexpr Unit<dim::Time> hour{3600.0};
inline constexpr Unit<dim::Time> day{86400.0};
inline constexpr Unit<dim::Temperature> kelvin{1.0};
inline constexpr Unit<dim::TemperatureRate> kelvin_per_minute{1.0 / 60.0};
inline constexpr Unit<dim::Force> newton{1.0};
inline constexpr Unit<dim::Force> kilonewton{1e3};
inline constexpr Unit<dim::Force> kilogram_force{9.80665};  // exact, ISO 80000-4 remarks
inline constexpr Unit<dim::Pressure> pascal{1.0};
inline constexpr Unit<dim::Pressure> kilopascal{1e3};
inline constexpr Unit<dim::Pressure> megapascal{1e6};
inline constexpr Unit<dim::Pressure> bar{1e5};
inline constexpr Unit<dim::Pressure> newton_per_square_centimetre{1e4};
inline constexpr Unit<dim::Pressure> newton_per_square_millimetre{1e6};
inline constexpr Unit<dim::Density> gram_per_cubic_centimetre{1e3};
inline constexpr Unit<dim::Density> kilogram_per_cubic_metre{1.0};
inline constexpr Unit<dim::Stiffness> newton_per_micrometre{1e6};
inline constexpr Unit<dim::Torque> newton_metre{1.0};
inline constexpr Unit<dim::Torque> joule{1.0};
inline constexpr Unit<dim::Torque> joule_per_mole{1.0};
inline constexpr Unit<dim::Torque> kilojoule_per_mole{1e3};
inline constexpr Unit<dim::Rate> per_second{1.0};
inline constexpr Unit<dim::Rate> per_minute{1.0 / 60.0};
inline constexpr Unit<dim::PerTemperature> per_kelvin{1.0};
inline constexpr Unit<dim::SpecificEnergy> kilojoule_per_kilogram{1e3};
inline constexpr Unit<dim::SpecificPower> watt_per_kilogram{1.0};
inline constexpr Unit<dim::HeatCapacity> joule_per_kilogram_kelvin{1.0};
inline constexpr Unit<dim::Conductivity> watt_per_metre_kelvin{1.0};
inline constexpr Unit<dim::HeatTransfer> watt_per_square_metre_kelvin{1.0};
inline constexpr Unit<dim::HeatFlux> watt_per_square_metre{1.0};
inline constexpr Unit<dim::Speed> metre_per_second{1.0};
inline constexpr Unit<dim::Speed> kilometre_per_hour{1.0 / 3.6};
}  // namespace unit

/// Degrees that count from a zero of their own: celsius and fahrenheit are no units of difference.
struct TemperatureScale {
  double kelvin_per_degree;
  double kelvin_at_zero;
};
namespace scale {
inline constexpr TemperatureScale celsius{1.0, 273.15};
inline constexpr TemperatureScale kelvin{1.0, 0.0};
inline constexpr TemperatureScale fahrenheit{5.0 / 9.0, 273.15 - 32.0 * 5.0 / 9.0};
}  // namespace scale

/// A temperature, e.g. 180 °C.
class TemperaturePoint {
 public:
  constexpr TemperaturePoint() = default;
  static constexpr TemperaturePoint of(double value, TemperatureScale s) {
    return TemperaturePoint(value * s.kelvin_per_degree + s.kelvin_at_zero);
  }
  [[nodiscard]] constexpr double in(TemperatureScale s) const {
    return (kelvin_ - s.kelvin_at_zero) / s.kelvin_per_degree;
  }
  friend constexpr TemperatureDifference operator-(TemperaturePoint a, TemperaturePoint b) {
    return TemperatureDifference::of(a.kelvin_ - b.kelvin_, unit::kelvin);
  }
  friend constexpr TemperaturePoint operator+(TemperaturePoint a, TemperatureDifference d) {
    return TemperaturePoint(a.kelvin_ + d.in(unit::kelvin));
  }
  friend constexpr TemperaturePoint operator-(TemperaturePoint a, TemperatureDifference d) {
    return TemperaturePoint(a.kelvin_ - d.in(unit::kelvin));
  }
  friend constexpr auto operator<=>(TemperaturePoint, TemperaturePoint) = default;

 private:
  constexpr explicit TemperaturePoint(double kelvin) : kelvin_(kelvin) {}
  double kelvin_ = 273.15;
};

}  // namespace platemark
