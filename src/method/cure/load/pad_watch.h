/// Gathers the figures of every pad of a batch while it is marched.
#pragma once

#include <vector>

#include "march.h"

namespace platemark::method::cure {

class PadWatch {
 public:
  PadWatch(const Grid& grid, const PadLimits& limits, const Stepper& stepper);
  void step(const Stride& stride);
  /// The figures of one lane, in the order of layers.
  [[nodiscard]] std::vector<PadHeat> padsOf(std::size_t lane, std::size_t stack) const;

 private:
  struct Lane {
    double soaked = 0, reached = -1;
  };
  void watchSoak(std::size_t pad, const Stride& stride, const double* coldest_now);
  [[nodiscard]] double crossing(const Span& pad, std::size_t lane, double h, bool rising) const;

  const Grid& grid_;
  const Stepper& stepper_;
  double soak_, rate_from_, rate_to_;
  Field peak_;                            ///< by cell
  Field fastest_;                         ///< by pad
  Field coldest_;                         ///< by pad, at the end of the step before
  std::vector<std::vector<Lane>> soaks_;  ///< by pad and lane
};

}  // namespace platemark::method::cure
