/// A load of the record as the method of heat takes it: stacks from clamps, part and stacking; air
/// from recording, corrections and survey. Stacks of one clamp that are alike are computed once.
#pragma once

#include <string>
#include <vector>

#include "oven_air.h"
#include "platemark/act/heat_files.h"
#include "platemark/method/cure/load_uncertainty.h"

namespace platemark::service {

/// Where a stack of the method's load stands on record.
struct StackAt {
  std::size_t clamp = 0;   ///< in LoadBuilt::clamps
  std::size_t batch = 0;   ///< in HeatFiles::batches
  std::int64_t alike = 1;  ///< so many stacks of the clamp are like this one
  std::int64_t pads = 0;   ///< of one stack
  double place_u_k = 0;    ///< of the survey
};

struct HeatLoad {
  method::cure::Load load;
  std::vector<StackAt> at;  ///< for each stack
  double sensor_u_k = 0;    ///< standard, of the worst channel used
  std::int64_t pads = 0;
  std::vector<std::string> doubts;  ///< why its figures do not count
};

/// The load in the air that its recorder wrote. Errors: heat.channel (the recording has no such
/// channel), those of checkLoad.
[[nodiscard]] Result<HeatLoad> heatLoad(const act::HeatFiles& files, const intake::Series& series);

/// What the inputs of one stack are uncertain by.
[[nodiscard]] method::cure::InputSpread spreadOf(const act::HeatFiles& files, const HeatLoad& load,
                                                 std::size_t stack);
/// The longest soak of a programme: its target and its lower edge.
struct SoakAsked {
  double target_celsius = 0;
  double edge_celsius = 0;
  std::int64_t minutes = 0;
};
[[nodiscard]] SoakAsked soakAsked(const Programme& programme);

}  // namespace platemark::service
