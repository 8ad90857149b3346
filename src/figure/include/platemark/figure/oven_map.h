/// The places of an oven seen from its door: what stood there, and what was worst where.
///
/// Tiers from the highest down, positions from left to right. A place that is marked has a heavy
/// frame and its words; every word is the caller's.
#pragma once

#include <string>
#include <vector>

#include "platemark/figure/scene.h"
#include "platemark/quantity/result.h"

namespace platemark::figure {

struct OvenPlace {
  int tier = 0;
  int position = 0;
  std::string words;                ///< "clamp 3"
  std::string value;                ///< "-2.1 K"
  std::vector<std::string> marked;  ///< "coldest", "least cured"; none: not marked
};
struct OvenMapInput {
  std::string title;
  std::string reading;
  std::string tier_words;  ///< "tier"
  std::vector<OvenPlace> places;
};

/// Errors: figure.empty, figure.doubled (two things at one place).
[[nodiscard]] Result<Scene> ovenMap(const OvenMapInput& input);

}  // namespace platemark::figure
