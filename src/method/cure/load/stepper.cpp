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
template <class Pack, class Each>
inline void eachPack(Each each) {
  for (std::size_t l = 0; l < lanes; l += pack_lanes<Pack>) each(l);
}

/// out = y + Σ factor·u over the first `count` stages, in this order.
template <class Pack, std::size_t count>
inline void combineRow(const double* y, const std::array<Field, 4>& u, const Tableau::Row& factors,
                       std::size_t cell, double* out) {
  std::array<const double*, count> rows{};
  for (std::size_t j = 0; j < count; ++j) rows[j] = u[j][cell];
  eachPack<Pack>([&](std::size_t l) {
    Pack sum = packAt<Pack>(y + l);
    for (std::size_t j = 0; j < count; ++j) sum += factors[j] * packAt<Pack>(rows[j] + l);
    put<Pack>(out + l, sum);
  });
}

template <class Pack>
inline void combine(std::size_t count, const double* y, const std::array<Field, 4>& u,
                    const Tableau::Row& factors, std::size_t cell, double* out) {
  switch (count) {
    case 0:
      return combineRow<Pack, 0>(y, u, factors, cell, out);
    case 1:
      return combineRow<Pack, 1>(y, u, factors, cell, out);
    case 2:
      return combineRow<Pack, 2>(y, u, factors, cell, out);
    case 3:
      return combineRow<Pack, 3>(y, u, factors, cell, out);
    default:
      return combineRow<Pack, 4>(y, u, factors, cell, out);
  }
}

}  // namespace

