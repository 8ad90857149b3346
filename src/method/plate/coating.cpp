#include "platemark/method/plate/coating.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "../bad_input.h"
#include "platemark/method/statistics/summary.h"

namespace platemark::method::plate {
namespace {

double micrometres(Length length) { return length.in(unit::micrometre); }

Result<void> checkFilm(Length film, const std::string& field) {
  if (film > Length() && std::isfinite(micrometres(film))) return {};
  return badInput("film.reading", field, fmt::format("A film is {:g} µm thick.", micrometres(film)),
                  "above 0 µm");
}

Result<void> checkShare(Share share, const char* field) {
  if (share >= Share() && share <= Share::of(1, unit::one)) return {};
  return badInput("coating.share", field,
                  fmt::format("{:g} % of the area.", share.in(unit::percent)), "0 to 100 %");
}

/// The place of the first bound that holds the share; bounds to 1e-9 of their value, so that a
/// share typed in per cent meets its bound.
template <std::size_t N>
int placeIn(const std::array<double, N>& percents, Share share) {
  const auto found = std::find_if(percents.begin(), percents.end(), [&](double bound) {
    return share.in(unit::percent) <= bound * (1 + 1e-9);
  });
  return static_cast<int>(found - percents.begin());
}

}  // namespace

Result<Film> film(std::span<const Length> readings, const FilmLimits& limits) {
  if (readings.empty())
    return badInput("film.no_reading", "readings", "No film was read.", "one reading or more");
  if (limits.lower && limits.upper && *limits.lower > *limits.upper)
    return badInput("film.limits", "lower", "The lower limit lies above the upper one.",
                    "a lower limit not above the upper one");
  std::vector<double> metres;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (Result<void> checked = checkFilm(readings[i], fmt::format("readings[{}]", i)); !checked)
      return checked.error();
    metres.push_back(readings[i].in(unit::metre));
  }
  const statistics::Summary found = *statistics::summary(metres);
  Film film{Length::of(found.mean, unit::metre),
            Length::of(found.min, unit::metre),
            Length::of(found.max, unit::metre),
            {}};
  if (found.s) film.s = Length::of(*found.s, unit::metre);
  for (const Length reading : readings) {
    film.below += limits.lower && reading < *limits.lower ? 1 : 0;
    film.above += limits.upper && reading > *limits.upper ? 1 : 0;
  }
  return film;
}

Result<int> crossCutClass(Share off) {
  static constexpr std::array percents{0.0, 5.0, 15.0, 35.0, 65.0};
  if (Result<void> checked = checkShare(off, "lattice_off"); !checked) return checked.error();
  return placeIn(percents, off);
}

Result<Length> crossCutSpacing(Length film, bool hard_ground) {
  if (Result<void> checked = checkFilm(film, "film"); !checked) return checked.error();
  // A bound is met by a film typed at it, whatever its way through other units left over.
  const double thick = micrometres(film) * (1 - 1e-9);
  if (thick > 250)
    return badInput("coating.too_thick", "film",
                    fmt::format("The film is {:g} µm thick.", micrometres(film)), "at most 250 µm",
                    "The cross-cut is no test for this film.");
  const int mm = thick <= 60 ? (hard_ground ? 1 : 2) : thick <= 120 ? 2 : 3;
  return Length::of(mm, unit::millimetre);
}

Result<int> saltSprayRating(Share corroded) {
  static constexpr std::array percents{0.0, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 25.0, 50.0};
  if (Result<void> checked = checkShare(corroded, "corroded"); !checked) return checked.error();
  return 10 - placeIn(percents, corroded);
}

Result<Length> scribeCreep(Length damage, Length scribe) {
  if (scribe >= Length() && damage >= scribe && std::isfinite(micrometres(damage)))
    return (damage - scribe) / 2;
  return badInput("coating.creep", "damage_width",
                  fmt::format("Damage {:g} mm wide at a scribe of {:g} mm.",
                              damage.in(unit::millimetre), scribe.in(unit::millimetre)),
                  "damage at least as wide as the scribe");
}

}  // namespace platemark::method::plate
