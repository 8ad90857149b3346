#include "stepper.h"

#include <algorithm>
#include <cmath>

#include "pack.h"
#include "react.h"

namespace platemark::method::cure {
namespace {

constexpr Tableau ros = ros34pw2();
constexpr double idle_share = 1e-2;  ///< of the tolerance of α, which a cell may move in a step

/// f(lane) for the first lane of every pack.
template <class Each>
inline void eachPack(Each each) {
  for (std::size_t l = 0; l < lanes; l += pack_lanes) each(l);
}

/// out = y + Σ factor·u over the first `count` stages, in this order.
template <std::size_t count>
inline void combineRow(const double* y, const std::array<Field, 4>& u, const Tableau::Row& factors,
                       std::size_t cell, double* out) {
  std::array<const double*, count> rows{};
  for (std::size_t j = 0; j < count; ++j) rows[j] = u[j][cell];
  eachPack([&](std::size_t l) {
    Pack sum = packAt(y + l);
    for (std::size_t j = 0; j < count; ++j) sum += factors[j] * packAt(rows[j] + l);
    put(out + l, sum);
  });
}

void combine(std::size_t count, const double* y, const std::array<Field, 4>& u,
             const Tableau::Row& factors, std::size_t cell, double* out) {
  switch (count) {
    case 0:
      return combineRow<0>(y, u, factors, cell, out);
    case 1:
      return combineRow<1>(y, u, factors, cell, out);
    case 2:
      return combineRow<2>(y, u, factors, cell, out);
    case 3:
      return combineRow<3>(y, u, factors, cell, out);
    default:
      return combineRow<4>(y, u, factors, cell, out);
  }
}

}  // namespace

Stepper::Stepper(const Grid& grid) : grid_(grid), idle_(grid.cells()) {
  const std::size_t n = grid.cells();
  for (Field* field : {&kelvin_, &degree_, &new_kelvin_, &new_degree_, &stage_kelvin_,
                       &stage_degree_, &per_capacity_, &rate_, &rate_by_kelvin_, &rate_by_degree_,
                       &slope_, &lower_, &upper_, &pivot_, &at_start_, &fold_, &degree_pivot_})
    *field = Field(n);
  below_ = Field(n + 1);
  for (Field* field :
       {&first_air_, &first_drift_, &last_air_, &last_drift_, &first_now_, &last_now_})
    *field = Field(1);
  for (std::size_t s = 0; s < stages; ++s) kelvin_stage_[s] = degree_stage_[s] = Field(n);
  for (std::size_t cell = 0; cell < n; ++cell)
    for (std::size_t l = 0; l < lanes; ++l) {
      kelvin_[cell][l] = grid.start[0][l];
      degree_[cell][l] = grid.of(cell).start;
    }
  conduct(kelvin_);
}

void Stepper::placeAir(std::span<const AirLine> air) {
  const auto place = [&](const AirPlace& at, double& value, double& drift) {
    value = at.offset.in(unit::kelvin);
    drift = 0;
    for (std::size_t i = 0; i < air.size(); ++i) {
      value += at.weights[i] * air[i].value;
      drift += at.weights[i] * air[i].slope;
    }
  };
  for (std::size_t l = 0; l < lanes; ++l) {
    place(*grid_.first_air[l], first_air_[0][l], first_drift_[0][l]);
    place(*grid_.last_air[l], last_air_[0][l], last_drift_[0][l]);
  }
}

/// Conductances and capacities at a temperature. Behind an insulated end the film is 0.
void Stepper::conduct(const Field& kelvin) {
  double half[lanes], next[lanes];
  const auto halfOf = [&](std::size_t cell, double* into) {
    const Matter& matter = grid_.of(cell);
    const double *t = kelvin[cell], *width = grid_.half_width[cell];
    double* per_capacity = per_capacity_[cell];
    eachPack([&](std::size_t l) {
      const Pack rise = packAt(t + l) - matter.reference, w = packAt(width + l);
      put(into + l, w / (matter.conductivity * (1.0 + matter.conductivity_slope * rise)));
      put(per_capacity + l,
          1.0 / (2.0 * w * (matter.capacity * (1.0 + matter.capacity_slope * rise))));
    });
  };
  const auto endOf = [](const double* film, const double* inner, double* into) {
    for (std::size_t l = 0; l < lanes; ++l)
      into[l] = film[l] > 0 ? 1 / (1 / film[l] + inner[l]) : 0;
  };
  halfOf(0, half);
  endOf(grid_.first_end[0], half, below_[0]);
  for (std::size_t cell = 1; cell < grid_.cells(); ++cell) {
    halfOf(cell, next);
    double* below = below_[cell];
    const double* joint = grid_.joint[cell - 1];
    eachPack([&](std::size_t l) {
      put(below + l, 1.0 / (packAt(half + l) + packAt(joint + l) + packAt(next + l)));
      put(half + l, packAt(next + l));
    });
  }
  endOf(grid_.last_end[0], half, below_[grid_.cells()]);
}

/// At the start of a step; a cell whose α hardly moves in it keeps this rate for its stages.
void Stepper::reactAtStart(double degree_tolerance) {
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell) {
    const Matter& law = grid_.of(cell);
    if (!law.cures) continue;
    const double* rate = rate_[cell];
    rateRowWithSlopes(law, kelvin_[cell], degree_[cell], rate_[cell], rate_by_kelvin_[cell],
                      rate_by_degree_[cell]);
    idle_[cell] = *std::max_element(rate, rate + lanes) * h_ < idle_share * degree_tolerance;
  }
}

