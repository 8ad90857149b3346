/// Where a weighing lies. Pure.
#pragma once

#include "platemark/plant/verdict.h"

namespace platemark::gate {

/// A mass against wanted ± tolerance, all three in one unit: inside (the limits
/// belong to it), outside above or outside below.
[[nodiscard]] FindingWord whereWeighed(double mass, double wanted, double tolerance);

}  // namespace platemark::gate