Stepper::Stepper(const Grid& grid, bool wide)
    : grid_(grid), idle_(grid.cells()), wide_(wide && mayBeWide()) {
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
  conduct<NarrowPack>(kelvin_);
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
template <class Pack>
void Stepper::conduct(const Field& kelvin) {
  double half[lanes], next[lanes];
  const auto halfOf = [&](std::size_t cell, double* into) {
    const Matter& matter = grid_.of(cell);
    const double *t = kelvin[cell], *width = grid_.half_width[cell];
    double* per_capacity = per_capacity_[cell];
    eachPack<Pack>([&](std::size_t l) {
      const Pack rise = packAt<Pack>(t + l) - matter.reference, w = packAt<Pack>(width + l);
      const Pack k = matter.conductivity * (1.0 + matter.conductivity_slope * rise);
      const Pack c = 2.0 * w * (matter.capacity * (1.0 + matter.capacity_slope * rise));
      const Pack inverse = 1.0 / (k * c);  // one division for two
      put<Pack>(into + l, w * c * inverse);
      put<Pack>(per_capacity + l, k * inverse);
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
    eachPack<Pack>([&](std::size_t l) {
      put<Pack>(below + l,
                1.0 / (packAt<Pack>(half + l) + packAt<Pack>(joint + l) + packAt<Pack>(next + l)));
      put<Pack>(half + l, packAt<Pack>(next + l));
    });
  }
  endOf(grid_.last_end[0], half, below_[grid_.cells()]);
}

/// At the start of a step; a cell whose α hardly moves in it keeps this rate for its stages.
template <class Pack>
void Stepper::reactAtStart(double degree_tolerance) {
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell) {
    const Matter& law = grid_.of(cell);
    if (!law.cures) continue;
    const double* rate = rate_[cell];
    rateRowWithSlopes<Pack>(law, kelvin_[cell], degree_[cell], rate_[cell], rate_by_kelvin_[cell],
                            rate_by_degree_[cell]);
    idle_[cell] = *std::max_element(rate, rate + lanes) * h_ < idle_share * degree_tolerance;
  }
}

template <class Pack>
void Stepper::reactAtStage() {
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell)
    if (grid_.of(cell).cures && !idle_[cell])
      rateRow<Pack>(grid_.of(cell), stage_kelvin_[cell], stage_degree_[cell], rate_[cell]);
}

/// What α adds to a cell's diagonal: the heat of reaction's answer to T, kept below half of d.
template <class Pack>
void Stepper::foldDegree(std::size_t cell, double d, double* diagonal) {
  const double heat = 2 * grid_.of(cell).heat;
  const double *half = grid_.half_width[cell], *per_capacity = per_capacity_[cell];
  const double *by_kelvin = rate_by_kelvin_[cell], *by_degree = rate_by_degree_[cell];
  double *fold = fold_[cell], *degree_pivot = degree_pivot_[cell];
  eachPack<Pack>([&](std::size_t l) {
    const Pack heating = heat * packAt<Pack>(half + l) * packAt<Pack>(per_capacity + l);
    const Pack pivot = 1.0 / (d - packAt<Pack>(by_degree + l));
    put<Pack>(degree_pivot + l, pivot);
    put<Pack>(fold + l, heating * packAt<Pack>(by_degree + l) * pivot);
    const Pack answer = heating * packAt<Pack>(by_kelvin + l) * (d * pivot);
    put<Pack>(diagonal + l,
              packAt<Pack>(diagonal + l) - smaller<Pack>(answer, packOf<Pack>(d / 2)));
  });
}

/// The matrix d − J with α eliminated in each cell, factorised without pivoting: what is left is
/// diagonally dominant.
template <class Pack>
void Stepper::factorise(double d) {
  double diagonal[lanes];
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell) {
    const double *per_capacity = per_capacity_[cell], *side = grid_.sides[cell],
                 *below = below_[cell], *above = below_[cell + 1];
    eachPack<Pack>([&](std::size_t l) {
      const Pack sum = packAt<Pack>(side + l) + packAt<Pack>(below + l) + packAt<Pack>(above + l);
      put<Pack>(diagonal + l, d + sum * packAt<Pack>(per_capacity + l));
    });
    if (grid_.of(cell).cures) foldDegree<Pack>(cell, d, diagonal);
    double *pivot = pivot_[cell], *lower = lower_[cell], *upper = upper_[cell];
    const double* before = cell > 0 ? pivot_[cell - 1] : nullptr;
    const double* upper_before = cell > 0 ? upper_[cell - 1] : nullptr;
    eachPack<Pack>([&](std::size_t l) {
      Pack at = packAt<Pack>(diagonal + l);
      if (before != nullptr) {
        const Pack factor =
            packAt<Pack>(below + l) * packAt<Pack>(per_capacity + l) * packAt<Pack>(before + l);
        put<Pack>(lower + l, factor);
        at -= factor * packAt<Pack>(upper_before + l);
      }
      put<Pack>(upper + l, packAt<Pack>(above + l) * packAt<Pack>(per_capacity + l));
      put<Pack>(pivot + l, 1.0 / at);
    });
  }
  if (grid_.varies) at_start_ = per_capacity_;
}

template <class Pack>
void Stepper::stageState(std::size_t stage) {
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell) {
    combine<Pack>(stage, kelvin_[cell], kelvin_stage_, ros.a[stage], cell, stage_kelvin_[cell]);
    if (grid_.of(cell).cures && !idle_[cell])
      combine<Pack>(stage, degree_[cell], degree_stage_, ros.a[stage], cell, stage_degree_[cell]);
  }
}

