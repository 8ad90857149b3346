/// What an oven's channels read, corrected by their calibration: what chart and heat share.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "platemark/intake/series.h"
#include "platemark/method/cure/recording.h"
#include "platemark/plant/noun.h"

namespace platemark::service {

/// Readings that a calibration corrects are kept beside the channels that look at them; the others
/// are looked at where they are.
struct OvenAir {
  std::vector<std::vector<double>> celsius;
  std::vector<method::cure::Channel> channels;  ///< look into `celsius` and the series
};

/// The series must outlive the answer. A sensor's tolerance by its class is that at `celsius`.
[[nodiscard]] OvenAir ovenAir(const intake::Series& series, const Machine& oven, double celsius);
[[nodiscard]] std::optional<double> toleranceOf(const Channel& channel, double celsius);

}  // namespace platemark::service
