// A temperature is not compared with a rise.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;
[[maybe_unused]] constexpr TemperaturePoint warm = TemperaturePoint::of(40.0, scale::celsius);
[[maybe_unused]] constexpr TemperatureDifference rise = TemperatureDifference::of(15.0, unit::kelvin);

#ifdef WRONG
[[maybe_unused]] const bool hotter = warm > rise;
#else
[[maybe_unused]] const bool hotter = warm > warm - rise;
#endif
}  // namespace