/// dT/dt of a cell and the share of the air's drift, into the stage.
template <class Pack, bool sides>
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
  eachPack<Pack>([&](std::size_t l) {
    const Pack at = packAt<Pack>(t + l);
    Pack flux = packAt<Pack>(below + l) * (packAt<Pack>(under + l) - at) +
                packAt<Pack>(above + l) * (packAt<Pack>(over + l) - at) +
                heat * packAt<Pack>(half + l) * packAt<Pack>(rate + l);
    Pack drift{};
    if constexpr (sides) {
      const Pack z = packAt<Pack>(height + l), first = packAt<Pack>(first_now + l),
                 turn = packAt<Pack>(first_drift + l);
      flux += packAt<Pack>(side + l) * (first + z * (packAt<Pack>(last_now + l) - first) - at);
      drift = packAt<Pack>(side + l) * (turn + z * (packAt<Pack>(last_drift + l) - turn));
    }
    if (is_first) drift += packAt<Pack>(below + l) * packAt<Pack>(first_drift + l);
    if (is_last) drift += packAt<Pack>(above + l) * packAt<Pack>(last_drift + l);
    const Pack sum = flux * packAt<Pack>(per_capacity + l);
    put<Pack>(slope + l, sum);
    put<Pack>(right + l, sum + drift_share * drift * packAt<Pack>(at_start + l));
  });
}

void Stepper::addSource(std::size_t stage, std::size_t cell) {
  const double seconds = ros.time[stage] * h_;
  for (std::size_t l = 0; l < lanes; ++l)
    kelvin_stage_[stage][cell][l] +=
        source(cell, l, seconds) * 2 * grid_.half_width[cell][l] * per_capacity_[cell][l];
}

/// Takes the cell before out of a cell's right-hand side, and the cell's own α.
template <class Pack>
void Stepper::eliminateAt(std::size_t stage, std::size_t cell) {
  Field& kelvin = kelvin_stage_[stage];
  double* b = kelvin[cell];
  if (grid_.of(cell).cures) {
    const double *fold = fold_[cell], *a = degree_stage_[stage][cell];
    eachPack<Pack>([&](std::size_t l) {
      put<Pack>(b + l, packAt<Pack>(b + l) + packAt<Pack>(fold + l) * packAt<Pack>(a + l));
    });
  }
  if (cell == 0) return;
  const double *lower = lower_[cell], *before = kelvin[cell - 1];
  eachPack<Pack>([&](std::size_t l) {
    put<Pack>(b + l, packAt<Pack>(b + l) + packAt<Pack>(lower + l) * packAt<Pack>(before + l));
  });
}

/// The right-hand sides of a stage with what the matrix takes out of them going down, into the
/// stage itself.
template <class Pack>
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
      temperatureRight<Pack, true>(stage, cell, kelvin);
    else
      temperatureRight<Pack, false>(stage, cell, kelvin);
    if (source) addSource(stage, cell);
    double* right = kelvin_stage_[stage][cell];
    combine<Pack>(stage, right, kelvin_stage_, earlier, cell, right);
    if (grid_.of(cell).cures)
      combine<Pack>(stage, rate_[cell], degree_stage_, earlier, cell, degree_stage_[stage][cell]);
    eliminateAt<Pack>(stage, cell);
  }
}

template <class Pack>
void Stepper::substitute(std::size_t stage) {
  Field &kelvin = kelvin_stage_[stage], &degree = degree_stage_[stage];
  const std::size_t n = grid_.cells();
  for (std::size_t cell = n; cell-- > 0;) {
    double* b = kelvin[cell];
    const double *pivot = pivot_[cell], *upper = upper_[cell];
    const double* after = cell + 1 < n ? kelvin[cell + 1] : nullptr;
    eachPack<Pack>([&](std::size_t l) {
      Pack at = packAt<Pack>(b + l);
      if (after != nullptr) at += packAt<Pack>(upper + l) * packAt<Pack>(after + l);
      put<Pack>(b + l, at * packAt<Pack>(pivot + l));
    });
    if (!grid_.of(cell).cures) continue;
    double* a = degree[cell];
    const double *by_kelvin = rate_by_kelvin_[cell], *degree_pivot = degree_pivot_[cell];
    eachPack<Pack>([&](std::size_t l) {
      put<Pack>(a + l, (packAt<Pack>(a + l) + packAt<Pack>(by_kelvin + l) * packAt<Pack>(b + l)) *
                           packAt<Pack>(degree_pivot + l));
    });
  }
}

