/// Two issues of a compound beside each other, as a table to take away.
#pragma once

#include <string>

#include "platemark/service/house.h"

namespace platemark::service {

/// CSV: a row for each line of either formula (parts, mass and volume share before and after), then
/// the properties and the limited substances. Errors: those of the comparison.
[[nodiscard]] Result<std::string> exportFormulas(const House& house, const std::string& code,
                                                 const std::string& from, const std::string& to);

}  // namespace platemark::service
