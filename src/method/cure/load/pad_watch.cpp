#include "pad_watch.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "pack.h"

namespace platemark::method::cure {
namespace {

using Pack = NarrowPack;

/// Where the parabola with value and slope at the start and value at the end meets `level`, as a
/// share of the step; the ends lie on both sides of it, so one root lies between them.
double meeting(double start, double rise_at_start, double end, double level) {
  const double curve = end - start - rise_at_start, gap = start - level;
  const double root = std::sqrt(std::max(0.0, rise_at_start * rise_at_start - 4 * curve * gap));
  const double q = -(rise_at_start + std::copysign(root, rise_at_start)) / 2;
  const double near = q != 0 ? gap / q : 0;
  return std::clamp(near >= 0 && near <= 1 ? near : q / curve, 0.0, 1.0);
}

}  // namespace

PadWatch::PadWatch(const Grid& grid, const PadLimits& limits, const Stepper& stepper)
    : grid_(grid),
      stepper_(stepper),
      soak_(limits.soak.in(scale::kelvin)),
      rate_from_(limits.rate_from.in(scale::kelvin)),
      rate_to_(limits.rate_to.in(scale::kelvin)),
      peak_(stepper.kelvin()),
      fastest_(grid.pads.size()),
      coldest_(grid.pads.size()),
      soaks_(grid.pads.size(), std::vector<Lane>(lanes)) {
  for (std::size_t pad = 0; pad < grid.pads.size(); ++pad)
    for (std::size_t l = 0; l < lanes; ++l) {
      coldest_[pad][l] = grid.start[0][l];
      if (coldest_[pad][l] >= soak_) soaks_[pad][l].reached = 0;
    }
}

void PadWatch::step(const Stride& stride) {
  double coldest_now[lanes];
  for (std::size_t pad = 0; pad < grid_.pads.size(); ++pad) {
    const Span& span = grid_.pads[pad];
    double* fastest_of_pad = fastest_[pad];
    for (std::size_t l = 0; l < lanes; l += pack_lanes<Pack>) {
      Pack fastest = packAt<Pack>(fastest_of_pad + l);
      Pack coldest = packOf<Pack>(std::numeric_limits<double>::infinity());
      for (std::size_t cell = span.begin; cell < span.end; ++cell) {
        const Pack now = packAt<Pack>(stepper_.kelvin()[cell] + l);
        const Pack before = packAt<Pack>(stepper_.kelvinBefore()[cell] + l);
        const Pack slope = packAt<Pack>(stepper_.slopeBefore()[cell] + l);
        put<Pack>(peak_[cell] + l, larger<Pack>(packAt<Pack>(peak_[cell] + l), now));
        coldest = smaller<Pack>(coldest, now);
        const Pack warm = before < rate_from_ ? packOf<Pack>(0) : slope;
        fastest = larger<Pack>(fastest, before > rate_to_ ? packOf<Pack>(0) : warm);
      }
      put<Pack>(coldest_now + l, coldest);
      put<Pack>(fastest_of_pad + l, fastest);
    }
    watchSoak(pad, stride, coldest_now);
  }
}

void PadWatch::watchSoak(std::size_t pad, const Stride& stride, const double* coldest_now) {
  for (std::size_t l = 0; l < lanes; ++l) {
    const bool was = coldest_[pad][l] >= soak_, is = coldest_now[l] >= soak_;
    coldest_[pad][l] = coldest_now[l];
    Lane& lane = soaks_[pad][l];
    if (was && is) lane.soaked += stride.h;
    if (was == is) continue;
    const double at = crossing(grid_.pads[pad], l, stride.h, is);
    lane.soaked += is ? stride.h - at : at;
    if (is && lane.reached < 0) lane.reached = stride.from + at;
  }
}

/// Seconds into the step at which the last cell rises to the soak, or the first falls below it.
double PadWatch::crossing(const Span& pad, std::size_t lane, double h, bool rising) const {
  double at = rising ? 0 : h;
  for (std::size_t cell = pad.begin; cell < pad.end; ++cell) {
    const double start = stepper_.kelvinBefore()[cell][lane], end = stepper_.kelvin()[cell][lane];
    if ((start >= soak_) == (end >= soak_)) continue;
    const double meets = h * meeting(start, h * stepper_.slopeBefore()[cell][lane], end, soak_);
    at = rising ? std::max(at, meets) : std::min(at, meets);
  }
  return at;
}

std::vector<PadHeat> PadWatch::padsOf(std::size_t lane, std::size_t stack) const {
  std::vector<PadHeat> pads;
  for (std::size_t i = 0; i < grid_.pads.size(); ++i) {
    const Span& span = grid_.pads[i];
    double hottest = 0, coldest = std::numeric_limits<double>::infinity(), least = 1;
    for (std::size_t cell = span.begin; cell < span.end; ++cell) {
      hottest = std::max(hottest, peak_[cell][lane]);
      coldest = std::min(coldest, peak_[cell][lane]);
      least = std::min(least, stepper_.degree()[cell][lane]);
    }
    PadHeat pad{stack, span.layer};
    pad.hottest = TemperaturePoint::of(hottest, scale::kelvin);
    pad.coldest_peak = TemperaturePoint::of(coldest, scale::kelvin);
    const Lane& soak = soaks_[i][lane];
    if (soak.reached >= 0) pad.reached = Duration::of(soak.reached, unit::second);
    pad.soaked = Duration::of(soak.soaked, unit::second);
    pad.least_degree = least;
    pad.fastest = TemperatureRate::of(fastest_[i][lane] * 60, unit::kelvin_per_minute);
    pads.push_back(pad);
  }
  return pads;
}

}  // namespace platemark::method::cure
