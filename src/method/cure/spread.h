/// How far channels are apart.
#pragma once

#include "prepare.h"

namespace platemark::method::cure {

/// The hottest and the coldest of some channels at one moment.
struct Spread {
  double at;
  double kelvin;
  const Line* hottest;
  const Line* coldest;
};

/// At every reading of any of the lines in `within` at which two or more are known.
[[nodiscard]] std::vector<Spread> spreadsOf(const Chart& chart,
                                            const std::vector<const Line*>& lines, Stretch within);

/// Marks stretches of at least `least` ms with a spread above `limit`.
void markSpreads(Chart& chart, const std::vector<Spread>& spreads, FaultKind kind, double limit,
                 double least);

/// Marks like evidence channels that part.
void findParted(Chart& chart, double until);

}  // namespace platemark::method::cure
