/// Writing into a Report.
#pragma once

#include <string>
#include <string_view>

#include "encoding.h"
#include "platemark/intake/report.h"

namespace platemark::intake {

/// Counts one remark; keeps its text while fewer than `kept` of its code are kept.
void note(Report& report, std::size_t kept, std::string_view code, std::int64_t line,
          std::string_view column, std::string_view raw_text, Encoding encoding);
/// Adds what a later part of the file gave; lines and bytes are not touched.
void append(Report& report, std::size_t kept, Report&& later);

}  // namespace platemark::intake
