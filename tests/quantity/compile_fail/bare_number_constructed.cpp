// Not even spelled out does a number become a quantity.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;

#ifdef WRONG
[[maybe_unused]] const Force force = Force(27.4);
#else
[[maybe_unused]] const Force force = Force::of(27.4, unit::newton);
#endif
}  // namespace
