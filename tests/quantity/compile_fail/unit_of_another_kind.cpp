// A pressure is not typed in a unit of force.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;

#ifdef WRONG
[[maybe_unused]] const Pressure pressure = Pressure::of(31.5, unit::newton);
#else
[[maybe_unused]] const Pressure pressure = Pressure::of(31.5, unit::bar);
#endif
}  // namespace
