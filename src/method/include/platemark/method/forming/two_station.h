/// How often a press with two stations closes, and who waits for whom.
///
/// The press closes on one station while the other is unloaded and loaded; then it changes over.
///
/// Formula      one crew:   T = max(p + c, l)
///              two crews:  T = max(p + c, (p + l)/2)
///              pads per hour n·3600 s/T;  press waits 1 − (p + c)/T;
///              crew waits 1 − l/T; each of two crews 1 − l/(2·T)
/// Symbols      T time per stroke in steady state, s; p press time of a stroke, from closing until
///              the press is open again, vent strokes and holds included, s, above 0; c
///              change-over, from the press open on one station until it can close on the other, s,
///              0 or more; l from the press open on a station until it is unloaded, cleaned, loaded
///              and clear, the crew's way to it included, s, above 0; n pads per stroke (cavities
///              filled), 1 or more
/// Derivation   Number the strokes k; they fall on the stations in turn. Let S_k be the start of
///              stroke k and L_k the start of the loading before it. The press is free and the
///              station loaded:  S_k = max(S_(k−1) + p + c, L_k + l).
///              The station was opened and, with one crew, the crew has left the other station:
///              L_k = max(S_(k−2) + p, L_(k−1) + l).  Two crews: L_k = S_(k−2) + p.
///              In steady state both grow by T per stroke, and T is the largest mean, time over
///              strokes, of the loops in these two lines: press → press (p + c over 1), crew → crew
///              (l over 1, only with one crew), station → press → station (p + l over 2). With one
///              crew the third loop never decides: (p + l)/2 is the mean of p and l, of which
///              neither is above max(p + c, l).
/// Who waits    one crew: the press for the crew when l > p + c, the crew for the press when
///              l < p + c, nobody when they are equal. Two crews: the press for the crews when
///              l > p + 2·c. Each of two crews also stands while its own station is pressed: its
///              wait is never zero.
/// Valid        times that do not vary; equal tools and times at both stations; a press that never
///              closes twice running on one station; no break, no tool change, no fault. It is
///              what the rhythm allows, not what a shift makes.
/// Uncertainty  not propagated
/// Source       the derivation above, definition of this project; its limits (one station:
///              p + l per stroke; two presses served by one crew: max((p + l)/2, l)) are the
///              worker–machine chart of work-study textbooks, common practice, remembered, not
///              verified
/// Errors       two_station.press_time, two_station.change_over, two_station.load_time,
///              two_station.pads
/// Pure.
#pragma once

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method {

inline constexpr int two_station_version = 1;

enum class Crews { one, two };

struct StationTimes {
  Duration press;        ///< p
  Duration change_over;  ///< c
  Duration load;         ///< l
  int pads = 1;          ///< n, of one stroke
  Crews crews = Crews::one;
};

/// Who sets the pace.
enum class Waits { press_for_crew, crew_for_press, nobody };

struct StrokeRhythm {
  Duration stroke;  ///< T
  double pads_per_hour = 0;
  Share press_waits;  ///< of all time
  Share crew_waits;   ///< the same, of each crew
  Waits waits = Waits::nobody;
};

[[nodiscard]] Result<StrokeRhythm> twoStationRhythm(const StationTimes& times);

}  // namespace platemark::method
