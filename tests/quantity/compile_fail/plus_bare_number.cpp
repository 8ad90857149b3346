// A number without a unit is not added to a quantity.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;
[[maybe_unused]] constexpr Mass mass = Mass::of(1.0, unit::gram);

#ifdef WRONG
[[maybe_unused]] const Mass more = mass + 0.5;
#else
[[maybe_unused]] const Mass more = mass + Mass::of(0.5, unit::gram);
#endif
}  // namespace
