// A bare number is no force: its unit must be named.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;

#ifdef WRONG
[[maybe_unused]] const Force force = 27.4;
#else
[[maybe_unused]] const Force force = Force::of(27.4, unit::kilonewton);
#endif
}  // namespace
