/// Which places of the switchable sources were reached.
#pragma once

#include <vector>

namespace pm {

void forgetReached();
[[nodiscard]] std::vector<int> reached();

}  // namespace pm
