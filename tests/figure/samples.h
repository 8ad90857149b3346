/// Inputs of charts as the trade would draw them, for the tests of figure and paper.
/// The plant, its parts and its numbers are invented.
#pragma once

#include "platemark/figure/cure.h"
#include "platemark/figure/sieve.h"
#include "platemark/figure/strip.h"

namespace samples {

using namespace platemark;
using namespace platemark::figure;

StripInput density();

StripInput shear();

StripInput hardness();

StripInput compressibility();

/// A ramp to a first hold, a second ramp to the soak, cooling.
double programme(double hours);

CureChartInput cure();

SieveChartInput sieve();

}  // namespace samples
