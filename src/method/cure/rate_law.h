/// Rate laws as bare numbers in SI, for the integrators of this folder.
#pragma once

#include <vector>

#include "platemark/method/cure/kinetics.h"

namespace platemark::method::cure {

/// A factor of zero means that a term is absent.
struct FlatKamal {
  double a1 = 0, e1 = 0;  ///< 1/s, Ea/R in K
  double a2 = 0, e2 = 0;
  double m = 0, n = 1;
  double steepness = 0, critical = 0, critical_per_kelvin = 0;

  [[nodiscard]] double rate(double degree, double kelvin) const;
  [[nodiscard]] double largestEnergy() const;  ///< Ea/R in K
};

struct FlatTable {
  struct Row {
    double degree, log_rate, energy;  ///< energy as Ea/R in K
  };
  std::vector<Row> rows;

  [[nodiscard]] double rate(double degree, double kelvin) const;
  [[nodiscard]] double largestEnergy() const;  ///< Ea/R in K
};

struct FlatLaw {
  std::variant<FlatKamal, FlatTable> form;

  [[nodiscard]] double rate(double degree, double kelvin) const;
  [[nodiscard]] double largestEnergy() const;  ///< Ea/R in K
};

[[nodiscard]] FlatKamal flatten(const KamalLaw& law);
[[nodiscard]] FlatLaw flatten(const RateLaw& law);

}  // namespace platemark::method::cure
