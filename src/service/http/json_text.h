#pragma once

#include <string>
#include <string_view>

namespace platemark::http {

/// Appends a quoted JSON string; bytes that are not UTF-8 become U+FFFD.
void appendJsonString(std::string& out, std::string_view text);

}  // namespace platemark::http
