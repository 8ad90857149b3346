/// Rates of cure of one cell in all lanes.
#pragma once

#include "grid.h"

namespace platemark::method::cure {

/// dα/dt in 1/s.
void rateRow(const Matter& law, const double* kelvin, const double* degree, double* rate);
/// And how it moves with T and α; growth with α is left out, as the method allows.
void rateRowWithSlopes(const Matter& law, const double* kelvin, const double* degree, double* rate,
                       double* by_kelvin, double* by_degree);

}  // namespace platemark::method::cure