template <class Pack>
void Stepper::finish() {
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell) {
    combine<Pack>(stages, kelvin_[cell], kelvin_stage_, ros.m, cell, new_kelvin_[cell]);
    if (!grid_.of(cell).cures) continue;
    double* degree = new_degree_[cell];
    combine<Pack>(stages, degree_[cell], degree_stage_, ros.m, cell, degree);
    eachPack<Pack>([&](std::size_t l) {
      put<Pack>(degree + l, smaller<Pack>(larger<Pack>(packAt<Pack>(degree + l), packOf<Pack>(0)),
                                          packOf<Pack>(1)));
    });
  }
}

/// Errors as shares of what is allowed. Where cure feeds on itself a small error grows with it, so
/// less is allowed while little is cured.
template <class Pack>
double Stepper::errorOf(const StepTolerance& tolerance) const {
  double worst[lanes] = {}, zero[lanes] = {}, error[lanes];
  for (std::size_t cell = 0; cell < grid_.cells(); ++cell) {
    combineRow<Pack, stages>(zero, kelvin_stage_, ros.error, cell, error);
    eachPack<Pack>([&](std::size_t l) {
      const Pack share = magnitude<Pack>(packAt<Pack>(error + l)) * (1 / tolerance.kelvin);
      put<Pack>(worst + l, larger<Pack>(packAt<Pack>(worst + l), share));
    });
    const Matter& matter = grid_.of(cell);
    if (!matter.cures) continue;
    combineRow<Pack, stages>(zero, degree_stage_, ros.error, cell, error);
    const double grown = matter.autocatalytic ? 0 : 1;
    const double* degree = degree_[cell];
    eachPack<Pack>([&](std::size_t l) {
      const Pack part =
          smaller<Pack>(grown + 0.02 + 2.0 * packAt<Pack>(degree + l), packOf<Pack>(1));
      const Pack share = magnitude<Pack>(packAt<Pack>(error + l)) / (tolerance.degree * part);
      put<Pack>(worst + l, larger<Pack>(packAt<Pack>(worst + l), share));
    });
  }
  return *std::max_element(worst, worst + lanes);
}

template <class Pack>
double Stepper::attemptWith(double h, std::span<const AirLine> air,
                            const StepTolerance& tolerance) {
  h_ = h;
  placeAir(air);
  if (grid_.varies) conduct<Pack>(kelvin_);
  reactAtStart<Pack>(tolerance.degree);
  factorise<Pack>(1 / (h * ros.gamma));
  for (std::size_t stage = 0; stage < stages; ++stage) {
    if (stage > 0) {
      stageState<Pack>(stage);
      if (grid_.varies) conduct<Pack>(stage_kelvin_);
      reactAtStage<Pack>();
    }
    stageRight<Pack>(stage, stage > 0 ? stage_kelvin_ : kelvin_);
    substitute<Pack>(stage);
  }
  finish<Pack>();
  return errorOf<Pack>(tolerance);
}

/// Everything it calls becomes part of it, and so is made for this processor.
#if defined(__x86_64__)
__attribute__((target("avx2"), flatten)) double Stepper::attemptWide(
    double h, std::span<const AirLine> air, const StepTolerance& tolerance) {
  return attemptWith<WidePack>(h, air, tolerance);
}

bool Stepper::mayBeWide() { return __builtin_cpu_supports("avx2") != 0; }
#else
double Stepper::attemptWide(double h, std::span<const AirLine> air,
                            const StepTolerance& tolerance) {
  return attemptWith<NarrowPack>(h, air, tolerance);
}

bool Stepper::mayBeWide() { return false; }
#endif

double Stepper::attempt(double h, std::span<const AirLine> air, const StepTolerance& tolerance) {
  return wide_ ? attemptWide(h, air, tolerance) : attemptWith<NarrowPack>(h, air, tolerance);
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
