/// Up to eight stacks of one shape as arrays over cells and lanes, in SI and kelvin.
#pragma once

#include <cstddef>
#include <vector>

#include "platemark/method/cure/load.h"

namespace platemark::method::cure {

inline constexpr std::size_t lanes = 8;

/// One number for each cell and lane; the lanes of a cell stand together.
class Field {
 public:
  Field() = default;
  explicit Field(std::size_t cells, double value = 0) : values_(cells * lanes, value) {}
  [[nodiscard]] double* operator[](std::size_t cell) { return values_.data() + cell * lanes; }
  [[nodiscard]] const double* operator[](std::size_t cell) const {
    return values_.data() + cell * lanes;
  }
  [[nodiscard]] std::size_t cells() const { return values_.size() / lanes; }

 private:
  std::vector<double> values_;
};

/// A material; logarithms of the factors, energies as Ea/R.
struct Matter {
  double capacity = 0, capacity_slope = 0;  ///< J/m³K at the reference, share/K
  double conductivity = 0, conductivity_slope = 0;
  double reference = 0;
  bool cures = false, plain = false, autocatalytic = false, diffusion = false;
  double heat = 0;  ///< J/m³ for α from 0 to 1
  double start = 0;
  double log_a1 = 0, e1 = 0, log_a2 = 0, e2 = 0, m = 0, n = 0;
  double steepness = 0, critical = 0, critical_per_kelvin = 0;
};

/// The cells of a layer in every lane.
struct Span {
  std::size_t layer, begin, end;
};

struct Grid {
  std::vector<Matter> matters;
  std::vector<std::size_t> matter;  ///< of each cell
  std::vector<Span> pads;
  bool varies = false;        ///< k or c of some cell moves with T
  bool has_sides = false;     ///< some cell has air beside it
  Field half_width;           ///< m
  Field joint;                ///< m²K/W between a cell and the next
  Field sides;                ///< W/m²K of section, to the air beside
  Field height;               ///< of the cell's middle, 0 at the first end, 1 at the last
  Field first_end, last_end;  ///< one cell: W/m²K
  Field start;                ///< one cell: K
  std::vector<const AirPlace*> first_air, last_air;  ///< by lane

  [[nodiscard]] std::size_t cells() const { return matter.size(); }
  [[nodiscard]] const Matter& of(std::size_t cell) const { return matters[matter[cell]]; }
};

[[nodiscard]] Grid gridOf(const Load& load, const Batch& batch);

}  // namespace platemark::method::cure