void Stepper::reactAtStage() {
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell)
    if (grid_.of(cell).cures && !idle_[cell])
      rateRow(grid_.of(cell), stage_kelvin_[cell], stage_degree_[cell], rate_[cell]);
}

/// What α adds to a cell's diagonal: the heat of reaction's answer to T, kept below half of d.
void Stepper::foldDegree(std::size_t cell, double d, double* diagonal) {
  const double heat = 2 * grid_.of(cell).heat;
  const double *half = grid_.half_width[cell], *per_capacity = per_capacity_[cell];
  const double *by_kelvin = rate_by_kelvin_[cell], *by_degree = rate_by_degree_[cell];
  double *fold = fold_[cell], *degree_pivot = degree_pivot_[cell];
  eachPack([&](std::size_t l) {
    const Pack heating = heat * packAt(half + l) * packAt(per_capacity + l);
    const Pack pivot = 1.0 / (d - packAt(by_degree + l));
    put(degree_pivot + l, pivot);
    put(fold + l, heating * packAt(by_degree + l) * pivot);
    const Pack answer = heating * packAt(by_kelvin + l) * (d * pivot);
    put(diagonal + l, packAt(diagonal + l) - smaller(answer, packOf(d / 2)));
  });
}

/// The matrix d − J with α eliminated in each cell, factorised without pivoting: what is left is
/// diagonally dominant.
void Stepper::factorise(double d) {
  double diagonal[lanes];
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell) {
    const double *per_capacity = per_capacity_[cell], *side = grid_.sides[cell],
                 *below = below_[cell], *above = below_[cell + 1];
    eachPack([&](std::size_t l) {
      const Pack sum = packAt(side + l) + packAt(below + l) + packAt(above + l);
      put(diagonal + l, d + sum * packAt(per_capacity + l));
    });
    if (grid_.of(cell).cures) foldDegree(cell, d, diagonal);
    double *pivot = pivot_[cell], *lower = lower_[cell], *upper = upper_[cell];
    const double* before = cell > 0 ? pivot_[cell - 1] : nullptr;
    const double* upper_before = cell > 0 ? upper_[cell - 1] : nullptr;
    eachPack([&](std::size_t l) {
      Pack at = packAt(diagonal + l);
      if (before != nullptr) {
        const Pack factor = packAt(below + l) * packAt(per_capacity + l) * packAt(before + l);
        put(lower + l, factor);
        at -= factor * packAt(upper_before + l);
      }
      put(upper + l, packAt(above + l) * packAt(per_capacity + l));
      put(pivot + l, 1.0 / at);
    });
  }
  if (grid_.varies) at_start_ = per_capacity_;
}

void Stepper::stageState(std::size_t stage) {
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell) {
    combine(stage, kelvin_[cell], kelvin_stage_, ros.a[stage], cell, stage_kelvin_[cell]);
    if (grid_.of(cell).cures && !idle_[cell])
      combine(stage, degree_[cell], degree_stage_, ros.a[stage], cell, stage_degree_[cell]);
  }
}

