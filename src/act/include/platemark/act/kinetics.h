/// The kinetics of a compound as the methods of the cure take them.
#pragma once

#include "platemark/method/cure/kinetics.h"
#include "platemark/plant/cure.h"

namespace platemark::act {

/// Every measure of the noun must be of its kind, as its issue has checked.
[[nodiscard]] method::cure::KamalLaw lawOf(const Kinetics& kinetics);
[[nodiscard]] method::cure::ParameterSet parametersOf(const Kinetics& kinetics);

}  // namespace platemark::act
