/// How fast a channel was heated, by three definitions.
#pragma once

#include "prepare.h"

namespace platemark::method::cure {

void findRamps(Chart& chart, const Line& line, ChannelFigures& figures);

}  // namespace platemark::method::cure
