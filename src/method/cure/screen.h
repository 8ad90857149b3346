/// Which readings of a channel are not to be believed.
#pragma once

#include "prepare.h"

namespace platemark::method::cure {

/// Fills `read` from the channel's series; marks implausible and duplicate readings.
void takeReadings(Chart& chart, Line& line);
/// Marks stretches without readings, also at both ends of the recording.
void findGaps(Chart& chart, const Line& line);
/// Marks stretches in which the channel stood still though it should have moved.
void findStuck(Chart& chart, Line& line);
/// Marks steps faster than heat moves and what lies behind them until the return;
/// looks past stuck stretches, which must have been found.
void findJumps(Chart& chart, Line& line);

}  // namespace platemark::method::cure
