// A quantity is not compared with a number without a unit.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;
[[maybe_unused]] constexpr Length length = Length::of(16.4, unit::millimetre);

#ifdef WRONG
[[maybe_unused]] const bool long_enough = length > 16.3;
#else
[[maybe_unused]] const bool long_enough = length > Length::of(16.3, unit::millimetre);
#endif
}  // namespace
