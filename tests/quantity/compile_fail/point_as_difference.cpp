// A temperature is no rise: points subtract to a difference.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;
[[maybe_unused]] constexpr TemperaturePoint warm = TemperaturePoint::of(40.0, scale::celsius);

#ifdef WRONG
[[maybe_unused]] const TemperatureDifference rise = warm;
#else
[[maybe_unused]] const TemperatureDifference rise = warm - warm;
#endif
}  // namespace
