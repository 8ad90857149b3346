// A rise is no temperature.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;
[[maybe_unused]] constexpr TemperatureDifference rise = TemperatureDifference::of(15.0, unit::kelvin);

#ifdef WRONG
[[maybe_unused]] const TemperaturePoint soak = rise;
#else
[[maybe_unused]] const TemperaturePoint soak = TemperaturePoint::of(25.0, scale::celsius) + rise;
#endif
}  // namespace
