#include <array>

#include "platemark/method/cure/kinetics.h"

namespace platemark::method::cure {
namespace {

Arrhenius arrhenius(double factor, Unit<dim::Rate> per, double kilojoules) {
  return {Rate::of(factor, per), MolarEnergy::of(kilojoules, unit::kilojoule_per_mole)};
}

ParameterSet novolac() {
  ParameterSet set;
  set.id = "novolac-hmta-1997";
  set.material = "phenolic novolac with hexamethylenetetramine, neat resin";
  set.law = KamalLaw{arrhenius(2.3e15, unit::per_minute, 126), {}, 0, 1.66, {}};
  set.source =
      "Ma, Cure kinetics of phenolic novolac resins, M.S. thesis, Univ. of Massachusetts "
      "Lowell, 1997 (abstract)";
  set.remark =
      "The source prints no time unit for A; per minute is inferred: with it the calorimeter's "
      "peak "
      "at 10 K/min lies at 152.7 °C, near the published 160 °C; per second it would be 110.8 °C. "
      "Range of temperature and heat of reaction are not printed.";
  return set;
}

ParameterSet epoxy() {
  ParameterSet set;
  set.id = "epoxy-2001";
  set.material = "aerospace epoxy prepreg resin; for checks of the method";
  set.law = KamalLaw{{},
                     arrhenius(1.53e5, unit::per_second, 66.5),
                     0.813,
                     2.74,
                     DiffusionLimit{43.09, -1.684, PerTemperature::of(5.475e-3, unit::per_kelvin)}};
  set.start = 0.001;
  set.source = "Hubert et al., 2001";
  set.remark =
      "A, Ea, m and n read in a text that quotes the source; the diffusion constants are "
      "remembered, not verified. The start is a choice of this project.";
  return set;
}

ParameterSet dicyclopentadiene() {
  ParameterSet set;
  set.id = "dicyclopentadiene";
  set.material = "dicyclopentadiene, frontal polymerisation; for checks of the method";
  set.law = KamalLaw{{},
                     arrhenius(8.55e15, unit::per_second, 110.75),
                     0.77,
                     1.72,
                     DiffusionLimit{14.48, 0.41, {}}};
  set.start = 0.001;
  set.heat = SpecificEnergy::of(350, unit::kilojoule_per_kilogram);
  set.source = "a university's research code on frontal polymerisation";
  set.remark =
      "Read in the code, not in a paper. It writes the diffusion factor as 1/exp; the divisor "
      "1 + exp of the literature is used here. The start is a choice of this project.";
  return set;
}

}  // namespace

std::span<const ParameterSet> publishedSets() {
  static const std::array<ParameterSet, 3> sets{novolac(), epoxy(), dicyclopentadiene()};
  return sets;
}

}  // namespace platemark::method::cure