/// dT/dt of a cell and the share of the air's drift, into the stage.
template <bool sides>
void Stepper::temperatureRight(std::size_t stage, std::size_t cell, const Field& kelvin) {
  const bool is_first = cell == 0, is_last = cell + 1 == grid_.cells();
  const Matter& matter = grid_.of(cell);
  const double *t = kelvin[cell], *under = is_first ? first_now_[0] : kelvin[cell - 1],
               *over = is_last ? last_now_[0] : kelvin[cell + 1];
  const double *below = below_[cell], *above = below_[cell + 1], *rate = rate_[cell];
  const double *side = grid_.sides[cell], *height = grid_.height[cell];
  const double *half = grid_.half_width[cell], *per_capacity = per_capacity_[cell];
  const double* at_start = grid_.varies ? at_start_[cell] : per_capacity;
  const double *first_now = first_now_[0], *last_now = last_now_[0];
  const double *first_drift = first_drift_[0], *last_drift = last_drift_[0];
  const double drift_share = ros.drift[stage] * h_, heat = matter.cures ? 2 * matter.heat : 0;
  double* right = kelvin_stage_[stage][cell];
  double* slope = stage == 0 ? slope_[cell] : right;  // the stage itself is written over below
  eachPack([&](std::size_t l) {
    const Pack at = packAt(t + l);
    Pack flux = packAt(below + l) * (packAt(under + l) - at) +
                packAt(above + l) * (packAt(over + l) - at) +
                heat * packAt(half + l) * packAt(rate + l);
    Pack drift{};
    if constexpr (sides) {
      const Pack z = packAt(height + l), first = packAt(first_now + l),
                 turn = packAt(first_drift + l);
      flux += packAt(side + l) * (first + z * (packAt(last_now + l) - first) - at);
      drift = packAt(side + l) * (turn + z * (packAt(last_drift + l) - turn));
    }
    if (is_first) drift += packAt(below + l) * packAt(first_drift + l);
    if (is_last) drift += packAt(above + l) * packAt(last_drift + l);
    const Pack sum = flux * packAt(per_capacity + l);
    put(slope + l, sum);
    put(right + l, sum + drift_share * drift * packAt(at_start + l));
  });
}

void Stepper::addSource(std::size_t stage, std::size_t cell) {
  const double seconds = ros.time[stage] * h_;
  for (std::size_t l = 0; l < lanes; ++l)
    kelvin_stage_[stage][cell][l] +=
        source(cell, l, seconds) * 2 * grid_.half_width[cell][l] * per_capacity_[cell][l];
}

/// The right-hand sides of a stage, into the stage itself.
void Stepper::stageRight(std::size_t stage, const Field& kelvin) {
  const double seconds = ros.time[stage] * h_;
  for (std::size_t l = 0; l < lanes; ++l) {
    first_now_[0][l] = first_air_[0][l] + first_drift_[0][l] * seconds;
    last_now_[0][l] = last_air_[0][l] + last_drift_[0][l] * seconds;
  }
  Tableau::Row earlier{};
  for (std::size_t j = 0; j < stage; ++j) earlier[j] = ros.c[stage][j] / h_;
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell) {
    if (grid_.has_sides)
      temperatureRight<true>(stage, cell, kelvin);
    else
      temperatureRight<false>(stage, cell, kelvin);
    if (source) addSource(stage, cell);
    double* right = kelvin_stage_[stage][cell];
    combine(stage, right, kelvin_stage_, earlier, cell, right);
    if (grid_.of(cell).cures)
      combine(stage, rate_[cell], degree_stage_, earlier, cell, degree_stage_[stage][cell]);
  }
}

void Stepper::eliminate(std::size_t stage) {
  Field &kelvin = kelvin_stage_[stage], &degree = degree_stage_[stage];
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell) {
    double* b = kelvin[cell];
    if (grid_.of(cell).cures) {
      const double *fold = fold_[cell], *a = degree[cell];
      eachPack(
          [&](std::size_t l) { put(b + l, packAt(b + l) + packAt(fold + l) * packAt(a + l)); });
    }
    if (cell == 0) continue;
    const double *lower = lower_[cell], *before = kelvin[cell - 1];
    eachPack(
        [&](std::size_t l) { put(b + l, packAt(b + l) + packAt(lower + l) * packAt(before + l)); });
  }
}

