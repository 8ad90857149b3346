/// Films on plates and pads: thickness, cross-cut, salt spray.
///
/// Formula      film: mean, lowest, highest, number below and above given limits
///              cross-cut class: 0 nothing off; 1 up to 5 % of the lattice; 2 up to 15; 3 up to 35;
///              4 up to 65; 5 more
///              spacing of the cuts: 1 mm up to 60 µm on a hard ground; 2 mm up to 60 µm on a soft
///              one and from 60 to 120 µm on any; 3 mm to 250 µm
///              salt spray rating by share of corroded area A: 10 none; 9 up to 0.1 %; 8 to 0.25; 7
///              to 0.5; 6 to 1; 5 to 2.5; 4 to 5; 3 to 10; 2 to 25; 1 to 50; 0 more
///              creep from a scribe: (width of the damage − width of the scribe)/2
/// Symbols      film thickness above 0; shares of the area of the lattice, of the significant face
/// Valid        cross-cut: films up to 250 µm without texture; it is no measure of how well a film
///              sticks, and other cutters give other results. Upper bounds belong to the better
///              class. A rating belongs to the hours in the spray and to the spray itself.
/// Uncertainty  classes are read by eye: one class between two people is usual
/// Source       ISO 2409:2020 scope read, shares as in the mirrored classes of ASTM D3359, read
///              through another text, spacing remembered, not verified; ISO 10289:1999 ratings down
///              to 6 read through another text, below remembered, not verified; creep: ISO 4628-8,
///              remembered, not verified
/// Errors       film.no_reading, film.reading, film.limits, coating.share, coating.too_thick,
///              coating.creep
/// Pure.
#pragma once

#include <optional>
#include <span>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::plate {

inline constexpr int film_version = 1;
inline constexpr int cross_cut_version = 1;
inline constexpr int salt_spray_version = 1;

struct FilmLimits {
  std::optional<Length> lower, upper;
};

struct Film {
  Length mean, lowest, highest;
  std::optional<Length> s;  ///< none for one reading
  int below = 0;
  int above = 0;
};
[[nodiscard]] Result<Film> film(std::span<const Length> readings, const FilmLimits& limits);

/// 0 (best) to 5. Errors: coating.share.
[[nodiscard]] Result<int> crossCutClass(Share lattice_off);
/// Errors: film.reading, coating.too_thick.
[[nodiscard]] Result<Length> crossCutSpacing(Length film, bool hard_ground);

/// 10 (best) to 0. Errors: coating.share.
[[nodiscard]] Result<int> saltSprayRating(Share corroded);
/// Errors: coating.creep.
[[nodiscard]] Result<Length> scribeCreep(Length damage_width, Length scribe_width);

}  // namespace platemark::method::plate
