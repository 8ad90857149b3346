// A force becomes a pressure by an area alone.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;
[[maybe_unused]] constexpr Force force = Force::of(27.4, unit::kilonewton);

#ifdef WRONG
[[maybe_unused]] const Pressure pressure = force;
#else
[[maybe_unused]] const Pressure pressure = force / Area::of(47.2, unit::square_centimetre);
#endif
}  // namespace
