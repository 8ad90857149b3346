// Degrees Celsius count from a zero of their own and are no unit of a difference.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;

#ifdef WRONG
[[maybe_unused]] const auto rise = TemperatureDifference::of(15.0, scale::celsius);
#else
[[maybe_unused]] const auto rise = TemperatureDifference::of(15.0, unit::kelvin);
#endif
}  // namespace