void Stepper::substitute(std::size_t stage) {
  Field &kelvin = kelvin_stage_[stage], &degree = degree_stage_[stage];
  const std::size_t n = grid_.cells();
  for (std::size_t cell = n; cell-- > 0;) {
    double* b = kelvin[cell];
    const double *pivot = pivot_[cell], *upper = upper_[cell];
    const double* after = cell + 1 < n ? kelvin[cell + 1] : nullptr;
    eachPack([&](std::size_t l) {
      Pack at = packAt(b + l);
      if (after != nullptr) at += packAt(upper + l) * packAt(after + l);
      put(b + l, at * packAt(pivot + l));
    });
    if (!grid_.of(cell).cures) continue;
    double* a = degree[cell];
    const double *by_kelvin = rate_by_kelvin_[cell], *degree_pivot = degree_pivot_[cell];
    eachPack([&](std::size_t l) {
      put(a + l,
          (packAt(a + l) + packAt(by_kelvin + l) * packAt(b + l)) * packAt(degree_pivot + l));
    });
  }
}

void Stepper::finish() {
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell) {
    combine(stages, kelvin_[cell], kelvin_stage_, ros.m, cell, new_kelvin_[cell]);
    if (!grid_.of(cell).cures) continue;
    double* degree = new_degree_[cell];
    combine(stages, degree_[cell], degree_stage_, ros.m, cell, degree);
    eachPack([&](std::size_t l) {
      put(degree + l, smaller(larger(packAt(degree + l), packOf(0)), packOf(1)));
    });
  }
}

/// Errors as shares of what is allowed. Where cure feeds on itself a small error grows with it, so
/// less is allowed while little is cured.
double Stepper::errorOf(const StepTolerance& tolerance) const {
  double worst[lanes] = {}, zero[lanes] = {}, error[lanes];
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell) {
    combineRow<stages>(zero, kelvin_stage_, ros.error, cell, error);
    eachPack([&](std::size_t l) {
      const Pack share = magnitude(packAt(error + l)) * (1 / tolerance.kelvin);
      put(worst + l, larger(packAt(worst + l), share));
    });
    const Matter& matter = grid_.of(cell);
    if (!matter.cures) continue;
    combineRow<stages>(zero, degree_stage_, ros.error, cell, error);
    const double grown = matter.autocatalytic ? 0 : 1;
    const double* degree = degree_[cell];
    eachPack([&](std::size_t l) {
      const Pack part = smaller(grown + 0.02 + 2.0 * packAt(degree + l), packOf(1));
      const Pack share = magnitude(packAt(error + l)) / (tolerance.degree * part);
      put(worst + l, larger(packAt(worst + l), share));
    });
  }
  return *std::max_element(worst, worst + lanes);
}

double Stepper::attempt(double h, std::span<const AirLine> air, const StepTolerance& tolerance) {
  h_ = h;
  placeAir(air);
  if (grid_.varies) conduct(kelvin_);
  reactAtStart(tolerance.degree);
  factorise(1 / (h * ros.gamma));
  for (std::size_t stage = 0; stage < stages; ++stage) {
    if (stage > 0) {
      stageState(stage);
      if (grid_.varies) conduct(stage_kelvin_);
      reactAtStage();
    }
    stageRight(stage, stage > 0 ? stage_kelvin_ : kelvin_);
    eliminate(stage);
    substitute(stage);
  }
  finish();
  return errorOf(tolerance);
}

void Stepper::accept() {
  std::swap(kelvin_, new_kelvin_);
  std::swap(degree_, new_degree_);
  for (std::size_t l = 0; l < lanes; ++l) {
    first_air_[0][l] += first_drift_[0][l] * h_;
    last_air_[0][l] += last_drift_[0][l] * h_;
  }
}

double Stepper::firstFace(std::size_t lane) const {
  const double film = grid_.first_end[0][lane], t = kelvin_[0][lane];
  return film > 0 ? t + (first_air_[0][lane] - t) * (1 - below_[0][lane] / film) : t;
}

double Stepper::lastFace(std::size_t lane) const {
  const std::size_t n = grid_.cells();
  const double film = grid_.last_end[0][lane], t = kelvin_[n - 1][lane];
  return film > 0 ? t + (last_air_[0][lane] - t) * (1 - below_[n][lane] / film) : t;
}

double Stepper::quickest() const {
  double quickest = 0;
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell)
    for (std::size_t l = 0; l < lanes; ++l) {
      double conductance = grid_.sides[cell][l];
      if (cell == 0) conductance += below_[0][l];
      if (cell + 1 == grid_.cells()) conductance += below_[cell + 1][l];
      quickest = std::max(quickest, conductance * per_capacity_[cell][l]);
    }
  return quickest;
}

}  // namespace platemark::method::cure
