/// How sure the figures of one pad are: method cure.load_uncertainty, version 1.
///
/// Formula      propagated: u² = Σ [(figure(x_i + u_i) − figure(x_i − u_i))/2]², inputs independent
///              drawn: standard deviation of the figure over loads whose inputs are all drawn at
///              once, x_i + u_i·z, z normal; shares stretch a value by e^(u·z)
/// Symbols      u_i standard uncertainties of the inputs
/// Valid        propagated: where figures follow the inputs nearly straight; the two differ where
///              they do not, e.g. for a soak that may not be reached at all. Then the draws count.
/// Reduction    only the stack of the pad is computed again, as stacks do not touch each other; an
///              input common to all stacks moves them alike, so a pad found worst by less than
///              its uncertainty shares its place with the next.
/// Source       JCGM 100:2008, 5.1.3, JCGM 101:2008, 7, remembered, not verified
/// Errors       cure.spread_range, cure.draws_range, cure.load_stack, those of checkLoad
/// Pure: the same seed gives the same draws, to the last bit.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "platemark/method/cure/load.h"

namespace platemark::method::cure {

inline constexpr int load_uncertainty_version = 1;

/// Standard uncertainties; shares are of the value.
struct InputSpread {
  TemperatureDifference sensors{};      ///< all channels alike, e.g. the sensor class over √3
  TemperatureDifference first_place{};  ///< survey, air at the first end
  TemperatureDifference last_place{};   ///< survey, air at the last end
  Share film{};                         ///< coefficients of ends and sides
  Share joint{};                        ///< of every joint
  Share conductivity{}, capacity{};     ///< of every material
  Share heat{};                         ///< of reaction
  Share rate{};                         ///< of every rate constant
};

/// Standard uncertainties of a pad's figures.
struct PadSpread {
  TemperatureDifference hottest{}, coldest_peak{};
  Duration soaked{};
  double least_degree = 0;
  TemperatureRate fastest{};
};

struct Contribution {
  std::string input{};  ///< name of the member of InputSpread
  PadSpread change{};   ///< half of the difference from −u to +u, with its sign
};
struct PropagatedSpread {
  PadSpread standard{};
  std::vector<Contribution> contributions{};
};
/// Of the pad at `layer` of `stack`.
[[nodiscard]] Result<PropagatedSpread> propagate(const Load& load, std::size_t stack,
                                                 std::size_t layer, const InputSpread& spread);

struct DrawnSpread {
  PadSpread standard{};
  Duration mean_soaked{};
  double mean_least_degree = 0;
  double never_reached = 0;  ///< share of the draws in which the pad did not soak
};
/// 10 to 100000 draws.
[[nodiscard]] Result<DrawnSpread> drawLoads(const Load& load, std::size_t stack, std::size_t layer,
                                            const InputSpread& spread, int draws,
                                            std::uint64_t seed);

}  // namespace platemark::method::cure
