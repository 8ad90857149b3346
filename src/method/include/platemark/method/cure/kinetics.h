/// How fast a binder cures: rate laws and their parameters.
///
/// Formula      dα/dt = (k1 + k2·α^m)·(1 − α)^n / (1 + exp[C·(α − αc)]);  k = A·exp(−Ea/(R·T));
///              αc = αc0 + αcT·T. Without k2: n-th order. Without k1: autocatalytic; at α = 0 its
///              rate is zero, so it needs a start α0 > 0. Both: Kamal–Sourour. The divisor stands
///              only with a diffusion limit.
///              isoconversional: dα/dt = exp[ln(A·f)(α) − E(α)/(R·T)], both linear in α between
///              the rows of a table
/// Symbols      α degree of cure, 0…1; T absolute temperature; A 1/time, its unit is named where it
///              is entered; Ea J/mol; m, n exponents; R = 8.31446261815324 J/(mol·K)
/// Valid        the material and range of temperature of the parameters; a filled compound is not
///              its neat resin.
/// Source       M. R. Kamal, S. Sourour, Polym. Eng. Sci. 13 (1973) 59; diffusion divisor after
///              C.-S. Chern, G. W. Poehlein, Polym. Eng. Sci. 27 (1987) 788; both remembered, not
///              verified
/// Errors       cure.kinetics_none, cure.kinetics_range, cure.kinetics_start, cure.kinetics_table
/// Pure.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::cure {

inline constexpr double gas_constant = 8.31446261815324;  ///< J/(mol·K), exact since 2019

/// k = A·exp(−Ea/(R·T)).
struct Arrhenius {
  Rate factor{};         ///< A, > 0
  MolarEnergy energy{};  ///< Ea, >= 0
};
[[nodiscard]] Rate rateConstant(const Arrhenius& k, TemperaturePoint at);

struct DiffusionLimit {
  double steepness = 0;                  ///< C, > 0
  double critical_at_zero = 0;           ///< αc0
  PerTemperature critical_per_kelvin{};  ///< αcT
};

/// The first four forms of the trade in one: absent terms drop out.
struct KamalLaw {
  std::optional<Arrhenius> plain{};          ///< k1
  std::optional<Arrhenius> autocatalytic{};  ///< k2
  double m = 0;                              ///< >= 0
  double n = 1;                              ///< >= 0
  std::optional<DiffusionLimit> diffusion{};
};

/// One row of an isoconversional law.
struct IsoconversionalRow {
  double degree = 0;     ///< α
  double log_rate = 0;   ///< ln(A·f(α)·s)
  MolarEnergy energy{};  ///< E(α)
};
/// Rows in rising α, at least two; outside them the first and the last row hold, at α = 1 it rests.
struct IsoconversionalLaw {
  std::vector<IsoconversionalRow> rows{};
};

using RateLaw = std::variant<KamalLaw, IsoconversionalLaw>;

struct TemperatureRange {
  TemperaturePoint from{}, to{};
};

/// Parameters as they were published or fitted, with what is needed to trust them.
struct ParameterSet {
  std::string id{};
  std::string material{};
  RateLaw law{};
  double start = 0;                         ///< α0
  std::optional<TemperatureRange> valid{};  ///< absent: the source states none
  std::optional<SpecificEnergy> heat{};     ///< of reaction, for each kilogram of binder
  std::string source{};
  bool verified = false;  ///< every number read in the source itself
  std::string remark{};   ///< what is inferred or remembered, e.g. the unit of A
};

/// Sets from the literature. Only those of which every number is known stand here.
[[nodiscard]] std::span<const ParameterSet> publishedSets();

[[nodiscard]] Result<void> checkLaw(const RateLaw& law);
/// checkLaw, and whether it can start from `start`.
[[nodiscard]] Result<void> checkStart(const RateLaw& law, double start);
/// dα/dt; `degree` outside 0…1 is taken as the nearer end. The law must have passed checkLaw.
[[nodiscard]] Rate rateOfCure(const RateLaw& law, double degree, TemperaturePoint at);

}  // namespace platemark::method::cure
