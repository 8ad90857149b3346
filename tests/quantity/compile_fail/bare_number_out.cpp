// A quantity gives its number only in a named unit.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;
[[maybe_unused]] constexpr Force force = Force::of(1.0, unit::newton);

#ifdef WRONG
[[maybe_unused]] const double newtons = force;
#else
[[maybe_unused]] const double newtons = force.in(unit::newton);
#endif
}  // namespace
