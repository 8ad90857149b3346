// Two temperatures have no sum: 40 °C and 40 °C are not 80 °C.
#include "platemark/quantity/quantity.h"

namespace {
using namespace platemark;
[[maybe_unused]] constexpr TemperaturePoint warm = TemperaturePoint::of(40.0, scale::celsius);

#ifdef WRONG
[[maybe_unused]] const auto sum = warm + warm;
#else
[[maybe_unused]] const auto sum = warm + TemperatureDifference::of(40.0, unit::kelvin);
#endif
}  // namespace
