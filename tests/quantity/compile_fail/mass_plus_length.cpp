// Unlike quantities are not added.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;
[[maybe_unused]] constexpr Mass mass = Mass::of(1.0, unit::gram);
[[maybe_unused]] constexpr Length length = Length::of(1.0, unit::millimetre);

#ifdef WRONG
[[maybe_unused]] const auto sum = mass + length;
#else
[[maybe_unused]] const auto sum = mass + mass;
#endif
}  // namespace
