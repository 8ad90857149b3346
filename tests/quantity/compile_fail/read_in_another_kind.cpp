// A pressure is not read in a unit of force.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;
[[maybe_unused]] constexpr Pressure pressure = Pressure::of(1.0, unit::bar);

#ifdef WRONG
[[maybe_unused]] const double number = pressure.in(unit::newton);
#else
[[maybe_unused]] const double number = pressure.in(unit::megapascal);
#endif
}  // namespace
